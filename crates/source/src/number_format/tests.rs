//! Codes and serial numbers of ECMA-376 part 1, 18.8.30 and 18.17.4; forms of unit codes as met in workbooks (common practice, no source).

use proptest::prelude::*;

use super::*;

#[test]
fn codes_with_digit_places_show_numbers_whatever_their_letters() {
    for code in [
        "General",
        "Standard",
        "0",
        "0.00E+00",
        "@",
        "# ?/?",
        "0.0 MΩ",
        "0.0 Mohm",
        "0.0 h",
        "0.0 s",
        "0 días",
        "0\" days\"",
        "0.0\\M\\Ω",
        "0.0 [$GΩ]",
        "[Blue]0.0 \"MΩ\"",
        "0.0 kV",
        "General\" MΩ\"",
        "0.00\\ \"GΩ\"",
        "#,##0\" MΩ\"",
        "0%",
        ";;;",
        "\"PASS\"",
        "[Red]\"d/m/y\"0",
        "_-* #,##0.00\\ _€_-",
        "0\"°F\"",
        "0.0,,\"M\"",
        "[>=1000]0.0,\"GΩ\";0.0\"MΩ\"",
    ] {
        assert_eq!(kind(code, 5.2), Kind::Number, "{code}");
    }
}

#[test]
fn codes_of_dates_and_times_are_told_apart() {
    for code in [
        "d/m/y",
        "dd/mm/yyyy",
        "DD/MM/YYYY",
        "mm-dd-yy",
        "d-mmm-yy",
        "mmm-yy",
        "yyyy",
        "yy",
        "d-mmm",
        "m/d/yy h:mm",
        "[$-409]d-mmm-yy;@",
        "TT.MM.JJJJ",
        "jj/mm/aaaa",
        "dd/mm/aaaa",
        "yyyy\\-mm\\-dd",
        "[$-F800]dddd\\,\\ mmmm\\ dd\\,\\ yyyy",
        "mmmm",
        "yyyy\"年\"m\"月\"d\"日\"",
        "yyyy-mm-ddThh:mm:ss",
    ] {
        assert_eq!(kind(code, 31850.0), Kind::Date, "{code}");
    }
    for code in [
        "h:mm",
        "hh:mm:ss",
        "h:mm AM/PM",
        "[h]:mm",
        "[h]:mm:ss",
        "mm:ss",
        "mm:ss.0",
        "[mm]:ss",
        "[ss]",
        "[$-409]h:mm:ss AM/PM;@",
    ] {
        assert_eq!(kind(code, 0.5), Kind::Duration, "{code}");
    }
}

#[test]
fn the_section_that_applies_decides() {
    let code = "dd/mm/yy;\"before\"0;0.0";
    assert_eq!(kind(code, 31850.0), Kind::Date);
    assert_eq!(kind(code, -1.0), Kind::Number);
    assert_eq!(kind(code, 0.0), Kind::Number);
}

#[test]
fn serial_numbers_become_days() {
    // 1 January 2000 and 1 January 1970 in both systems; 2008-02-05 is the example of 18.17.4.
    for (serial, epoch, day) in [
        (36526.0, Epoch::Y1900, "2000-01-01"),
        (25569.0, Epoch::Y1900, "1970-01-01"),
        (1.0, Epoch::Y1900, "1900-01-01"),
        (59.0, Epoch::Y1900, "1900-02-28"),
        (61.0, Epoch::Y1900, "1900-03-01"),
        (2_958_465.0, Epoch::Y1900, "9999-12-31"),
        (0.0, Epoch::Y1904, "1904-01-01"),
        (35064.0, Epoch::Y1904, "2000-01-01"),
        (36526.75, Epoch::Y1900, "2000-01-01T18:00:00"),
        (36_526.999_999_999_99, Epoch::Y1900, "2000-01-02"),
    ] {
        assert_eq!(iso(serial, epoch).as_deref(), Some(day), "{serial}");
    }
    for none in [-1.0, f64::NAN, f64::INFINITY, 2_958_466.0] {
        assert_eq!(iso(none, Epoch::Y1900), None, "{none}");
    }
}

#[test]
fn times_are_shown_as_a_clock_shows_them() {
    assert_eq!(clock(36_000.0), "10:00:00");
    assert_eq!(clock(108_900.0), "30:15:00");
    assert_eq!(clock(-1.5), "-00:00:01.5");
    assert_eq!(clock(59.9996), "00:01:00");
    let cell = number_cell(0, 0, 10.0 / 24.0, Some("h:mm"), Epoch::Y1900);
    assert_eq!((cell.content, cell.text.as_str()), (Content::Duration(36_000.0), "10:00:00"));
}

proptest! {
    #[test]
    fn any_code_and_number_give_a_cell_with_text(code in "[ymdhsTJ0#?.,;:\\[\\]<>=\"\\\\_*@ a-zÄΩ]{0,24}", value in any::<f64>()) {
        let cell = number_cell(0, 0, value, Some(&code), Epoch::Y1900);
        prop_assert!(!cell.text.trim().is_empty());
    }
}
