//! How often the forecast is right, in simulated falls: the share of true dates before its lower bound, and the share of windings that
//! do not fall but get a closing date.
//!
//! The falls are this project's own: two decades from the first test to the limit as a power of time, tests every 1 to 3 years until
//! 40 to 90 % of the way, scatter 0.2 decade with Student-t errors.
#![expect(clippy::unwrap_used, reason = "helpers of tests fail by panicking")]

use proptest::prelude::Rng;
use proptest::test_runner::{RngAlgorithm, TestRng};
use windrow_model::Bound;
use windrow_statistics::forecast::{Forecast, Reading, forecast};
use windrow_statistics::special::student;

const SCATTER: f64 = 0.2;
static AFTER: std::sync::atomic::AtomicU32 = std::sync::atomic::AtomicU32::new(0);
const LIMIT: f64 = 1.0;

fn range() -> (f64, f64) {
    match std::env::var("RANGE").as_deref() { Ok("low") => (0.3, 0.7), _ => (0.4, 0.9) }
}
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

    fn error(&mut self) -> f64 {
        // Variance 1: t with 5 degrees has 5/3.
        SCATTER * student::quantile(self.between(0.0, 1.0), 5.0) * 0.6_f64.sqrt()
    }

    /// Tests of one winding whose level at age `t` is `level(t)`, seen up to `ceiling`.
    fn tests(&mut self, count: usize, level: impl Fn(f64) -> f64, ceiling: f64) -> (Vec<Reading>, f64) {
        let mut t = 0.0;
        let mut readings = Vec::new();
        for _ in 0..count {
            let y = level(t) + self.error();
            let (y, bound) = if y >= ceiling { (ceiling, Bound::AtLeast) } else { (y, Bound::Exact) };
            readings.push(Reading { t, y, bound });
            t += self.between(1.0, 3.0);
        }
        (readings, t)
    }

    /// Forecast and true years left of a fall as a power of time.
    fn fall(&mut self, count: usize, power: f64, ceiling: f64) -> (Forecast, f64) {
        let whole = 2.0 * f64::from(u16::try_from(count - 1).unwrap()) / self.between(range().0, range().1);
        let level = |t: f64| LIMIT + 2.0 - 2.0 * (t / whole).powf(power);
        let (readings, _) = self.tests(count, level, ceiling);
        let last = readings.last().unwrap().t;
        (forecast(&readings, LIMIT, SCATTER).unwrap(), (whole - last).max(0.0))
    }
}

/// Share of true dates before the lower bound.
fn missed(seed: u8, cases: u16, (count, power, ceiling): (usize, f64, f64)) -> f64 {
    let mut world = World::new(seed);
    let missed: u16 = (0..cases)
        .map(|_| {
            let (found, left) = world.fall(count, power, ceiling);
            u16::from(left < found.not_before())
        })
        .sum();
    f64::from(missed) / f64::from(cases)
}

/// Share of steady windings with a middle within the horizon, and the mean lower bound.
fn closed(seed: u8, cases: u16, count: usize, ceiling: f64) -> (f64, f64) {
    let mut world = World::new(seed);
    let (mut closed, mut bounds) = (0_u16, 0.0);
    for _ in 0..cases {
        let (readings, _) = world.tests(count, |_| LIMIT + 2.0, ceiling);
        let found = forecast(&readings, LIMIT, SCATTER).unwrap();
        closed += u16::from(found.middle().is_some()); AFTER.fetch_add(u32::from(found.not_after().is_some()), std::sync::atomic::Ordering::Relaxed);
        bounds += found.not_before();
    }
    (f64::from(closed) / f64::from(cases), bounds / f64::from(cases))
}

#[test]
#[ignore = "prints the whole table; minutes"]
fn whole_table() {
    for ceiling in [f64::INFINITY, LIMIT + 1.5] {
        for power in [1.0, 1.5, 2.0, 3.0] {
            let row: Vec<f64> = [3, 5, 10].map(|count| missed(1, 300, (count, power, ceiling))).to_vec();
            println!("ceiling {ceiling}, power {power}: missed {row:?}");
        }
        println!("steady: {:?} {:?}", [3, 5, 10].map(|count| closed(2, 300, count, ceiling)), AFTER.swap(0, std::sync::atomic::Ordering::Relaxed));
    }
}
