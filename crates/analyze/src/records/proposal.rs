//! Proposed rulings: entries for `decisions.toml`, to be read, corrected and put there by a person.

use crate::loaded::SheetName;
use std::fmt::Write;
use windrow_model::Question;

/// Entries shown for one finding; a person who agrees with them writes the others alike.
const MOST_ENTRIES: usize = 24;

/// An entry: the answer to `question` about `cells` (all of the sheet if `None`).
pub(crate) fn entry(question: Question, answer: &str, sheet: &SheetName, cells: Option<&str>) -> String {
    let mut entry = format!("[[decision]]\nquestion = {}\nanswer = {}\n", quoted(question.code()), quoted(answer));
    let _ = writeln!(entry, "file = {}", quoted(&sheet.0));
    if let Some(name) = &sheet.1 {
        let _ = writeln!(entry, "sheet = {}", quoted(name));
    }
    if let Some(cells) = cells {
        let _ = writeln!(entry, "cells = {}", quoted(cells));
    }
    entry
}

/// Several entries as one proposal; `None` if there is none.
pub(crate) fn entries(entries: impl IntoIterator<Item = String>) -> Option<String> {
    let all: Vec<String> = entries.into_iter().collect();
    let left_out = all.len().saturating_sub(MOST_ENTRIES);
    let mut text = all.into_iter().take(MOST_ENTRIES).collect::<Vec<_>>().join("\n");
    if left_out > 0 {
        let _ = write!(text, "\n# and {left_out} more cells, each with an entry like these");
    }
    (!text.is_empty()).then_some(text)
}

/// A basic string of TOML 1.0.
fn quoted(text: &str) -> String {
    let mut quoted = String::from('"');
    for letter in text.chars() {
        match letter {
            '"' | '\\' => quoted.extend(['\\', letter]),
            control if control.is_control() => {
                let _ = write!(quoted, "\\u{:04X}", u32::from(control));
            }
            plain => quoted.push(plain),
        }
    }
    quoted.push('"');
    quoted
}

#[cfg(test)]
mod tests {
    use super::{entries, entry};
    use windrow_model::{Decision, Question};

    #[derive(serde::Deserialize)]
    struct File {
        decision: Vec<Decision>,
    }

    #[test]
    fn a_proposal_is_read_back_as_the_rulings_that_it_means() {
        let sheet = ("east/log \"old\"\\1.xlsx".into(), Some("19\t98".into()));
        let all = [
            entry(Question::TemperatureUnit, "°F", &sheet, None),
            entry(Question::Unit, "GΩ", &("log.csv".into(), None), Some("C2:C9")),
        ];
        let file: File = toml::from_str(&entries(all).unwrap()).unwrap();
        assert_eq!(file.decision[0].file.as_deref(), Some("east/log \"old\"\\1.xlsx"));
        assert_eq!(file.decision[0].sheet.as_deref(), Some("19\t98"));
        assert_eq!(file.decision[1].cells.as_deref(), Some("C2:C9"));
        assert_eq!(file.decision[1].question, Question::Unit);
        assert_eq!(entries([]), None);
    }
}
