//! The critical values in `data/` are what draws without a step and without a knee exceed by chance.
//!
//! To write the tables again: `cargo test --release -p windrow-statistics --test critical -- --ignored`.
#![expect(clippy::unwrap_used, reason = "helpers of tests fail by panicking")]

use proptest::prelude::Rng;
use proptest::test_runner::{RngAlgorithm, TestRng};
use std::fmt::Write;
use windrow_statistics::special::normal;
use windrow_statistics::{knee, step};

/// Draws for each row of the tables.
const DRAWS: usize = 200_000;
/// Standard deviation of a current over its mean. The statistic is one of ratios: any small one gives the same.
const CURRENT_SCATTER: f64 = 0.03;

fn generator(count: usize) -> TestRng {
    let mut seed = [7_u8; 32];
    seed[0] = u8::try_from(count).unwrap();
    TestRng::from_seed(RngAlgorithm::ChaCha, &seed)
}

fn deviate(generator: &mut TestRng) -> f64 {
    normal::quantile((f64::from(generator.next_u32()) + 0.5) / 4_294_967_296.0)
}

/// Largest steps of series without one, scatter 1. The told scatter is itself off by as much as its degrees of freedom leave.
fn steps(count: usize, draws: usize) -> Vec<f64> {
    let mut generator = generator(count);
    let mut one = || {
        let values: Vec<f64> = (0..count).map(|_| deviate(&mut generator)).collect();
        let told = (0..8).map(|_| deviate(&mut generator).powi(2)).sum::<f64>() / step::PRIOR_DF;
        step::largest_step(&values, Some(told.sqrt())).unwrap().statistic
    };
    (0..draws).map(|_| one()).collect()
}

/// Largest F of straight curves at even voltages.
fn knees(count: usize, draws: usize) -> Vec<f64> {
    let mut generator = generator(count);
    let volts: Vec<f64> = (1..=u16::try_from(count).unwrap()).map(f64::from).collect();
    let mut one = || {
        let current = |volts: &f64, deviate: f64| volts * (1.0 + CURRENT_SCATTER * deviate);
        let currents: Vec<f64> = volts.iter().map(|volts| current(volts, deviate(&mut generator))).collect();
        knee::knee(&volts, &currents).map_or(0.0, |knee| knee.f)
    };
    (0..draws).map(|_| one()).collect()
}

/// What a share of the statistics exceeds.
#[expect(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a rank among draws"
)]
fn exceeded(statistics: &[f64], share: f64) -> f64 {
    let mut sorted = statistics.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted[((1.0 - share) * sorted.len() as f64) as usize]
}

fn near(have: f64, want: f64, relative: f64) {
    assert!((have / want - 1.0).abs() < relative, "{have} drawn here, {want} in the table");
}

/// Fewer draws give rows of the tables again, within their own chance.
#[test]
fn tables_are_what_draws_give() {
    for count in [4, 6, 15] {
        let drawn = steps(count, 20_000);
        near(exceeded(&drawn, 0.05), step::critical(count).unwrap().five, 0.03);
        near(exceeded(&drawn, 0.01), step::critical(count).unwrap().one, 0.05);
    }
    near(exceeded(&knees(8, 6_000), 0.05), knee::critical(8).unwrap().five, 0.12);
}

#[test]
#[ignore = "writes the tables; minutes"]
fn write_tables() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/data");
    let write = |name: &str, what: &str, rows: &mut dyn Iterator<Item = (usize, Vec<f64>)>| {
        let mut text = format!("# {what}; {DRAWS} draws a row\ncount,five,one\n");
        for (count, drawn) in rows {
            writeln!(text, "{count},{:.3},{:.3}", exceeded(&drawn, 0.05), exceeded(&drawn, 0.01)).unwrap();
        }
        std::fs::write(format!("{folder}/{name}"), text).unwrap();
    };
    let what = "Largest standardised step of normal values whose scatter is told with 8 degrees of freedom";
    write("step_critical.csv", what, &mut (step::FEWEST..=30).map(|count| (count, steps(count, DRAWS))));
    let what = "Largest F of an upward knee in a straight curve at even voltages, errors of 3 % of the current";
    write("knee_critical.csv", what, &mut (knee::FEWEST..=20).map(|count| (count, knees(count, DRAWS))));
}
