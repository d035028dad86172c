//! Kendall's S over bounded readings, and its significance.

use super::{Point, compare, finite, order, orders};
use crate::special::normal;

/// Series up to this length get the exact permutation distribution over 8! = 40 320 orders.
const EXACT_UP_TO: usize = 8;
/// Without ties and bounds the exact distribution of S costs only n³ steps, so it serves longer series too.
const EXACT_WITHOUT_TIES_UP_TO: usize = 60;

/// Kendall's S: pairs that rise minus pairs that fall; pairs of one date and pairs that bounds leave open count 0.
#[must_use]
pub fn score(points: &[Point]) -> i64 {
    score_about(&finite(points), 0.0)
}

/// S of the residuals about a line of slope `b`.
pub(super) fn score_about(points: &[Point], b: f64) -> i64 {
    let mut total = 0;
    for (index, first) in points.iter().enumerate() {
        for second in &points[index + 1..] {
            let (later, earlier) = match order(*second, *first) {
                0 => continue,
                1 => (*second, *first),
                _ => (*first, *second),
            };
            total += i64::from(compare(later, earlier, b * (later.t - earlier.t)));
        }
    }
    total
}

/// Kendall's tau-b: S over the root of comparable pairs in both directions; `None` if either has none.
#[must_use]
pub fn tau_b(points: &[Point]) -> Option<f64> {
    let points = &finite(points)[..];
    let (mut dates, mut values) = (0.0, 0.0);
    for (index, first) in points.iter().enumerate() {
        for second in &points[index + 1..] {
            dates += f64::from(u8::from(order(*second, *first) != 0));
            values += f64::from(u8::from(compare(*second, *first, 0.0) != 0));
        }
    }
    #[expect(clippy::cast_precision_loss, reason = "S is far below 2^52")]
    let s = score(points) as f64;
    (dates > 0.0 && values > 0.0).then(|| s / (f64::sqrt(dates) * f64::sqrt(values)))
}

/// How surprising S would be without a trend.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Significance {
    /// Kendall's S.
    pub s: i64,
    /// Two-sided p-value: chance of an |S| this large under every order of the values being equally likely.
    pub p: f64,
    /// Whether `p` is exact; else it is normal with continuity correction.
    pub exact: bool,
}

/// Significance of the trend of `points`; `None` for fewer than three, whose S can never be significant.
#[must_use]
pub fn significance(points: &[Point]) -> Option<Significance> {
    let points = &finite(points)[..];
    if points.len() < 3 {
        return None;
    }
    let s = score(points);
    if has_no_ties(points) && points.len() <= EXACT_WITHOUT_TIES_UP_TO {
        return Some(Significance { s, p: exact_without_ties(points.len(), s), exact: true });
    }
    if points.len() <= EXACT_UP_TO {
        return Some(Significance { s, p: orders::p_value(points, s), exact: true });
    }
    Some(Significance { s, p: normal_p(s, permutation_variance(points)), exact: false })
}

fn has_no_ties(points: &[Point]) -> bool {
    points.iter().enumerate().all(|(index, first)| {
        points[index + 1..].iter().all(|second| order(*second, *first) != 0 && compare(*second, *first, 0.0) != 0)
    }) && points.iter().all(|point| point.bound == windrow_model::Bound::Exact)
}

/// Exact two-sided p of |S| for `n` values without ties: share of orders with so few or so many inversions.
fn exact_without_ties(n: usize, s: i64) -> f64 {
    let pairs = n * (n - 1) / 2;
    let mut share = vec![1.0_f64];
    for size in 2..=n {
        let mut next = vec![0.0; share.len() + size - 1];
        #[expect(clippy::cast_precision_loss, reason = "n is at most 60")]
        let weight = 1.0 / size as f64;
        for (inversions, probability) in share.iter().enumerate() {
            for added in 0..size {
                next[inversions + added] += probability * weight;
            }
        }
        share = next;
    }
    let distance = s.unsigned_abs();
    let tail: f64 = share
        .iter()
        .enumerate()
        .filter(|(inversions, _)| pairs.abs_diff(2 * inversions) as u64 >= distance)
        .map(|(_, probability)| probability)
        .sum();
    tail.min(1.0)
}

/// Daniels' permutation variance of S; holds for ties and bounds alike.
#[must_use]
pub fn permutation_variance(points: &[Point]) -> f64 {
    permutation_variance_about(&finite(points), 0.0)
}

/// The same for the residuals about a line of slope `b`.
pub(super) fn permutation_variance_about(points: &[Point], b: f64) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "series are short")]
    let n = points.len() as f64;
    if n < 3.0 {
        return 0.0;
    }
    let dates = |i: usize, j: usize| f64::from(order(points[i], points[j]));
    let values = |i: usize, j: usize| f64::from(compare(points[i], points[j], b * (points[i].t - points[j].t)));
    let (dates_rows, dates_squares) = sums(points.len(), dates);
    let (values_rows, values_squares) = sums(points.len(), values);
    let first = 4.0 / (n * (n - 1.0) * (n - 2.0)) * (dates_rows - dates_squares) * (values_rows - values_squares);
    let second = 2.0 / (n * (n - 1.0)) * dates_squares * values_squares;
    (first + second) / 4.0
}

/// Sum of squared row sums, and sum of squares, of a score over ordered pairs.
fn sums(n: usize, score: impl Fn(usize, usize) -> f64) -> (f64, f64) {
    let (mut rows, mut squares) = (0.0, 0.0);
    for i in 0..n {
        let mut row = 0.0;
        for j in (0..n).filter(|j| *j != i) {
            let value = score(i, j);
            row += value;
            squares += value * value;
        }
        rows += row * row;
    }
    (rows, squares)
}

/// Two-sided normal p of S with continuity correction.
#[must_use]
pub fn normal_p(s: i64, variance: f64) -> f64 {
    if s == 0 || !(variance > 0.0) {
        return 1.0;
    }
    #[expect(clippy::cast_precision_loss, reason = "S is far below 2^52")]
    let z = (s.unsigned_abs() as f64 - 1.0) / variance.sqrt();
    (2.0 * normal::sf(z)).min(1.0)
}
