//! The weight of each cell of the grid, summed over the scatters.

use super::Reading;
use super::errors::above;
use super::grid::SCATTERS;
use windrow_model::Bound;

/// Scatters that are worked on together, the last of which have no weight: as many as registers of four hold whole.
const TOGETHER: usize = (SCATTERS as usize).next_multiple_of(4);
/// Largest weight below which weights may have lost their digits.
const LEAST_WEIGHT: f64 = 1e-200;
/// Share of the largest weight below which a cell changes nothing: all of them together are less than 1e-11 of the sum, and chances are told
/// in hundredths.
const NEGLIGIBLE: f64 = 1e-16;

/// What is done with each cell of a grid.
pub(super) trait Cells {
    /// Takes how the limit is met, the prior weight and what is left of each reading.
    fn take(&mut self, meeting: &Meeting, prior: f64, surprises: &[f64]);
}

/// A level so far above the limit, with its fall.
pub(super) struct Meeting {
    pub(super) above: f64,
    pub(super) speed: f64,
    pub(super) bend: f64,
}

impl Meeting {
    /// Years until the level meets the limit; 0 if it has.
    pub(super) fn years(&self) -> f64 {
        match self.above {
            above if above <= 0.0 => 0.0,
            above if self.bend > 0.0 => (self.bend * above / self.speed).ln_1p() / self.bend,
            above => above / self.speed,
        }
    }
}

/// Weighs cells one after the other. The exact readings stand before the others.
pub(super) struct Weigher<'a> {
    open: &'a [Reading],
    /// One over each scatter, and its weight. Of a fixed length, so that the processor takes several at a time.
    per_scatter: [f64; TOGETHER],
    weights: [f64; TOGETHER],
    /// What turns the square of a surprise into that of its t over five, for each scatter; and the least of them.
    squares: [f64; TOGETHER],
    least: f64,
    /// Of the cells so far.
    largest: f64,
    /// Years to the limit with their weight.
    pub(super) cells: Vec<(f64, f64)>,
}

impl<'a> Weigher<'a> {
    /// For so many cells and some scatters, each as one over it and the ln of its weight, in a unit whose ln is given. `None` without any.
    pub(super) fn of(count: usize, scatters: &[(f64, f64)], unit: f64, open: &'a [Reading]) -> Option<Self> {
        let (mut per_scatter, mut weights) = ([scatters.first()?.0; TOGETHER], [0.0; TOGETHER]);
        for ((per_scatter, weight), (one_over, ln)) in per_scatter.iter_mut().zip(&mut weights).zip(scatters) {
            (*per_scatter, *weight) = (*one_over, (ln - unit).exp());
        }
        let squares = per_scatter.map(|per_scatter| per_scatter * per_scatter * 0.2);
        let least = squares.iter().copied().fold(f64::INFINITY, f64::min);
        Some(Self { open, per_scatter, weights, squares, least, largest: 0.0, cells: Vec::with_capacity(count) })
    }

    /// Whether the weights kept their digits.
    pub(super) fn is_told(&self) -> bool {
        self.largest > LEAST_WEIGHT && self.largest.is_finite()
    }

    /// The weight for each scatter, 0 where it changes nothing.
    #[expect(clippy::inline_always, reason = "only so it becomes part of what is made for the processor at hand")]
    #[inline(always)]
    fn weighed(&self, prior: f64, of_exact: &[f64]) -> [f64; TOGETHER] {
        let mut bases = [1.0; TOGETHER];
        for surprise in of_exact {
            let squared = surprise * surprise;
            for (bases, square) in bases.iter_mut().zip(&self.squares) {
                *bases *= 1.0 + squared * square;
            }
        }
        let mut weighed = [0.0; TOGETHER];
        for ((weighed, base), weight) in weighed.iter_mut().zip(bases).zip(&self.weights) {
            let (prior, cubed) = (prior * weight, base * base * base);
            let ratio = prior / cubed;
            *weighed = if prior > NEGLIGIBLE * self.largest * cubed { ratio } else { 0.0 };
        }
        weighed
    }

    /// Chance of all the readings that are bounded on one side, which are so far from what was fitted, for each scatter.
    #[expect(clippy::inline_always, reason = "only so it becomes part of what is made for the processor at hand")]
    #[inline(always)]
    fn chances(&self, of_open: &[f64]) -> [f64; TOGETHER] {
        let mut chances = [1.0; TOGETHER];
        for (reading, surprise) in self.open.iter().zip(of_open) {
            let surprise = if reading.bound == Bound::AtMost { -surprise } else { *surprise };
            for (chance, per_scatter) in chances.iter_mut().zip(&self.per_scatter) {
                *chance *= above(surprise * per_scatter);
            }
        }
        chances
    }
}

impl Cells for Weigher<'_> {
    #[expect(clippy::inline_always, reason = "only so it becomes part of what is made for the processor at hand")]
    #[inline(always)]
    fn take(&mut self, meeting: &Meeting, prior: f64, surprises: &[f64]) {
        let (of_exact, of_open) = surprises.split_at(surprises.len() - self.open.len());
        // No weight of a scatter is above one, and none leaves more of a reading than the widest.
        let widest = of_exact.iter().fold(1.0, |base, surprise| base * (1.0 + surprise * surprise * self.least));
        if prior <= NEGLIGIBLE * self.largest * (widest * widest * widest) {
            self.cells.push((f64::INFINITY, 0.0));
            return;
        }
        let mut weighed = self.weighed(prior, of_exact);
        if !self.open.is_empty() && weighed.iter().any(|weight| *weight > 0.0) {
            for (weighed, chance) in weighed.iter_mut().zip(self.chances(of_open)) {
                *weighed *= chance;
            }
        }
        let sum: f64 = weighed.iter().sum();
        self.largest = self.largest.max(sum);
        // When a cell without weight meets the limit does not matter.
        self.cells.push((if sum > 0.0 { meeting.years() } else { f64::INFINITY }, sum));
    }
}
