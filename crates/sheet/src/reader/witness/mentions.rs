//! Voltages, times and units that a text mentions between a reading and the place that told it another one.

use super::is_far;
use crate::column::Role;
use crate::context::Body;
use crate::reader::Reader;
use crate::reader::test::{Group, Pending};
use crate::view::{Item, Orientation};
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::raw::{Told, Via};
use windrow_model::{Dimension, PartialDate, Place, Quantity, Unit};
use windrow_source::Cell;
use windrow_text::circuit::Named;
use windrow_text::mention;
use windrow_text::prose;
use windrow_text::vocabulary::Concept;

/// What one text mentions.
#[derive(Debug, Clone, Default)]
pub(super) struct Mentions {
    volts: Vec<f64>,
    seconds: Vec<f64>,
    units: Vec<Unit>,
    winding_c: Vec<f64>,
    /// For each day what it may be.
    days: Vec<Vec<PartialDate>>,
    /// Days, months or years of other visits that it says a value to be from.
    visits: Vec<PartialDate>,
    /// What it says of the value that it stands beside as a whole.
    doubt: Option<Doubted>,
    /// Whether it tells a day by another one ("a day later").
    is_relative: bool,
    /// Whether it speaks of what stands above it.
    looks_up: bool,
}

/// What a remark says of its value as a whole.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Doubted {
    /// That nothing was measured.
    NotDone,
    /// That it may be one of two.
    AsksWhich,
}

impl Doubted {
    fn of(remark: &str) -> Option<Self> {
        if mention::says_not_done(remark) {
            return Some(Self::NotDone);
        }
        mention::asks_which(remark).then_some(Self::AsksWhich)
    }
}

impl Mentions {
    fn of(text: &str) -> Option<Self> {
        let found = Self {
            volts: mention::test_volts(text),
            seconds: mention::seconds(text),
            units: mention::resistance_units(text),
            winding_c: winding_temperatures(text),
            days: mention::days(text),
            visits: mention::other_visits(text),
            doubt: Doubted::of(text),
            is_relative: mention::tells_relative_day(text),
            looks_up: mention::looks_up(text),
        };
        let numbers = [&found.volts, &found.seconds, &found.winding_c];
        let is_any = numbers.iter().any(|numbers| !numbers.is_empty());
        let is_dated = !found.days.is_empty() || !found.visits.is_empty() || found.is_relative;
        (is_any || !found.units.is_empty() || is_dated || found.doubt.is_some()).then_some(found)
    }
}

/// Texts of a sheet that mention something.
#[derive(Debug, Default)]
pub(super) struct Sightings {
    /// Remarks and unknown texts within lines of tables, by row.
    in_lines: BTreeMap<u32, Vec<(Item, Mentions)>>,
    /// Titles, labels and notes outside of tables, from the top.
    loose: Vec<(Item, Mentions)>,
    /// Lines that name one phase or pair and nothing else, from the top.
    pub(super) phases: Vec<(u32, Named)>,
    /// All labels, values and titles outside of tables.
    told: BTreeMap<Place, Item>,
}

impl Sightings {
    /// The cell outside of tables that told something.
    fn item_of<T>(&self, told: &Told<T>) -> Option<Item> {
        self.told.get(told.place.as_ref()?).copied()
    }

    /// Its row.
    pub(super) fn row_of<T>(&self, told: &Told<T>) -> Option<u32> {
        self.item_of(told).map(|item| item.row)
    }
}

/// What of a reading is spoken against.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Against {
    /// Why the voltage is not the reading's.
    pub(super) voltage: Option<&'static str>,
    /// Why the time is not the reading's.
    pub(super) elapsed: Option<&'static str>,
    pub(super) unit: Option<Unit>,
}

/// What speaks against most of what is left out.
pub(super) const NEARER: &str = "a text that stands nearer tells otherwise";
const TOO_LONG: &str = "no reading of insulation is taken after so long";

/// What a text between a place and a reading may deny.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Reach {
    /// What titles told: columns of several times stand under texts that name them all.
    Titles,
    /// What headings told as well.
    Headings,
}

impl Reader<'_, '_, '_> {
    pub(super) fn sightings(&self) -> Sightings {
        let mut sightings = Sightings::default();
        for read in &self.scene.tables {
            let spoken: Vec<u32> =
                read.columns.iter().filter(|column| is_spoken(column.role)).map(|column| column.column).collect();
            for item in read.table.body.iter().flat_map(|line| &line.items) {
                // "1:30" is a minute and a half, and no ratio.
                if spoken.contains(&item.column)
                    && windrow_text::date::clock(&self.view.cell(item).text).is_none()
                    && let Some(found) = Mentions::of(&self.view.cell(item).text)
                {
                    sightings.in_lines.entry(item.row).or_default().push((*item, found));
                }
            }
        }
        sightings.loose = self.loose_mentions();
        sightings.phases = (0..self.view.line_count()).filter_map(|line| self.phase_alone(line)).collect();
        let loose = &self.scene.loose;
        let pairs = loose.pairs.iter().flat_map(|pair| [pair.value, pair.label]);
        let items = pairs.chain(loose.captions.iter().map(|caption| caption.item));
        sightings.told = items.map(|item| (self.place(&item), item)).collect();
        sightings
    }

    /// The phase or pair that a line of one cell names, with its row.
    fn phase_alone(&self, line: usize) -> Option<(u32, Named)> {
        let [only] = self.view.line(line) else { return None };
        let sure = self.view.sense(only).label.circuits.iter().find(|meaning| meaning.weight >= 0.5)?;
        let is_phase = matches!(sure.named, Named::Phase(_) | Named::PhaseToEarth(_) | Named::Pair(..));
        is_phase.then_some((only.row, sure.named))
    }

    /// Texts outside of the lines and headings of tables, from the top, but for what stands on plates.
    fn loose_mentions(&self) -> Vec<(Item, Mentions)> {
        let tables = || self.scene.tables.iter().map(|read| &read.table);
        let lines = tables().flat_map(|table| table.body.iter().flat_map(|line| &line.items));
        let heads = tables().flat_map(|table| table.header.iter().flatten());
        let plates = self.scene.loose.pairs.iter().filter(|pair| is_of_plate(pair.heading.concept()));
        let plates = plates.flat_map(|pair| [pair.label.cell, pair.value.cell]);
        let others: BTreeSet<u32> = lines.chain(heads).map(|item| item.cell).chain(plates).collect();
        let loose = self.view.items().iter().filter(|item| !others.contains(&item.cell));
        let mut found: Vec<(Item, Mentions)> =
            loose.filter_map(|item| Some((*item, Mentions::of(&self.view.cell(item).text)?))).collect();
        let other_days = self.other_days();
        found.iter_mut().filter(|(item, _)| other_days.contains(&item.cell)).for_each(|(_, found)| found.days.clear());
        let explained = self.explained_signs();
        found
            .iter_mut()
            .filter(|(item, _)| explained.contains(&item.cell))
            .for_each(|(_, found)| found.looks_up = false);
        found.sort_by_key(|(item, _)| (item.row, item.column));
        found
    }

    /// Footnotes that explain a sign which stands behind some number: they speak of that one, whatever rows they name.
    fn explained_signs(&self) -> BTreeSet<u32> {
        let is_used = |sign: &str, own: u32| {
            let mut others = self.view.items().iter().filter(|item| item.cell != own);
            others.any(|item| self.view.cell(item).text.trim_end().ends_with(sign))
        };
        let notes = self.scene.footnotes.iter().filter_map(|note| Some((note.item.cell, note.footnote.as_deref()?)));
        notes.filter(|(own, sign)| is_used(sign, *own)).map(|(own, _)| own).collect()
    }

    /// Cells whose days are said to be those of something else than a test: of a print, of making, of a rewind.
    fn other_days(&self) -> BTreeSet<u32> {
        let is_other = |concept: Concept| matches!(concept, Concept::OtherDate | Concept::MadeYear | Concept::Rewound);
        let loose = &self.scene.loose;
        let captions =
            loose.captions.iter().filter(|caption| caption.concepts.iter().any(|concept| is_other(*concept)));
        let pairs = loose.pairs.iter().filter(|pair| pair.heading.concept().is_some_and(is_other));
        let pairs = pairs.flat_map(|pair| [pair.label.cell, pair.value.cell]);
        captions.map(|caption| caption.item.cell).chain(pairs).collect()
    }

    /// What speaks against a reading of block `block`.
    pub(super) fn spoken_against(&self, block: usize, item: &Item, pending: &Pending, all: &Sightings) -> Against {
        let reading = &pending.reading;
        let is_resistance = reading.quantity.value == Quantity::InsulationResistance;
        let in_line = all.in_lines.get(&item.row).map(Vec::as_slice).unwrap_or_default();
        let in_line = || in_line.iter().filter(|(other, _)| self.is_in_block(block, other));
        let differs = |told: &Option<Told<f64>>, pick: fn(&Mentions) -> &Vec<f64>, reach: Reach| {
            let Some(told) = told.as_ref() else { return false };
            let is_same = |value: &f64| (value - told.value).abs() <= 0.01 * told.value;
            let denies = |found: &Mentions| !pick(found).is_empty() && !pick(found).iter().any(is_same);
            let is_of_line = matches!(told.via, Via::Cell | Via::Row | Via::Decision | Via::Joined);
            !is_of_line && in_line().any(|(_, found)| denies(found))
                || self.told_below(block, item, told, all).is_some()
                || (reach == Reach::Headings || is_far(told.via))
                    && self
                        .nearer(block, item, told, all)
                        .any(|(_, found)| pick(found).iter().any(|value| !is_same(value)))
        };
        let unit = (reading.unit.value.dimension == Dimension::Resistance && is_resistance)
            .then(|| self.rival_unit(block, item, &reading.unit, all));
        Against {
            voltage: differs(&reading.applied_voltage_v, |found| &found.volts, Reach::Headings)
                .then_some(NEARER)
                .or_else(|| self.denied_volts(block, item, pending)),
            elapsed: differs(&reading.elapsed_s, |found| &found.seconds, Reach::Titles)
                .then_some(NEARER)
                .or_else(|| is_too_long(pending).then_some(TOO_LONG)),
            unit: unit.flatten(),
        }
    }

    /// Whether a line of the test, or one of its table that is labelled so, tells another temperature of the winding than the one that
    /// a title gave it.
    pub(super) fn is_warmth_denied(&self, group: &Group, items: &BTreeMap<u32, Item>, all: &Sightings) -> bool {
        let Some(told) = group.test.winding_temperature_c.as_ref().filter(|told| is_far(told.via)) else {
            return false;
        };
        let differs = |celsius: &f64| (celsius - told.value).abs() > 0.5;
        let rows: BTreeSet<u32> = group.pending.iter().map(|pending| pending.row).collect();
        let in_lines = rows.iter().filter_map(|row| all.in_lines.get(row)).flatten();
        let mut remarks = in_lines.filter(|(other, _)| self.is_in_block(group.block, other));
        let mut own = group.pending.iter().filter_map(|pending| items.get(&pending.cell));
        remarks.any(|(_, found)| found.winding_c.iter().any(differs))
            || self.lines_of_warmth(group.block).iter().any(differs)
            || own.any(|item| {
                self.told_below(group.block, item, told, all).is_some()
                    || self.nearer(group.block, item, told, all).any(|(_, found)| found.winding_c.iter().any(differs))
            })
    }

    /// The cell of a text that stands nearer to a reading than the title that dated it and tells another day, or of that title where it
    /// stands below the reading.
    pub(super) fn nearer_day(&self, group: &Group, item: &Item, all: &Sightings) -> Option<u32> {
        let told = group.test.performed.as_ref().filter(|told| is_far(told.via))?;
        if self.is_labelled_date(told) {
            return self.date_of_form_beside(item, told, all);
        }
        let is_within = |date: &PartialDate| told.value.first <= date.first && date.last() <= told.value.last();
        let denies = |found: &Mentions| found.is_relative || found.days.iter().any(|day| !day.iter().any(is_within));
        let below = self.told_below(group.block, item, told, all);
        below.or_else(|| {
            self.nearer(group.block, item, told, all).find(|(_, found)| denies(found)).map(|(at, _)| at.cell)
        })
    }

    /// The cell of a remark in the line of a reading that says it to be from another visit ("value of 2011 taken over"), or that nothing
    /// was measured at this one.
    pub(super) fn remark_on_other_visit(&self, group: &Group, item: &Item, all: &Sightings) -> Option<u32> {
        let told = group.test.performed.as_ref().filter(|told| told.via != Via::Decision)?;
        let is_before = |one: &PartialDate, other: &PartialDate| one.last().is_some_and(|last| last < other.first);
        let is_apart = |date: &PartialDate| is_before(date, &told.value) || is_before(&told.value, date);
        // "'99 bearings changed, not measured" beside the values of other years says why that year has none.
        let in_row = |other: &Group| other.pending.iter().filter(|pending| pending.row == item.row).count();
        let is_alone = self.groups.iter().filter(|other| other.block == group.block).map(in_row).sum::<usize>() == 1;
        self.remarks(group, item, all)
            .find(|(_, found)| is_alone && found.doubt == Some(Doubted::NotDone) || found.visits.iter().any(is_apart))
            .map(|(other, _)| other.cell)
    }

    /// The cell of a remark in the line of a reading that asks which of two it is ("M or k?", "or was it no. 11?"). One that names a value
    /// of the line ("V: 880 or 88?") asks about that one.
    pub(super) fn remark_that_asks(&self, group: &Group, item: &Item, all: &Sightings) -> Option<u32> {
        let (remark, _) = self.remarks(group, item, all).find(|(_, found)| found.doubt == Some(Doubted::AsksWhich))?;
        let text = &self.view.cell(remark).text;
        let is_named = |value: &str| text.split_whitespace().any(|word| word == value);
        let in_line = self.groups.iter().flat_map(|group| &group.pending).filter(|pending| pending.row == item.row);
        let mut values = in_line.map(|pending| pending.reading.raw_text.trim());
        let is_own = is_named(self.view.cell(item).text.trim());
        (is_own || !values.any(is_named)).then_some(remark.cell)
    }

    fn remarks<'m>(
        &self,
        group: &Group,
        item: &Item,
        all: &'m Sightings,
    ) -> impl Iterator<Item = &'m (Item, Mentions)> {
        let in_line = all.in_lines.get(&item.row).map(Vec::as_slice).unwrap_or_default();
        in_line.iter().filter(|(other, _)| self.is_in_block(group.block, other))
    }

    /// "Date: 23.11.2013 | | Date: 22.02.2015" over forms beside each other, in a view turned over, where the one told is that of the form
    /// before: the date in the same row of the sheet that stands nearer to the reading.
    fn date_of_form_beside(&self, item: &Item, told: &Told<PartialDate>, all: &Sightings) -> Option<u32> {
        let own = self.view.cell(&all.item_of(told).filter(|_| self.view.orientation == Orientation::Turned)?);
        let reading = self.view.cell(item);
        let dates = self.scene.loose.pairs.iter().filter(|pair| pair.heading.concept() == Some(Concept::Date));
        let mut others = dates.map(|pair| (pair.value.cell, self.view.cell(&pair.value)));
        let is_rival = |(_, other): &(u32, &Cell)| {
            let is_nearer = other.column.abs_diff(reading.column) < own.column.abs_diff(reading.column);
            other.row == own.row && other.text != own.text && is_nearer
        };
        others.find(is_rival).map(|(cell, _)| cell)
    }

    /// What lines of a table say that are labelled as the temperature of the winding, °C.
    fn lines_of_warmth(&self, block: usize) -> Vec<f64> {
        let Body::Table(table) = self.scene.blocks[block].body else { return Vec::new() };
        let lines = self.scene.tables[table].table.body.iter();
        let is_label = |item: &Item| {
            let concept = self.view.sense(item).concept();
            matches!(concept, Some(Concept::WindingTemperature | Concept::Temperature))
        };
        let of_warmth = lines.filter(|line| line.items.first().is_some_and(is_label));
        let values = of_warmth.flat_map(|line| line.items.iter().skip(1));
        values.flat_map(|item| winding_temperatures(&self.view.cell(item).text)).collect()
    }

    /// A unit that stands nearer than the one a reading was given.
    fn rival_unit(&self, block: usize, item: &Item, told: &Told<Unit>, all: &Sightings) -> Option<Unit> {
        let other = |found: &Mentions| found.units.iter().copied().find(|unit| *unit != told.value);
        let in_line = all.in_lines.get(&item.row).map(Vec::as_slice).unwrap_or_default();
        let is_of_line = matches!(told.via, Via::Cell | Via::Row | Via::Decision);
        let near = in_line.iter().filter(|(cell, _)| !is_of_line && self.is_in_block(block, cell));
        let mut near = near.map(|(_, found)| found).filter(|found| !found.units.contains(&told.value));
        near.find_map(other).or_else(|| self.nearer(block, item, told, all).map(|(_, found)| found).find_map(other))
    }

    /// Texts outside of tables that stand nearer to a reading than the place that told it something: behind that place and before the
    /// reading, in the order of reading, or below it where they say that they speak of what is above.
    fn nearer<'m, T>(
        &self,
        block: usize,
        item: &Item,
        told: &Told<T>,
        all: &'m Sightings,
    ) -> impl Iterator<Item = &'m (Item, Mentions)> {
        let (from, until) = self.stretch(block, item, told, all).unwrap_or_default();
        let columns = self.scene.blocks.get(block).map_or((0, 0), |block| block.columns);
        let row = item.row;
        let start = all.loose.partition_point(|(other, _)| other.row < from);
        let behind = all.loose.get(start..).unwrap_or_default().iter();
        behind
            .take_while(move |(other, _)| other.row < until)
            .filter(move |(other, found)| other.column <= columns.1 && (other.row < row || found.looks_up))
    }

    /// The rows from behind the place that told a reading something down to the next block.
    fn stretch<T>(&self, block: usize, item: &Item, told: &Told<T>, all: &Sightings) -> Option<(u32, u32)> {
        if self.view.orientation != Orientation::Upright {
            return None;
        }
        let from = match told.via {
            // A header goes on over a table that a note has cut.
            Via::Column => self.header_row(block, told).unwrap_or(self.scene.blocks.get(block)?.rows.0),
            via if is_far(via) => all.row_of(told)?,
            _ => return None,
        };
        // What is told below the reading says nothing of what stands above it.
        let from = if from > item.row { self.scene.gap_above(block) } else { from };
        let below = self.scene.blocks.iter().map(|other| other.rows.0).filter(|top| *top > item.row).min();
        Some((from + 1, below.unwrap_or(u32::MAX)))
    }

    /// The row of the header cell that told something of a column of the block.
    fn header_row<T>(&self, block: usize, told: &Told<T>) -> Option<u32> {
        let Body::Table(table) = self.scene.blocks.get(block)?.body else { return None };
        let place = told.place.as_ref()?;
        let mut header = self.scene.tables.get(table)?.table.header.iter().flatten();
        header.find(|item| self.place(item) == *place).map(|item| item.row)
    }

    /// The cell that told something, where it stands within the reading's block and below the reading: it speaks of the lines that follow.
    fn told_below<T>(&self, block: usize, item: &Item, told: &Told<T>, all: &Sightings) -> Option<u32> {
        let bottom = self.scene.blocks.get(block).map_or(0, |block| block.rows.1);
        let is_upright = self.view.orientation == Orientation::Upright;
        let at = all.item_of(told).filter(|_| is_upright && is_far(told.via))?;
        (at.row > item.row && at.row < bottom).then_some(at.cell)
    }

    fn is_in_block(&self, block: usize, item: &Item) -> bool {
        let Some(block) = self.scene.blocks.get(block) else { return false };
        matches!(block.body, Body::Table(_)) && (block.columns.0..=block.columns.1).contains(&item.column)
    }
}

/// Longest time after which a reading of insulation is taken with the voltage on, s. Common practice, no source: beyond an hour or two
/// the time is that of a drying or of a run.
const LONGEST: f64 = 7200.0;

fn is_too_long(pending: &Pending) -> bool {
    let told = pending.reading.elapsed_s.as_ref();
    told.is_some_and(|told| told.value > LONGEST && told.via != Via::Decision)
}

/// Temperatures that a text tells and does not give to the surroundings, °C.
fn winding_temperatures(text: &str) -> Vec<f64> {
    let told = prose::temperatures(text).into_iter();
    told.filter(|(place, _)| *place != prose::Place::Surroundings).map(|(_, celsius)| celsius).collect()
}

/// Whether a label leads to what stands on a plate, or to a limit.
const fn is_of_plate(concept: Option<Concept>) -> bool {
    use Concept::{Limit, Manufacturer, Model, OtherPlate, RatedCurrent, RatedPower, RatedVoltage};
    matches!(concept, Some(Limit | Manufacturer | Model | OtherPlate | RatedCurrent | RatedPower | RatedVoltage))
}

/// Whether cells under a column of this role are words that may say how the line was measured.
fn is_spoken(role: Role) -> bool {
    match role {
        Role::Unknown | Role::Asked(_) => true,
        Role::Field(concept) => {
            matches!(concept, Concept::Remarks | Concept::Result | Concept::Stage | Concept::TestKind)
        }
        _ => false,
    }
}
