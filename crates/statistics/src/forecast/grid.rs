//! The cells over which the posterior is summed, and their priors.

use super::Reading;
use super::errors::{Product, above, base};
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
const SCATTERS: u8 = 9;
/// Scatters that are worked on together, the last of which may have no weight: as many as registers of two hold whole.
const TOGETHER: usize = (SCATTERS as usize).next_multiple_of(2);
const SCATTER_REACH: f64 = 2.4;
const SCATTER_SD: f64 = 0.35;
/// Largest weight below which weights may have lost their digits.
const LEAST_WEIGHT: f64 = 1e-200;
/// Share of the largest weight below which a cell changes nothing: all of them together are less than 1e-11 of the sum, and chances are told
/// in hundredths.
const NEGLIGIBLE: f64 = 1e-16;
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
        // Of a fixed length, so that the processor takes several at a time.
        let (mut per_scatter, mut weights) = ([scatters.first()?.0; TOGETHER], [0.0; TOGETHER]);
        for ((per_scatter, weight), (one_over, ln)) in per_scatter.iter_mut().zip(&mut weights).zip(&scatters) {
            (*per_scatter, *weight) = (*one_over, (ln - unit).exp());
        }
        // Exact ones first: they are the quicker ones, and tell for most cells that nothing else can matter there.
        let (exact, open): (Vec<Reading>, Vec<Reading>) =
            readings.iter().partition(|reading| reading.bound == Bound::Exact);
        let readings = [exact.as_slice(), open.as_slice()].concat();
        let mut cells = Vec::with_capacity(self.bends.len() * self.speeds.len() * self.levels.len());
        let squares = per_scatter.map(|per_scatter| per_scatter * per_scatter * 0.2);
        let least = squares.iter().copied().fold(f64::INFINITY, f64::min);
        let mut largest = 0.0_f64;
        self.fits(&readings, limit, |meeting, prior, surprises| {
            let (of_exact, of_open) = surprises.split_at(exact.len());
            // No weight of a scatter is above one, and none leaves more of a reading than the widest.
            let widest = of_exact.iter().fold(1.0, |base, surprise| base * (1.0 + surprise * surprise * least));
            if prior <= NEGLIGIBLE * largest * (widest * widest * widest) {
                cells.push((f64::INFINITY, 0.0));
                return;
            }
            let mut bases = [1.0; TOGETHER];
            for surprise in of_exact {
                let squared = surprise * surprise;
                for (bases, square) in bases.iter_mut().zip(&squares) {
                    *bases *= 1.0 + squared * square;
                }
            }
            let mut weighed = [0.0; TOGETHER];
            for place in 0..TOGETHER {
                let (base, prior) = (bases[place], prior * weights[place]);
                let cubed = base * base * base;
                weighed[place] = if prior > NEGLIGIBLE * largest * cubed { prior / cubed } else { 0.0 };
            }
            if !open.is_empty() && weighed.iter().any(|weight| *weight > 0.0) {
                let chances = chances(&open, of_open, &per_scatter);
                for (weighed, chance) in weighed.iter_mut().zip(&chances) {
                    *weighed *= chance;
                }
            }
            let sum: f64 = weighed.iter().sum();
            largest = largest.max(sum);
            // When a cell without weight meets the limit does not matter.
            cells.push((if sum > 0.0 { meeting.years() } else { f64::INFINITY }, sum));
        });
        if largest > LEAST_WEIGHT && largest.is_finite() {
            return Some(Crossings { cells, unit });
        }
        self.far_crossings(&readings, limit, &scatters)
    }

    /// The same by logarithms, cell by cell: for readings so many, or so far from any fit, that their weights leave the range of numbers.
    fn far_crossings(&self, readings: &[Reading], limit: f64, scatters: &[(f64, f64)]) -> Option<Crossings> {
        let mut found: Vec<(f64, f64)> = Vec::new();
        self.fits(readings, limit, |meeting, prior, surprises| {
            let years = meeting.years();
            let ln = |(per_scatter, ln): &(f64, f64)| prior.ln() + ln + Fit::of(readings, surprises, *per_scatter).ln();
            found.extend(scatters.iter().map(|scatter| (years, ln(scatter))));
        });
        let largest = found.iter().map(|(_, ln)| *ln).fold(f64::NEG_INFINITY, f64::max);
        if !largest.is_finite() {
            return None;
        }
        for (_, weight) in &mut found {
            *weight = (*weight - largest).exp();
        }
        Some(Crossings { cells: merged(&found, scatters.len()), unit: largest })
    }

    /// Gives how the limit is met, prior weight and what is left of each reading, for each bend, speed and level.
    fn fits(&self, readings: &[Reading], limit: f64, mut take: impl FnMut(Meeting, f64, &[f64])) {
        let mut surprises = vec![0.0; readings.len()];
        for (bend, bend_weight) in &self.bends {
            let fallen: Vec<f64> = readings.iter().map(|reading| growth(reading.t, *bend)).collect();
            for (speed, speed_weight) in &self.speeds {
                for level in &self.levels {
                    for (surprise, (reading, fallen)) in surprises.iter_mut().zip(readings.iter().zip(&fallen)) {
                        *surprise = reading.y - (level - speed * fallen);
                    }
                    let meeting = Meeting { above: level - limit, speed: *speed, bend: *bend };
                    take(meeting, bend_weight * speed_weight, &surprises);
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
    unit: f64,
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

/// Cells of one crossing differ in their scatter only.
fn merged(cells: &[(f64, f64)], scatters: usize) -> Vec<(f64, f64)> {
    cells
        .chunks(scatters)
        .filter_map(|chunk| Some((chunk.first()?.0, chunk.iter().map(|(_, weight)| weight).sum())))
        .collect()
}

/// Chance of all the readings that are bounded on one side, which are so far from what was fitted, for each of some scatters, by one over it.
fn chances(readings: &[Reading], surprises: &[f64], per_scatter: &[f64; TOGETHER]) -> [f64; TOGETHER] {
    let mut chances = [1.0; TOGETHER];
    for (reading, surprise) in readings.iter().zip(surprises) {
        let surprise = if reading.bound == Bound::AtMost { -surprise } else { *surprise };
        for (chance, per_scatter) in chances.iter_mut().zip(per_scatter) {
            *chance *= above(surprise * per_scatter);
        }
    }
    chances
}

/// How likely readings are, but for a constant and for what the scatter does to the densities.
struct Fit {
    bases: Product,
    chances: Product,
}

impl Fit {
    /// Of readings that are so far from what was fitted, with one over the scatter.
    fn of(readings: &[Reading], surprises: &[f64], per_scatter: f64) -> Self {
        let (mut bases, mut chances) = (Product::ONE, Product::ONE);
        for (reading, surprise) in readings.iter().zip(surprises) {
            let surprise = surprise * per_scatter;
            match reading.bound {
                Bound::Exact => bases.times(base(surprise)),
                Bound::AtLeast => chances.times(above(surprise)),
                Bound::AtMost => chances.times(above(-surprise)),
            }
        }
        Self { bases, chances }
    }

    fn ln(self) -> f64 {
        self.chances.ln() - 3.0 * self.bases.ln()
    }
}

/// (e^{kx} − 1)/k, x for k = 0.
fn growth(x: f64, bend: f64) -> f64 {
    if bend > 0.0 { (bend * x).exp_m1() / bend } else { x }
}

/// A level so far above the limit, with its fall.
struct Meeting {
    above: f64,
    speed: f64,
    bend: f64,
}

impl Meeting {
    /// Years until the level meets the limit; 0 if it has.
    fn years(&self) -> f64 {
        match self.above {
            above if above <= 0.0 => 0.0,
            above if self.bend > 0.0 => (self.bend * above / self.speed).ln_1p() / self.bend,
            above => above / self.speed,
        }
    }
}

fn geometric((least, largest): (f64, f64), count: u8) -> impl Iterator<Item = f64> {
    let ratio = (largest / least).ln() / f64::from(count - 1);
    (0..count).map(move |index| least * (ratio * f64::from(index)).exp())
}
