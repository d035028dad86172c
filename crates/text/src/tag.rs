//! Tags and serial numbers.

/// How much `text` looks like a plant tag (letters and digits, separators), 0 to 1. `"P-101A"` is high, `"Pump 102"`
/// middling, `"remarks"` 0.
#[must_use]
pub fn likeness(text: &str) -> f32 {
    let _ = text;
    0.0
}

/// How much `text` looks like a maker's serial number, 0 to 1.
#[must_use]
pub fn serial_likeness(text: &str) -> f32 {
    let _ = text;
    0.0
}

/// Folded form in which spellings of one tag meet: upper case, separators dropped, leading zeros of number groups dropped
/// (`"p.101-A"`, `"P 101A"`, `"P-0101A"` all give `P101A`). Slips of O/0 and I/1 are not folded here.
#[must_use]
pub fn fold(text: &str) -> String {
    let _ = text;
    String::new()
}
