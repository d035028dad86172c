//! Labels as sums of components: circuit, time, voltage, unit and reference temperature are cut out, the rest names a concept.

use crate::circuit::CircuitMeaning;
use crate::marks::Statistic;
use crate::unit::UnitMeaning;
use crate::vocabulary::Concept;

/// What a label says, component by component.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Label {
    /// Concepts of the words left over, best first, with weights 0 to 1. The last noun decides ("winding temp unit").
    pub concepts: Vec<(Concept, f32)>,
    /// Unit told, best first (`"(MΩ)"`, `"in Megohms"`, `"kV"`).
    pub units: Vec<UnitMeaning>,
    /// Unit as written.
    pub unit_text: String,
    /// Circuit told.
    pub circuits: Vec<CircuitMeaning>,
    /// Time told, s (`"1 min"`, `"R60"`, `"10'"`).
    pub elapsed_s: Option<f64>,
    /// Voltage told, V (`"at 500 V DC"`, `"2.5 kV"`).
    pub voltage_v: Option<f64>,
    /// Reference temperature of a correction, °C (`"@40C"`, `"R25"`, `"bei 40 °C"`).
    pub reference_c: Option<f64>,
    /// Statistic told (`"mean"`, `"lowest"`, `"min. required"`).
    pub statistic: Option<Statistic>,
    /// Folded words that no component and no concept explains; a non-empty list forbids defaults.
    pub unexplained: Vec<String>,
}

/// Reads a label. An empty [`Label`] for a text that says nothing known (all its words are then `unexplained`).
#[must_use]
pub fn read(text: &str) -> Label {
    let _ = text;
    Label::default()
}
