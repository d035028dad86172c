//! How often the forecast is right, in simulated falls: the share of true dates before its lower bound, and the share of windings that
//! do not fall but get a middle.
//!
//! The falls are this project's own: two decades from the first test to the limit as a power of time, tests every 2 years or so until
//! 40 to 90 % of the way, scatter 0.2 decade with Student-t errors. They promise nothing about a real plant. Of 300 falls each, with
//! three, five and ten tests, the true date came before the bound in 0.03, 0.01, 0.01 (straight), 0.16, 0.05, 0.07 (power 1.5), 0.33, 0.10,
//! 0.08 (power 2) and 0.63, 0.15, 0.08 (power 3) of cases; of windings that do not fall 0.00, 0.00, 0.01 got a middle, and none an end.
//! Three tests say little of a fall that accelerates.
#![expect(clippy::unwrap_used, reason = "helpers of tests fail by panicking")]

use proptest::prelude::Rng;
use proptest::test_runner::{RngAlgorithm, TestRng};
use windrow_model::Bound;
use windrow_statistics::forecast::{Forecast, Reading, forecast};
use windrow_statistics::regression::{crossing, line};
use windrow_statistics::special::student;

const SCATTER: f64 = 0.2;
const LIMIT: f64 = 1.0;
const TESTS: u8 = 5;
const CASES: u8 = 40;

struct World {
    generator: TestRng,
}

impl World {
    fn new(seed: u8) -> Self {
        Self { generator: TestRng::from_seed(RngAlgorithm::ChaCha, &[seed; 32]) }
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * (f64::from(self.generator.next_u32()) + 0.5) / 4_294_967_296.0
    }

    /// Tests of one winding whose level at age `t` is `level(t)`, seen up to `ceiling`.
    fn tests(&mut self, level: impl Fn(f64) -> f64, ceiling: f64) -> Vec<Reading> {
        let mut t = 0.0;
        let mut readings = Vec::new();
        for _ in 0..TESTS {
            // Variance 1: t with 5 degrees has 5/3.
            let error = SCATTER * student::quantile(self.between(0.0, 1.0), 5.0) * 0.6_f64.sqrt();
            let y = level(t) + error;
            let (y, bound) = if y >= ceiling { (ceiling, Bound::AtLeast) } else { (y, Bound::Exact) };
            readings.push(Reading { t, y, bound });
            t += self.between(1.0, 3.0);
        }
        readings
    }

    /// Forecast and true years left of a fall as a power of time.
    fn fall(&mut self, power: f64, ceiling: f64) -> (Forecast, f64) {
        let whole = 2.0 * f64::from(TESTS - 1) / self.between(0.4, 0.9);
        let readings = self.tests(|t| LIMIT + 2.0 - 2.0 * (t / whole).powf(power), ceiling);
        let last = readings.last().unwrap().t;
        (forecast(&readings, LIMIT, SCATTER).unwrap(), (whole - last).max(0.0))
    }
}

/// Share of true dates before the lower bound.
fn missed(seed: u8, power: f64, ceiling: f64) -> f64 {
    let mut world = World::new(seed);
    let missed: u8 = (0..CASES)
        .map(|_| {
            let (found, left) = world.fall(power, ceiling);
            u8::from(left < found.not_before())
        })
        .sum();
    f64::from(missed) / f64::from(CASES)
}

#[test]
fn the_lower_bound_is_seldom_missed() {
    for ceiling in [f64::INFINITY, LIMIT + 1.5] {
        for (power, most) in [(1.0, 0.12), (1.5, 0.12), (2.0, 0.20)] {
            let share = missed(1, power, ceiling);
            assert!(share <= most, "power {power}, ceiling {ceiling}: {share}");
        }
    }
}

#[test]
fn a_winding_that_does_not_fall_gets_no_date() {
    let mut world = World::new(2);
    let dated: u8 = (0..CASES)
        .map(|_| {
            let found = forecast(&world.tests(|_| LIMIT + 2.0, f64::INFINITY), LIMIT, SCATTER).unwrap();
            u8::from(found.middle().is_some() || found.not_after().is_some())
        })
        .sum();
    assert!(dated <= 1, "{dated} of {CASES}");
}

/// One high reading long ago and level ever since: a straight line through it falls, and scatter says as much.
#[test]
fn scatter_that_looks_like_a_slow_fall_gets_no_date() {
    let y = [2.15, 1.95, 1.9, 2.0, 1.9, 1.85, 1.95, 1.9, 1.85, 1.9];
    let readings: Vec<Reading> =
        (0_u8..).zip(y).map(|(test, y)| Reading { t: 2.0 * f64::from(test), y, bound: Bound::Exact }).collect();
    let found = forecast(&readings, LIMIT, SCATTER).unwrap();
    assert!(!found.is_fall() && found.middle().is_none() && found.not_after().is_none(), "{}", found.falls);
    assert!(found.not_before() > 1.0, "{}", found.not_before());
}

/// A straight fall told by many exact readings: the middle is where Fieller's line meets the limit, or sooner, for it may bend.
#[test]
fn a_clear_straight_fall_is_met_where_its_line_is() {
    let t: Vec<f64> = (0..12).map(f64::from).collect();
    let y: Vec<f64> = t.iter().map(|t| 4.0 - 0.2 * t + 0.01 * (5.0 * t).sin()).collect();
    let readings: Vec<Reading> = t.iter().zip(&y).map(|(t, y)| Reading { t: *t, y: *y, bound: Bound::Exact }).collect();
    let found = forecast(&readings, LIMIT, 0.02).unwrap();
    let straight = crossing(&line(&t, &y).unwrap(), LIMIT, 0.8).unwrap().at - 11.0;
    let middle = found.middle().unwrap();
    assert!(middle > straight - 0.8 && middle < straight + 0.2, "{middle} against {straight}");
}
