//! `windrow.toml`: what a site tells once for all its records.

use crate::error::{Error, Result};
use std::fs;
use std::io;
use std::path::Path;
use windrow_model::settings::Settings;

/// Name of the settings file in a fleet folder.
pub(crate) const FILE: &str = "windrow.toml";

/// What a new fleet folder is given: every setting, with its meaning, switched off or at its default.
pub(crate) const DEFAULT: &str = include_str!("default.toml");

/// Reads the settings of the fleet folder `dir`; a missing file means the defaults.
pub(crate) fn load(dir: &Path) -> Result<Settings> {
    let path = dir.join(FILE);
    match fs::read_to_string(&path) {
        Ok(text) => parse(&path, &text).and_then(|settings| without_decisions(&path, settings)),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(Settings::default()),
        Err(error) => Err(Error::io("read", &path, error)),
    }
}

fn parse(path: &Path, text: &str) -> Result<Settings> {
    toml::from_str(text).map_err(|error| {
        let place = error.span().map_or_else(String::new, |span| place(text, span.start));
        let message = error.message().trim().replace('\n', "; ");
        Error::settings(format!(
            "{}{place}: {message}; correct it, or delete the line to get the default",
            path.display()
        ))
    })
}

/// Rulings have a file of their own, so that a person finds them in one place.
fn without_decisions(path: &Path, settings: Settings) -> Result<Settings> {
    if !settings.layouts.is_empty() {
        return Err(Error::settings(format!(
            "{}: layouts stand in layouts/NAME.toml; move them there",
            path.display()
        )));
    }
    if settings.decisions.is_empty() {
        return Ok(settings);
    }
    Err(Error::settings(format!("{}: rulings stand in decisions.toml; move them there", path.display())))
}

/// Number of the line of `text`, from 1, in which the byte at `offset` stands.
#[must_use]
pub fn line_at(text: &str, offset: usize) -> usize {
    text.get(..offset).unwrap_or(text).matches('\n').count() + 1
}

/// `, line 3 ("date_order = 5")` for an offset into `text`.
pub(crate) fn place(text: &str, offset: usize) -> String {
    let number = line_at(text, offset);
    let line = text.lines().nth(number - 1).unwrap_or_default().trim();
    format!(", line {number} ({line:?})")
}

#[cfg(test)]
mod tests {
    use super::{DEFAULT, parse};
    use std::path::Path;
    use windrow_model::settings::{DateOrder, Settings};

    fn refused(text: &str) -> String {
        parse(Path::new("plant/windrow.toml"), text).unwrap_err().to_string()
    }

    #[test]
    fn the_file_given_to_a_new_fleet_says_what_the_defaults_are() {
        assert_eq!(parse(Path::new("windrow.toml"), DEFAULT).unwrap(), Settings::default());
    }

    #[test]
    fn every_suggested_line_of_that_file_is_accepted() {
        let lines = DEFAULT.lines();
        let set = lines.map(|line| line.strip_prefix("# ").filter(|line| line.contains(" = ")).unwrap_or(line));
        let text = set.collect::<Vec<_>>().join("\n");
        let settings = parse(Path::new("windrow.toml"), &text).unwrap();
        assert_eq!(settings.site.name.as_deref(), Some("North Station"));
        assert_eq!(settings.reading.date_order, Some(DateOrder::DayFirst));
        assert_eq!(settings.reading.insulation_unit.as_deref(), Some("MOhm"));
        assert_eq!(settings.reading.temperature_unit.as_deref(), Some("Cel"));
    }

    #[test]
    fn an_unknown_key_is_refused_with_its_file_line_and_the_known_ones() {
        let message = refused("[site]\nname = \"A\"\nregion = \"B\"\n");
        assert!(message.contains("plant/windrow.toml, line 3"), "{message}");
        assert!(message.contains("region") && message.contains("name"), "{message}");
    }

    #[test]
    fn a_wrong_value_is_refused_with_its_line_and_what_is_expected() {
        let message = refused("[reading]\ndate_order = \"us\"\n");
        assert!(message.contains("line 2 (\"date_order = \\\"us\\\"\")"), "{message}");
        assert!(message.contains("month-first"), "{message}");
    }

    #[test]
    fn a_broken_file_is_refused_with_its_line() {
        let message = refused("[site\nname = 1\n");
        assert!(message.contains("line 1"), "{message}");
    }
}
