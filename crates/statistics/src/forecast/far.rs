//! Weights by logarithms, cell by cell: for readings so many, or so far from any fit, that their weights leave the range of numbers.

use super::Reading;
use super::cells::{Cells, Meeting};
use super::errors::{Product, above, base};
use super::grid::Crossings;
use windrow_model::Bound;

/// Cells with the ln of their weight, one a scatter.
pub(super) struct Far<'a> {
    readings: &'a [Reading],
    /// One over each scatter, and the ln of its weight.
    scatters: &'a [(f64, f64)],
    found: Vec<(f64, f64)>,
}

impl<'a> Far<'a> {
    pub(super) fn of(readings: &'a [Reading], scatters: &'a [(f64, f64)]) -> Self {
        Self { readings, scatters, found: Vec::new() }
    }

    /// Years to the limit with their weight; `None` if no cell has any.
    pub(super) fn crossings(self) -> Option<Crossings> {
        let mut found = self.found;
        let largest = found.iter().map(|(_, ln)| *ln).fold(f64::NEG_INFINITY, f64::max);
        if !largest.is_finite() {
            return None;
        }
        for (_, weight) in &mut found {
            *weight = (*weight - largest).exp();
        }
        Some(Crossings { cells: merged(&found, self.scatters.len()), unit: largest })
    }
}

impl Cells for Far<'_> {
    fn take(&mut self, meeting: &Meeting, prior: f64, surprises: &[f64]) {
        let (years, readings) = (meeting.years(), self.readings);
        let ln = |(per_scatter, ln): &(f64, f64)| prior.ln() + ln + Fit::of(readings, surprises, *per_scatter).ln();
        self.found.extend(self.scatters.iter().map(|scatter| (years, ln(scatter))));
    }
}

/// Cells of one crossing differ in their scatter only.
fn merged(cells: &[(f64, f64)], scatters: usize) -> Vec<(f64, f64)> {
    cells
        .chunks(scatters)
        .filter_map(|chunk| Some((chunk.first()?.0, chunk.iter().map(|(_, weight)| weight).sum())))
        .collect()
}

/// How likely readings are, but for a constant and for what the scatter does to the densities.
pub(super) struct Fit {
    bases: Product,
    chances: Product,
}

impl Fit {
    /// Of readings that are so far from what was fitted, with one over the scatter.
    pub(super) fn of(readings: &[Reading], surprises: &[f64], per_scatter: f64) -> Self {
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

    pub(super) fn ln(self) -> f64 {
        self.chances.ln() - 3.0 * self.bases.ln()
    }
}
