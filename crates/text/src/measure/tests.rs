//! Spellings of values (record-keeping dictionary, sections 7, 8, 11: common practice, no source; UN-nn: worked examples).

use super::{Condition, OverRange, over_range, read};
use proptest::prelude::*;
use windrow_model::{Bound, Dimension, Unit};

/// Value in the stored unit, taking the best unit of `dimension`.
fn stored(text: &str, dimension: Dimension) -> (f64, Bound) {
    let measure = read(text).unwrap_or_else(|| panic!("{text} is no measure"));
    let part = &measure.parts[0];
    let unit = part
        .units
        .iter()
        .find(|unit| unit.unit.dimension == dimension)
        .map_or(dimension.stored_unit(), |unit| unit.unit);
    (unit.to_stored(part.numbers[0].value), part.bound)
}

#[test]
fn values_with_units_and_bounds() {
    for (text, ohm, bound) in [
        ("2.5 Gig", 2.5e9, Bound::Exact),  // UN-01
        ("0.8 TΩ", 8e11, Bound::Exact),    // UN-04
        ("550 K", 550e3, Bound::Exact),    // UN-05
        ("2K MEG", 2e9, Bound::Exact),     // UN-05
        (">2000 MΩ", 2e9, Bound::AtLeast), // UN-06
        ("> 2000MΩ", 2e9, Bound::AtLeast),
        ("2000+ MΩ", 2e9, Bound::AtLeast),
        ("2000 MΩ+", 2e9, Bound::AtLeast),
        ("over 2000 meg", 2e9, Bound::AtLeast),
        ("plus de 2000 MΩ", 2e9, Bound::AtLeast),
        ("über 2000 MΩ", 2e9, Bound::AtLeast),
        ("<0.5 MΩ", 0.5e6, Bound::AtMost),
        ("1,130 MΩ at 1 min", 1.13e6, Bound::Exact),
    ] {
        let (value, found) = stored(text, Dimension::Resistance);
        assert!((value - ohm).abs() <= 1e-9 * ohm, "{text}: {value}");
        assert_eq!(found, bound, "{text}");
    }
    assert!((stored("113 °F", Dimension::Temperature).0 - 45.0).abs() < 1e-9); // UN-08
}

#[test]
fn several_values_in_a_cell() {
    for text in ["158 - 145 - 142", "6,08 - 6,38 - 6,01", "158, 145, >2000", "158\n145\n142 MΩ"] {
        assert_eq!(read(text).map(|measure| (measure.parts.len(), measure.range)), Some((3, false)), "{text}");
    }
    assert!(read("1, 2, 3").is_none() && read("14 - 3 - 88").is_none(), "counts and dates");
    assert!(read("158 - 1450").is_some_and(|measure| measure.range), "two are a range");
    let open = read("100 ou 160 MΩ").unwrap();
    assert!(open.doubtful && open.parts[0].units[0].unit == Unit::MEGOHM, "nothing says which of the two");
    let three = read("450/470/465 MΩ").unwrap();
    assert_eq!(three.parts.len(), 3);
    assert!(three.parts.iter().all(|part| part.units[0].unit == Unit::MEGOHM));
    let labelled = read("A 850 B 900 C 870").unwrap();
    assert_eq!(labelled.parts.iter().map(|part| part.label.as_str()).collect::<Vec<_>>(), ["A", "B", "C"]);
    let timed = read("1,130 MΩ at 1 min / 1,410 MΩ at 10 min").unwrap();
    assert_eq!(timed.parts[0].conditions, [Condition::ElapsedS(60.0)]);
    assert_eq!(timed.parts[1].conditions, [Condition::ElapsedS(600.0)]);
    assert!(read("1000-1500").unwrap().range);
}

/// Common practice in cells, no source.
#[test]
fn phases_with_their_values_stand_in_one_cell_with_any_marks_between() {
    for (text, values) in [
        ("U=320  V=310  W=330", [320.0, 310.0, 330.0]),
        ("U=12,5 V=13 W=0,8", [12.5, 13.0, 0.8]),
        ("U>500 V>500 W>500", [500.0, 500.0, 500.0]),
        ("U > 500, V > 500, W 85", [500.0, 500.0, 85.0]),
        ("U: 120, V: 115, W: 118", [120.0, 115.0, 118.0]),
    ] {
        let measure = read(text).expect(text);
        let found: Vec<f64> = measure.parts.iter().map(|part| part.numbers[0].value).collect();
        assert_eq!(found, values, "{text}");
        assert_eq!(measure.parts.iter().map(|part| part.label.as_str()).collect::<Vec<_>>(), ["U", "V", "W"], "{text}");
        let is_over = |at: usize| measure.parts[at].bound == Bound::AtLeast;
        assert_eq!((is_over(0), is_over(1)), (text.contains('>'), text.contains('>')), "{text}");
    }
    assert!(read("Pump 2 Fan 3 Mill 4").is_none());
}

#[test]
fn what_surrounds_a_value() {
    assert_eq!(read("850*").unwrap().footnote.as_deref(), Some("*"));
    assert_eq!(read("550 wet").unwrap().remark.as_deref(), Some("wet"));
    assert!(read("~450").unwrap().parts[0].approximate);
    for text in ["2?0", "8_0", "1O5", "12?"] {
        assert!(read(text).unwrap().doubtful, "{text}");
    }
    assert_eq!(read("850 MΩ @ 22 °C").unwrap().parts[0].conditions, [Condition::TemperatureC(22.0)]);
}

#[test]
fn what_is_no_measure() {
    for text in [
        "P-101A",
        "10:30",
        "14/3/87",
        "14.3.1987",
        "58554-5801",
        "103ABC",
        "remarks",
        "2-CW-P-2B",
        "Pump 102",
        "U-V",
        "",
    ] {
        assert!(read(text).is_none(), "{text}: {:?}", read(text));
    }
}

#[test]
fn over_range_without_a_number() {
    for text in ["OL", "O.L.", "∞", "INF", "off scale", "hors gamme", "unendlich", ">∞"] {
        assert_eq!(over_range(text), Some(OverRange::Above), "{text}");
    }
    assert_eq!(over_range("grounded"), Some(OverRange::Below));
    assert_eq!(over_range("P-101"), None);
}

proptest! {
    #[test]
    fn no_text_panics(text in "\\PC{0,60}") {
        let _ = (read(&text), over_range(&text));
    }

    #[test]
    fn printed_values_read_back(value in 1_u32..99_999, index in 0..Unit::ALL.len()) {
        let unit = Unit::ALL[index];
        prop_assume!(unit.dimension != Dimension::Ratio && !unit.symbol.is_empty());
        let text = format!("{value} {}", unit.symbol);
        let measure = read(&text);
        prop_assert!(measure.is_some(), "{}", text);
        let part = &measure.unwrap().parts[0];
        prop_assert!((part.numbers[0].value - f64::from(value)).abs() < 1e-9);
        prop_assert!(part.units.iter().any(|meaning| meaning.unit == unit), "{}: {:?}", text, part.units);
    }

    /// A value printed as people write it, with a bound, a decimal mark and a unit, is among the meanings with all of them.
    #[test]
    fn printed_bounds_decimals_and_units_read_back(
        whole in 0_u32..9_999,
        fraction in proptest::option::of("[0-9]{1,3}"),
        comma in any::<bool>(),
        sign in 0..5_usize,
        blank in any::<bool>(),
        index in 0..Unit::ALL.len(),
    ) {
        let unit = Unit::ALL[index];
        prop_assume!(matches!(
            unit.dimension,
            Dimension::Resistance | Dimension::Current | Dimension::Voltage | Dimension::Capacitance | Dimension::Charge
        ));
        let (sign, bound) = [("", Bound::Exact), (">", Bound::AtLeast), ("> ", Bound::AtLeast), ("<", Bound::AtMost), ("~", Bound::Exact)][sign];
        let mark = if comma { ',' } else { '.' };
        let number = fraction.as_ref().map_or_else(|| whole.to_string(), |digits| format!("{whole}{mark}{digits}"));
        let exact: f64 = number.replace(',', ".").parse().unwrap();
        let text = format!("{sign}{number}{}{}", if blank { " " } else { "" }, unit.symbol);
        let measure = read(&text);
        prop_assert!(measure.is_some(), "{}", text);
        let measure = measure.unwrap();
        prop_assert_eq!(measure.parts.len(), 1, "{}", text);
        let part = &measure.parts[0];
        prop_assert!(part.numbers.iter().any(|meaning| (meaning.value - exact).abs() <= f64::EPSILON * exact), "{}: {:?}", text, part.numbers);
        prop_assert_eq!(part.bound, bound, "{}", text);
        prop_assert_eq!(part.approximate, sign == "~", "{}", text);
        prop_assert!(part.units.iter().any(|meaning| meaning.unit == unit), "{}: {:?}", text, part.units);
    }
}

#[test]
fn a_question_mark_behind_a_whole_unit_is_a_doubt_and_a_lost_omega_is_none() {
    for text in ["63.8 MΩ?", "63.8?", "63.8 ?", "0,228 GΩ?", "640 MΩ (?)"] {
        assert!(read(text).expect(text).doubtful, "{text}");
    }
    assert!(!read("64 M?").expect("a lost omega").doubtful);
}

#[test]
fn three_points_between_two_values_are_a_range() {
    for text in ["1,73...2,59 GΩ", "860 … 1290 Megohms", "860..1290 MΩ", "669...1000 MΩ", "5…100 GΩ", "1000-1500"]
    {
        assert!(read(text).expect(text).range, "{text}");
    }
}

#[test]
fn a_judgement_goes_before_a_resistance_only() {
    let told = |text: &str| read(text).map(|measure| (measure.parts[0].numbers[0].value, measure.remark));
    assert_eq!(told("good, 380 MΩ"), Some((380.0, Some("good".to_owned()))));
    assert_eq!(told("weak: 0.9 MΩ damp"), Some((0.9, Some("weak; damp".to_owned()))));
    for text in ["good 380", "ok 1994", "withstood 2 kV", "held 1000 V", "good380 MΩ", "Gut 3", "motor 380 MΩ"] {
        assert_eq!(told(text), None, "{text}");
    }
}
