//! What windings of a kind usually read: a hierarchy of cohorts, each drawn to the one above it the more the fewer it holds, so that
//! a cohort of two follows its parent and one of two hundred itself.

use crate::columns::Machines;
use crate::counting;
use crate::tally::{Cell, Tally, key};
use rayon::prelude::*;
use windrow_model::Bound;

/// The price of a median against a mean: π/2.
const MEDIAN_PRICE: f64 = std::f64::consts::FRAC_PI_2;
/// Quartile of a standard normal.
const QUARTILE: f64 = 0.674_49;
/// Cohorts with fewer members say nothing of how cohorts differ.
const FEWEST: u64 = 5;
/// Beyond this the machine's own part in the median of its cohort is too small to matter.
const LEAVE_OUT_BELOW: u64 = 200;
/// Weight of the expected spread between machines, in machines.
const USUAL_COUNT: f64 = 10.0;

/// The middle of the readings of one machine.
pub(crate) type Middle = Option<(f64, Bound)>;

/// What machines are expected to read before their own readings are seen.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Cohorts {
    /// A level a machine.
    pub(crate) level: Vec<f64>,
    /// Variance of machines about their level, noise of their middles included.
    pub(crate) between: f64,
}

/// Room for the readings of one machine after the other: there are millions, a few each.
#[derive(Debug, Default)]
pub(crate) struct Room {
    readings: Vec<(f64, Bound)>,
    keys: Vec<u64>,
    tally: Tally,
}

impl Room {
    /// Median of the readings of one machine; the largest bound known where more than half are bounded.
    pub(crate) fn middle(&mut self, readings: impl Iterator<Item = (f64, Bound)>) -> Middle {
        let Self { readings: known, keys, tally } = self;
        known.clear();
        known.extend(readings);
        keys.clear();
        keys.extend(known.iter().map(|(value, bound)| key(0, *value, *bound)));
        tally.recount(keys);
        let median = tally.cell(0).quantile(0.5, None).map(|median| (median, Bound::Exact));
        median.or_else(|| {
            known.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
            known.get(known.len() / 2).map(|(value, _)| (*value, Bound::AtLeast))
        })
    }
}

/// Levels of all machines of `cells` from their middles; `usual` is the standard deviation between machines where a fleet is too small to tell.
pub(crate) fn fit(cells: &Cells, middles: &[Middle], usual: f64) -> Cohorts {
    let all = Tally::of(keys(middles, |_| 0));
    let root = all.cell(0).quantile(0.5, None).unwrap_or_else(|| lowest_bound(middles));
    let mut level = vec![root; middles.len()];
    for codes in &cells.0 {
        descend(&mut level, middles, codes);
    }
    let rest: Vec<Middle> = residuals(middles, &level);
    let seen = spread(Tally::of(keys(&rest, |_| 0)).cell(0));
    let count = middles.iter().flatten().filter(|(_, bound)| *bound == Bound::Exact).count();
    Cohorts { level, between: blend(seen, count, usual * usual) }
}

#[expect(clippy::cast_precision_loss, reason = "counts")]
fn blend(seen: Option<f64>, count: usize, usual: f64) -> f64 {
    let count = if seen.is_some() { count as f64 } else { 0.0 };
    (count * seen.unwrap_or(0.0).powi(2) + USUAL_COUNT * usual) / (count + USUAL_COUNT)
}

/// Where every machine reads beyond its ceiling, the middle of the ceilings is all that is known.
fn lowest_bound(middles: &[Middle]) -> f64 {
    let mut bounds: Vec<f64> = middles.iter().flatten().map(|(value, _)| *value).collect();
    bounds.sort_unstable_by(f64::total_cmp);
    bounds.get(bounds.len() / 2).copied().unwrap_or(0.0)
}

fn keys(middles: &[Middle], cell: impl Fn(usize) -> u32 + Sync) -> Vec<u64> {
    let key_of = |(machine, middle): (usize, &Middle)| middle.map(|(value, bound)| key(cell(machine), value, bound));
    middles.par_iter().enumerate().filter_map(key_of).collect()
}

fn residuals(middles: &[Middle], level: &[f64]) -> Vec<Middle> {
    middles.iter().zip(level).map(|(middle, level)| middle.map(|(value, bound)| (value - level, bound))).collect()
}

/// Robust standard deviation: from the quartiles, or from the lower one where ceilings hide the upper.
fn spread(cell: Cell<'_>) -> Option<f64> {
    let (low, middle) = (cell.quantile(0.25, None)?, cell.quantile(0.5, None)?);
    let high = cell.quantile(0.75, None).unwrap_or(2.0 * middle - low);
    Some((high - low) / (2.0 * QUARTILE))
}

/// The cell of each machine on every level, coarse to fine: the same for all quantities.
pub(crate) struct Cells([Vec<u32>; 3]);

impl Cells {
    /// Of so many machines.
    pub(crate) fn of(machines: &Machines, count: usize) -> Self {
        let code = |codes: &[u32], machine: usize| codes.get(machine).copied().unwrap_or(crate::columns::UNTOLD);
        let rating: Vec<u32> = dense((0..count).map(|machine| (code(&machines.rating, machine), 0)).collect());
        let insulation: Vec<u32> =
            dense((0..count).map(|machine| (rating[machine], code(&machines.insulation, machine))).collect());
        let maker = dense((0..count).map(|machine| (insulation[machine], code(&machines.maker, machine))).collect());
        Self([rating, insulation, maker])
    }
}

/// Numbers pairs from 0 on.
fn dense(pairs: Vec<(u32, u32)>) -> Vec<u32> {
    let key = |(first, second): &(u32, u32)| u64::from(*first) << 32 | u64::from(*second);
    let mut known: Vec<u64> = pairs.iter().map(key).collect();
    counting::sort(&mut known);
    known.dedup();
    let place = |pair: &(u32, u32)| known.binary_search(&key(pair)).ok().and_then(|place| u32::try_from(place).ok());
    pairs.par_iter().map(|pair| place(pair).unwrap_or(crate::columns::UNTOLD)).collect()
}

fn descend(level: &mut [f64], middles: &[Middle], codes: &[u32]) {
    let rest = residuals(middles, level);
    let tally = Tally::of(keys(&rest, |machine| codes[machine]));
    let large: Vec<(u32, f64, f64)> = tally
        .cells()
        .filter_map(|(code, cell)| {
            let median = cell.quantile(0.5, None)?;
            let count = cell.telling(median);
            (count >= FEWEST).then_some((code, median, float(count)))
        })
        .collect();
    let mut medians = vec![f64::NAN; codes.iter().max().map_or(0, |code| *code as usize + 1)];
    for (code, median, _) in &large {
        medians[*code as usize] = *median;
    }
    let about: Vec<Middle> = rest
        .iter()
        .zip(codes)
        .map(|(rest, code)| {
            rest.map(|(value, bound)| (value - medians[*code as usize], bound)).filter(|(value, _)| value.is_finite())
        })
        .collect();
    let Some(within) = spread(Tally::of(keys(&about, |_| 0)).cell(0)).filter(|within| *within > 0.0) else { return };
    let noise = MEDIAN_PRICE * within * within;
    let mut squares: Vec<f64> = large.iter().map(|(_, median, count)| median * median - noise / count).collect();
    // Sorted, so that the numbers of the cohorts do not reach the sum.
    squares.sort_by(f64::total_cmp);
    let between = squares.iter().sum::<f64>() / float(squares.len() as u64).max(1.0);
    let between = between.max(0.01 * within * within);
    // `left_out`: numbers that take no part, which may be ones that tell.
    let shrunk = |cell: Cell<'_>, median: Option<f64>, left_out: u64| {
        let Some(median) = median else { return 0.0 };
        let count = cell.telling(median).saturating_sub(left_out);
        if count == 0 { 0.0 } else { median * between / (between + noise / float(count)) }
    };
    let cells: Vec<(u32, Cell<'_>)> = tally.cells().collect();
    let shifts: Vec<f64> = cells.par_iter().map(|(_, cell)| shrunk(*cell, cell.quantile(0.5, None), 0)).collect();
    let without: Vec<f64> = cells
        .par_iter()
        .zip(&shifts)
        .flat_map_iter(|((_, cell), whole)| {
            if cell.count() > LEAVE_OUT_BELOW {
                return vec![*whole; cell.distinct()];
            }
            cell.medians_without().into_iter().map(|median| shrunk(*cell, median, 1)).collect()
        })
        .collect();
    // Of each cohort its shift, and whether a machine's own part in it is told apart.
    let mut whole = vec![(0.0, false); medians.len()];
    for ((code, cell), shift) in cells.iter().zip(&shifts) {
        whole[*code as usize] = (*shift, cell.count() <= LEAVE_OUT_BELOW);
    }
    let starts = tally.starts(whole.len());
    level.par_iter_mut().enumerate().for_each(|(machine, level)| {
        let code = codes[machine];
        let Some((of_cohort, is_small)) = whole.get(code as usize) else { return };
        let places = starts[code as usize]..starts[code as usize + 1];
        let own = rest[machine]
            .filter(|_| *is_small)
            .and_then(|(value, bound)| tally.place_between(places, key(code, value, bound)));
        *level += own.map_or(*of_cohort, |place| without[place]);
    });
}

#[expect(clippy::cast_precision_loss, reason = "counts")]
fn float(count: u64) -> f64 {
    count as f64
}

#[cfg(test)]
mod tests {
    use super::{Cells, Room, fit};
    use crate::columns::Machines;
    use windrow_model::Bound;

    #[test]
    fn the_median_of_readings_that_are_mostly_ceilings_is_a_bound() {
        let (ceiling, mut room) = ((3.0, Bound::AtLeast), Room::default());
        let mut middle = |readings: &[(f64, Bound)]| room.middle(readings.iter().copied());
        assert_eq!(middle(&[ceiling, (2.0, Bound::Exact), ceiling]), Some((3.0, Bound::AtLeast)));
        assert_eq!(middle(&[(2.5, Bound::Exact), (2.0, Bound::Exact), ceiling]), Some((2.5, Bound::Exact)));
        assert_eq!(middle(&[]), None);
    }

    /// A cohort of one knows nothing but what its parent knows, whatever its machine reads.
    #[test]
    fn a_cohort_of_one_stays_at_its_parent() {
        let count = 41;
        let mut machines = Machines {
            rating: vec![0; count],
            insulation: vec![0; count],
            maker: vec![0; count],
            end: (1..=count).collect(),
        };
        machines.maker[0] = 1;
        let mut middles: Vec<_> = (0..41_u32).map(|n| Some((2.0 + f64::from(n) * 0.02, Bound::Exact))).collect();
        middles[0] = Some((-1.0, Bound::Exact));
        let cells = Cells::of(&machines, count);
        let low = fit(&cells, &middles, 0.35).level[0];
        middles[0] = Some((4.0, Bound::Exact));
        let high = fit(&cells, &middles, 0.35).level[0];
        assert!((low - high).abs() < 0.05 && (low - 2.4).abs() < 0.1, "{low} {high}");
    }
}
