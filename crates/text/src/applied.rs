//! How a text says that a voltage was applied: alternating or direct, and whether it was raised steadily (`data/words.csv`).

use crate::fold::fold;
use crate::marks::is_kind;

/// Letters from which on the beginning of a word is enough ("Wechselspannungsprüfung").
const COMPOUND: usize = 6;
/// Words that may stand between "AC" and the machine, and between the machine and "courant alternatif".
const BETWEEN: usize = 3;

/// Whether a voltage alternates.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Supply {
    /// Alternating.
    Alternating,
    /// Direct.
    Direct,
}

/// Whether a text has a word for where a voltage that is raised begins ("start voltage", "from 2 kV").
#[must_use]
pub fn tells_begin(text: &str) -> bool {
    fold(text).split(' ').any(|word| is_kind(word, "begin"))
}

/// The kind of voltage that a text names; `None` if it names none, or both. What a machine runs on is not what it was tested with.
///
/// ```
/// use windrow_text::applied::{Supply, supply};
/// assert_eq!(supply("AC withstand, 2 kV"), Some(Supply::Alternating));
/// assert_eq!(supply("AC motor, leakage at 5 kV"), None);
/// assert_eq!(supply("AC motor, DC withstand"), Some(Supply::Direct));
/// ```
#[must_use]
pub fn supply(text: &str) -> Option<Supply> {
    let clauses: Vec<String> =
        text.split([',', ';', '(', ')', '\n']).map(|clause| fold(&abbreviated(clause))).collect();
    let says = |kind: &str| {
        clauses.iter().any(|clause| {
            let words: Vec<&str> = clause.split(' ').collect();
            words.iter().enumerate().any(|(at, word)| is_listed(word, kind) && !is_of_machine(&words, at))
        })
    };
    match (says("alternating"), says("direct")) {
        (true, false) => Some(Supply::Alternating),
        (false, true) => Some(Supply::Direct),
        _ => None,
    }
}

/// Whether a text says that a voltage was raised steadily, and not in steps.
#[must_use]
pub fn is_ramp(text: &str) -> bool {
    let folded = fold(text);
    let says = |kind: &str| folded.split(' ').any(|word| is_listed(word, kind) || ends(word, kind));
    says("ramp") && !says("step")
}

/// A text with "A.C." as one word, as which "A-C" is not read: those are two phases.
fn abbreviated(text: &str) -> String {
    let mut text = text.to_uppercase();
    for (written, word) in [("A.C.", "AC "), ("D.C.", "DC "), ("C.A.", "CA "), ("C.C.", "CC ")] {
        text = text.replace(written, word);
    }
    text
}

/// Whether a word, or the beginning of a long one, is listed as `kind`.
fn is_listed(word: &str, kind: &str) -> bool {
    let mut ends = word.char_indices().map(|(at, _)| at).chain([word.len()]).filter(|end| *end >= COMPOUND);
    is_kind(word, kind) || ends.any(|end| word.get(..end).is_some_and(|start| is_kind(start, kind)))
}

/// Whether a word ends with one that is listed as `kind` ("Spannungsrampe").
fn ends(word: &str, kind: &str) -> bool {
    word.char_indices().any(|(at, _)| word.get(at..).is_some_and(|end| end.len() > 4 && is_kind(end, kind)))
}

/// Whether the word at `at` says what a machine runs on: "AC induction motor", "moteur à courant alternatif", "motor CA".
fn is_of_machine(words: &[&str], at: usize) -> bool {
    let is_machine = |word: &&&str| is_kind(word, "machine") || is_kind(word, "machine_noun");
    let behind = words.get(at + 1..).unwrap_or_default();
    let sorts = behind.iter().take(BETWEEN).take_while(|word| is_kind(word, "machine_sort")).count();
    if behind.get(sorts).as_ref().is_some_and(is_machine) {
        return true;
    }
    let before = words.get(..at).unwrap_or_default();
    let runs_on_current = before.last().is_some_and(|word| is_kind(word, "current"));
    if runs_on_current {
        return before.iter().rev().skip(1).take(BETWEEN).any(|word| is_machine(&word));
    }
    behind.is_empty() && before.last().as_ref().is_some_and(is_machine)
}

#[cfg(test)]
mod tests {
    use super::{Supply, is_ramp, supply};

    /// Common practice in titles, no source.
    #[test]
    fn a_title_tells_the_voltage_of_the_test_and_not_of_the_machine() {
        for text in [
            "AC withstand",
            "A.C. high potential test 2 kV",
            "Wechselspannungsprüfung",
            "Essai diélectrique en courant alternatif",
            "Prueba con tensión alterna, motor 7",
            "DC motor 7, AC hipot",
            "Hipot 2 kV AC, motor 7",
            "Hipot 2 kV AC (pump)",
            "AC withstand of motor 7",
            "PUMP MOTOR AC HIPOT",
        ] {
            assert_eq!(supply(text), Some(Supply::Alternating), "{text}");
        }
        for text in ["DC withstand", "AC motor: DC hipot", "Gleichspannung 10 kV", "3 ph AC induction motor, 5 kV DC"] {
            assert_eq!(supply(text), Some(Supply::Direct), "{text}");
        }
        for text in [
            "AC MOTOR LEAKAGE TEST",
            "A.C. motor records",
            "480 VAC motor",
            "AC squirrel cage induction motor",
            "Moteur à courant alternatif",
            "Motor de corriente alterna",
            "Ensayo motor CA",
            "AC and DC withstand",
            "Winding resistance A-C",
            "Leakage current",
        ] {
            assert_eq!(supply(text), None, "{text}");
        }
    }

    #[test]
    fn a_ramp_is_no_staircase() {
        for text in
            ["DC ramp test", "RAMPA DE TENSION CC 1 KV/MIN", "Spannungsrampe", "Essai en rampe", "ramped voltage"]
        {
            assert!(is_ramp(text), "{text}");
        }
        for text in ["DC step test", "Ramp to 2 kV, then steps", "Rampart pump", "tramp metal", ""] {
            assert!(!is_ramp(text), "{text}");
        }
    }
}
