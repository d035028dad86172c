//! What a printed number can stand for: the interval of values that round or were cut to it.

/// Fewest digits that are taken as read: `2000` may be 2.00 thousand, but no coarser.
const FEWEST_DIGITS: usize = 3;
/// A floating sum of a handful of terms is not nearer than this.
const SLACK: f64 = 1e-9;

/// Lower and upper end of what a number can have been.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Span {
    pub(crate) low: f64,
    pub(crate) high: f64,
}

impl Span {
    /// Of a reading: half a unit of the last digit either way.
    pub(crate) fn of_reading(value: f64, raw_text: &str) -> Self {
        let unit = last_digit(value, raw_text);
        Self { low: value - unit / 2.0, high: value + unit / 2.0 }
    }

    /// Of a computed figure: rounded, or its further digits cut off.
    pub(crate) fn of_computed(value: f64, raw_text: &str) -> Self {
        let unit = last_digit(value, raw_text);
        Self { low: value - unit / 2.0, high: value + unit }
    }

    /// All quotients of two positive spans; `None` if the divisor can be zero.
    pub(crate) fn over(self, divisor: Self) -> Option<Self> {
        (divisor.low > 0.0 && self.low >= 0.0)
            .then(|| Self { low: self.low / divisor.high, high: self.high / divisor.low })
    }

    /// Whether both can stand for one number.
    pub(crate) fn meets(self, other: Self) -> bool {
        let slack = SLACK * (self.high.abs() + other.high.abs());
        self.low <= other.high + slack && other.low <= self.high + slack
    }
}

/// Size of one unit of the last digit printed, in the stored unit of the figure.
fn last_digit(value: f64, raw_text: &str) -> f64 {
    let number: String =
        raw_text.chars().skip_while(|c| !c.is_ascii_digit()).take_while(|c| is_of_number(*c)).collect();
    let fraction = number.contains(['.', ',']);
    let digits: String = number.chars().filter(char::is_ascii_digit).collect();
    let mut digits = digits.trim_start_matches('0').to_owned();
    if !fraction {
        while digits.len() > FEWEST_DIGITS && digits.ends_with('0') {
            digits.pop();
        }
    }
    let whole = digits.parse::<f64>().ok().filter(|whole| *whole > 0.0);
    // A text without digits of its own (a word, a ditto mark) tells no precision.
    whole.map_or(value.abs() * 1e-2, |whole| value.abs() / whole)
}

/// Digits of the first number in a text, without leading zeros: `"0.850 GΩ"` gives `850`, `">2 000"` gives `2000`. `None` for a text
/// without a digit but zero. A number written with an exponent gives the digits before it.
pub(crate) fn digits(raw_text: &str) -> Option<String> {
    let number = raw_text.chars().skip_while(|c| !c.is_ascii_digit()).take_while(|c| is_of_number(*c));
    let digits: String = number.filter(char::is_ascii_digit).collect();
    let digits = digits.trim_start_matches('0');
    (!digits.is_empty()).then(|| digits.to_owned())
}

/// The last digit that was read, and how many digits there are: zeros at the end of a whole number are taken for digits up to the third
/// only, for `14000` is 14.0 thousand on an instrument of three digits.
pub(crate) fn last_digit_read(raw_text: &str) -> Option<(u8, usize)> {
    let mut digits = digits(raw_text)?;
    if sure_digits(raw_text) < digits.len() {
        let kept = digits.trim_end_matches('0').len().max(FEWEST_DIGITS.min(digits.len()));
        digits.truncate(kept);
    }
    let last = digits.bytes().last()?;
    Some((last - b'0', digits.len()))
}

/// The first number of a text, where only one reading of its marks is possible: `"0.85 GΩ"`, `"2,5"`, `"1 450"`, not `"1.450"`.
pub(crate) fn number(raw_text: &str) -> Option<f64> {
    let number: String =
        raw_text.chars().skip_while(|c| !c.is_ascii_digit()).take_while(|c| is_of_number(*c)).collect();
    let plain: String = number.trim().chars().filter(|c| !c.is_whitespace() && *c != '\'').collect();
    let mut parts = plain.split(['.', ',']);
    let (whole, fraction, more) = (parts.next()?, parts.next(), parts.next());
    match (fraction, more) {
        (None, _) => whole.parse().ok(),
        (Some(fraction), None) if fraction.len() != 3 || whole == "0" => format!("{whole}.{fraction}").parse().ok(),
        _ => None,
    }
}

/// How many digits of the first number in a text surely say something: zeros at the end of a whole number need not.
pub(crate) fn sure_digits(raw_text: &str) -> usize {
    let number: String =
        raw_text.chars().skip_while(|c| !c.is_ascii_digit()).take_while(|c| is_of_number(*c)).collect();
    let Some(digits) = digits(raw_text) else { return 0 };
    if number.contains(['.', ',']) { digits.len() } else { digits.trim_end_matches('0').len() }
}

fn is_of_number(c: char) -> bool {
    c.is_ascii_digit() || matches!(c, '.' | ',' | '\'' | ' ' | '\u{a0}' | '\u{202f}')
}

#[cfg(test)]
mod tests {
    use super::Span;

    fn spans(late: (f64, &str), early: (f64, &str), printed: (f64, &str)) -> bool {
        let ratio = Span::of_reading(late.0, late.1).over(Span::of_reading(early.0, early.1));
        ratio.is_some_and(|ratio| ratio.meets(Span::of_computed(printed.0, printed.1)))
    }

    /// PI-10: 2510 over 800 MΩ is 3.1375.
    #[test]
    fn a_ratio_meets_what_was_rounded_or_cut_from_it() {
        for printed in [(3.1375, "3.1375"), (3.138, "3.138"), (3.13, "3,13"), (3.1, "3.1"), (3.0, "3")] {
            assert!(spans((2510e6, "2510"), (800e6, "800"), printed), "{printed:?}");
        }
        for printed in [(3.2, "3.2"), (3.16, "3.16"), (3.11, "3.11"), (0.3187, "0.3187"), (31.4, "31.4")] {
            assert!(!spans((2510e6, "2510"), (800e6, "800"), printed), "{printed:?}");
        }
    }

    #[test]
    fn zeros_at_the_end_of_a_whole_number_need_say_nothing() {
        for (text, all, sure) in
            [("0.850 GΩ", "850", 3), (">2 000 MΩ", "2000", 1), ("1450", "1450", 3), ("007", "7", 1), ("2,10", "210", 3)]
        {
            assert_eq!((super::digits(text).as_deref(), super::sure_digits(text)), (Some(all), sure), "{text}");
        }
        assert_eq!((super::digits("OL"), super::sure_digits("OL")), (None, 0));
        assert_eq!(super::digits("0"), None);
    }

    #[test]
    fn the_last_digit_read_is_the_third_where_zeros_follow_it() {
        for (text, last) in [
            ("14000", (0, 3)),
            ("17500", (5, 3)),
            ("6760", (6, 3)),
            ("1875", (5, 4)),
            ("2.50", (0, 3)),
            ("85", (5, 2)),
            ("20", (0, 2)),
        ] {
            assert_eq!(super::last_digit_read(text), Some(last), "{text}");
        }
        assert_eq!(super::last_digit_read("OL"), None);
    }

    #[test]
    fn a_number_is_told_only_where_its_marks_have_one_meaning() {
        for (text, number) in [
            ("0.85 GΩ", Some(0.85)),
            ("2,5", Some(2.5)),
            (">1 450", Some(1450.0)),
            ("1.450", None),
            ("0.850", Some(0.85)),
            ("OL", None),
        ] {
            assert_eq!(super::number(text), number, "{text}");
        }
    }

    #[test]
    fn digits_are_those_that_were_printed() {
        let width = |value: f64, text: &str| {
            let span = Span::of_reading(value, text);
            span.high - span.low
        };
        assert!((width(2.5e9, "2.50 GΩ") - 1e7).abs() < 1.0);
        assert!((width(2e9, "2000") - 1e7).abs() < 1.0, "three digits are taken as read");
        assert!((width(2.001e9, ">2 001 MΩ") - 1e6).abs() < 1.0);
        assert!((width(5.0, "OL") - 0.05).abs() < 1e-12);
        assert!(Span { low: 1.0, high: 2.0 }.over(Span { low: 0.0, high: 1.0 }).is_none());
    }
}
