//! Worked examples on trends and fleets of `worked_examples.csv`: exact halving and a robust score (design rules; see the README beside
//! it).

use windrow_model::Bound;
use windrow_statistics::robust::robust_scores;
use windrow_statistics::trend::{Point, slope};

/// The figure of the example `id` and its relative tolerance.
fn expected(id: &str) -> (f64, f64) {
    let text = include_str!("../../../../tests/reference/worked_examples.csv");
    let row: Vec<&str> =
        text.lines().map(|line| line.split(',').collect()).find(|row: &Vec<&str>| row[0] == id).unwrap();
    (row[2].parse().unwrap(), row[4].parse().unwrap())
}

fn check(id: &str, found: f64) {
    let (wanted, tolerance) = expected(id);
    assert!((found / wanted - 1.0).abs() <= tolerance, "{id}: found {found}, expected {wanted}");
}

#[test]
fn a_resistance_that_halves_every_two_years() {
    let megohms = [(0.0, 3200.0_f64), (2.0, 1600.0), (4.0, 800.0), (6.0, 400.0)];
    let points = megohms.map(|(t, value)| Point { t, blur: 0.0, y: value.log2(), bound: Bound::Exact });
    check("TR-02", slope(&points).unwrap().middle);
}

#[test]
fn one_machine_of_seven_far_below_the_others() {
    let decades = [640.0_f64, 700.0, 590.0, 660.0, 720.0, 610.0, 25.0].map(f64::log10);
    check("TR-04", *robust_scores(&decades).unwrap().last().unwrap());
}
