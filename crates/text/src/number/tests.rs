//! Number styles of the record-keeping dictionary, section 11 (common practice, no source).

use super::{Mark, read};
use proptest::prelude::*;

fn values(text: &str) -> Vec<f64> {
    read(text).iter().map(|meaning| meaning.value).collect()
}

#[test]
fn reads_every_style_of_one_meaning() {
    for (text, expected) in [
        ("550", 550.0),
        ("1,500.5", 1500.5),
        ("1.500,5", 1500.5),
        ("1 500", 1500.0),
        ("1\u{a0}500", 1500.0),
        ("1\u{202f}500,25", 1500.25),
        ("1'500", 1500.0),
        ("1’500.5", 1500.5),
        ("12,34,567", 1_234_567.0),
        ("1,00,000", 100_000.0),
        ("1 000 000", 1_000_000.0),
        ("1.234.567", 1_234_567.0),
        ("1.5E3", 1500.0),
        ("1,5e+03", 1500.0),
        ("5E-3", 0.005),
        ("1.5 x 10^3", 1500.0),
        ("1.5*10³", 1500.0),
        ("1,5×10³", 1500.0),
        ("2·10⁻³", 0.002),
        ("10^6", 1e6),
        ("½", 0.5),
        ("3 ½", 3.5),
        ("3½", 3.5),
        ("3 1/2", 3.5),
        ("3-1/2", 3.5),
        ("1/2", 0.5),
        (".5", 0.5),
        (",5", 0.5),
        ("5.", 5.0),
        ("0,130", 0.13),
        ("0.0031", 0.0031),
        ("12.3456", 12.3456),
        ("1,25", 1.25),
        ("-5", -5.0),
        ("−5,5", -5.5),
        ("5-", -5.0),
        ("+5", 5.0),
        ("'550", 550.0),
        ("5·2", 5.2),
        ("0.1", 0.1),
    ] {
        assert_eq!(values(text), [expected], "{text:?}");
    }
}

#[test]
fn one_mark_before_three_digits_is_a_question() {
    assert_eq!(values("1,130"), [1.13, 1130.0]);
    assert_eq!(values("1.200"), [1.2, 1200.0]);
    assert_eq!(values("-12.345"), [-12.345, -12345.0]);
    let [decimal, thousands] =
        <[_; 2]>::try_from(read("1,130")).unwrap_or_else(|_| unreachable!("two meanings asserted above"));
    assert_eq!((decimal.decimal, decimal.thousands, decimal.decimals), (Some(Mark::Comma), None, 3));
    assert_eq!((thousands.decimal, thousands.thousands, thousands.decimals), (None, Some(Mark::Comma), 0));
}

#[test]
fn a_trailing_full_stop_votes_for_no_decimal_mark() {
    assert_eq!(read("5.").first().map(|meaning| (meaning.decimal, meaning.decimals)), Some((None, 0)));
}

#[test]
fn refuses_what_is_no_number() {
    for text in [
        "",
        " ",
        "-",
        "+",
        ".",
        ",",
        "'",
        "..",
        "P-101",
        "103ABC",
        "14.3.87",
        "14/3/87",
        "3/14",
        "10/1",
        "1..5",
        "1,,5",
        "1,5,5",
        "1 50",
        "12 3456",
        "2000+",
        "1O5",
        "5OO",
        "e5",
        "E3",
        "1E",
        "1e1000",
        "inf",
        "nan",
        "NaN",
        "0x10",
        "1_000",
        "1,130,5",
        "1.5.",
        "1 .",
        "½½",
        "1'2",
        "10'",
        "5%",
        "123456789012345678901234567890123",
        "01.234.567",
        "10:30",
        "1.5E3.5",
        "2-3",
    ] {
        assert!(read(text).is_empty(), "{text:?} gave {:?}", read(text));
    }
}

/// Writes digits with a thousands mark before every third.
fn group(whole: u32, mark: char) -> String {
    let digits = whole.to_string();
    let mut out = String::new();
    for (index, digit) in digits.chars().enumerate() {
        if index > 0 && (digits.len() - index).is_multiple_of(3) {
            out.push(mark);
        }
        out.push(digit);
    }
    out
}

proptest! {
    /// What is printed in any style is among the meanings, to the last bit.
    #[test]
    fn print_then_read(whole in 0..2_000_000_000_u32, fraction in proptest::option::of("[0-9]{1,6}"), style in 0..8_usize) {
        let (thousands, decimal) = [
            (None, '.'), (None, ','), (Some(','), '.'), (Some('.'), ','), (Some(' '), ','), (Some('\u{a0}'), ','), (Some('\''), '.'), (Some('\u{202f}'), '.'),
        ][style];
        let mut text = thousands.map_or_else(|| whole.to_string(), |mark| group(whole, mark));
        let mut exact = whole.to_string();
        if let Some(fraction) = &fraction {
            text.push(decimal);
            text.push_str(fraction);
            exact = format!("{whole}.{fraction}");
        }
        let expected: f64 = exact.parse().unwrap_or(f64::NAN);
        prop_assert!(values(&text).contains(&expected), "{text:?} should be {expected}: {:?}", read(&text));
    }

    #[test]
    fn no_text_panics(text in "\\PC*") {
        for meaning in read(&text) {
            prop_assert!(meaning.value.is_finite());
        }
    }

    #[test]
    fn no_number_like_text_panics(text in "[0-9.,' +\\-−xXeE^*/½³⁻·]{0,24}") {
        for meaning in read(&text) {
            prop_assert!(meaning.value.is_finite());
        }
    }
}
