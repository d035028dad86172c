//! The cells over which the posterior is summed, and their priors.

use super::Reading;
use super::cells::{Cells, Meeting, Weigher};
use super::far::{Far, Fit};
use fearless_simd::{Level, dispatch};
use windrow_model::Bound;

/// Levels at the newest reading.
const LEVELS: u8 = 61;
/// Speeds of the fall.
const SPEEDS: u8 = 30;
/// Slowest and fastest, in scatters a year; the fastest is raised to half as much again as the steepest fall seen, up to a bound that
/// readings of nearly one day cannot raise.
const SPEED_REACH: (f64, f64) = (0.01, 5.0);
const FASTEST: f64 = 100.0;
const OVER_STEEPEST: f64 = 1.5;
/// Power of the speed that is its weight on a grid of even ratios: slow falls are likelier.
const SPEED_POWER: f64 = -0.25;
/// Accelerations besides none, and their reach, 1/year.
const BENDS: u8 = 7;
const BEND_REACH: (f64, f64) = (0.03, 1.2);
/// Prior chance of a straight fall.
const STRAIGHT: f64 = 0.4;
/// Scatters, and their reach in standard deviations of ln σ, which is 0.35.
pub(super) const SCATTERS: u8 = 9;
const SCATTER_REACH: f64 = 2.4;
const SCATTER_SD: f64 = 0.35;
/// Share of the largest weight from which a place counts as alive, and how few of them ask for a finer grid.
const ALIVE: f64 = 1e-4;
const FEW_SPEEDS: usize = 12;
const FEW_LEVELS: usize = 20;
/// Readings that bound the level at the newest one.
const NEAR: usize = 3;
/// How far the level at the newest reading may lie beyond the readings, in scatters.
const LEVEL_REACH: f64 = 4.0;

/// A grid value with its prior weight.
type Weighted = (f64, f64);

pub(super) struct Grid {
    levels: Vec<f64>,
    speeds: Vec<Weighted>,
    bends: Vec<Weighted>,
    scatters: Vec<Weighted>,
}

impl Grid {
    /// Grid for readings whose time is 0 at the newest.
    pub(super) fn of(readings: &[Reading], limit: f64, scatter: f64) -> Self {
        let newest = newest(readings);
        let values = || newest.iter().map(|reading| reading.y);
        let (least, largest) = (values().fold(f64::INFINITY, f64::min), values().fold(f64::NEG_INFINITY, f64::max));
        let reach = LEVEL_REACH * scatter;
        // Above what was only ever withstood the level may lie anywhere: as far again as that lies above the limit.
        let bounded = newest.iter().any(|reading| reading.bound == Bound::AtLeast);
        let beyond = if bounded { reach.max(largest - limit) } else { reach };
        let (low, high) = (least - reach, largest + beyond);
        Self {
            levels: even((low, high)),
            speeds: geometric((SPEED_REACH.0, fastest(readings, scatter)), SPEEDS)
                .map(|speed| (speed * scatter, speed.powf(SPEED_POWER)))
                .collect(),
            bends: std::iter::once((0.0, STRAIGHT))
                .chain(geometric(BEND_REACH, BENDS).map(|bend| (bend, (1.0 - STRAIGHT) / f64::from(BENDS))))
                .collect(),
            scatters: (0..SCATTERS)
                .map(|index| {
                    let place = SCATTER_REACH * (2.0 * f64::from(index) / f64::from(SCATTERS - 1) - 1.0);
                    (scatter * (SCATTER_SD * place).exp(), (-0.5 * place * place).exp())
                })
                .collect(),
        }
    }

    /// A grid over the speeds and levels that the posterior left alive, where it left so few of them that their spacing would show;
    /// `None` where it left enough.
    pub(super) fn refined(&self, crossings: &[(f64, f64)]) -> Option<Self> {
        let (mut by_speed, mut by_level) = (vec![0.0; self.speeds.len()], vec![0.0; self.levels.len()]);
        for (index, (_, weight)) in crossings.iter().enumerate() {
            let (speed, level) = (index / self.levels.len() % self.speeds.len(), index % self.levels.len());
            by_speed[speed] += weight;
            by_level[level] += weight;
        }
        let (speeds, levels) = (alive(&by_speed)?, alive(&by_level)?);
        if speeds.1 - speeds.0 > FEW_SPEEDS && levels.1 - levels.0 > FEW_LEVELS {
            return None;
        }
        let (slowest, _) = self.speeds.first()?;
        let (slow, fast) = (self.speeds.get(speeds.0)?.0, self.speeds.get(speeds.1)?.0);
        let (low, high) = (*self.levels.get(levels.0)?, *self.levels.get(levels.1)?);
        let weight = |speed: f64| (speed / slowest).powf(SPEED_POWER);
        Some(Self {
            levels: even((low, high)),
            speeds: geometric((slow, fast), SPEEDS).map(|speed| (speed, weight(speed))).collect(),
            bends: self.bends.clone(),
            scatters: self.scatters.clone(),
        })
    }

    /// Chance that the level falls at all, a fall and a steady level being as likely before any reading; `None` if neither has any weight.
    /// `crossings` are those of this grid.
    pub(super) fn falls(&self, readings: &[Reading], crossings: &Crossings) -> Option<f64> {
        let scatters = self.scatters_of(readings);
        let steady = self.levels.iter().flat_map(|level| {
            let surprises: Vec<f64> = readings.iter().map(|reading| reading.y - level).collect();
            let one = move |(per_scatter, ln): &(f64, f64)| ln + Fit::of(readings, &surprises, *per_scatter).ln();
            scatters.iter().map(one)
        });
        let steady: f64 = steady.map(|ln| (ln - crossings.unit).exp()).sum();
        let speeds: f64 = self.speeds.iter().map(|(_, weight)| weight).sum();
        let falling = crossings.cells.iter().map(|(_, weight)| weight).sum::<f64>() / speeds;
        let falls = falling / (falling + steady);
        falls.is_finite().then_some(falls)
    }

    /// Years to the limit with their posterior weight, one a level, speed and bend. `None` if no cell has any.
    pub(super) fn crossings(&self, readings: &[Reading], limit: f64) -> Option<Crossings> {
        let scatters = self.scatters_of(readings);
        let unit = scatters.iter().map(|(_, ln)| *ln).fold(f64::NEG_INFINITY, f64::max);
        // Exact ones first: they are the quicker ones, and tell for most cells that nothing else can matter there.
        let (exact, open): (Vec<Reading>, Vec<Reading>) =
            readings.iter().partition(|reading| reading.bound == Bound::Exact);
        let readings = [exact.as_slice(), open.as_slice()].concat();
        let count = self.bends.len() * self.speeds.len() * self.levels.len();
        let mut weigher = Weigher::of(count, &scatters, unit, &open)?;
        // With the widest registers that the processor has, which give the same numbers sooner.
        dispatch!(Level::new(), _simd => self.fits(&readings, limit, &mut weigher));
        if weigher.is_told() {
            return Some(Crossings { cells: weigher.cells, unit });
        }
        let mut far = Far::of(&readings, &scatters);
        self.fits(&readings, limit, &mut far);
        far.crossings()
    }

    /// Gives how the limit is met, prior weight and what is left of each reading, for each bend, speed and level.
    #[expect(clippy::inline_always, reason = "only so it becomes part of what is made for the processor at hand")]
    #[inline(always)]
    fn fits(&self, readings: &[Reading], limit: f64, cells: &mut impl Cells) {
        let mut surprises = vec![0.0; readings.len()];
        for (bend, bend_weight) in &self.bends {
            let fallen: Vec<f64> = readings.iter().map(|reading| growth(reading.t, *bend)).collect();
            for (speed, speed_weight) in &self.speeds {
                for level in &self.levels {
                    for (surprise, (reading, fallen)) in surprises.iter_mut().zip(readings.iter().zip(&fallen)) {
                        *surprise = reading.y - (level - speed * fallen);
                    }
                    let meeting = Meeting { above: level - limit, speed: *speed, bend: *bend };
                    cells.take(&meeting, bend_weight * speed_weight, &surprises);
                }
            }
        }
    }
}

impl Grid {
    /// One over each scatter, and the ln of its weight and of what it does to the densities of exact readings.
    fn scatters_of(&self, readings: &[Reading]) -> Vec<(f64, f64)> {
        let exact = readings.iter().filter(|reading| reading.bound == Bound::Exact).map(|_| 1.0).sum::<f64>();
        self.scatters.iter().map(|(scatter, weight)| (1.0 / scatter, weight.ln() - exact * scatter.ln())).collect()
    }
}

/// Years to the limit and the weight of each cell, in a unit whose ln is `unit`; no years where there is no weight.
pub(super) struct Crossings {
    pub(super) cells: Vec<(f64, f64)>,
    pub(super) unit: f64,
}

/// First and last place with weight, and one more on each side.
fn alive(weights: &[f64]) -> Option<(usize, usize)> {
    let largest = weights.iter().copied().fold(0.0, f64::max);
    let is_alive = |weight: &f64| *weight > ALIVE * largest;
    let (first, last) = (weights.iter().position(is_alive)?, weights.iter().rposition(is_alive)?);
    Some((first.saturating_sub(1), (last + 1).min(weights.len() - 1)))
}

fn even((low, high): (f64, f64)) -> Vec<f64> {
    (0..LEVELS).map(|index| low + (high - low) * f64::from(index) / f64::from(LEVELS - 1)).collect()
}

/// The readings near the level at the newest one.
fn newest(readings: &[Reading]) -> Vec<Reading> {
    let mut sorted = readings.to_vec();
    sorted.sort_by(|a, b| b.t.total_cmp(&a.t).then(a.y.total_cmp(&b.y)));
    sorted.truncate(NEAR);
    sorted
}

/// Scatters a year of the fastest fall on the grid.
fn fastest(readings: &[Reading], scatter: f64) -> f64 {
    let mut sorted = readings.to_vec();
    sorted.sort_by(|a, b| a.t.total_cmp(&b.t).then(a.y.total_cmp(&b.y)));
    let falls = sorted.windows(2).filter(|pair| pair[1].t > pair[0].t);
    let steepest = falls.map(|pair| (pair[0].y - pair[1].y) / (pair[1].t - pair[0].t)).fold(0.0, f64::max);
    (OVER_STEEPEST * steepest / scatter).clamp(SPEED_REACH.1, FASTEST)
}

/// (e^{kx} − 1)/k, x for k = 0.
fn growth(x: f64, bend: f64) -> f64 {
    if bend > 0.0 { (bend * x).exp_m1() / bend } else { x }
}

fn geometric((least, largest): (f64, f64), count: u8) -> impl Iterator<Item = f64> {
    let ratio = (largest / least).ln() / f64::from(count - 1);
    (0..count).map(move |index| least * (ratio * f64::from(index)).exp())
}
