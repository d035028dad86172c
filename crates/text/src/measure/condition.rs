//! Conditions told inside a cell: "at 1 min", "@ 22 °C", "at 500 V".

use super::scan;
use windrow_model::Dimension;

/// A condition of one value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Condition {
    /// Time since voltage was applied, s.
    ElapsedS(f64),
    /// Winding temperature, °C.
    TemperatureC(f64),
    /// Applied voltage, V.
    VoltageV(f64),
}

const LEADS: &[&str] = &["at", "@", "after", "bei", "nach", "à", "a", "après", "apres", "tras", "in", "en"];

/// Reads `text` as conditions, each led by a word such as "at"; `None` if anything else stands there.
pub(super) fn read(text: &str) -> Option<Vec<Condition>> {
    let spaced = text.replace('@', " @ ").replace(',', " ");
    let words: Vec<&str> = spaced.split_whitespace().collect();
    let mut conditions = Vec::new();
    let mut index = 0;
    while index < words.len() {
        if !LEADS.contains(&words.get(index)?.to_lowercase().as_str()) {
            return None;
        }
        let end = (index + 1..words.len())
            .find(|at| LEADS.contains(&words[*at].to_lowercase().as_str()))
            .unwrap_or(words.len());
        conditions.push(one(&words.get(index + 1..end)?.join(" "))?);
        index = end;
    }
    (!conditions.is_empty()).then_some(conditions)
}

fn one(text: &str) -> Option<Condition> {
    let measure = scan::number_and_unit(text)?;
    let number = measure.numbers.first()?.value;
    let unit = measure
        .units
        .iter()
        .find(|unit| matches!(unit.unit.dimension, Dimension::Time | Dimension::Temperature | Dimension::Voltage))?;
    let stored = unit.unit.to_stored(number);
    match unit.unit.dimension {
        Dimension::Time => Some(Condition::ElapsedS(stored)),
        Dimension::Temperature => Some(Condition::TemperatureC(stored)),
        Dimension::Voltage => Some(Condition::VoltageV(stored)),
        _ => None,
    }
}
