//! Unit and number examples of `worked_examples.csv` (UCUM and the traps of record keeping; see the README beside it).
#![expect(clippy::unwrap_used, reason = "helpers of tests fail by panicking")]

use windrow_model::Dimension;
use windrow_text::measure;

/// Every value that a text can mean, in the stored unit of `dimension`.
fn meanings(text: &str, dimension: Dimension) -> Vec<f64> {
    let measure = measure::read(text).unwrap();
    let part = &measure.parts[0];
    let unit = part.units.iter().find(|meaning| meaning.unit.dimension == dimension).unwrap().unit;
    part.numbers.iter().map(|number| unit.to_stored(number.value)).collect()
}

/// The figure of an example in the stored unit.
fn expected(id: &str, scale: f64) -> f64 {
    let text = include_str!("../../../tests/reference/worked_examples.csv");
    let line = text.lines().find(|line| line.starts_with(id)).unwrap();
    line.split(',').nth(2).unwrap().parse::<f64>().unwrap() * scale
}

fn has(found: &[f64], wanted: f64) -> bool {
    found.iter().any(|value| (value / wanted - 1.0).abs() < 1e-7)
}

#[test]
fn units_and_marks_of_the_worked_examples() {
    for (id, text, dimension, scale) in [
        ("UN-02", "1,2 GΩ", Dimension::Resistance, 1e6),
        ("UN-10", "50 hp", Dimension::Power, 1e3),
        ("UN-11", "100 PS", Dimension::Power, 1e3),
    ] {
        let found = meanings(text, dimension);
        assert!(has(&found, expected(id, scale)), "{id}: {found:?}");
    }
    // UN-03, a trap: a point before three digits may be either mark, and the column decides.
    let both = meanings("1.200 MΩ", Dimension::Resistance);
    assert!(has(&both, expected("UN-03", 1e6)) && has(&both, 1.2e6), "{both:?}");
}

/// UN-09, a trap: a difference of 80 °F is the difference of its converted ends, without the 32.
#[test]
fn a_difference_of_temperatures_has_no_zero_point() {
    let [from, to] = ["60 °F", "140 °F"].map(|text| meanings(text, Dimension::Temperature)[0]);
    assert!(((to - from) / expected("UN-09", 1.0) - 1.0).abs() < 1e-7, "{from} {to}");
}
