//! "Machine | North lift | South lift" over lines of nameplate, and further down "Date | | | | Weather" over dates and values: a second line of
//! headings tells its own keys, and the names above still hold for the columns between.

use super::Table;
use super::header::Cutter;
use crate::line::{self, is_value};
use crate::sense::Kind;
use crate::view::{Item, Orientation, View};
use windrow_text::vocabulary::Concept;

/// Fewest dated lines below, and how many are looked at.
const DATED: usize = 2;
const LOOKED_AT: usize = 6;
/// Most lines of nameplates, and most blank lines behind them.
const PLATES: usize = 12;
const ROOM: u32 = 3;

impl Cutter<'_, '_> {
    /// Tries to read line `at` as the keys of values whose columns a line of names heads further up.
    pub(super) fn try_keys_below(&mut self, at: usize, line: &[Item]) -> bool {
        let view = self.view;
        let Some((key, others)) = line.split_first() else { return false };
        if view.orientation != Orientation::Upright || !heads_dates(view, key) {
            return false;
        }
        let Some((corner, names)) = self.names_above(at, key).and_then(<[Item]>::split_first) else { return false };
        let last = names.iter().map(|item| item.right).max().unwrap_or(u32::MAX);
        let stand_beside = others.iter().all(|other| other.column > last && view.sense(other).kind == Kind::Text);
        if !stand_beside || !self.are_dated_below(at, key.column, names) {
            return false;
        }
        let right = others.iter().map(|item| item.right).max().unwrap_or(last);
        let columns = (key.column, right);
        let first: Vec<Item> = [corner].into_iter().chain(names).chain(others).copied().collect();
        let header = vec![first, vec![*key]];
        let body = self.body(at + 1, &header, columns);
        if body.lines.len() < DATED {
            return false;
        }
        for line in &header {
            self.claim(line);
        }
        for line in &body.lines {
            self.claim(&line.items);
        }
        self.claim(&body.repeats);
        self.tables.push(Table { header, columns, body: body.lines, repeats: body.repeats, continues: true });
        true
    }

    /// The line of a word for machines and two names or more that only lines of nameplates part from line `at`.
    fn names_above(&self, at: usize, key: &Item) -> Option<&[Item]> {
        let view = self.view;
        let mut below = view.row(at);
        for (above, line) in (0..at).rev().take(PLATES).map(|above| (above, view.line(above))) {
            if line.is_empty() || below > view.row(above) + 1 + ROOM {
                return None;
            }
            below = view.row(above);
            let first = line.first().filter(|first| first.column == key.column)?;
            if heads_machines(view, first) && line.len() >= 3 {
                return Some(line).filter(|_| above + 1 < at);
            }
            if !is_plate(view, first) {
                return None;
            }
        }
        None
    }

    /// Whether two lines or more right below begin with a date and hold values under half of the names.
    fn are_dated_below(&self, at: usize, first: u32, names: &[Item]) -> bool {
        let view = self.view;
        let is_dated = |line: &usize| {
            let items = self.free(*line, first, u32::MAX);
            let is_named = |item: &&Item| names.iter().any(|name| name.column == item.column);
            items.first().is_some_and(|item| item.column == first && view.sense(item).kind == Kind::Date)
                && items.iter().filter(is_named).filter(|item| is_value(view, item)).count() * 2 >= names.len()
        };
        (at + 1..view.line_count()).take(LOOKED_AT).filter(is_dated).count() >= DATED
    }
}

/// The same turned over: the line of labels parts where the keys of the dated values begin.
pub(super) fn parted(view: &View<'_>, segment: Vec<Item>) -> Vec<Vec<Item>> {
    let at = if view.orientation == Orientation::Turned { keys_at(view, &segment) } else { None };
    match at {
        Some(at) => segment.split_at_checked(at).map_or_else(Vec::new, |(a, b)| vec![a.to_vec(), b.to_vec()]),
        None => vec![segment],
    }
}

fn keys_at(view: &View<'_>, segment: &[Item]) -> Option<usize> {
    let corner = segment.iter().position(|item| heads_machines(view, item))?;
    let at = segment.iter().position(|item| heads_dates(view, item)).filter(|at| *at > corner + 1)?;
    let are_plates = segment[corner + 1..at].iter().all(|item| is_plate(view, item));
    let are_dated = segment[at + 1..].iter().take_while(|item| view.sense(item).kind == Kind::Date).count() >= DATED;
    (are_plates && are_dated).then_some(at)
}

fn heads_machines(view: &View<'_>, item: &Item) -> bool {
    let sense = view.sense(item);
    sense.is_pure_label() && matches!(sense.concept(), Some(Concept::Tag | Concept::Instrument))
}

fn heads_dates(view: &View<'_>, item: &Item) -> bool {
    let sense = view.sense(item);
    sense.is_pure_label() && sense.concept() == Some(Concept::Date)
}

/// A label of something that is told once of a machine: no date, and nothing measured.
fn is_plate(view: &View<'_>, item: &Item) -> bool {
    let Some(concept) = view.sense(item).concept() else { return false };
    line::is_heading(view, item) && concept != Concept::Date && crate::fit::quantity(concept).is_none()
}
