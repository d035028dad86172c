//! "Ω at 21 °C": a unit and how warm the winding was, which say nothing of a temperature in the cells beside.

use crate::unit;
use windrow_model::Dimension;

/// Words between the unit and the degrees.
const AT: [&str; 8] = ["a", "à", "at", "bei", "@", "to", "zu", "con"];

/// Temperatures that values are corrected to, °C. Common practice, no source.
const REFERENCES: [f64; 4] = [20.0, 25.0, 40.0, 75.0];

/// The unit of a winding's resistance and the degrees Celsius of a text that tells these and nothing else.
///
/// ```
/// use windrow_text::header::unit_at_degrees;
/// assert_eq!(unit_at_degrees("mΩ bei 18 °C"), Some(("mΩ", 18.0)));
/// assert_eq!(unit_at_degrees("Winding at 18 °C"), None);
/// assert_eq!(unit_at_degrees("R a 40 °C"), None);
/// assert_eq!(unit_at_degrees("MΩ at 40 °C"), None);
/// ```
#[must_use]
pub fn unit_at_degrees(text: &str) -> Option<(&str, f64)> {
    let (unit, rest) = text.trim().split_once(' ')?;
    let (word, degrees) = rest.trim_start().split_once(' ')?;
    let lower = degrees.trim().to_lowercase();
    let number = ["°c", "ºc", "° c", "º c"].iter().find_map(|sign| lower.strip_suffix(sign))?;
    let celsius: f64 = number.trim().replace(',', ".").parse().ok()?;
    let bare = unit.trim_matches(['(', ')', '[', ']', ',']);
    let best = unit::read(bare, Some(Dimension::Resistance)).into_iter().next()?;
    // "R a 40 °C" is what was corrected to forty degrees.
    let is_sign = bare.contains(['Ω', '\u{2126}']) || bare.to_lowercase().contains("ohm");
    // "MΩ at 40 °C" is what was corrected, and "Ω at 20 °C" may be.
    let is_of_conductor = best.unit.factor <= 1.0 && !REFERENCES.contains(&celsius);
    let is_unit = is_sign && is_of_conductor && best.unit.dimension == Dimension::Resistance && best.weight >= 0.8;
    (is_unit && AT.contains(&word)).then_some((bare, celsius))
}
