//! Ratios of readings at two times, and the unbalance of three resistances.

use super::{Along, Placed, Run, key, last_place};
use crate::fit::is_of_others;
use crate::reader::Reader;
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::{Bound, PartialDate, Quantity};

/// Times whose readings a ratio is computed from, s: the polarization index of IEEE Std 43-2013, clause 5.4.
const INDEX: [(f64, f64); 1] = [(600.0, 60.0)];
/// The absorption ratios in use: 60 s over 30 s, and 60 s over 15 s. Common practice, no source.
const ABSORPTION: [(f64, f64); 2] = [(60.0, 30.0), (60.0, 15.0)];

/// How many rows above or below a ratio its readings may stand, where no machine or no day says which they are.
const REACH: u32 = 100;

/// Readings by the lines that they stand in.
type Lines<'r> = BTreeMap<Along, Vec<Placed<'r>>>;
/// Blocks by their first row and their number.
type Blocks<'r> = BTreeMap<(u32, usize), Sources<'r>>;

/// What a block has for ratios that stand below it, by column; under none its last line.
struct Sources<'r> {
    number: usize,
    lines: BTreeMap<Option<u32>, Vec<Placed<'r>>>,
}

impl Reader<'_, '_, '_> {
    /// Ratios that the readings of their line or column, or of their machine and day, give.
    pub(super) fn ratios(&self) -> BTreeSet<u32> {
        let ratios: Vec<Placed<'_>> =
            self.placed().filter(|placed| is_of_others(placed.pending.reading.quantity.value)).collect();
        if ratios.is_empty() {
            return BTreeSet::new();
        }
        let (lines, tests) = (self.lines_of_sources(), self.tests_with_sources());
        let blocks = blocks_of(&lines);
        let is_computed = |placed: &&Placed<'_>| {
            let quantity = placed.pending.reading.quantity.value;
            let in_line = placed
                .at
                .lines()
                .iter()
                .any(|line| lines.get(line).is_some_and(|sources| gives(quantity, &of_its_test(placed, sources))));
            in_line
                || key(placed.group).is_some_and(|key| tests.get(&key).is_some_and(|sources| gives(quantity, sources)))
                || is_ratio_of_the_block_above(placed, &blocks)
        };
        ratios.iter().filter(is_computed).map(|placed| placed.pending.cell).collect()
    }

    /// Readings that ratios come from, by the lines that they stand in.
    fn lines_of_sources(&self) -> Lines<'_> {
        let mut lines = Lines::new();
        for placed in self.placed().filter(is_source) {
            placed.at.lines().into_iter().for_each(|line| lines.entry(line).or_default().push(placed));
        }
        for sources in lines.values_mut() {
            sources.sort_unstable_by_key(|source| (source.at.row, source.at.column));
        }
        lines
    }

    /// The same by machine and day, where both are told.
    fn tests_with_sources(&self) -> BTreeMap<(&str, PartialDate), Vec<Placed<'_>>> {
        let mut tests: BTreeMap<_, Vec<Placed<'_>>> = BTreeMap::new();
        for placed in self.placed().filter(is_source) {
            if let Some(key) = key(placed.group) {
                tests.entry(key).or_default().push(placed);
            }
        }
        tests
    }
}

/// A ratio that stands below the block of its readings ("PI: 3.24") and is just what they give.
fn is_ratio_of_the_block_above(ratio: &Placed<'_>, blocks: &Blocks<'_>) -> bool {
    let reading = &ratio.pending.reading;
    let above = blocks.range(..(ratio.at.row + 1, 0)).rev().find(|(_, block)| block.number != ratio.at.block);
    let Some((_, block)) = above.filter(|_| reading.bound == Bound::Exact) else { return false };
    block.lines.values().any(|sources| {
        let sources = of_its_test(ratio, sources);
        times(reading.quantity.value).iter().any(|(over, under)| {
            let values = value_at(&sources, *over).zip(value_at(&sources, *under));
            let quotient = values.map(|(over, under)| over / under);
            quotient.is_some_and(|quotient| is_written_as(quotient, reading.number, &reading.raw_text))
        })
    })
}

/// Where blocks begin, and what ratios below them may come from: each of their columns, and their last line.
fn blocks_of<'r>(lines: &Lines<'r>) -> Blocks<'r> {
    let mut blocks: BTreeMap<usize, Sources<'r>> = BTreeMap::new();
    for ((number, run, at), sources) in lines {
        let block = blocks.entry(*number).or_insert_with(|| Sources { number: *number, lines: BTreeMap::new() });
        match run {
            Run::Column => block.lines.insert(Some(*at), sources.clone()),
            Run::Row => block.lines.insert(None, sources.clone()),
        };
    }
    let top = |block: &Sources<'_>| block.lines.values().flatten().map(|source| source.at.row).min().unwrap_or(0);
    blocks.into_values().map(|block| ((top(&block), block.number), block)).collect()
}

/// Whether readings give a ratio: both times, or three resistances of conductors less the one that may be missing.
fn gives(quantity: Quantity, sources: &[Placed<'_>]) -> bool {
    if quantity == Quantity::Unbalance {
        let is_conductor = |source: &&Placed<'_>| source.pending.reading.quantity.value == Quantity::WindingResistance;
        return sources.iter().filter(is_conductor).count() >= 2;
    }
    let has = |seconds: f64| sources.iter().any(|source| is_at(source, seconds));
    times(quantity).iter().any(|(over, under)| has(*over) && has(*under))
}

const fn times(quantity: Quantity) -> &'static [(f64, f64)] {
    match quantity {
        Quantity::PolarizationIndex => &INDEX,
        Quantity::AbsorptionRatio => &ABSORPTION,
        _ => &[],
    }
}

fn is_source(placed: &Placed<'_>) -> bool {
    let reading = &placed.pending.reading;
    match reading.quantity.value {
        Quantity::InsulationResistance => reading.elapsed_s.is_some(),
        Quantity::WindingResistance => true,
        _ => false,
    }
}

fn is_at(source: &Placed<'_>, seconds: f64) -> bool {
    source.pending.reading.elapsed_s.as_ref().is_some_and(|told| (told.value - seconds).abs() < 0.5)
}

/// Those near a ratio that may be of its test; `sources` stand in order.
fn of_its_test<'r>(ratio: &Placed<'_>, sources: &[Placed<'r>]) -> Vec<Placed<'r>> {
    let from = ratio.at.row.saturating_sub(REACH);
    let start = sources.partition_point(|source| source.at.row < from);
    let near = sources.get(start..).unwrap_or_default().iter();
    near.take_while(|source| source.at.row <= ratio.at.row + REACH)
        .filter(|source| source.may_be_with(ratio))
        .copied()
        .collect()
}

/// The exact value at a time, Ω.
fn value_at(sources: &[Placed<'_>], seconds: f64) -> Option<f64> {
    let source = sources.iter().find(|source| is_at(source, seconds))?;
    let reading = &source.pending.reading;
    (reading.bound == Bound::Exact).then(|| reading.unit.value.to_stored(reading.number))
}

/// Whether a quotient is written as `number`: rounded or cut to the digits that the text has.
fn is_written_as(quotient: f64, number: f64, text: &str) -> bool {
    (quotient - number).abs() < last_place(text)
}
