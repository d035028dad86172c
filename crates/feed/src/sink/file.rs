//! Batch files by a template of the site, as CSV, TSV or XML that another system imports.

use super::folder::Folder;
use super::{Machines, Rendered, Sink, Verdict, file_name};
use crate::config::{FOLDER, SinkConfig};
use crate::outbox::Stored;
use crate::setup::TEMPLATES;
use minijinja::value::ValueKind;
use minijinja::{AutoEscape, Environment, Output, State, UndefinedBehavior, Value, context, escape_formatter};
use serde_json::Value as Json;
use std::path::Path;
use windrow_export::guard;

/// Values between delimiters.
const SEPARATED: &str = "separated";

/// A folder of files by a template.
pub(super) struct File {
    folder: Folder,
    environment: Environment<'static>,
    template: String,
    ending: &'static str,
    machines: Value,
}

impl File {
    /// Reads and checks the template.
    pub(super) fn of(config: &SinkConfig, fleet: &Path, machines: &Machines) -> Result<Self, String> {
        let template = config.template.clone().unwrap_or_default();
        let path = fleet.join(FOLDER).join(TEMPLATES).join(&template);
        if template.contains(['/', '\\']) || template.starts_with('.') {
            return Err(format!(
                "the template {template:?} is no name of a file in {}",
                path.with_file_name("").display()
            ));
        }
        let (ending, escape) = form(&template)?;
        let text = std::fs::read_to_string(&path)
            .map_err(|error| format!("could not read the template {}: {error}", path.display()))?;
        let mut environment = Environment::new();
        environment.set_undefined_behavior(UndefinedBehavior::Strict);
        environment.set_keep_trailing_newline(true);
        // A line with nothing but a block leaves no empty line.
        environment.set_trim_blocks(true);
        environment.set_lstrip_blocks(true);
        environment.set_auto_escape_callback(move |_| escape);
        environment.set_formatter(print);
        // An error is told by `told`; a dump of the template and its records has no place in a log.
        environment.set_debug(false);
        environment.add_template_owned(template.clone(), text.clone()).map_err(|error| told(&error, &text))?;
        let machines = Value::from_serialize(machines);
        Ok(Self { folder: Folder::of(config, fleet), environment, template, ending, machines })
    }

    fn text(&self, batch: &[Stored]) -> Result<String, String> {
        let events: Result<Vec<Json>, _> = batch.iter().map(|event| serde_json::from_str(&event.body)).collect();
        let events = events.map_err(|error| format!("an event of the outbox is no JSON: {error}"))?;
        let template = self.environment.get_template(&self.template).map_err(|error| told(&error, ""))?;
        let rendered = template.render(context! { events, assets => &self.machines });
        rendered.map_err(|error| told(&error, template.source()))
    }
}

/// Ending of the files of a template, and how printed values are escaped in them.
fn form(template: &str) -> Result<(&'static str, AutoEscape), String> {
    let ending = Path::new(template).extension().map(|ending| ending.to_string_lossy().to_lowercase());
    match ending.as_deref() {
        Some("csv") => Ok(("csv", AutoEscape::Custom(SEPARATED))),
        Some("tsv") => Ok(("tsv", AutoEscape::Custom(SEPARATED))),
        Some("xml") => Ok(("xml", AutoEscape::Html)),
        _ => Err(format!(
            "the template {template:?} ends in neither .csv, .tsv nor .xml: the ending says how texts of records are kept from running as \
             formulas or breaking out of their fields, so rename it to one of them"
        )),
    }
}

/// Prints a value so that no record can break out of its field; what is null prints nothing.
fn print(out: &mut Output<'_>, state: &State<'_, '_>, value: &Value) -> Result<(), minijinja::Error> {
    if value.is_none() {
        return Ok(());
    }
    match state.auto_escape() {
        AutoEscape::Custom(SEPARATED) => {
            let text = value.to_string();
            // Numbers are no formulas.
            let text = if value.kind() == ValueKind::Number { text } else { guard::guarded(&text).into_owned() };
            if text.contains(['"', ',', ';', '\n', '\r', '\t']) {
                out.write_str(&format!("\"{}\"", text.replace('"', "\"\"")))?;
            } else {
                out.write_str(&text)?;
            }
            Ok(())
        }
        AutoEscape::Html if value.kind() == ValueKind::String => {
            // Control characters of old records are in no XML 1.0 document.
            let allowed = |letter: &char| !letter.is_control() || matches!(letter, '\t' | '\n' | '\r');
            let text: String = value.to_string().chars().filter(allowed).collect();
            escape_formatter(out, state, &Value::from(text))
        }
        _ => escape_formatter(out, state, value),
    }
}

/// An error of the template `text`, with its name, its line and what stands there.
fn told(error: &minijinja::Error, text: &str) -> String {
    let line = error.line().map_or_else(String::new, |line| format!(", line {line}"));
    let place = error.range().and_then(|range| text.get(range)).filter(|place| !place.trim().is_empty());
    let place = place.map_or_else(String::new, |place| format!(", at {}", place.trim()));
    let detail = error.detail().map_or_else(String::new, |detail| format!(" ({detail})"));
    format!(
        "the template {}{line}{place}: {}{detail}; schema/events/ lists the fields of every event",
        error.name().unwrap_or_default(),
        error.kind()
    )
}

impl Sink for File {
    fn most(&self) -> usize {
        self.folder.most()
    }

    fn render(&self, batch: &[Stored]) -> Result<Rendered, String> {
        Ok(Rendered { name: file_name(batch, self.ending), body: self.text(batch)?.into_bytes() })
    }

    /// A template that fails is mended by a person; nothing is set aside for it.
    fn send(&mut self, batch: &[Stored]) -> Verdict {
        match self.render(batch) {
            Ok(rendered) => self.folder.put(&rendered),
            Err(why) => Verdict::Later(why, None),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::File;
    use crate::config::{SinkConfig, To};
    use crate::outbox::Stored;
    use crate::sink::{Machines, Sink};
    use std::path::{Path, PathBuf};

    fn sink(fleet: &Path, template: &str) -> Result<File, String> {
        let folder = fleet.join("feed/templates");
        std::fs::create_dir_all(&folder).unwrap();
        std::fs::write(folder.join(template), "{% for event in events %}{{ event.text }}{% endfor %}").unwrap();
        let config = SinkConfig {
            to: To::File,
            template: Some(template.to_owned()),
            ..SinkConfig::folder("s".to_owned(), PathBuf::from("out"))
        };
        File::of(&config, fleet, &Machines::new())
    }

    fn event(text: &str) -> Stored {
        let body = serde_json::json!({ "text": text }).to_string();
        Stored { position: 1, id: "id".to_owned(), asset: "M".to_owned(), kind: "test.due".to_owned(), body }
    }

    #[test]
    fn texts_are_guarded_and_escaped_whatever_the_case_of_the_ending() {
        let fleet = tempfile::tempdir().unwrap();
        for (template, text, printed, ending) in [
            ("a.csv", "=1+1", "'=1+1", ".csv"),
            ("a.CSV", "=1+1", "'=1+1", ".csv"),
            ("a.tsv", "=1+1", "'=1+1", ".tsv"),
            ("a.Tsv", "a\tb", "\"a\tb\"", ".tsv"),
            ("a.XML", "<a>", "&lt;a&gt;", ".xml"),
        ] {
            let rendered = sink(fleet.path(), template).unwrap().render(&[event(text)]).unwrap();
            assert_eq!(String::from_utf8(rendered.body).unwrap(), printed, "{template}");
            assert!(rendered.name.ends_with(ending), "{}", rendered.name);
        }
    }

    #[test]
    fn a_template_of_no_known_form_is_refused_with_the_reason() {
        let fleet = tempfile::tempdir().unwrap();
        for template in ["a.txt", "a.html", "csv"] {
            let why = sink(fleet.path(), template).err().unwrap();
            assert!(why.contains(template) && why.contains(".tsv") && why.contains("formulas"), "{why}");
        }
    }
}
