//! Histograms of whole hundredths, counted by cell: they add up to the same in any order, so every median and quantile of the
//! fleet is the same however the machines are parted.

use crate::counting;
use std::cmp::Ordering;
use windrow_model::Bound;

/// Width of a bin: 0.01 decade, or 0.01 of whatever is counted.
const BIN: f64 = 0.01;
/// Values beyond ± this are counted at the end of the range.
const REACH: f64 = 5_000.0;
const OFFSET: i64 = 1 << 20;
/// So many numbers are counted by one thread: they and their copy fit into its cache.
const TOGETHER: usize = 1 << 16;

/// Counts by cell, bin and bound, sorted.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Tally {
    counts: Vec<(u64, u32)>,
}

/// The counts of one cell: value, exact ones, at least that, sorted by value.
#[derive(Debug, Clone, Copy)]
pub struct Cell<'a> {
    counts: &'a [(u64, u32)],
}

/// A number to be counted in a cell.
#[must_use]
pub fn key(cell: u32, value: f64, bound: Bound) -> u64 {
    // A ceiling counts after the exact values of its bin: the true value is that or more.
    u64::from(cell) << 32 | bin(value) << 1 | u64::from(bound == Bound::AtLeast)
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped before")]
fn bin(value: f64) -> u64 {
    ((value.clamp(-REACH, REACH) / BIN).round() as i64 + OFFSET) as u64
}

#[expect(clippy::cast_precision_loss, reason = "bins are small whole numbers")]
fn value_of(key: u64) -> f64 {
    (((key & 0xffff_ffff) >> 1).cast_signed() - OFFSET) as f64 * BIN
}

impl Tally {
    /// Counts numbers made by [`key`].
    #[must_use]
    pub fn of(mut keys: Vec<u64>) -> Self {
        if keys.len() > TOGETHER {
            let rest = keys.split_off(keys.len() / 2);
            let (one, other) = rayon::join(|| Self::of(keys), || Self::of(rest));
            return one.merge(other);
        }
        counting::sort(&mut keys);
        let mut tally = Self::default();
        tally.count(keys);
        tally
    }

    /// Counts these few numbers instead of those before, in the same room.
    pub(crate) fn recount(&mut self, keys: &mut [u64]) {
        keys.sort_unstable();
        self.counts.clear();
        self.count(keys.iter().copied());
    }

    /// Counts sorted numbers.
    fn count(&mut self, keys: impl IntoIterator<Item = u64>) {
        for key in keys {
            match self.counts.last_mut() {
                Some((last, count)) if *last == key => *count += 1,
                _ => self.counts.push((key, 1)),
            }
        }
    }

    /// Both together.
    #[must_use]
    pub fn merge(self, other: Self) -> Self {
        let mut counts: Vec<(u64, u32)> = Vec::with_capacity(self.counts.len() + other.counts.len());
        let (mut ours, mut theirs) = (self.counts.into_iter().peekable(), other.counts.into_iter().peekable());
        while let (Some((key, count)), Some((their_key, their_count))) = (ours.peek(), theirs.peek()) {
            match key.cmp(their_key) {
                Ordering::Less => counts.extend(ours.next()),
                Ordering::Greater => counts.extend(theirs.next()),
                Ordering::Equal => {
                    counts.push((*key, count + their_count));
                    ours.next();
                    theirs.next();
                }
            }
        }
        counts.extend(ours);
        counts.extend(theirs);
        Self { counts }
    }

    /// The counts of a cell.
    #[must_use]
    pub fn cell(&self, cell: u32) -> Cell<'_> {
        let begin = self.counts.partition_point(|(key, _)| key >> 32 < u64::from(cell));
        let end = self.counts.partition_point(|(key, _)| key >> 32 <= u64::from(cell));
        Cell { counts: &self.counts[begin..end] }
    }

    /// Where a number made by [`key`] stands among all that are told apart.
    #[must_use]
    pub fn place(&self, key: u64) -> Option<usize> {
        self.place_between(0..self.counts.len(), key)
    }

    /// Where the numbers of each cell begin, for cells 0 to `cells` − 1, and where the last ends: with it a number is looked for in its own
    /// cell only.
    pub(crate) fn starts(&self, cells: usize) -> Vec<usize> {
        let mut starts = vec![self.counts.len(); cells + 1];
        for (place, (key, _)) in self.counts.iter().enumerate().rev() {
            if let Some(start) = usize::try_from(key >> 32).ok().and_then(|cell| starts.get_mut(cell)) {
                *start = place;
            }
        }
        for cell in (0..cells).rev() {
            starts[cell] = starts[cell].min(starts[cell + 1]);
        }
        starts
    }

    /// [`Tally::place`] of a number that stands in `places` if anywhere.
    pub(crate) fn place_between(&self, places: std::ops::Range<usize>, key: u64) -> Option<usize> {
        let begin = places.start;
        let found = self.counts.get(places)?.binary_search_by_key(&key, |(known, _)| *known).ok()?;
        Some(begin + found)
    }

    /// All cells with their codes.
    pub fn cells(&self) -> impl Iterator<Item = (u32, Cell<'_>)> {
        let same = |a: &(u64, u32), b: &(u64, u32)| a.0 >> 32 == b.0 >> 32;
        let code = |counts: &[(u64, u32)]| counts.first().and_then(|(key, _)| u32::try_from(key >> 32).ok());
        self.counts.chunk_by(same).filter_map(move |counts| Some((code(counts)?, Cell { counts })))
    }
}

impl Cell<'_> {
    /// How many are counted.
    #[must_use]
    pub fn count(&self) -> u64 {
        self.counts.iter().map(|(_, count)| u64::from(*count)).sum()
    }

    /// Quantile by the product-limit curve (Kaplan and Meier 1958): the smallest x with P(X > x) ≤ 1 − part; `None` where the
    /// ceilings hide it. `but` is a number left out of the count.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "counts are far below 2^52")]
    pub fn quantile(&self, part: f64, but: Option<u64>) -> Option<f64> {
        let mut at_risk = self.count().checked_sub(u64::from(but.is_some()))?;
        let mut above = 1.0;
        for (key, count) in self.counts {
            let count = u64::from(*count) - u64::from(but.is_some_and(|but| but & 0xffff_ffff == *key & 0xffff_ffff));
            if count == 0 {
                continue;
            }
            if key & 1 == 0 {
                above *= 1.0 - count as f64 / at_risk as f64;
                if above <= 1.0 - part + 1e-12 {
                    return Some(value_of(*key));
                }
            }
            at_risk = at_risk.saturating_sub(count);
        }
        None
    }

    /// The median without one of each of the numbers that are told apart, in their order.
    #[must_use]
    pub fn medians_without(&self) -> Vec<Option<f64>> {
        let without = |(key, _): &(u64, u32)| self.quantile(0.5, Some(*key));
        let Some(sides) = self.medians_by_side() else { return self.counts.iter().map(without).collect() };
        self.counts.iter().map(|(key, _)| sides.of(*key)).collect()
    }

    /// The median without one number, by where that stood: among exact values it only matters on which side of the median. `None` where some are
    /// bounded, or where there is none.
    #[must_use]
    pub(crate) fn medians_by_side(&self) -> Option<BySide<Option<f64>>> {
        let without = |key: u64| self.quantile(0.5, Some(key));
        let (first, last) = (self.counts.first()?.0, self.counts.last()?.0);
        let middle = self.quantile(0.5, None).filter(|_| self.counts.iter().all(|(key, _)| key & 1 == 0))?;
        let middle = self.counts.iter().map(|(key, _)| *key).find(|key| value_of(*key) >= middle)?;
        Some(BySide { middle: middle & 0xffff_ffff, below: without(first), at: without(middle), above: without(last) })
    }

    /// How many of the numbers tell where a median of `middle` lies: the exact ones, and the ceilings above it. A ceiling below leaves open on
    /// which side its true value stands, so that a median among many of them rests on the few others.
    #[must_use]
    pub fn telling(&self, middle: f64) -> u64 {
        let tells = |(key, _): &&(u64, u32)| key & 1 == 0 || value_of(*key) >= middle;
        self.counts.iter().filter(tells).map(|(_, count)| u64::from(*count)).sum()
    }

    /// The numbers that are told apart, as [`key`] made them.
    pub(crate) fn keys(&self) -> impl Iterator<Item = u64> + '_ {
        self.counts.iter().map(|(key, _)| *key)
    }

    /// How many numbers are told apart.
    #[must_use]
    pub fn distinct(&self) -> usize {
        self.counts.len()
    }

    /// Share that lies at or below `value`, by the product-limit curve.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "counts are far below 2^52")]
    pub fn share_up_to(&self, value: f64) -> f64 {
        let last = bin(value) << 1;
        let mut at_risk = self.count();
        let mut above = 1.0;
        for (key, count) in self.counts.iter().take_while(|(key, _)| key & 0xffff_ffff <= last) {
            if key & 1 == 0 {
                above *= 1.0 - f64::from(*count) / at_risk as f64;
            }
            at_risk = at_risk.saturating_sub(u64::from(*count));
        }
        1.0 - above
    }
}

/// Something of a cell for each side of its median.
#[derive(Debug, Clone, Copy)]
pub(crate) struct BySide<T> {
    /// The median, as [`key`] has it without its cell.
    middle: u64,
    below: T,
    at: T,
    above: T,
}

impl<T: Copy> BySide<T> {
    /// That of a number made by [`key`].
    pub(crate) fn of(&self, key: u64) -> T {
        match (key & 0xffff_ffff).cmp(&self.middle) {
            Ordering::Less => self.below,
            Ordering::Equal => self.at,
            Ordering::Greater => self.above,
        }
    }

    /// Another thing for each side.
    pub(crate) fn map<U>(self, of: impl Fn(T) -> U) -> BySide<U> {
        BySide { middle: self.middle, below: of(self.below), at: of(self.at), above: of(self.above) }
    }
}

#[cfg(test)]
mod tests {
    use super::{Tally, key};
    use windrow_model::Bound;

    fn tally(values: &[(f64, Bound)]) -> Tally {
        Tally::of(values.iter().map(|(value, bound)| key(7, *value, *bound)).collect())
    }

    #[test]
    fn parts_add_up_in_any_order() {
        let all: Vec<(f64, Bound)> = (0..50).map(|n| (f64::from(n * 13 % 29), Bound::Exact)).collect();
        let whole = tally(&all);
        let parts = || all.chunks(7).map(tally);
        assert_eq!(parts().fold(Tally::default(), Tally::merge), whole);
        assert_eq!(parts().rev().fold(Tally::default(), Tally::merge), whole);
    }

    #[test]
    fn medians_without_one_are_those_of_the_rest() {
        for count in 1..12_u32 {
            for ceilings in [false, true] {
                let bound = |n: u32| if ceilings && n.is_multiple_of(3) { Bound::AtLeast } else { Bound::Exact };
                let all: Vec<(f64, Bound)> = (0..count).map(|n| (f64::from(n * 7 % 5) * 0.1, bound(n))).collect();
                let whole = tally(&all);
                let without = whole.cell(7).medians_without();
                assert_eq!(without.len(), whole.cell(7).distinct());
                for (place, (value, bound)) in all.iter().enumerate() {
                    let rest: Vec<(f64, Bound)> =
                        all.iter().enumerate().filter(|(other, _)| *other != place).map(|(_, one)| *one).collect();
                    let entry = whole.place(key(7, *value, *bound)).unwrap();
                    assert_eq!(without[entry], tally(&rest).cell(7).quantile(0.5, None), "{all:?} without {place}");
                }
            }
        }
    }
}
