//! Akritas–Theil–Sen slope: where S of the residuals crosses zero.

use super::{Point, finite, order};
use crate::robust::median;
use windrow_model::Bound;

/// Slope of a series.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slope {
    /// Middle of the stretch of slopes about which S is zero, or the slope at which it jumps past zero.
    pub middle: f64,
    /// Lower end of that stretch.
    pub low: f64,
    /// Upper end of that stretch; `None` if S stays zero for every steeper slope.
    pub high: Option<f64>,
}

/// Slope of `points` in y per unit of t. Without bounds this is the median of the pair slopes (Theil–Sen).
///
/// `None` if no pair can be compared, or if S never falls to zero: the data then bound the slope from one side only.
#[must_use]
pub fn slope(points: &[Point]) -> Option<Slope> {
    let (pairs, mut s) = pair_slopes(&finite(points));
    let mut index = 0;
    while index < pairs.len() {
        let here = pairs[index].slope;
        while let Some(pair) = pairs.get(index).filter(|pair| pair.slope.total_cmp(&here).is_eq()) {
            s -= pair.weight;
            index += 1;
        }
        if s == 0 {
            return Some(stretch(here, pairs.get(index).map(|pair| pair.slope)));
        }
        if s < 0 {
            return Some(Slope { middle: here, low: here, high: Some(here) });
        }
    }
    None
}

fn stretch(low: f64, high: Option<f64>) -> Slope {
    Slope { middle: high.map_or(low, |high| f64::midpoint(low, high)), low, high }
}

/// Level at t = 0 of a line of slope `b`: median of y less b times the median of t (Conover 1980, as scipy). Bounded readings do not
/// take part; `None` without an exact one.
#[must_use]
pub fn intercept(points: &[Point], b: f64) -> Option<f64> {
    let exact: Vec<Point> = finite(points).into_iter().filter(|point| point.bound == Bound::Exact).collect();
    let of = |value: fn(&Point) -> f64| median(&exact.iter().map(value).collect::<Vec<f64>>());
    Some(of(|point| point.y)? - b * of(|point| point.t)?)
}

/// Slope of one pair.
pub(super) struct PairSlope {
    pub(super) slope: f64,
    /// Amount by which S falls there.
    pub(super) weight: i64,
}

/// Rising slopes of all comparable pairs, and S for a slope of −∞.
pub(super) fn pair_slopes(points: &[Point]) -> (Vec<PairSlope>, i64) {
    let mut pairs = Vec::new();
    let mut start = 0;
    for (index, first) in points.iter().enumerate() {
        for second in &points[index + 1..] {
            let (later, earlier) = match order(*second, *first) {
                0 => continue,
                1 => (second, first),
                _ => (first, second),
            };
            let slope = (later.y - earlier.y) / (later.t - earlier.t);
            // S(−∞) counts a pair as rising when its residual can only be above: all but those whose later member is
            // bounded from above or whose earlier one is bounded from below.
            let (weight, rises) = match (later.bound, earlier.bound) {
                (Bound::Exact, Bound::Exact) => (2, true),
                (Bound::AtLeast, Bound::Exact | Bound::AtMost) | (Bound::Exact, Bound::AtMost) => (1, true),
                (Bound::Exact | Bound::AtMost, Bound::AtLeast) | (Bound::AtMost, Bound::Exact) => (1, false),
                (Bound::AtLeast, Bound::AtLeast) | (Bound::AtMost, Bound::AtMost) => continue,
            };
            start += i64::from(rises);
            pairs.push(PairSlope { slope, weight });
        }
    }
    pairs.sort_by(|a, b| a.slope.total_cmp(&b.slope));
    (pairs, start)
}
