//! Numbers in the units that people write.

/// Prefixes by their decade.
const PREFIXES: [(f64, &str); 7] =
    [(1e12, "T"), (1e9, "G"), (1e6, "M"), (1e3, "k"), (1.0, ""), (1e-3, "m"), (1e-6, "µ")];

/// A value with its unit: ohms, volts and amperes with a prefix, others as they are.
pub(super) fn with_unit(value: f64, unit: &str) -> String {
    let symbol = match unit {
        "Ohm" => "Ω",
        "V" | "A" => unit,
        "Cel" => return format!("{} °C", plain(value)),
        "1" | "" => return plain(value),
        other => return format!("{} {other}", plain(value)),
    };
    let (scale, prefix) = PREFIXES.into_iter().find(|(scale, _)| value.abs() >= *scale).unwrap_or((1.0, ""));
    format!("{} {prefix}{symbol}", plain(value / scale))
}

/// Four significant digits, without zeros that say nothing.
pub(super) fn plain(value: f64) -> String {
    if !value.is_finite() || value == 0.0 {
        return value.to_string();
    }
    let magnitude = value.abs();
    if !(1e-4..1e7).contains(&magnitude) {
        return format!("{value:.3e}");
    }
    #[expect(clippy::cast_possible_truncation, reason = "between −4 and 7")]
    let decades = magnitude.log10().floor() as i32;
    let decimals = usize::try_from(3 - decades).unwrap_or(0);
    let text = format!("{value:.decimals$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

#[cfg(test)]
mod tests {
    use super::{plain, with_unit};

    #[test]
    fn numbers_stand_in_the_units_that_people_write() {
        assert_eq!(with_unit(3.2e6, "Ohm"), "3.2 MΩ");
        assert_eq!(with_unit(2.5e-6, "A"), "2.5 µA");
        assert_eq!(with_unit(0.0, "V"), "0 V");
        assert_eq!(with_unit(0.0523, "1"), "0.0523");
        assert_eq!(with_unit(12.0, "K"), "12 K");
        assert_eq!((plain(123_456.0), plain(1e9)), ("123456".to_owned(), "1.000e9".to_owned()));
        assert_eq!(with_unit(f64::NAN, "Ohm"), "NaN Ω");
        assert_eq!(with_unit(f64::INFINITY, "Ohm"), "inf TΩ");
    }
}
