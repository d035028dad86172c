//! What temperature, humidity and age leave in the readings after the standard's correction: Huber slopes of differences between
//! successive exact readings of one winding, by fixed-point sums that are the same in any order.

use crate::columns::Fleet;
use rayon::prelude::*;
use std::collections::BTreeMap;
use windrow_model::Bound;

/// Huber's constant: 95 % efficient when errors are normal (Huber 1964).
const HUBER: f64 = 1.345;
/// Standard deviations of the slopes before any reading is seen: a quarter of the halving law, decade/K; a tenth of a decade for ten
/// percent of humidity; ageing, decade/year. Small fleets keep near 0 so.
const EXPECTED: [f64; 3] = [0.0075, 0.1, 0.02];
/// Temperature of the correction, °C, and the humidity above which surfaces conduct, % (common practice, no source).
pub(crate) const REFERENCE_C: f64 = 40.0;
const DRY_PCT: f64 = 60.0;
const ROUNDS: usize = 6;
/// Gaps beyond this say little of what changed between two readings, years.
const LONGEST_GAP_A: f64 = 10.0;
/// Fixed point: 2^24 a unit.
const UNIT: f64 = 16_777_216.0;

/// Slopes of the resistance in decades.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Covariates {
    /// A K of winding temperature, beyond the correction, by code of the insulation.
    pub per_kelvin: BTreeMap<u32, f64>,
    /// Ten percent of relative humidity above 60 %.
    pub per_ten_pct: f64,
    /// A year.
    pub per_year: f64,
    /// Scatter of one reading of a healthy winding (a robust standard deviation).
    pub scatter: f64,
    /// The same with what temperature, humidity and age leave in it, as a history shows it.
    pub scatter_as_read: f64,
    /// Differences between successive readings that both rest on, beside [`USUAL_SCATTER`] with the weight of [`USUAL_COUNT`] of them.
    pub differences: usize,
}

/// One difference between successive readings of a winding.
struct Step {
    insulation: u32,
    change: f64,
    kelvin: f64,
    humid: f64,
    years: f64,
}

/// Sums of a weighted regression on (kelvin of one insulation, humid, years), in fixed point.
#[derive(Debug, Clone, Copy, Default)]
struct Sums {
    products: [[i128; 3]; 3],
    with_change: [i128; 3],
}

impl Sums {
    fn add(&mut self, x: [f64; 3], y: f64, weight: f64) {
        for (row, a) in x.iter().enumerate() {
            for (column, b) in x.iter().enumerate() {
                self.products[row][column] += whole(weight * a * b * UNIT);
            }
            self.with_change[row] += whole(weight * a * y * UNIT);
        }
    }

    fn merge(mut self, other: Self) -> Self {
        for row in 0..3 {
            for column in 0..3 {
                self.products[row][column] += other.products[row][column];
            }
            self.with_change[row] += other.with_change[row];
        }
        self
    }
}

/// The nearest whole number, halves away from zero; of numbers beyond those of 64 bits the last one.
#[expect(clippy::cast_possible_truncation, clippy::cast_precision_loss, reason = "fixed point")]
fn whole(value: f64) -> i128 {
    // What is cut off is exact, so that this rounds as the library does; it is asked many times for every reading.
    let cut = value as i64;
    let rest = value - cut as f64;
    i128::from(cut) + i128::from(rest >= 0.5) - i128::from(rest <= -0.5)
}

impl Covariates {
    /// Fits the slopes of a fleet.
    #[must_use]
    pub fn fit(fleet: &Fleet) -> Self {
        let steps: Vec<Step> =
            (0..fleet.len()).into_par_iter().flat_map_iter(|machine| steps_of(fleet, machine)).collect();
        let as_read = scatter(steps.iter().map(|step| step.change));
        let mut fitted = Self { scatter: as_read, ..Self::default() };
        for _ in 0..ROUNDS {
            fitted = fitted.refit(&steps);
        }
        Self { scatter_as_read: as_read, differences: steps.len(), ..fitted }
    }

    fn refit(&self, steps: &[Step]) -> Self {
        let limit = HUBER * self.scatter * std::f64::consts::SQRT_2;
        let sums: BTreeMap<u32, Sums> = steps
            .par_chunks(4096)
            .map(|steps| {
                let mut sums: BTreeMap<u32, Sums> = BTreeMap::new();
                for step in steps {
                    let residual = (step.change - self.expected(step)).abs();
                    let weight = if residual <= limit { 1.0 } else { limit / residual };
                    let x = [step.kelvin, step.humid, step.years];
                    sums.entry(step.insulation).or_default().add(x, step.change, weight);
                }
                sums
            })
            .reduce(BTreeMap::new, |mut a, b| {
                for (insulation, sums) in b {
                    let entry = a.entry(insulation).or_default();
                    *entry = entry.merge(sums);
                }
                a
            });
        let mut fitted = self.solve(&sums);
        fitted.scatter = scatter(steps.iter().map(|step| step.change - fitted.expected(step)));
        fitted
    }

    /// Humidity and ageing are shared, each insulation has its own slope of temperature: one elimination each, then two by two.
    #[expect(clippy::cast_precision_loss, reason = "sums in fixed point")]
    fn solve(&self, sums: &BTreeMap<u32, Sums>) -> Self {
        let noise = 2.0 * self.scatter * self.scatter;
        let ridge = EXPECTED.map(|sd| noise / (sd * sd));
        let real = |sum: i128| sum as f64 / UNIT;
        let (mut shared, mut right) = ([[ridge[1], 0.0], [0.0, ridge[2]]], [0.0, 0.0]);
        let mut own = Vec::new();
        // Sorted by their sums, so that the numbers of the insulations do not reach the result.
        let mut ordered: Vec<(&u32, &Sums)> = sums.iter().collect();
        ordered.sort_by_key(|(_, sums)| (sums.products, sums.with_change));
        for (insulation, sums) in ordered {
            let [kk, kh, ky] = [0, 1, 2].map(|column| real(sums.products[0][column]));
            let kk = kk + ridge[0];
            let [bk, bh, by] = sums.with_change.map(real);
            let [hh, hy, yy] = [real(sums.products[1][1]), real(sums.products[1][2]), real(sums.products[2][2])];
            shared[0][0] += hh - kh * kh / kk;
            shared[0][1] += hy - kh * ky / kk;
            shared[1][0] += hy - kh * ky / kk;
            shared[1][1] += yy - ky * ky / kk;
            right[0] += bh - kh * bk / kk;
            right[1] += by - ky * bk / kk;
            own.push((*insulation, kk, kh, ky, bk));
        }
        let determinant = shared[0][0] * shared[1][1] - shared[0][1] * shared[1][0];
        if !(determinant.is_finite() && determinant > 0.0) {
            return Self { scatter: self.scatter, ..Self::default() };
        }
        let per_ten_pct = (right[0] * shared[1][1] - right[1] * shared[0][1]) / determinant;
        let per_year = (right[1] * shared[0][0] - right[0] * shared[1][0]) / determinant;
        let slope = |(insulation, kk, kh, ky, bk): (u32, f64, f64, f64, f64)| {
            (insulation, (bk - kh * per_ten_pct - ky * per_year) / kk)
        };
        Self { per_kelvin: own.into_iter().map(slope).collect(), per_ten_pct, per_year, ..self.clone() }
    }

    fn expected(&self, step: &Step) -> f64 {
        let kelvin = self.per_kelvin.get(&step.insulation).copied().unwrap_or(0.0);
        kelvin * step.kelvin + self.per_ten_pct * step.humid + self.per_year * step.years
    }

    /// What temperature and humidity of a review added to its reading, decades.
    #[must_use]
    pub fn of_review(&self, fleet: &Fleet, machine: usize, review: usize) -> f64 {
        let insulation = fleet.machines.insulation.get(machine).copied().unwrap_or_default();
        let slope = self.per_kelvin.get(&insulation).copied().unwrap_or(0.0);
        slope * kelvin(fleet, review).unwrap_or(0.0) + self.per_ten_pct * humid(fleet, review).unwrap_or(0.0)
    }
}

fn kelvin(fleet: &Fleet, review: usize) -> Option<f64> {
    fleet.reviews.temperature_c.get(review).map(|celsius| celsius - REFERENCE_C).filter(|kelvin| kelvin.is_finite())
}

fn humid(fleet: &Fleet, review: usize) -> Option<f64> {
    let humidity = fleet.reviews.humidity_pct.get(review).copied().filter(|humidity| humidity.is_finite())?;
    Some((humidity.min(100.0) - DRY_PCT).max(0.0) / 10.0)
}

fn steps_of(fleet: &Fleet, machine: usize) -> impl Iterator<Item = Step> + '_ {
    let insulation = fleet.machines.insulation.get(machine).copied().unwrap_or_default();
    let reviews = fleet.reviews_of(machine);
    let mut before: Option<usize> = None;
    reviews.filter_map(move |review| {
        let (value, bound) = fleet.reviews.resistance.get(review)?;
        if bound != Bound::Exact || !fleet.reviews.time_a[review].is_finite() || fleet.reviews.extra[review] > 0.0 {
            return None;
        }
        let earlier = before.replace(review)?;
        if fleet.reviews.winding[earlier] != fleet.reviews.winding[review] || fleet.reviews.treated[review] {
            return None;
        }
        let years = fleet.reviews.time_a[review] - fleet.reviews.time_a[earlier];
        let change = value - fleet.reviews.resistance.value[earlier];
        let both = |of: fn(&Fleet, usize) -> Option<f64>| Some(of(fleet, review)? - of(fleet, earlier)?);
        (years <= LONGEST_GAP_A).then(|| Step {
            insulation,
            change,
            kelvin: both(kelvin).unwrap_or(0.0),
            humid: both(humid).unwrap_or(0.0),
            years,
        })
    })
}

/// Scatter before a fleet has told its own: two tests of one healthy winding differ by a factor of two in a quarter of pairs
/// (reference worlds), in decades.
pub const USUAL_SCATTER: f64 = 0.2;
/// Weight of that expectation in differences.
pub const USUAL_COUNT: f64 = 20.0;

/// Robust standard deviation of one reading from differences of two: half the interquartile range, drawn to what is usual where
/// there are few.
#[expect(clippy::cast_precision_loss, reason = "counts")]
fn scatter(differences: impl Iterator<Item = f64>) -> f64 {
    let mut sizes: Vec<u64> = differences.map(|difference| hundredths(difference.abs())).collect();
    sizes.sort_unstable();
    let count = sizes.len() as f64;
    let middle = sizes.get(sizes.len() / 2).map_or(0.0, |size| *size as f64 * 1e-4);
    let seen = middle / 0.674_49 / std::f64::consts::SQRT_2;
    let variance = (count * seen * seen + USUAL_COUNT * USUAL_SCATTER * USUAL_SCATTER) / (count + USUAL_COUNT);
    variance.sqrt().max(0.02)
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "not negative, and small")]
fn hundredths(value: f64) -> u64 {
    (value * 1e4).round() as u64
}
