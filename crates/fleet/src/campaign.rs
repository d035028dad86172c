//! What all tests of one site and year share (instrument, weather, habits), told from what one machine shows alone.

use crate::columns::UNTOLD;
use crate::counting;
use crate::tally::{BySide, Cell, Tally, key};
use rayon::prelude::*;
use windrow_model::Bound;

/// The price of a median against a mean: π/2.
const MEDIAN_PRICE: f64 = std::f64::consts::FRAC_PI_2;
const FEWEST: u64 = 5;
/// A machine's own reading is left out of the median of groups up to this.
const LEAVE_OUT_BELOW: u64 = 100;
/// A group that stands out by so many standard errors is believed as it stands, however rare such groups are (a limited translation
/// of shrinkage, after Efron and Morris 1972).
const CLEAR: f64 = 3.0;
/// One group's shift counts at most so much when the spread of shifts is estimated, in scatters.
const LARGEST: f64 = 5.0;

/// Which group each review is of, numbered without gaps.
pub(crate) struct Groups {
    /// [`UNTOLD`] where a review is of none.
    of: Vec<u32>,
    count: usize,
}

impl Groups {
    /// Numbers the groups of codes of any kind.
    pub(crate) fn of(codes: &[u32]) -> Self {
        let known = codes.iter().zip(0_u64..).filter(|(code, _)| **code != UNTOLD);
        // The place of each below its code: in the order of the codes groups are numbered without being looked for.
        let mut keys: Vec<u64> = known.map(|(code, place)| u64::from(*code) << 32 | place).collect();
        counting::sort(&mut keys);
        let (mut of, mut count) = (vec![UNTOLD; codes.len()], 0);
        for group in keys.chunk_by(|a, b| a >> 32 == b >> 32) {
            let number = u32::try_from(count).unwrap_or(UNTOLD);
            for key in group {
                if let Some(of) = usize::try_from(key & 0xffff_ffff).ok().and_then(|place| of.get_mut(place)) {
                    *of = number;
                }
            }
            count += 1;
        }
        Self { of, count }
    }
}

/// What the reviews of each group read above or below what their machines led to expect; `errors` is `NaN` where nothing was judged.
/// The reading of a machine never takes part in its own.
pub(crate) fn shared(errors: &[f64], bounds: &[Bound], groups: &Groups) -> Vec<f64> {
    let number = |review: usize| groups.of[review];
    let known = |review: usize| number(review) != UNTOLD && errors[review].is_finite();
    let key_of = |review: usize| key(number(review), errors[review], bounds[review]);
    let keys: Vec<u64> = (0..errors.len()).into_par_iter().filter(|review| known(*review)).map(key_of).collect();
    let Some(scatter) = scatter(&keys) else { return vec![0.0; errors.len()] };
    let tally = Tally::of(keys);
    let noise = MEDIAN_PRICE * scatter * scatter;
    let rule = Shrinkage { noise, between: between(&tally, noise, LARGEST * scatter) };
    let cells: Vec<(u32, Cell<'_>)> = tally.cells().collect();
    let mut groups_of: Vec<Option<Shared>> = Vec::new();
    groups_of.resize_with(groups.count, || None);
    let shared: Vec<Shared> = cells.par_iter().map(|(_, cell)| rule.shared(*cell)).collect();
    for ((number, _), shared) in cells.iter().zip(shared) {
        groups_of[*number as usize] = Some(shared);
    }
    let one = |review: usize| {
        let Some(Some(shared)) = groups_of.get(number(review) as usize) else { return 0.0 };
        if known(review) { shared.without(key_of(review)) } else { shared.whole }
    };
    (0..errors.len()).into_par_iter().map(one).collect()
}

/// What a group shares: all of it, and for each of its readings the others.
struct Shared {
    whole: f64,
    others: Others,
}

enum Others {
    /// So many that one more or less does not matter.
    Many,
    BySide(BySide<f64>),
    /// Some are bounded: by number, in their order.
    Each(Vec<(u64, f64)>),
}

impl Shared {
    fn without(&self, key: u64) -> f64 {
        match &self.others {
            Others::Many => self.whole,
            Others::BySide(sides) => sides.of(key),
            Others::Each(all) => {
                let found = all.binary_search_by_key(&key, |(known, _)| *known).ok();
                found.and_then(|place| all.get(place)).map_or(self.whole, |(_, shift)| *shift)
            }
        }
    }
}

/// Robust scatter of all errors; `None` where there are too few to tell.
fn scatter(keys: &[u64]) -> Option<f64> {
    let all = Tally::of(keys.iter().map(|key| key & 0xffff_ffff).collect());
    let cell = all.cell(0);
    let (low, middle) = (cell.quantile(0.25, None)?, cell.quantile(0.5, None)?);
    (cell.count() >= FEWEST).then(|| ((middle - low) / 0.674_49).max(0.02))
}

/// Variance of the true shifts of groups, by moments.
#[expect(clippy::cast_precision_loss, reason = "counts")]
fn between(tally: &Tally, noise: f64, largest: f64) -> f64 {
    let mut squares: Vec<f64> = tally
        .cells()
        .filter_map(|(_, cell)| {
            let median = cell.quantile(0.5, None)?;
            let count = cell.telling(median);
            let within = median.clamp(-largest, largest);
            (count >= FEWEST).then(|| within * within - noise / count as f64)
        })
        .collect();
    // Sorted, so that the numbers of the groups do not reach the sum.
    squares.sort_by(f64::total_cmp);
    let mean = squares.iter().sum::<f64>() / (squares.len() as f64).max(1.0);
    mean.max(0.002 * noise)
}

struct Shrinkage {
    noise: f64,
    between: f64,
}

impl Shrinkage {
    fn shared(&self, cell: Cell<'_>) -> Shared {
        let median = cell.quantile(0.5, None);
        let whole = self.shift(median, median.map_or(0, |median| cell.telling(median)));
        if cell.count() > LEAVE_OUT_BELOW {
            return Shared { whole, others: Others::Many };
        }
        // The one that is left out may be one that tells: of it nothing is known here.
        let without =
            |median: Option<f64>| self.shift(median, median.map_or(0, |median| cell.telling(median).saturating_sub(1)));
        let others = match cell.medians_by_side() {
            Some(sides) => Others::BySide(sides.map(without)),
            None => Others::Each(cell.keys().zip(cell.medians_without().into_iter().map(without)).collect()),
        };
        Shared { whole, others }
    }

    #[expect(clippy::cast_precision_loss, reason = "counts")]
    fn shift(&self, median: Option<f64>, count: u64) -> f64 {
        let Some(median) = median.filter(|_| count > 0) else { return 0.0 };
        let error = self.noise / count as f64;
        let is_clear = count >= 3 && median * median > CLEAR * CLEAR * error;
        let between = if is_clear { self.between.max(median * median - error) } else { self.between };
        median * between / (between + error)
    }
}

#[cfg(test)]
mod tests {
    use super::{Groups, shared};
    use windrow_model::Bound;

    /// Twenty sites of ten machines; one site reads 0.6 decade low in this year, and one machine elsewhere is low alone.
    #[test]
    fn a_site_that_worsens_is_told_from_a_machine_that_worsens_alone() {
        let mut errors: Vec<f64> = (0..200).map(|n| f64::from((n * 7919) % 41 - 20) * 0.01).collect();
        let groups: Vec<u32> = (0..200).map(|n| n / 10).collect();
        errors[..10].iter_mut().for_each(|error| *error -= 0.6);
        errors[55] = -0.8;
        let shifts = shared(&errors, &[Bound::Exact; 200], &Groups::of(&groups));
        assert!(shifts[..10].iter().all(|shift| (shift + 0.6).abs() < 0.12), "{:?}", &shifts[..10]);
        assert!(shifts[55].abs() < 0.05, "{}", shifts[55]);
    }

    /// A site whose new instrument ends below what its windings read: twelve ceilings far below what was expected, and two readings that were low
    /// enough to be read. That two are low says nothing of the site.
    #[test]
    fn ceilings_below_what_is_expected_tell_nothing_of_a_site() {
        let mut errors: Vec<f64> = (0..400).map(|n| f64::from((n * 7919) % 41 - 20) * 0.01).collect();
        let groups: Vec<u32> = (0..400).map(|n| n / 14).collect();
        let mut bounds = [Bound::Exact; 400];
        errors[..12].fill(-0.7);
        bounds[..12].fill(Bound::AtLeast);
        errors[12..14].copy_from_slice(&[-0.5, -0.45]);
        let shifts = shared(&errors, &bounds, &Groups::of(&groups));
        assert!(shifts[..14].iter().all(|shift| shift.abs() < 0.05), "{:?}", &shifts[..14]);
    }
}
