//! Data styles, turned into the format codes of spreadsheets.

use std::io::BufRead;

use windrow_source::ReadError;

use crate::xml::{Item, Tag, Xml};

/// A data style.
#[derive(Debug, Clone, Default)]
pub(crate) struct DataStyle {
    /// Its own code; blank for general.
    code: String,
    /// Conditions, and the styles that stand in where they hold.
    maps: Vec<(String, String)>,
}

/// What the element of a data style says before its members.
#[derive(Debug, Clone, Default)]
pub(crate) struct Head {
    /// Name that cell styles use.
    pub(crate) name: String,
    /// Hours, minutes or seconds may go beyond their clock.
    elapses: bool,
    /// Literals such as `/` and `.` stand as they are.
    is_moment: bool,
}

impl Head {
    /// The head, if `tag` opens a data style.
    pub(crate) fn of(tag: &Tag<'_>) -> Result<Option<Self>, ReadError> {
        let is_moment = match tag.name() {
            "date-style" | "time-style" => true,
            "number-style" | "percentage-style" | "currency-style" | "text-style" | "boolean-style" => false,
            _ => return Ok(None),
        };
        let name = tag.attribute("name")?.unwrap_or_default().into_owned();
        let elapses = tag.attribute("truncate-on-overflow")?.is_some_and(|value| value == "false");
        Ok(Some(Self { name, elapses, is_moment }))
    }
}

/// Reads the members of the data style just opened.
pub(crate) fn read<R: BufRead>(xml: &mut Xml<R>, mut head: Head) -> Result<DataStyle, ReadError> {
    let mut style = DataStyle::default();
    loop {
        match xml.next()? {
            Item::Open(tag) => match tag.name() {
                "text" => {
                    let mut text = String::new();
                    xml.text_into(&mut text, MEMBER)?;
                    literal(&mut style.code, &text, head.is_moment);
                }
                "currency-symbol" => {
                    let mut text = String::new();
                    xml.text_into(&mut text, MEMBER)?;
                    literal(&mut style.code, &text, false);
                }
                "map" => {
                    style.maps.extend(map(&tag)?);
                    xml.skip()?;
                }
                _ => {
                    member(&mut style.code, &tag, &mut head)?;
                    xml.skip()?;
                }
            },
            Item::Close | Item::End => return Ok(style),
            Item::Text(_) | Item::Aside => {}
        }
    }
}

/// Bytes of a literal.
const MEMBER: usize = 4_096;

/// Appends a literal: as it stands where it has no other meaning, else in quotes.
fn literal(code: &mut String, text: &str, is_moment: bool) {
    let stands =
        |c: char| matches!(c, ' ' | '-' | '(' | ')' | '%') || (is_moment && matches!(c, '/' | '.' | ':' | ','));
    if text.chars().all(stands) {
        code.push_str(text);
        return;
    }
    // Quotes cannot hold a quote; it is escaped between two quoted parts.
    for (index, part) in text.split('"').enumerate() {
        if index > 0 {
            code.push_str("\\\"");
        }
        if !part.is_empty() {
            code.push('"');
            code.push_str(part);
            code.push('"');
        }
    }
}

fn map(tag: &Tag<'_>) -> Result<Option<(String, String)>, ReadError> {
    let (condition, name) = (tag.attribute("condition")?, tag.attribute("apply-style-name")?);
    Ok(condition.zip(name).and_then(|(condition, name)| {
        let condition = condition.trim().strip_prefix("value()")?.trim().replace("!=", "<>");
        Some((condition, name.into_owned()))
    }))
}

/// Appends what a member of a data style shows.
fn member(code: &mut String, tag: &Tag<'_>, head: &mut Head) -> Result<(), ReadError> {
    let is =
        |name: &str, wanted: &str| Ok::<bool, ReadError>(tag.attribute(name)?.is_some_and(|value| value == wanted));
    let pick =
        |long: &'static str, short: &'static str| Ok::<_, ReadError>(if is("style", "long")? { long } else { short });
    let plain = match tag.name() {
        "number" => number(tag)?,
        "scientific-number" => format!("{}E+00", digits(tag)?.unwrap_or_else(|| "0".to_owned())),
        "fraction" => "# ?/?".to_owned(),
        "text-content" => "@".to_owned(),
        "day" => pick("dd", "d")?.to_owned(),
        "day-of-week" => pick("dddd", "ddd")?.to_owned(),
        "month" if is("textual", "true")? => pick("mmmm", "mmm")?.to_owned(),
        "year" => pick("yyyy", "yy")?.to_owned(),
        "hours" => pick("hh", "h")?.to_owned(),
        "month" | "minutes" => pick("mm", "m")?.to_owned(),
        "seconds" => match places(tag, "decimal-places")?.filter(|places| *places > 0) {
            Some(places) => format!("{}.{}", pick("ss", "s")?, "0".repeat(places)),
            None => pick("ss", "s")?.to_owned(),
        },
        "am-pm" => "AM/PM".to_owned(),
        _ => return Ok(()),
    };
    if head.elapses && matches!(tag.name(), "hours" | "minutes" | "seconds") {
        // Only the largest unit can go beyond its clock.
        head.elapses = false;
        code.extend(["[", &plain, "]"]);
    } else {
        code.push_str(&plain);
    }
    Ok(())
}

fn number(tag: &Tag<'_>) -> Result<String, ReadError> {
    let Some(mut code) = digits(tag)? else { return Ok("General".to_owned()) };
    let factor: f64 = tag.attribute("display-factor")?.and_then(|value| value.parse().ok()).unwrap_or(1.0);
    if factor >= 1_000.0 {
        code.push_str(if factor >= 1_000_000.0 { ",," } else { "," });
    }
    Ok(code)
}

/// Digit places of a number; `None` where as many decimals are shown as there are.
fn digits(tag: &Tag<'_>) -> Result<Option<String>, ReadError> {
    let Some(most) = places(tag, "decimal-places")? else { return Ok(None) };
    let least = places(tag, "min-decimal-places")?.unwrap_or(most).min(most);
    let whole = places(tag, "min-integer-digits")?.unwrap_or(1);
    let mut code = match (tag.attribute("grouping")?.as_deref(), whole) {
        (Some("true"), 0..=1) => "#,##0".to_owned(),
        (_, 0) => "#".to_owned(),
        (_, whole) => "0".repeat(whole),
    };
    if most > 0 {
        code.push('.');
        code.push_str(&"0".repeat(least));
        code.push_str(&"#".repeat(most - least));
    }
    Ok(Some(code))
}

/// A count of places, at most as many as programs show.
fn places(tag: &Tag<'_>, name: &str) -> Result<Option<usize>, ReadError> {
    Ok(tag.attribute(name)?.and_then(|value| value.parse::<usize>().ok()).map(|places| places.min(30)))
}

impl DataStyle {
    /// The code with its conditional sections, the styles for which `find` finds; `None` for general.
    pub(crate) fn code<'s>(&'s self, find: impl Fn(&str) -> Option<&'s Self>) -> Option<String> {
        let mut sections: Vec<String> = Vec::new();
        for (condition, name) in self.maps.iter().take(2) {
            if let Some(other) = find(name) {
                sections.push(format!("[{condition}]{}", other.code));
            }
        }
        sections.push(self.code.clone());
        Some(sections.join(";")).filter(|code| !code.is_empty())
    }
}
