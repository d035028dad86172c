//! Unbalances that the source computed from the three values beside or above them.

use super::{Along, Placed, Run, last_place};
use crate::reader::Reader;
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::{Bound, Quantity};

/// Fewest and most values that an unbalance is of.
const VALUES: std::ops::RangeInclusive<usize> = 3..=6;
/// Lines of a form between the values and their unbalance.
const REACH: u32 = 6;

impl Reader<'_, '_, '_> {
    /// "U-V 41.6 | V-W 40.9 | W-U 43.0 | unbalance 2.8 %": resistances or inductances of a line, or of one above in the same block, that give
    /// the number by one of the usual ways.
    pub(super) fn unbalances(&self) -> BTreeSet<u32> {
        let shares: Vec<Placed<'_>> =
            self.placed().filter(|placed| placed.pending.reading.quantity.value == Quantity::Unbalance).collect();
        if shares.is_empty() {
            return BTreeSet::new();
        }
        let mut lines: BTreeMap<(Along, &'static str), Vec<Placed<'_>>> = BTreeMap::new();
        for placed in self.placed().filter(is_source) {
            let code = placed.pending.reading.quantity.value.code();
            placed.at.lines().into_iter().for_each(|line| lines.entry((line, code)).or_default().push(placed));
        }
        let gives = |share: &Placed<'_>, sources: &[Placed<'_>]| {
            let of_test: Vec<f64> = sources
                .iter()
                .filter(|source| share.may_be_with(source))
                .map(|source| source.pending.reading.number)
                .collect();
            VALUES.contains(&of_test.len())
                && are_shares_written_as(&of_test, &share.pending.reading.raw_text, share.pending.reading.number)
        };
        let is_near = |share: &Placed<'_>, (block, run, number): Along| {
            let own = share.at.lines().contains(&(block, run, number));
            let is_above = run == Run::Row && block == share.at.block && number < share.at.row;
            own || is_above && share.at.row - number <= REACH
        };
        let is_computed = |share: &&Placed<'_>| {
            lines.iter().any(|((line, _), sources)| is_near(share, *line) && gives(share, sources))
        };
        shares.iter().filter(is_computed).map(|share| share.pending.cell).collect()
    }
}

fn is_source(placed: &Placed<'_>) -> bool {
    let reading = &placed.pending.reading;
    matches!(reading.quantity.value, Quantity::WindingResistance | Quantity::Inductance)
        && reading.bound == Bound::Exact
}

/// Whether a number of so many decimals in percent is the greatest deviation from the mean, or the whole spread over the mean, the least or
/// the greatest. The values are rounded themselves.
fn are_shares_written_as(values: &[f64], text: &str, number: f64) -> bool {
    #[expect(clippy::cast_precision_loss, reason = "a handful")]
    let mean = values.iter().sum::<f64>() / values.len() as f64;
    let (least, greatest) = values.iter().fold((f64::MAX, f64::MIN), |(a, b), value| (a.min(*value), b.max(*value)));
    if least <= 0.0 {
        return false;
    }
    let spread = greatest - least;
    let deviation = (greatest - mean).max(mean - least);
    let shares = [deviation / mean, spread / mean, spread / least, spread / greatest];
    shares.iter().any(|share| (share * 100.0 - number).abs() <= last_place(text))
}
