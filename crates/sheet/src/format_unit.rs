//! The unit that a number format shows behind a number, and the scale it shows the number at.

use windrow_source::number_format;

/// What a format code tells beside the digits.
#[derive(Debug, Clone, PartialEq)]
pub struct Shown {
    /// Literal text behind the digits, such as `MΩ`; empty if none.
    pub unit_text: String,
    /// Divisor of the stored number: 1000 for each trailing comma.
    pub divisor: f64,
    /// Whether it is shown in percent.
    pub percent: bool,
}

/// Reads the section of `code` that applies to `value`.
#[must_use]
pub fn read(code: &str, value: f64) -> Shown {
    let section = number_format::section(code, value);
    let mut shown = Shown { unit_text: String::new(), divisor: 1.0, percent: false };
    let mut digits_seen = false;
    let mut commas = 0;
    let mut chars = section.chars();
    while let Some(c) = chars.next() {
        match c {
            '"' => literal(&mut shown, digits_seen, &chars.by_ref().take_while(|c| *c != '"').collect::<String>()),
            '\\' => literal(&mut shown, digits_seen, &chars.next().map(String::from).unwrap_or_default()),
            '_' | '*' => {
                chars.next();
            }
            '[' => {
                let inside: String = chars.by_ref().take_while(|c| *c != ']').collect();
                if let Some(currency) = inside.strip_prefix('$') {
                    literal(&mut shown, digits_seen, currency.split('-').next().unwrap_or_default());
                }
            }
            '0' | '#' | '?' => {
                digits_seen = true;
                commas = 0;
            }
            ',' if digits_seen => commas += 1,
            '%' => shown.percent = true,
            'G' if section.to_ascii_lowercase().contains("general") && !digits_seen => {
                digits_seen = true;
                chars.by_ref().take(6).for_each(drop);
            }
            '.' | ';' | '/' | '(' | ')' | '+' | '-' | ',' => {}
            other => literal(&mut shown, digits_seen, other.encode_utf8(&mut [0; 4])),
        }
    }
    shown.divisor = 1000_f64.powi(commas);
    shown.unit_text = shown.unit_text.trim().to_owned();
    shown
}

fn literal(shown: &mut Shown, digits_seen: bool, text: &str) {
    if digits_seen {
        shown.unit_text.push_str(text);
    }
}

#[cfg(test)]
mod tests {
    use super::read;

    /// Format codes after ECMA-376 part 1, 18.8.31.
    #[test]
    fn units_and_scales_of_formats() {
        for (code, unit, divisor) in [
            ("0.00\" GΩ\"", "GΩ", 1.0),
            ("#,##0,\" MΩ\"", "MΩ", 1000.0),
            ("#,##0\" kΩ\"", "kΩ", 1.0),
            ("General\" MΩ\"", "MΩ", 1.0),
            ("0.0 [$GΩ]", "GΩ", 1.0),
            ("0.0\\M\\Ω", "MΩ", 1.0),
            ("0.00", "", 1.0),
            ("[Blue]0.0 \"MΩ\"", "MΩ", 1.0),
        ] {
            let shown = read(code, 5.0);
            assert_eq!((shown.unit_text.as_str(), shown.divisor), (unit, divisor), "{code}");
        }
        assert!(read("0.0%", 0.1).percent);
    }
}
