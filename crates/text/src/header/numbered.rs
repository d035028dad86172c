//! "R 1-2", "R2–3": a resistance between numbered terminals, and no time.

use super::Label;
use crate::circuit;
use crate::vocabulary::Concept;
use regex::Regex;
use std::sync::LazyLock;

static NUMBERED: LazyLock<Option<Regex>> = LazyLock::new(|| Regex::new(r"\bR\s?([123])\s?[-–/]\s?R?([123])\b").ok());

/// Cuts out a resistance between two of the terminals 1, 2 and 3; returns what is left.
pub(super) fn terminals(text: &str, label: &mut Label) -> String {
    let Some(found) = NUMBERED.as_ref().and_then(|regex| regex.captures(text)) else { return text.to_owned() };
    let (Some(whole), Some(one), Some(other)) = (found.get(0), found.get(1), found.get(2)) else {
        return text.to_owned();
    };
    if one.as_str() == other.as_str() {
        return text.to_owned();
    }
    label.circuits = circuit::read(&format!("{}-{}", one.as_str(), other.as_str()));
    label.concepts.push((Concept::Resistance, 0.8));
    let (before, behind) = (text.get(..whole.start()), text.get(whole.end()..));
    format!("{} {}", before.unwrap_or_default(), behind.unwrap_or_default())
}

#[cfg(test)]
mod tests {
    use crate::header::read;
    use crate::vocabulary::Concept;

    #[test]
    fn numbers_of_terminals_are_no_times() {
        for text in ["R 1-2", "R1-2 (Ω)", "R 2–3", "R3-R1 mΩ"] {
            let label = read(text);
            assert_eq!((label.elapsed_s, label.concept()), (None, Some(Concept::Resistance)), "{text}");
            assert_eq!(label.circuits.len(), 1, "{text}");
        }
        assert_eq!(read("R1 (MΩ)").elapsed_s, Some(60.0));
        assert_eq!(read("R10/R1").concept(), Some(Concept::PolarizationIndex));
    }
}
