//! "Surge peak 2000 V, difference % | 1-2 | 0.9 | 2-3 | 3.1": the text at the left of a line of pairs says what their terminals and times leave
//! open.

use super::{Loose, Pair};
use crate::heading::Heading;
use crate::view::{Item, Orientation, View};
use std::collections::{BTreeMap, BTreeSet};
use windrow_text::circuit::Named;
use windrow_text::vocabulary::Concept;

/// From this weight on a text names what was measured.
const SURE: f32 = 0.6;
/// Fewest pairs of a line that such a text leads.
const FEWEST: usize = 2;

/// Adds what leading texts tell to the pairs of their lines, whose labels name terminals or a time and no quantity.
pub(super) fn settle(view: &View<'_>, loose: &mut Loose) {
    if view.orientation != Orientation::Upright {
        return;
    }
    let mut rows: BTreeMap<u32, Vec<usize>> = BTreeMap::new();
    for (index, pair) in loose.pairs.iter().enumerate().filter(|(_, pair)| is_open(pair)) {
        rows.entry(pair.label.row).or_default().push(index);
    }
    let of_pairs: BTreeSet<u32> = loose.pairs.iter().flat_map(|pair| [pair.label.cell, pair.value.cell]).collect();
    for (row, pairs) in rows.into_iter().filter(|(_, pairs)| pairs.len() >= FEWEST) {
        let Some(first) = pairs.iter().filter_map(|at| loose.pairs.get(*at)).map(|pair| pair.label.column).min() else {
            continue;
        };
        let line = view.line(view.line_at(row));
        let leads: Vec<Item> = line
            .iter()
            .filter(|item| item.row == row && item.column < first && !of_pairs.contains(&item.cell))
            .copied()
            .collect();
        if !leads.first().is_some_and(|lead| names_measured(view, lead)) {
            continue;
        }
        let told: Vec<Heading> = leads.iter().map(|lead| Heading::sum(view, &[*lead])).collect();
        for at in pairs {
            let Some(pair) = loose.pairs.get_mut(at) else { continue };
            for told in &told {
                take_over(&mut pair.heading, told);
            }
        }
    }
}

/// "Peak voltage | 1500 V" right above "Deviation L1-L2 | 1.1 %", and no resistance of windings in the sheet: the deviations are of waves.
pub(super) fn settle_differences(loose: &mut Loose) {
    let tells = |concept: Concept| {
        let captions = loose.captions.iter().flat_map(|caption| &caption.concepts);
        loose.pairs.iter().any(|pair| pair.heading.concept() == Some(concept))
            || captions.into_iter().any(|told| *told == concept)
    };
    if tells(Concept::WindingResistance) || tells(Concept::Resistance) {
        return;
    }
    let peaks: Vec<u32> = loose
        .pairs
        .iter()
        .filter(|pair| pair.heading.concept() == Some(Concept::SurgeVoltage))
        .map(|pair| pair.label.row)
        .collect();
    let of_surges = |pair: &Pair| peaks.iter().any(|row| (1..=NEAR).contains(&pair.label.row.saturating_sub(*row)));
    let is_between = |pair: &Pair| {
        let mut told = pair.heading.circuits.iter().flat_map(|by| &by.value);
        told.any(|meaning| matches!(meaning.named, Named::Pair(..)))
    };
    for pair in loose.pairs.iter_mut().filter(|pair| of_surges(pair) && is_between(pair)) {
        for (concept, weight, _) in &mut pair.heading.concepts {
            if *concept == Concept::Unbalance && *weight < SURE_WORD {
                *concept = Concept::SurgeDifference;
            }
        }
    }
}

/// Rows below a peak voltage in which deviations are of its waves.
const NEAR: u32 = 4;
/// From this weight on a word means an unbalance of resistances and nothing else.
const SURE_WORD: f32 = 0.95;

/// Whether a pair's label says between what or when, and not what was measured.
fn is_open(pair: &Pair) -> bool {
    let heading = &pair.heading;
    let tells = !heading.circuits.is_empty() || heading.elapsed_s.is_some();
    pair.inline.is_none() && heading.concepts.is_empty() && heading.unexplained.is_empty() && tells
}

fn names_measured(view: &View<'_>, lead: &Item) -> bool {
    view.sense(lead).label.concepts.iter().any(|(concept, weight)| {
        *weight >= SURE && (crate::fit::quantity(*concept).is_some() || *concept == Concept::Resistance)
    })
}

/// Adds what the lead tells and the pair does not.
fn take_over(heading: &mut Heading, told: &Heading) {
    if heading.concepts.is_empty() {
        heading.concepts.clone_from(&told.concepts);
    }
    if heading.circuits.is_empty() {
        heading.circuits.clone_from(&told.circuits);
    }
    heading.units = heading.units.take().or_else(|| told.units.clone());
    heading.elapsed_s = heading.elapsed_s.take().or_else(|| told.elapsed_s.clone());
    heading.voltage_v = heading.voltage_v.take().or_else(|| told.voltage_v.clone());
    heading.reference_c = heading.reference_c.take().or_else(|| told.reference_c.clone());
}
