//! Robust trend of one series, with bounded readings handled as what they are.
//!
//! # What it finds
//! The slope of y over time by Akritas–Theil–Sen and whether there is a trend at all by Kendall's S, both by comparing
//! pairs: a reading written ">2000" is never 2000, it only tells that the value is not below that.
//!
//! What is not a finite number is left out by every function here.
//!
//! # References
//! Theil 1950; Sen 1968 *JASA* 63:1379; Akritas, Murphy, LaValley 1995 *JASA* 90:170; Kendall & Gibbons 1990;
//! permutation variance: Daniels 1944.

mod interval;
mod kendall;
mod orders;
mod slope;

pub use interval::{Extent, extent};
pub use kendall::{Significance, normal_p, permutation_variance, score, significance, tau_b};
pub use slope::{Slope, intercept, slope};

use windrow_model::Bound;

/// One reading of a series.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Time, any unit (years in the analyzer); only differences matter. The middle of the period where only a period is told.
    pub t: f64,
    /// Half the length of that period; 0 for a known date. Points whose periods overlap have no order.
    pub blur: f64,
    /// Value, any unit (log10 of the resistance at 40 °C in the analyzer).
    pub y: f64,
    /// How `y` bounds the true value.
    pub bound: Bound,
}

/// Whether `a` surely lies after (+1) or before (−1) `b`, or their order is open (0).
fn order(a: Point, b: Point) -> i8 {
    let apart = a.t - b.t;
    if apart.abs() > a.blur + b.blur { sign(apart) } else { 0 }
}

/// Whether the true value of `later` lies above (+1) or below (−1) that of `earlier`, or neither can be told (0).
///
/// `shift` is subtracted from `later.y − earlier.y` first, so that the same rule serves residuals about a slope.
fn compare(later: Point, earlier: Point, shift: f64) -> i8 {
    let difference = later.y - earlier.y - shift;
    match (later.bound, earlier.bound) {
        (Bound::Exact, Bound::Exact) => sign(difference),
        (Bound::AtLeast, Bound::Exact) | (Bound::Exact, Bound::AtMost) => i8::from(difference >= 0.0),
        (Bound::Exact, Bound::AtLeast) | (Bound::AtMost, Bound::Exact) => -i8::from(difference <= 0.0),
        (Bound::AtLeast, Bound::AtMost) => i8::from(difference >= 0.0),
        (Bound::AtMost, Bound::AtLeast) => -i8::from(difference <= 0.0),
        (Bound::AtLeast, Bound::AtLeast) | (Bound::AtMost, Bound::AtMost) => 0,
    }
}

/// Points whose numbers are all finite.
fn finite(points: &[Point]) -> Vec<Point> {
    let is_finite = |point: &&Point| point.t.is_finite() && point.y.is_finite() && point.blur.is_finite();
    points.iter().filter(is_finite).copied().collect()
}

fn sign(value: f64) -> i8 {
    i8::from(value > 0.0) - i8::from(value < 0.0)
}

#[cfg(test)]
mod tests;
