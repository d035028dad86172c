//! Lines of words that the lines below them show to be headings, though hardly a word of them is known or two of them could be a label
//! and its value: "Quand | Moteur | Mesure | Sous" over dates, names and numbers.

use super::header::{Cutter, bounds};
use crate::line::{self, is_pair_row};
use crate::sense::Kind;
use crate::view::{Item, Orientation, View};
use std::collections::{BTreeMap, BTreeSet};

/// Fewest lines of values below.
const FEWEST: usize = 3;
/// Lines that are looked at.
const MOST: usize = 6;
/// Further lines of headings that may stand between.
const FURTHER: usize = 2;

impl Cutter<'_, '_> {
    /// Whether two columns or more of the line hold nothing but numbers or dates in three lines or more below it. In a view turned over,
    /// a line of words is a column of remarks as often as one of headings.
    pub(super) fn is_headed_by_body(&self, at: usize, segment: &[Item]) -> bool {
        let view = self.view;
        let are_words = segment.iter().all(|item| is_word(view, item));
        let are_joined = segment.windows(2).all(|two| two[1].column == two[0].right + 1);
        let knows_one = segment.iter().any(|item| line::is_heading(view, item));
        // Of two words that stand over numbers both one must say what was measured.
        let tells = segment.len() >= 3 || segment.iter().any(|item| names_measured(view, item));
        let is_upright = view.orientation == Orientation::Upright;
        if !is_upright || segment.len() < 2 || !are_words || !are_joined || !knows_one || !tells {
            return false;
        }
        if self.names_machine_of_table(at, segment) {
            return false;
        }
        let lines = self.lines_below(at, segment);
        if lines.len() < FEWEST {
            return false;
        }
        let mut columns: BTreeMap<u32, (usize, usize)> = BTreeMap::new();
        for item in lines.iter().flatten() {
            let (values, others) = columns.entry(item.column).or_default();
            match view.sense(item).kind {
                Kind::Number | Kind::Date | Kind::Duration => *values += 1,
                Kind::Text if windrow_text::date::clock(&view.cell(item).text).is_some() => *values += 1,
                Kind::Over | Kind::Void | Kind::Ditto | Kind::Broken => {}
                Kind::Text => *others += 1,
            }
        }
        let are_values = |(values, others): &(usize, usize)| *values >= FEWEST && *values > 2 * others;
        match columns.values().filter(|column| are_values(column)).count() {
            0 => false,
            1 => {
                let at = columns.iter().find(|(_, column)| are_values(column)).map(|(at, _)| *at);
                self.measures_named_lines(segment, &lines, at)
            }
            _ => true,
        }
    }

    /// "What | Where | Megohms": one column of numbers under a heading that tells in which unit, beside a first column of texts that differ
    /// from line to line and label nothing that is measured.
    fn measures_named_lines(&self, segment: &[Item], lines: &[Vec<Item>], at: Option<u32>) -> bool {
        let view = self.view;
        let (Some(first), Some(head)) = (segment.first(), segment.iter().find(|head| Some(head.column) == at)) else {
            return false;
        };
        let names: Vec<&Item> = lines.iter().flatten().filter(|item| item.column == first.column).collect();
        let texts: BTreeSet<&str> = names.iter().map(|item| view.cell(item).text.trim()).collect();
        let is_name = |item: &&Item| {
            let sense = view.sense(item);
            let label = &sense.label;
            sense.kind == Kind::Text
                && !sense.is_pair
                && label.units.is_empty()
                && label.elapsed_s.is_none()
                && sense.circuits.iter().chain(&label.circuits).all(|meaning| meaning.weight < 0.5)
                && label.concepts.iter().all(|(concept, _)| crate::fit::names_machine(*concept))
        };
        head.cell != first.cell
            && tells_unit(view, head)
            && names.len() == lines.len()
            && texts.len() == names.len()
            && names.iter().all(is_name)
    }

    /// "Motor | BR1 | jaw crusher" over a line of headings: a key with its value, and what the table below is of.
    fn names_machine_of_table(&self, at: usize, segment: &[Item]) -> bool {
        let [label, value, ..] = segment else { return false };
        let sense = self.view.sense(value);
        let is_name = sense.tag >= 0.5 && !sense.is_pure_label();
        let next = at + 1;
        let follows = next < self.view.line_count() && self.view.row(next) == self.view.row(at) + 1;
        let below = if follows { self.free(next, 0, u32::MAX) } else { Vec::new() };
        line::is_key_label(self.view, label)
            && is_name
            && below.len() >= segment.len()
            && below.iter().all(|item| is_word(self.view, item))
    }

    /// The lines right below, beyond further headings, that stand under the columns of a line; none where they are pairs themselves or
    /// reach beyond the line.
    fn lines_below(&self, at: usize, segment: &[Item]) -> Vec<Vec<Item>> {
        let view = self.view;
        let (left, right) = bounds(segment);
        let (mut lines, mut further) = (Vec::new(), 0);
        let mut last = segment.iter().map(|item| item.bottom).max().unwrap_or_default();
        for next in at + 1..view.line_count() {
            let items = self.free(next, left, right);
            if view.row(next) > last + 1 || items.is_empty() || lines.len() == MOST {
                break;
            }
            last = view.row(next);
            let are_words = items.iter().all(|item| is_word(view, item));
            if lines.is_empty() && are_words && further < FURTHER {
                further += 1;
                continue;
            }
            if is_pair_row(view, &items) || items.iter().any(|item| view.sense(item).is_pair) {
                break;
            }
            lines.push(items);
        }
        lines
    }
}

/// A short text that may head a column, known or not.
fn is_word(view: &View<'_>, item: &Item) -> bool {
    let (cell, sense) = (view.cell(item), view.sense(item));
    let text = cell.text.trim();
    matches!(sense.kind, Kind::Text)
        && !sense.is_pair
        && sense.words <= 5
        && !line::ends_with_colon(view, item)
        && (sense.tag < 0.5 || sense.is_pure_label() || text.chars().count() <= 4)
        && text.chars().any(char::is_alphabetic)
}

/// Whether a heading tells resistances by their unit, and nothing that is not understood.
fn tells_unit(view: &View<'_>, item: &Item) -> bool {
    let mut units = view.sense(item).label.units.iter();
    let is_resistance =
        |dimension| matches!(dimension, windrow_model::Dimension::Resistance | windrow_model::Dimension::Current);
    names_measured(view, item)
        && units.any(|meaning| meaning.weight >= 0.8 && !meaning.colloquial && is_resistance(meaning.unit.dimension))
}

/// Whether a text names a measured quantity or the unit of one.
fn names_measured(view: &View<'_>, item: &Item) -> bool {
    use windrow_model::Dimension;
    let label = &view.sense(item).label;
    let is_measured = |dimension| {
        matches!(dimension, Dimension::Resistance | Dimension::Current | Dimension::Capacitance | Dimension::Charge)
    };
    label.unexplained.is_empty()
        && (label.concepts.iter().any(|(concept, weight)| *weight >= 0.6 && crate::fit::quantity(*concept).is_some())
            || label.units.iter().any(|meaning| meaning.weight >= 0.8 && is_measured(meaning.unit.dimension)))
}
