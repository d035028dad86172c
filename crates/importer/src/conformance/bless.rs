//! Goldens written again, with what is lost by it.

use super::case::{Case, cases_of};
use super::golden;
use crate::registry::Registry;
use serde_json::Value;
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

/// Whether goldens may lose something.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Loss {
    /// Then nothing is written.
    Refused,
    /// A person has looked at what is lost.
    Allowed,
}

/// What blessing one plugin did or would do.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Blessing {
    /// Goldens that changed or are new.
    pub changed: Vec<String>,
    /// Lines and fields that the goldens had and have no more.
    pub lost: Vec<String>,
    /// Whether they were written.
    pub is_written: bool,
}

/// Writes the goldens of a plugin again. Goldens that would lose lines or fields are not written, none of the plugin, unless that is
/// allowed.
///
/// # Errors
/// In a sentence: what cannot be read or written.
pub fn bless(plugin: &Path, registry: &Registry, loss: Loss) -> Result<Blessing, String> {
    let cases = cases_of(plugin)?;
    let mut blessing = Blessing::default();
    let mut files = Vec::new();
    for case in cases.iter().filter(|case| golden::has_one(case)) {
        let (before, now) = (fs::read_to_string(case.golden()).unwrap_or_default(), golden::of(case, registry));
        if before != now {
            blessing.changed.push(case.name());
            blessing.lost.extend(lost(case, &before, &now));
            files.push((case.golden(), now));
        }
    }
    if blessing.lost.is_empty() || loss == Loss::Allowed {
        for (path, text) in files {
            let folder = path.parent().unwrap_or(plugin);
            fs::create_dir_all(folder).map_err(|error| format!("{}: {error}", folder.display()))?;
            fs::write(&path, text).map_err(|error| format!("{}: {error}", path.display()))?;
        }
        blessing.is_written = true;
    }
    Ok(blessing)
}

/// Lines and fields of `before` that `now` has no more. A line is known again by what it is about; a value that changed is no loss.
fn lost(case: &Case, before: &str, now: &str) -> Vec<String> {
    let now: Vec<(String, BTreeSet<String>)> = now.lines().map(about).collect();
    let mut lost = Vec::new();
    for line in before.lines() {
        let (subject, fields) = about(line);
        match now.iter().find(|(other, _)| *other == subject) {
            None => lost.push(format!("{}: lost {line}", case.name())),
            Some((_, kept)) => {
                let gone: Vec<&str> = fields.difference(kept).map(String::as_str).collect();
                if !gone.is_empty() {
                    lost.push(format!("{}: {subject} lost {}", case.name(), gone.join(", ")));
                }
            }
        }
    }
    lost
}

/// What a line is about, and the paths of its fields.
fn about(line: &str) -> (String, BTreeSet<String>) {
    let value: Value = serde_json::from_str(line).unwrap_or_default();
    let mut fields = BTreeSet::new();
    paths(&value, "", &mut fields);
    let places = [
        "/sheet",
        "/at",
        "/test",
        "/of test",
        "/region/place",
        "/reading/place",
        "/derived/place",
        "/cell/place",
        "/hold/place",
    ];
    let known: Vec<String> = places
        .iter()
        .filter_map(|place| value.pointer(place).map(|found| format!("{} {found}", &place[1..])))
        .collect();
    let kind = value.as_object().and_then(|fields| fields.keys().next()).cloned().unwrap_or_default();
    (if known.is_empty() { format!("{kind} {value}") } else { known.join(" ") }, fields)
}

fn paths(value: &Value, path: &str, fields: &mut BTreeSet<String>) {
    if let Value::Object(object) = value {
        for (name, field) in object {
            paths(field, &format!("{path}/{name}"), fields);
        }
    } else {
        fields.insert(path.to_owned());
    }
}
