//! Readings told as pairs, grouped into forms and their sections.

use super::{Block, Body, ReadTable};
use crate::loose::{Caption, Loose, Pair};
use crate::view::View;
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::Dimension;
use windrow_text::vocabulary::Concept;

/// Readings told as pairs, grouped: forms side by side apart, and within a form a new group after a table, or where a key pair of
/// the machine or date or the title of another quantity stands between.
pub(super) fn pair_blocks(view: &View<'_>, tables: &[ReadTable], loose: &Loose) -> Vec<Block> {
    let starts = form_starts(view, loose);
    let end = view.items().iter().map(|item| item.right).max().unwrap_or(0);
    let form = |column: u32| starts.iter().filter(|start| **start <= column).count();
    (0..=starts.len())
        .flat_map(|number| {
            let last = starts.get(number).map_or(end, |next| next.saturating_sub(1));
            let first = number.checked_sub(1).and_then(|before| starts.get(before)).copied().unwrap_or(0);
            let within = |pair: &Pair| form(pair.label.column) == number;
            let mut blocks = blocks_of_form(view, tables, loose, &within);
            if !starts.is_empty() {
                for block in &mut blocks {
                    block.columns = (first, last);
                }
            }
            blocks
        })
        .collect()
}

/// First columns of the second and further forms that stand side by side: where the labels of the form before begin again. One
/// label may be repeated by chance ("Date" of the test and of the calibration); forms repeat two or more.
pub(super) fn form_starts(view: &View<'_>, loose: &Loose) -> Vec<u32> {
    let mut columns: BTreeMap<u32, BTreeSet<String>> = BTreeMap::new();
    for pair in loose.pairs.iter().filter(|pair| pair.inline.is_none()) {
        let label = view.cell(&pair.label).text.trim().to_lowercase();
        columns.entry(pair.label.column).or_default().insert(label);
    }
    let mut starts = Vec::new();
    let mut form: BTreeSet<String> = BTreeSet::new();
    for (column, labels) in columns {
        if labels.intersection(&form).count() >= 2 {
            starts.push(column);
            form.clear();
        }
        form.extend(labels);
    }
    starts
}

fn blocks_of_form(view: &View<'_>, tables: &[ReadTable], loose: &Loose, within: &dyn Fn(&Pair) -> bool) -> Vec<Block> {
    let mut blocks: Vec<Block> = Vec::new();
    let mut broken = true;
    let mut told: BTreeSet<Concept> = BTreeSet::new();
    let titles = |from: u32, to: u32| {
        loose.captions.iter().any(|caption| {
            from < caption.item.row
                && caption.item.row < to
                && (caption.concepts.iter().any(|concept| crate::fit::quantity(*concept).is_some())
                    || tells_resistance(caption)
                    || is_day_alone(view, caption)
                    || begins_section(view, caption))
        })
    };
    for (index, pair) in loose.pairs.iter().enumerate().filter(|(_, pair)| within(pair)) {
        if pair.is_reading(view) {
            let row = pair.value.row;
            let (left, right) = (pair.label.column.min(pair.value.column), pair.value.column);
            let parted = blocks.last().is_some_and(|block| {
                tables.iter().any(|read| read.table.top() > block.rows.1 && read.table.top() < row)
                    || titles(block.rows.1, row)
            });
            match blocks.last_mut().filter(|_| !broken && !parted) {
                Some(block) => {
                    block.rows.1 = row;
                    block.columns = (block.columns.0.min(left), block.columns.1.max(right));
                    if let Body::Pairs(pairs) = &mut block.body {
                        pairs.push(index);
                    }
                }
                None => blocks.push(Block { rows: (row, row), columns: (left, right), body: Body::Pairs(vec![index]) }),
            }
            broken = false;
        } else if let Some(key @ (Concept::Tag | Concept::Date | Concept::Serial)) = pair.heading.concept() {
            // The date below the tag is of the same record; the next tag begins another.
            if !told.insert(key) {
                told = BTreeSet::from([key]);
                broken = true;
            }
        }
    }
    blocks
}

/// "After drying, 20 February, windings at 35 °C:", "Rotors, 500 V:": what stands below was measured later, otherwise, or in another
/// state.
fn begins_section(view: &View<'_>, caption: &Caption) -> bool {
    let leads = view.cell(&caption.item).text.trim_end().ends_with(':');
    let told = &caption.heading;
    let tells = !caption.dates.is_empty() || told.voltage_v.is_some() || told.elapsed_s.is_some();
    caption.footnote.is_none() && (told.stage.is_some() || leads && tells)
}

/// "OUT | 19 NOV 1996": a day in a line without a label begins what was measured then.
fn is_day_alone(view: &View<'_>, caption: &Caption) -> bool {
    let days = windrow_text::date::read(&view.cell(&caption.item).text);
    days.iter().any(|day| day.date.precision == windrow_model::Precision::Day && !day.bare_number)
}

/// "2. Widerstände (Ω)": a title of a unit of resistance begins a group of its own.
fn tells_resistance(caption: &Caption) -> bool {
    let mut units = caption.units.iter().flat_map(|(units, _)| units);
    caption.footnote.is_none()
        && units.any(|meaning| !meaning.colloquial && meaning.unit.dimension == Dimension::Resistance)
}
