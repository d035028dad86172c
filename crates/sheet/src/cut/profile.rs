//! What the columns of a body have held so far.

use super::BodyLine;
use crate::fit::{Wants, fits};
use crate::line;
use crate::sense::Kind;
use crate::view::{Item, View};
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::Dimension;

/// What a column holds, coarsely; marks for missing values fit everything.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Look {
    Number,
    Date,
    Duration,
    Tag,
    Label,
    Words,
    Prose,
    Any,
}

fn look(view: &View<'_>, item: &Item) -> Look {
    let sense = view.sense(item);
    match sense.kind {
        Kind::Number | Kind::Over => Look::Number,
        Kind::Date => Look::Date,
        Kind::Duration => Look::Duration,
        Kind::Ditto | Kind::Void | Kind::Broken => Look::Any,
        Kind::Text if sense.tag >= 0.5 => Look::Tag,
        Kind::Text if sense.words >= 5 => Look::Prose,
        Kind::Text if sense.is_pure_label() => Look::Label,
        Kind::Text => Look::Words,
    }
}

/// Looks of the columns of a body so far.
#[derive(Debug, Default)]
pub(super) struct Profile {
    pub(super) columns: BTreeMap<u32, BTreeMap<Look, u32>>,
    /// What the header promises of each column.
    promises: BTreeMap<u32, Wants>,
    /// Columns headed by a unit of voltage.
    in_volts: BTreeSet<u32>,
    pub(super) lines: u32,
}

impl Profile {
    /// Without lines yet, under a header.
    pub(super) fn under(view: &View<'_>, header: &[Vec<Item>]) -> Self {
        let leaves = header.iter().flatten().filter_map(|item| Some((item.column, promise(view, item)?)));
        let in_volts = |item: &&Item| {
            let best = view.sense(item).label.units.first().filter(|best| best.weight >= 0.8);
            best.is_some_and(|best| best.unit.dimension == Dimension::Voltage)
        };
        let in_volts = header.iter().flatten().filter(in_volts).map(|item| item.column).collect();
        Self { promises: leaves.collect(), in_volts, ..Self::default() }
    }

    pub(super) fn of(view: &View<'_>, header: &[Vec<Item>], body: &[BodyLine]) -> Self {
        let mut profile = Self::under(view, header);
        for line in body.iter().filter(|line| !line.is_statistic).take(64) {
            profile.add(view, &line.items);
        }
        profile
    }

    /// The kind of numbers that the header promises of a column.
    pub(super) fn promised_dimension(&self, column: u32) -> Option<Dimension> {
        match self.promises.get(&column)? {
            Wants::Number(dimension) => *dimension,
            _ => None,
        }
    }

    /// "12600 megohms" below "kV d.c.": whether a cell tells a unit that the header of its column rules out.
    pub(super) fn contradicts(&self, view: &View<'_>, item: &Item) -> bool {
        let mut parts = view.sense(item).measure.iter().flat_map(|measure| &measure.parts).peekable();
        let is_other = |part: &windrow_text::measure::Part| {
            let sure = part.units.first().filter(|unit| unit.weight >= 0.9);
            sure.is_some_and(|unit| unit.unit.dimension == Dimension::Resistance)
        };
        self.in_volts.contains(&item.column) && parts.peek().is_some() && parts.all(is_other)
    }

    pub(super) fn add(&mut self, view: &View<'_>, items: &[Item]) {
        self.lines += 1;
        for item in items {
            *self.columns.entry(item.column).or_default().entry(look(view, item)).or_default() += 1;
        }
    }

    /// Share of the cells that look like what their columns held so far.
    pub(super) fn agreement(&self, view: &View<'_>, items: &[Item]) -> f32 {
        let mut sum = 0.0;
        for item in items {
            let look = look(view, item);
            let Some(column) = self.columns.get(&item.column) else {
                // A column that was empty so far holds what its header promises, or a remark.
                let promised = self.promises.get(&item.column);
                let keeps = promised.is_some_and(|promise| fits(*promise, view.cell(item), view.sense(item)) >= 0.5);
                let remark = matches!(look, Look::Words | Look::Prose | Look::Any);
                sum += if items.len() > 2 && (keeps || remark) { 1.0 } else { 0.0 };
                continue;
            };
            sum += if look == Look::Any || column.keys().all(|known| *known == Look::Any) {
                1.0
            } else {
                column.keys().map(|known| likeness(*known, look)).fold(0.0_f32, f32::max)
            };
        }
        #[expect(clippy::cast_precision_loss, reason = "few cells")]
        let count = items.len().max(1) as f32;
        sum / count
    }
}

/// What a header cell promises of the cells below it; under months and years stand numbers, in whichever of them something was measured.
fn promise(view: &View<'_>, item: &Item) -> Option<Wants> {
    let sense = view.sense(item);
    let is_when = sense.is_period || sense.kind == Kind::Date || line::is_year(view, item);
    line::promise(sense).or_else(|| is_when.then_some(Wants::Number(None)))
}

/// How well one look stands for another.
fn likeness(known: Look, look: Look) -> f32 {
    match (known, look) {
        (a, b) if a == b => 1.0,
        (Look::Tag | Look::Prose, Look::Words) | (Look::Words, Look::Tag | Look::Label | Look::Prose) => 0.8,
        (Look::Label, Look::Words | Look::Tag) | (Look::Tag, Look::Label) => 0.5,
        // Dates of one column are typed in many ways; years and serials are numbers.
        (Look::Date, Look::Number) | (Look::Number, Look::Date) => 0.4,
        (Look::Number, Look::Words) => 0.3,
        _ => 0.0,
    }
}
