//! Groups that read differently from the rest: an instrument, a tester, a site in one year.

use crate::columns::UNTOLD;
use crate::tally::{Tally, key};
use windrow_model::Bound;
use windrow_statistics::multiplicity::benjamini_hochberg;
use windrow_statistics::special::{normal, student};

/// A group of fewer readings that tell its median is not judged.
const FEWEST: u64 = 5;
/// The price of a median against a mean: √(π/2).
const MEDIAN_PRICE: f64 = 1.253_314;

/// A group with what its readings have in common.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Odd {
    /// The code of the group.
    pub code: u32,
    /// Readings that tell it: of those at a ceiling only the ones above the median.
    pub count: u64,
    /// Median of reading less expectation.
    pub shift: f64,
    /// Standard error of that, the usual differences between groups included.
    pub error: f64,
    /// Rate of false discoveries among all groups up to this one.
    pub q: f64,
}

/// All groups of five readings or more with what they read above or below expectation, by code. `errors` is `NaN` where nothing was
/// expected.
#[must_use]
#[expect(clippy::cast_precision_loss, reason = "counts")]
pub fn odd_groups(errors: &[f64], bounds: &[Bound], groups: &[u32]) -> Vec<Odd> {
    let known = |review: &usize| groups[*review] != UNTOLD && errors[*review].is_finite();
    let reviews: Vec<usize> = (0..errors.len()).filter(known).collect();
    let counted = |cell: fn(u32) -> u32| {
        Tally::of(reviews.iter().map(|review| key(cell(groups[*review]), errors[*review], bounds[*review])).collect())
    };
    let (all, tally) = (counted(|_| 0), counted(|code| code));
    let quartiles = |part: f64| all.cell(0).quantile(part, None);
    let (Some(low), Some(middle)) = (quartiles(0.25), quartiles(0.5)) else { return Vec::new() };
    let scatter = ((middle - low) / normal::QUARTILE).max(0.02);
    let mut odd: Vec<Odd> = tally
        .cells()
        .filter_map(|(code, cell)| {
            let own = cell.quantile(0.5, None)?;
            let count = cell.telling(own);
            let error = MEDIAN_PRICE * scatter / (count as f64).sqrt();
            (count >= FEWEST).then_some(Odd { code, count, shift: own - middle, error, q: f64::NAN })
        })
        .collect();
    let usual = usual_spread(&odd);
    for group in &mut odd {
        group.error = group.error.hypot(usual);
    }
    // As many degrees of freedom as readings that make the median, so that five do not shout.
    let chance = |group: &Odd| 2.0 * student::cdf(-(group.shift / group.error).abs(), group.count as f64 - 1.0);
    let q = benjamini_hochberg(&odd.iter().map(chance).collect::<Vec<f64>>());
    odd.iter_mut().zip(q).for_each(|(group, q)| group.q = q);
    odd
}

/// How far groups usually differ beyond their errors: from the middle of the squares, so that a few odd groups do not hide themselves.
fn usual_spread(odd: &[Odd]) -> f64 {
    /// Median of χ² with one degree of freedom.
    const MIDDLE: f64 = 0.454_936;
    let mut squares: Vec<f64> = odd.iter().map(|group| group.shift.powi(2) / MIDDLE - group.error.powi(2)).collect();
    squares.sort_by(f64::total_cmp);
    squares.get(squares.len() / 2).copied().unwrap_or(0.0).max(0.0).sqrt()
}
