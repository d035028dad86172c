//! The fleet's own null distribution (Efron 2004, *JASA* 99:96): how surprising a surprise is among all surprises of windings with as
//! long a history. Centre and scale from the quartiles, the tail from the good side: faults spoil the bad one.

use crate::normal::{self, Curve};
use crate::tally::{Cell, Tally, key};
use rayon::prelude::*;
use windrow_model::Bound;

/// Classes with fewer members take the null of all.
const FEWEST: u64 = 300;
/// Smallest scale that is believed: a narrower one would make alarms of nothing.
const NARROWEST: f64 = 0.8;
/// Weight, in surprises, of the expectation that they are as the model says.
const MODEL_COUNT: f64 = 100.0;
const ALL: u32 = u32::MAX - 1;
/// Tails heavier than this are not told from slips.
const HEAVIEST: f64 = 2.5;

/// Centre, scale and tail of one class.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Null {
    center: f64,
    scale: f64,
    degrees: f64,
}

impl Null {
    fn model() -> Self {
        Self { center: 0.0, scale: 1.0, degrees: f64::INFINITY }
    }

    fn score(&self, z: f64) -> f64 {
        normal::score_of_t((z - self.center) / self.scale, self.degrees)
    }

    /// The raw score whose calibrated score is `z`.
    pub(crate) fn raw(&self, z: f64) -> f64 {
        self.center + self.scale * normal::t_of_score(z, self.degrees)
    }
}

/// Nulls by class.
#[derive(Debug, Clone)]
pub(crate) struct Nulls {
    by_class: Vec<(Null, Curve)>,
}

impl Nulls {
    /// Fits the nulls of classes 0 to `classes` − 1 to raw scores (`NaN`: none).
    pub(crate) fn fit(scores: &[f64], bounds: &[Bound], classes_of: &[u8], classes: u8) -> Self {
        let keys = |all: bool| -> Vec<u64> {
            let key_of = |review: usize| {
                let class = if all { ALL } else { u32::from(classes_of[review]) };
                scores[review].is_finite().then(|| key(class, scores[review], bounds[review]))
            };
            (0..scores.len()).into_par_iter().filter_map(key_of).collect()
        };
        let (tally, all) = (Tally::of(keys(false)), Tally::of(keys(true)));
        let pooled = of_cell(all.cell(ALL), Null::model());
        let fitted = (0..classes).map(|class| {
            let cell = tally.cell(u32::from(class));
            if cell.count() < FEWEST { pooled } else { of_cell(cell, pooled) }
        });
        let mut by_class: Vec<(Null, Curve)> = Vec::new();
        for null in fitted {
            // Classes with few members share a null, and a curve takes hundreds of quantiles.
            let shared = by_class.iter().find(|(known, _)| *known == null).map(|(_, curve)| curve.clone());
            by_class.push((null, shared.unwrap_or_else(|| Curve::of(normal::FARTHEST, |z| null.score(z)))));
        }
        Self { by_class }
    }

    pub(crate) fn of(&self, class: u8) -> Null {
        self.by_class.get(usize::from(class)).map_or_else(Null::model, |(null, _)| *null)
    }

    /// The calibrated score. A ceiling is never bad news: its true value is taken in the middle of what lies above it.
    pub(crate) fn score(&self, class: u8, raw: f64, bound: Bound) -> f64 {
        let Some((_, curve)) = self.by_class.get(usize::from(class)) else { return f64::NAN };
        let z = curve.at(raw);
        if bound == Bound::AtLeast { normal::score(f64::midpoint(1.0, normal::below(z))) } else { z }
    }
}

#[expect(clippy::cast_precision_loss, reason = "counts")]
fn of_cell(cell: Cell<'_>, parent: Null) -> Null {
    let count = cell.count() as f64;
    let (Some(low), Some(middle)) = (cell.quantile(0.25, None), cell.quantile(0.5, None)) else { return parent };
    let high = cell.quantile(0.75, None);
    let degrees = high.and_then(|high| tail(cell, middle, high)).unwrap_or(parent.degrees);
    let quartile = normal::t_of_score(0.674_49, degrees);
    let width = high.map_or(middle - low, |high| (high - low) / 2.0) / quartile;
    let believed = count / (count + MODEL_COUNT);
    Null { center: middle * believed, scale: (width * believed + (1.0 - believed)).max(NARROWEST), degrees }
}

/// Degrees of freedom of the Student-t whose 97.5 % and 75 % points are as far apart as on the good side; `None` where ceilings hide them.
fn tail(cell: Cell<'_>, middle: f64, high: f64) -> Option<f64> {
    let ratio = (cell.quantile(0.975, None)? - middle) / (high - middle).max(0.01);
    let of = |degrees: f64| normal::t_of_score(1.959_96, degrees) / normal::t_of_score(0.674_49, degrees);
    if ratio <= of(200.0) {
        return Some(f64::INFINITY);
    }
    let (mut low, mut high) = (HEAVIEST, 200.0);
    for _ in 0..40 {
        let middle = f64::midpoint(low, high);
        if of(middle) > ratio { low = middle } else { high = middle }
    }
    Some(low)
}
