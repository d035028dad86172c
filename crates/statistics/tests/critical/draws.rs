//! Draws without a step and without a knee, and what they exceed by chance.

use proptest::prelude::Rng;
use proptest::test_runner::{RngAlgorithm, TestRng};
use windrow_statistics::special::normal;
use windrow_statistics::{knee, step};

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
pub(crate) fn steps(count: usize, draws: usize) -> Vec<f64> {
    let mut generator = generator(count);
    let mut one = || {
        let values: Vec<f64> = (0..count).map(|_| deviate(&mut generator)).collect();
        let told = (0..8).map(|_| deviate(&mut generator).powi(2)).sum::<f64>() / step::PRIOR_DF;
        step::largest_step(&values, Some(told.sqrt())).unwrap().statistic
    };
    (0..draws).map(|_| one()).collect()
}

/// Largest F of straight curves at even voltages.
pub(crate) fn knees(count: usize, draws: usize) -> Vec<f64> {
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
pub(crate) fn exceeded(statistics: &[f64], share: f64) -> f64 {
    let mut sorted = statistics.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted[((1.0 - share) * sorted.len() as f64) as usize]
}
