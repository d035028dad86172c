//! When a falling level meets a limit, allowing for a fall that accelerates.
//!
//! With x the years after the newest reading, V(x) = a − (b/k)(e^{kx} − 1), b > 0, k ≥ 0: straight for k = 0, else a plateau that falls
//! ever faster. A straight line alone is dangerously late when the fall accelerates. The posterior is summed on a grid; errors are
//! Student-t with 5 degrees of freedom, so that one wild reading does not rule; a reading that is only known to be at least its value
//! enters as the chance of that.
//!
//! # References
//! Own model; the grid, its priors and how often they were right in simulations are held by `tests/forecast`. For k = 0 and small
//! scatter it agrees with [`crate::regression::crossing`].

mod cells;
mod errors;
mod far;
mod grid;
mod order;

use grid::Grid;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;
use windrow_model::Bound;

/// One reading of a level.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Time, years from any origin.
    pub t: f64,
    /// Level, any unit in which its scatter is even.
    pub y: f64,
    /// How `y` bounds the true level.
    pub bound: Bound,
}

/// Fewest readings for a forecast.
pub const FEWEST: usize = 3;
/// Shortest horizon, years.
const LEAST_HORIZON: f64 = 10.0;

/// Chance of a fall from which a forecast has a middle and an end (set on simulated windings that do not fall, seeds 1 to 3 of `cargo xtask
/// scoreboard`, so that fewer than one in fifty gets a date).
pub const FALLS: f64 = 0.7;

/// Chances at the middle and at the end of a forecast.
const MIDDLE: f64 = 0.5;
const LATE: f64 = 0.9;

/// What may be said of the day on which the level meets the limit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Forecast {
    /// Beyond this many years after the newest reading nothing is said: ten, or the span of the readings if that is longer.
    pub horizon: f64,
    /// Chance that the limit is met before [`Forecast::not_before`].
    pub early: f64,
    /// Chance that the level falls at all, a steady one being as likely before any reading. Below [`FALLS`] no date is told: the readings
    /// cannot tell a fall from scatter.
    pub falls: f64,
    /// Years after the newest reading with the chance of having met the limit by then, rising.
    chances: Vec<(f64, f64)>,
}

/// Chance before the lower bound: one in ten from five readings on. Three or four cannot tell a fall that accelerates from a straight one,
/// and of simulated falls with the square of time (`cargo xtask scoreboard`) a bound of one in ten came too late in a third; so theirs is
/// farther out.
fn early(readings: usize) -> f64 {
    match readings {
        ..=3 => 0.02,
        4 => 0.05,
        _ => 0.1,
    }
}

/// Forecast of when a level falls to `limit`, from `readings` in any order and the `scatter` (standard deviation, unit of y) that such
/// readings usually have.
///
/// `None` for fewer than [`FEWEST`] usable readings, fewer than one that is exact or bounded from below, readings of one moment, or a
/// limit or scatter that is no usable number. About 130 000 cells a reading.
#[must_use]
pub fn forecast(readings: &[Reading], limit: f64, scatter: f64) -> Option<Forecast> {
    let usable = |reading: &&Reading| reading.t.is_finite() && reading.y.is_finite();
    let readings: Vec<Reading> = readings.iter().filter(usable).copied().collect();
    if readings.len() < FEWEST || !limit.is_finite() || !(scatter > 0.0 && scatter.is_finite()) {
        return None;
    }
    if readings.iter().all(|reading| reading.bound == Bound::AtMost) {
        return None;
    }
    let last = readings.iter().map(|reading| reading.t).fold(f64::NEG_INFINITY, f64::max);
    let first = readings.iter().map(|reading| reading.t).fold(f64::INFINITY, f64::min);
    if !(last > first) {
        return None;
    }
    let since: Vec<Reading> = readings.iter().map(|reading| Reading { t: reading.t - last, ..*reading }).collect();
    let coarse = Grid::of(&since, limit, scatter);
    let rough = coarse.crossings(&since, limit)?;
    let falls = coarse.falls(&since, &rough)?;
    let mut crossings = match coarse.refined(&rough.cells) {
        Some(fine) => fine.crossings(&since, limit)?.cells,
        None => rough.cells,
    };
    // Most cells have no weight, and sorting them would take as long as summing the rest.
    crossings.retain(|(_, weight)| *weight > 0.0);
    let mut crossings = order::by_years(&crossings);
    let mut sum = 0.0;
    for (_, share) in &mut crossings {
        sum += *share;
        *share = sum;
    }
    if !(sum > 0.0) {
        return None;
    }
    for (_, share) in &mut crossings {
        *share /= sum;
    }
    Some(Forecast { horizon: LEAST_HORIZON.max(last - first), early: early(readings.len()), falls, chances: crossings })
}

impl Forecast {
    /// Years after the newest reading before which the limit is met with the small chance [`Forecast::early`] only; the horizon where it
    /// lies beyond.
    #[must_use]
    pub fn not_before(&self) -> f64 {
        self.quantile(self.early).unwrap_or(self.horizon)
    }

    /// Whether the readings tell a fall from scatter.
    #[must_use]
    pub fn is_fall(&self) -> bool {
        self.falls >= FALLS
    }

    /// Years after which it is as likely met as not; `None` if that lies beyond the horizon, or if the readings tell no fall.
    #[must_use]
    pub fn middle(&self) -> Option<f64> {
        self.quantile(MIDDLE).filter(|_| self.is_fall())
    }

    /// Years after which it is met with a chance of nine in ten; `None`, open, beyond the horizon, or if the readings tell no fall.
    #[must_use]
    pub fn not_after(&self) -> Option<f64> {
        self.quantile(LATE).filter(|_| self.is_fall())
    }

    /// Chance that it is met within so many years after the newest reading.
    #[must_use]
    pub fn chance_within(&self, years: f64) -> f64 {
        let index = self.chances.partition_point(|(x, _)| *x <= years);
        index.checked_sub(1).and_then(|index| self.chances.get(index)).map_or(0.0, |(_, chance)| *chance)
    }

    /// The same with what its dates and the chance within so many years rest on, and nothing of the thousands of other chances: to be kept.
    #[must_use]
    pub fn kept(self, years: f64) -> Self {
        let within = self.chances.partition_point(|(x, _)| *x <= years).checked_sub(1);
        let dates = [self.early, MIDDLE, LATE].map(|p| Some(self.place(p)));
        let places: BTreeSet<usize> = dates.into_iter().chain([within]).flatten().collect();
        let chances = places.into_iter().filter_map(|place| self.chances.get(place).copied()).collect();
        Self { chances, ..self }
    }

    /// Where a chance is reached.
    fn place(&self, p: f64) -> usize {
        self.chances.partition_point(|(_, chance)| *chance < p)
    }

    fn quantile(&self, p: f64) -> Option<f64> {
        self.chances.get(self.place(p)).map(|(x, _)| *x).filter(|x| *x <= self.horizon)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn series(values: &[f64], bound: Bound) -> Vec<Reading> {
        values.iter().zip(2000_i32..).map(|(y, year)| Reading { t: f64::from(year), y: *y, bound }).collect()
    }

    #[test]
    fn too_little_gives_no_forecast() {
        assert_eq!(forecast(&series(&[3.0, 2.0], Bound::Exact), 1.0, 0.2), None);
        assert_eq!(forecast(&series(&[3.0, 2.0, f64::NAN], Bound::Exact), 1.0, 0.2), None);
        assert_eq!(forecast(&series(&[3.0, 2.0, 1.5], Bound::AtMost), 1.0, 0.2), None);
        assert_eq!(forecast(&series(&[3.0, 2.0, 1.5], Bound::Exact), f64::NAN, 0.2), None);
        assert_eq!(forecast(&series(&[3.0, 2.0, 1.5], Bound::Exact), 1.0, 0.0), None);
        let one_day = [3.0, 2.0, 2.5].map(|y| Reading { t: 2000.0, y, bound: Bound::Exact });
        assert_eq!(forecast(&one_day, 1.0, 0.2), None);
    }

    #[test]
    fn a_level_below_the_limit_has_met_it() {
        let found = forecast(&series(&[3.0, 2.0, 1.0, 0.2], Bound::Exact), 1.0, 0.1).unwrap();
        assert!(found.chance_within(0.0) > 0.85 && found.not_before() <= 0.0, "{}", found.chance_within(0.0));
    }

    #[test]
    fn what_only_ever_withstood_has_no_date() {
        let found = forecast(&series(&[10.0; 6], Bound::AtLeast), 4.0, 0.8).unwrap();
        assert_eq!(found.middle(), None);
        assert!(found.not_before() > 1.0 && found.not_after().is_none());
    }

    #[test]
    fn a_higher_withstood_level_is_never_worse() {
        let low = forecast(&series(&[10.0, 9.0, 8.0, 7.0], Bound::AtLeast), 4.0, 0.5).unwrap();
        let high = forecast(&series(&[10.0, 9.0, 8.0, 9.0], Bound::AtLeast), 4.0, 0.5).unwrap();
        assert!(high.chance_within(3.0) <= low.chance_within(3.0) + 1e-9);
    }
}
