//! Numbers, units and dates as people read them: MΩ, kV, µA; the store keeps SI.

use windrow_model::{Bound, Reading, Test, Unit};

/// Units in which a page shows temperatures and powers; stored values and the electrical units are the same in both.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Units {
    /// °C and kW.
    #[default]
    Metric,
    /// °F and horsepower.
    Us,
}

/// A temperature, °C as stored.
#[must_use]
pub fn temperature(celsius: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{}\u{a0}°C", number(celsius)),
        Units::Us => format!("{}\u{a0}°F", number(Unit::FAHRENHEIT.from_stored(celsius))),
    }
}

/// A rated power, W as stored.
#[must_use]
pub fn power(watts: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{}\u{a0}kW", number(Unit::KILOWATT.from_stored(watts))),
        Units::Us => format!("{}\u{a0}hp", number(Unit::HORSEPOWER.from_stored(watts))),
    }
}

/// Display unit of a stored unit at this magnitude: factor and symbol.
fn display_unit(ucum: &str, quantity: &str, magnitude: f64) -> (f64, &'static str) {
    match (ucum, quantity) {
        ("Ohm", "winding_resistance") if magnitude < 0.1 => (1e3, "mΩ"),
        ("Ohm", "winding_resistance") => (1.0, "Ω"),
        // A dead short is told in ohms: 0.0002 MΩ is hard to read.
        ("Ohm", _) if magnitude > 0.0 && magnitude < 1000.0 => (1.0, "Ω"),
        ("Ohm", _) => (1e-6, "MΩ"),
        ("A", _) => (1e6, "µA"),
        ("V", _) if magnitude >= 1000.0 => (1e-3, "kV"),
        ("V", _) => (1.0, "V"),
        ("F", _) => (1e9, "nF"),
        ("C", _) => (1e12, "pC"),
        ("H", _) => (1e3, "mH"),
        ("s", _) => (1.0, "s"),
        ("Cel", _) => (1.0, "°C"),
        ("1", "unbalance" | "surge_difference") => (1e2, "%"),
        _ => (1.0, ""),
    }
}

/// Factor and symbol of the one unit in which an axis shows a quantity.
pub(crate) fn axis_unit(ucum: &str, quantity: &str) -> (f64, &'static str) {
    const USUAL_V: f64 = 1000.0;
    display_unit(ucum, quantity, USUAL_V)
}

/// `value` to four significant digits, thousands apart by a narrow no-break blank.
#[must_use]
pub fn number(value: f64) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    if !value.is_finite() {
        return "not a number".to_owned();
    }
    let magnitude = value.abs().log10().floor();
    if !(-4.0..12.0).contains(&magnitude) {
        return format!("{value:.3e}");
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between 0 and 8 by the range above")]
    let decimals = (3.0 - magnitude).max(0.0) as usize;
    let text = format!("{value:.decimals$}");
    let text = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    grouped(text)
}

fn grouped(text: &str) -> String {
    let (whole, rest) = text.split_once('.').map_or((text, ""), |(whole, rest)| (whole, rest));
    let (sign, digits) = whole.strip_prefix('-').map_or(("", whole), |digits| ("−", digits));
    let mut out = String::from(sign);
    for (index, digit) in digits.chars().enumerate() {
        if index > 0 && digits.len() > 4 && (digits.len() - index).is_multiple_of(3) {
            out.push('\u{202f}');
        }
        out.push(digit);
    }
    if !rest.is_empty() {
        out.push('.');
        out.push_str(rest);
    }
    out
}

/// A stored value with its display unit.
#[must_use]
pub fn with_unit(value: f64, ucum: &str, quantity: &str) -> String {
    let (factor, symbol) = display_unit(ucum, quantity, value.abs());
    let number = number(value * factor);
    if symbol.is_empty() { number } else { format!("{number}\u{a0}{symbol}") }
}

/// Sign of a bound: `≥`, `≤` or nothing.
#[must_use]
pub fn bound_sign(code: &str) -> &'static str {
    match Bound::from_code(code) {
        Some(Bound::AtLeast) => "≥\u{a0}",
        Some(Bound::AtMost) => "≤\u{a0}",
        _ => "",
    }
}

/// A reading's value with bound and unit.
#[must_use]
pub fn reading(reading: &Reading) -> String {
    format!("{}{}", bound_sign(&reading.bound), with_unit(reading.value, &reading.unit, &reading.quantity))
}

/// A reading's value at the reference temperature, if it has one.
///
/// Where the records leave the law open, both ends of the bracket stand for it.
#[must_use]
pub fn reading_at_reference(reading: &Reading, units: Units) -> Option<String> {
    if let (None, Some(low), Some(high)) = (reading.value_ref, reading.value_ref_low, reading.value_ref_high) {
        let of = |value: f64| with_unit(value, &reading.unit, &reading.quantity);
        let sign = bound_sign(&reading.bound);
        return Some(format!("{sign}{} or {sign}{}, by an insulation system not told", of(low), of(high)));
    }
    let (value, reference) = (reading.value_ref?, reading.reference_c?);
    let value = with_unit(value, &reading.unit, &reading.quantity);
    Some(format!("{}{value} at {}", bound_sign(&reading.bound), temperature(reference, units)))
}

/// A test's date, as precise as it is known.
#[must_use]
pub fn date(test: &Test) -> String {
    partial_date(test.performed_on, &test.performed_precision)
}

/// A date with its precision code.
#[must_use]
pub fn partial_date(date: Option<jiff::civil::Date>, precision: &str) -> String {
    match (date, precision) {
        (Some(date), "year") => format!("{}", date.year()),
        (Some(date), "quarter") => format!("{} Q{}", date.year(), (date.month() + 2) / 3),
        (Some(date), "month") => format!("{}-{:02}", date.year(), date.month()),
        (Some(date), _) => date.to_string(),
        (None, _) => "date not known".to_owned(),
    }
}

/// A code of the schema in words: `insulation_resistance` → `insulation resistance`, `dc_step` → `DC step`.
#[must_use]
pub fn words(code: &str) -> String {
    match code.split_once('_') {
        Some((short @ ("ac" | "dc" | "pd"), rest)) => format!("{} {}", short.to_uppercase(), rest.replace('_', " ")),
        _ => code.replace('_', " "),
    }
}

/// Elapsed time as people write it.
#[must_use]
pub fn elapsed(seconds: f64) -> String {
    if seconds >= 60.0 && (seconds / 60.0).fract() == 0.0 {
        format!("{}\u{a0}min", number(seconds / 60.0))
    } else {
        format!("{}\u{a0}s", number(seconds))
    }
}

#[cfg(test)]
mod tests {
    use super::{Units, elapsed, number, power, temperature, with_unit, words};

    /// Freezing and boiling of water in both scales; a horsepower is 745.699872 W by definition (550 ft·lbf/s), so 100 hp are 74.57 kW.
    #[test]
    fn temperatures_and_powers_follow_the_units_of_the_reader() {
        assert_eq!(temperature(100.0, Units::Us), "212\u{a0}°F");
        assert_eq!(temperature(0.0, Units::Us), "32\u{a0}°F");
        assert_eq!(temperature(40.0, Units::Metric), "40\u{a0}°C");
        assert_eq!(power(74_570.0, Units::Us), "100\u{a0}hp");
        assert_eq!(power(74_570.0, Units::Metric), "74.57\u{a0}kW");
    }

    #[test]
    fn codes_are_words_and_short_forms_are_capitals() {
        assert_eq!(words("insulation_resistance"), "insulation resistance");
        assert_eq!(
            (words("dc_step"), words("pd_inception_voltage")),
            ("DC step".into(), "PD inception voltage".into())
        );
    }

    #[test]
    fn numbers_keep_four_digits_and_no_false_ones() {
        assert_eq!(number(53.033_008_59), "53.03");
        assert_eq!(number(2000.0), "2000");
        assert_eq!(number(45_600.0), "45\u{202f}600");
        assert_eq!(number(0.0023), "0.0023");
        assert_eq!(number(-1.5), "−1.5");
    }

    #[test]
    fn units_are_those_of_the_trade() {
        assert_eq!(with_unit(4.56e10, "Ohm", "insulation_resistance"), "45\u{202f}600\u{a0}MΩ");
        assert_eq!(with_unit(220.0, "Ohm", "insulation_resistance"), "220\u{a0}Ω");
        assert_eq!(with_unit(0.0, "Ohm", "insulation_resistance"), "0\u{a0}MΩ");
        assert_eq!(with_unit(0.0537, "Ohm", "winding_resistance"), "53.7\u{a0}mΩ");
        assert_eq!(with_unit(3.1e-7, "A", "leakage_current"), "0.31\u{a0}µA");
        assert_eq!(with_unit(6600.0, "V", "voltage"), "6.6\u{a0}kV");
        assert_eq!(elapsed(600.0), "10\u{a0}min");
        assert_eq!(elapsed(30.0), "30\u{a0}s");
    }
}
