//! How far the slope of a series may be off.
//!
//! # References
//! Sen 1968 *JASA* 63:1379, by order statistics of the pair slopes; with bounded readings the slopes about which S is not surprising.

use super::kendall::{permutation_variance, permutation_variance_about, score_about};
use super::slope::{PairSlope, pair_slopes};
use super::{Point, finite};
use crate::special::normal;
use windrow_model::Bound;

/// Fewer points give a range, not an interval: no statement of confidence is possible.
const FEWEST: usize = 5;

/// Slopes that the data allow; an open end is `None`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Extent {
    /// An interval at the level that was asked for.
    Interval(Option<f64>, Option<f64>),
    /// The least and the largest slope of any pair: fewer than five points.
    Range(Option<f64>, Option<f64>),
}

/// Extent of the slope of `points` at a two-sided `level` (0.9, say). `None` if no pair can be compared.
#[must_use]
pub fn extent(points: &[Point], level: f64) -> Option<Extent> {
    let points = finite(points);
    let (pairs, _) = pair_slopes(&points);
    if points.len() < FEWEST {
        return range(&points, &pairs);
    }
    let z = normal::quantile(f64::midpoint(1.0, level));
    if points.iter().all(|point| point.bound == Bound::Exact) {
        let (low, high) = order_statistics(&pairs, z * permutation_variance(&points).sqrt())?;
        return Some(Extent::Interval(Some(low), Some(high)));
    }
    let (low, high) = unsurprising(&points, &pairs, z)?;
    Some(Extent::Interval(low, high))
}

/// Pairs with a bounded member leave the side open to which the bound points.
fn range(points: &[Point], pairs: &[PairSlope]) -> Option<Extent> {
    let (first, last) = (pairs.first()?.slope, pairs.last()?.slope);
    let bounded = points.iter().any(|point| point.bound != Bound::Exact);
    if !bounded {
        return Some(Extent::Range(Some(first), Some(last)));
    }
    // S(b) far below and far above all pair slopes: where it is zero, no pair speaks against a steeper slope.
    let beyond = 1.0 + last.abs().max(first.abs());
    let (below, above) = (score_about(points, first - beyond), score_about(points, last + beyond));
    Some(Extent::Range((below > 0).then_some(first), (above < 0).then_some(last)))
}

/// Slopes at the ranks (N ∓ z σ)/2, rounded half to even as scipy does.
fn order_statistics(pairs: &[PairSlope], half_width: f64) -> Option<(f64, f64)> {
    #[expect(clippy::cast_precision_loss, reason = "counts are far below 2^52")]
    let count = pairs.len() as f64;
    let last = pairs.len().checked_sub(1)?;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to the length of the list")]
    let rank = |place: f64| place.round_ties_even().clamp(0.0, count) as usize;
    let low = rank(f64::midpoint(count, -half_width) - 1.0);
    let high = rank(f64::midpoint(count, half_width)).min(last);
    Some((pairs.get(low)?.slope, pairs.get(high)?.slope))
}

/// The slopes b with |S(b)| ≤ z √Var(b); S falls, so both ends are found by halving.
fn unsurprising(points: &[Point], pairs: &[PairSlope], z: f64) -> Option<(Option<f64>, Option<f64>)> {
    let slopes: Vec<f64> = pairs.iter().map(|pair| pair.slope).collect();
    let (first, last) = (*slopes.first()?, *slopes.last()?);
    let reach = 1.0 + last.abs().max(first.abs());
    #[expect(clippy::cast_precision_loss, reason = "S is far below 2^52")]
    let surprise = |b: f64| {
        let width = z * permutation_variance_about(points, b).max(0.0).sqrt();
        (score_about(points, b) as f64, width)
    };
    let too_low = |b: f64| {
        let (s, width) = surprise(b);
        s > width
    };
    let too_high = |b: f64| {
        let (s, width) = surprise(b);
        s < -width
    };
    // Between two slopes S is constant: the stretch behind slope i stands for all of it.
    let stretch = |index: usize| match slopes.get(index + 1) {
        Some(next) => f64::midpoint(slopes[index], *next),
        None => last + reach,
    };
    let low = if too_low(first - reach) {
        let indices: Vec<usize> = (0..slopes.len()).collect();
        let rejected = indices.partition_point(|index| too_low(stretch(*index)));
        slopes.get(rejected).copied()
    } else {
        None
    };
    let indices: Vec<usize> = (0..slopes.len()).collect();
    let accepted = indices.partition_point(|index| !too_high(stretch(*index)));
    Some((low, slopes.get(accepted).copied()))
}

#[cfg(test)]
mod tests {
    use super::{Extent, extent};
    use crate::trend::Point;
    use windrow_model::Bound;

    fn series(values: &[(f64, Bound)]) -> Vec<Point> {
        let dated = values.iter().zip(2000_i32..);
        dated.map(|((y, bound), year)| Point { t: f64::from(year), blur: 0.0, y: *y, bound: *bound }).collect()
    }

    #[test]
    fn few_points_give_a_range() {
        let exact = series(&[(3.0, Bound::Exact), (2.8, Bound::Exact), (2.1, Bound::Exact)]);
        let Some(Extent::Range(Some(low), Some(high))) = extent(&exact, 0.9) else { panic!("a range") };
        assert!((low + 0.7).abs() < 1e-12 && (high + 0.2).abs() < 1e-12);
    }

    /// A ceiling first: the fall may be as steep as it likes.
    #[test]
    fn an_open_end_stays_open() {
        let bounded = series(&[(3.0, Bound::AtLeast), (2.8, Bound::AtLeast), (2.1, Bound::Exact)]);
        let Some(Extent::Range(low, high)) = extent(&bounded, 0.9) else { panic!("a range") };
        assert!(low.is_none() && high.is_some());
        let mut longer = series(&[(3.3, Bound::AtLeast); 6]);
        longer.push(Point { t: 2006.0, blur: 0.0, y: 2.1, bound: Bound::Exact });
        assert!(matches!(extent(&longer, 0.9), Some(Extent::Interval(None, _))), "{:?}", extent(&longer, 0.9));
    }

    #[test]
    fn only_ceilings_say_nothing() {
        assert_eq!(extent(&series(&[(3.0, Bound::AtLeast); 7]), 0.9), None);
    }
}
