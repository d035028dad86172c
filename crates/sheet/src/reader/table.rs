//! Tables line by line, and readings told as pairs.

use super::Reader;
use super::across;
use super::date::When;
use super::earlier::is_earlier;
use super::line::{Above, Beside, Line};
use super::unit::UnitText;
use crate::column::{Column, Role};
use crate::context::ReadTable;
use crate::cut::BodyLine;
use crate::line;
use crate::pool::Count;
use crate::sense::Kind;
use crate::value::{self, Marks};
use crate::view::Item;
use std::borrow::Cow;
use std::collections::BTreeMap;
use windrow_model::raw::{Mention, Renumbered, Via};
use windrow_model::{Bound, Disposition};
use windrow_text::explained::Standing;
use windrow_text::vocabulary::Concept;

impl Reader<'_, '_, '_> {
    /// Reads a table line by line.
    pub(super) fn read_table(&mut self, number: usize) {
        let scene = self.scene;
        let read = &scene.tables[number];
        let has_readings = read.has_readings();
        for item in read.table.header.iter().flatten() {
            self.mark(item, Disposition::Label, Some("header"));
        }
        for item in &read.table.repeats {
            self.mark(item, Disposition::Decor, Some("repeated page header"));
        }
        let mut base = if has_readings { self.block_line(read.table.top()) } else { self.bare_line(read.table.top()) };
        self.doubt_mixed_keys(read, &mut base);
        let counts = self.date_counts(read);
        let marks: Vec<(u32, Marks)> =
            read.columns.iter().map(|column| (column.column, self.column_marks(read, column))).collect();
        let half_converted = self.half_converted(read, &counts);
        self.named_dates = if has_readings { self.named_dates(read) } else { BTreeMap::new() };
        self.across = across::across(self.view, read);
        self.together = self.together(read);
        let outline = self.outline(read);
        let mut above = Above::new();
        let mut dittos = Above::new();
        for body_line in &read.table.body {
            if body_line.is_statistic {
                self.read_statistic(body_line);
                continue;
            }
            if read.table.tells_across(body_line) {
                self.mark_across(body_line);
                continue;
            }
            let base = match outline.as_ref().map(|outline| self.under(outline, body_line, &base)) {
                Some(None) => continue,
                Some(Some(own)) => Cow::Owned(own),
                None => Cow::Borrowed(&base),
            };
            let line = self.line(read, body_line, &base, &mut above, &counts);
            let line = self.with_half_converted(line, &half_converted);
            self.read_line(read, body_line, &line, (&marks, &counts), &mut dittos);
            self.read_withstand(read, body_line, &line);
            if !has_readings && (line.origin.0.is_some()) && self.joins_nothing(read) {
                let at = line.origin.0.unwrap_or_default();
                self.machines.push((self.registered(read, &line), at));
            }
        }
    }

    /// A column headed as the machine's or the date's that holds something else as well tells neither; what is told farther away
    /// is then no answer.
    fn doubt_mixed_keys(&self, read: &ReadTable, base: &mut Line) {
        for item in read.table.body.iter().flat_map(|line| &line.items) {
            let is_label = line::is_key_label(self.view, item) && line::ends_with_colon(self.view, item);
            match self.view.sense(item).concept().filter(|_| is_label) {
                Some(Concept::Date) => base.when = When::Unclear(*item),
                Some(_) => base.machine_conflict = true,
                None => {}
            }
        }
        for column in read.columns.iter().filter(|column| column.role == Role::Unknown) {
            let is_empty =
                !read.table.body.iter().any(|line| line.items.iter().any(|item| item.column == column.column));
            let Some(label) = column.heading.items.last().filter(|_| !is_empty) else { continue };
            match column.heading.concept() {
                Some(Concept::Tag | Concept::Serial) => base.machine_conflict = true,
                Some(Concept::Date) => base.when = When::Unclear(*label),
                _ => {}
            }
        }
    }

    /// The machine of a register's line: at the site that the sheet or its folder tells, and renumbered if the table says so.
    fn registered(&self, read: &ReadTable, line: &Line) -> Mention {
        let mut machine = line.machine.clone();
        machine.site = machine.site.or_else(|| self.caption_site());
        // Where the list names machines by their functional locations, the tag is both.
        let is_location = |column: &Column| {
            column.role == Role::Field(Concept::Tag) && column.heading.has(Concept::FunctionalLocation)
        };
        if machine.location.is_none() && machine.is_listed() && read.columns.iter().any(is_location) {
            machine.location.clone_from(&machine.tag);
        }
        if renumbers(read) && !machine.other_tags.is_empty() {
            let on = match &line.when {
                When::Known(date) => Some(date.clone()),
                _ => None,
            };
            machine.renumbered = Some(Renumbered { on });
        }
        machine
    }

    pub(super) fn joins_nothing(&self, read: &ReadTable) -> bool {
        renumbers(read) || !read.columns.iter().any(|column| matches!(column.role, Role::Field(Concept::Date)))
    }

    pub(super) fn read_line(
        &mut self,
        read: &ReadTable,
        body: &BodyLine,
        line: &Line,
        (marks, counts): (&[(u32, Marks)], &BTreeMap<u32, Count>),
        dittos: &mut Above,
    ) {
        let withdrawal = self.withdrawal(read, body);
        for item in &body.items {
            let Some(column) = read.columns.iter().find(|column| column.column == item.column) else {
                self.mark(item, Disposition::Unread, Some("stands outside the columns"));
                continue;
            };
            let marks = marks.iter().find(|(at, _)| *at == item.column).map(|(_, marks)| *marks).unwrap_or_default();
            let of_merged = self.of_merged(item, line);
            let line = of_merged.as_ref().unwrap_or(line);
            if let (Role::Reading(_), Some(by)) = (column.role, &withdrawal) {
                self.set_aside(item, by, read);
                continue;
            }
            match column.role {
                Role::Reading(_) if names_two(column, line) => {
                    self.mark(item, Disposition::Unread, Some("its line and its column name a machine each"));
                }
                Role::Reading(_) if is_earlier(column, line) => {
                    let unit = read.unit_columns.get(&item.column).and_then(|at| line.units.get(at)).cloned();
                    let beside = self.beside(read, body, item.column);
                    let mut line = Line { unit, beside, ..self.of_earlier(column, line) };
                    // What its own group tells, its date above all, is of the earlier test.
                    self.apply_fellows(read, body, column, &mut line, counts);
                    self.read_cell(item, column, &line, marks, dittos);
                }
                Role::Reading(_) => {
                    let unit = read.unit_columns.get(&item.column).and_then(|at| line.units.get(at)).cloned();
                    let unit = unit.or_else(|| self.unit_of_group(read, body, column));
                    let has_own = column.group().is_some() || read.fellows.of(item.column).next().is_some();
                    let has_own = has_own || read.table.body.iter().any(|line| line.is_across);
                    let beside = self.beside(read, body, item.column);
                    let named_date = self.named_dates.get(&item.column).cloned();
                    let has_own = has_own || beside.power.is_some() || beside.bound.is_some() || named_date.is_some();
                    let is_far = self.is_dated_from_afar(read, body, line);
                    if unit.is_none() && line.unit.is_none() && !has_own && !is_far {
                        self.read_cell(item, column, line, marks, dittos);
                        continue;
                    }
                    let mut line = Line { unit, beside, ..line.clone() };
                    if let Some(date) = named_date {
                        line.when = When::Known(date);
                    }
                    self.apply_across(read, column, &mut line);
                    self.apply_fellows(read, body, column, &mut line, counts);
                    self.doubt_far_date(read, body, &mut line);
                    self.read_cell(item, column, &line, marks, dittos);
                }

                Role::Field(concept) if stands_alone(column, concept, read) => {
                    self.read_cell(item, column, line, marks, dittos);
                }
                Role::Field(_) | Role::LineLabel | Role::NamePart => {}
                Role::Statistic(statistic) => {
                    let limit = statistic == windrow_text::marks::Statistic::Limit;
                    let disposition = if limit { Disposition::Label } else { Disposition::Derived };
                    self.mark(item, disposition, Some("computed or set by the source, not measured"));
                }
                Role::Asked(question) => self.read_asked((item, question), column, line, marks, dittos),
                Role::Unknown => {
                    self.mark(item, Disposition::Unread, Some("the header of its column tells nothing known"));
                }
            }
        }
    }

    /// Whether a date stands in the line that is not the reading's, and the reading's is told by a title.
    fn is_dated_from_afar(&self, read: &ReadTable, body: &BodyLine, line: &Line) -> bool {
        let is_titled =
            matches!(&line.when, When::Known(told) if !matches!(told.via, Via::Cell | Via::Row | Via::Column));
        is_titled && self.day_of_line(read, body).is_some()
    }

    /// Asks for the date of a reading that a title would date, where a date stands in its line that could not be told to be its own.
    fn doubt_far_date(&self, read: &ReadTable, body: &BodyLine, line: &mut Line) {
        if self.is_dated_from_afar(read, body, line)
            && let Some(day) = self.day_of_line(read, body)
        {
            line.when = When::Unclear(day);
        }
    }

    /// The date in a line's columns of dates, or in one that is not understood.
    fn day_of_line(&self, read: &ReadTable, body: &BodyLine) -> Option<Item> {
        let is_dated = |item: &&Item| {
            let of_dates = |column: &Column| {
                let may_be = matches!(column.role, Role::Field(Concept::Date) | Role::Unknown);
                column.column == item.column && may_be
            };
            self.view.sense(item).kind == Kind::Date && read.columns.iter().any(of_dates)
        };
        body.items.iter().find(is_dated).copied()
    }

    /// The unit that a column of units tells under the same date or machine, which is of its readings only.
    fn unit_of_group(&self, read: &ReadTable, body: &BodyLine, column: &Column) -> Option<(UnitText, Item)> {
        let at = *read.unit_columns.get(&column.column)?;
        let units = read.columns.iter().find(|other| other.column == at && other.group().is_some())?;
        let item =
            body.items.iter().find(|item| item.column == at).filter(|_| units.shares_group(column, self.view))?;
        let sense = self.view.sense(item);
        Some(((sense.label.units.clone(), self.view.cell(item).text.trim().into()), *item))
    }

    /// What the columns of multipliers and of over-range tell of the reading in `column`.
    fn beside(&self, read: &ReadTable, body: &BodyLine, column: u32) -> Beside {
        let cell = |companion: &u32| body.items.iter().find(|item| item.column == *companion);
        let is_named =
            |at: u32| read.columns.iter().any(|column| column.column == at && column.fit > crate::column::UNNAMED);
        let power = read.multipliers.get(&column).map(|(at, is_sure)| {
            let own = cell(at).filter(|_| *is_sure && is_named(*at));
            own.and_then(|item| {
                let is_exponent = read
                    .columns
                    .iter()
                    .any(|column| column.column == *at && column.role == Role::Field(Concept::Exponent));
                let power = if is_exponent { crate::column::exponent } else { crate::column::power };
                Some((power(self.view, item)?, *item))
            })
        });
        let bound = read.over_range.get(&column).map(|(at, is_sure)| {
            let told = cell(at).map_or(Some(Bound::Exact), |item| self.bound_told(item));
            told.filter(|bound| *is_sure || *bound == Bound::Exact)
        });
        Beside { power, bound }
    }

    /// The bound that a flag of over-range tells, or a code that a legend explains; `None` for what is not understood.
    fn bound_told(&self, item: &Item) -> Option<Bound> {
        let Some(meaning) = self.view.meaning(item) else {
            let is_over = windrow_text::marks::yes_or_no(&self.view.cell(item).text)?;
            return Some(if is_over { Bound::AtLeast } else { Bound::Exact });
        };
        match windrow_text::explained::standing(meaning) {
            None => Some(Bound::Exact),
            Some(Standing::AtLeast) => Some(Bound::AtLeast),
            Some(Standing::AtMost) => Some(Bound::AtMost),
            Some(Standing::Doubtful) => None,
        }
    }

    pub(super) fn read_statistic(&mut self, line: &BodyLine) {
        for (index, item) in line.items.iter().enumerate() {
            if index == 0 {
                self.mark(item, Disposition::Label, Some("names a computed line"));
            } else if self.view.sense(item).is_unit_only() {
                self.mark(item, Disposition::Label, Some("unit"));
            } else {
                self.mark(item, Disposition::Derived, Some("computed or set by the source, not measured"));
            }
        }
    }

    /// Reads the value cells that pairs tell.
    pub(super) fn read_pairs(&mut self, pairs: &[usize]) {
        let scene = self.scene;
        let row = pairs.first().map_or(0, |index| scene.loose.pairs[*index].value.row);
        let mut line = self.block_line(row);
        let mut dittos = Above::new();
        let are_limits = self.stands_under_limits();
        for index in pairs {
            let pair = &scene.loose.pairs[*index];
            self.mark(&pair.label, Disposition::Label, Some("label"));
            if are_limits {
                self.mark(&pair.value, Disposition::Derived, Some("a limit, not measured"));
                continue;
            }
            if let Some(unit) = &pair.unit {
                self.mark(unit, Disposition::Label, Some("unit"));
                let sense = self.view.sense(unit);
                line.unit = Some(((sense.label.units.clone(), self.view.cell(unit).text.clone()), *unit));
            } else {
                line.unit = None;
            }
            let column = Column {
                column: pair.value.column,
                heading: pair.heading.clone(),
                role: Role::Reading(pair.heading.concept().and_then(crate::fit::quantity)),
                fit: 1.0,
            };
            if let Some(inline) = &pair.inline {
                let amounts = value::amounts(&inline.0, &inline.1);
                self.read_amounts(&pair.value, amounts, &column, &line, self.sheet_marks);
            } else {
                self.read_cell(&pair.value, &column, &line, self.sheet_marks, &mut dittos);
            }
        }
    }

    /// Whether the lines tell different units of the numbers of a column.
    fn has_several_units(&self, read: &ReadTable, column: &Column) -> bool {
        let Some(at) = read.unit_columns.get(&column.column) else { return false };
        let units = read.table.body.iter().flat_map(|line| &line.items).filter(|item| item.column == *at);
        let mut texts = units.map(|item| self.view.cell(item).text.trim());
        let first = texts.next();
        texts.any(|text| Some(text) != first)
    }

    pub(super) fn column_marks(&self, read: &ReadTable, column: &Column) -> Marks {
        let mut marks = Marks::default();
        for item in read.table.body.iter().flat_map(|line| &line.items).filter(|item| item.column == column.column) {
            marks.add(self.view.cell(item), self.view.sense(item));
        }
        if self.has_several_units(read, column) { marks.of_several() } else { marks }
    }
}

/// A temperature under a date or machine of its own without readings beside it: a table of temperatures.
fn stands_alone(column: &Column, concept: Concept, read: &ReadTable) -> bool {
    let is_temperature =
        matches!(concept, Concept::WindingTemperature | Concept::Temperature | Concept::AmbientTemperature);
    let beside_readings =
        read.columns.iter().any(|other| matches!(other.role, Role::Reading(_)) && other.group() == column.group());
    is_temperature && column.group().is_some() && !beside_readings
}

/// Whether the table gives machines other tags.
fn renumbers(read: &ReadTable) -> bool {
    read.columns.iter().any(|column| column.role == Role::Field(Concept::OldTag))
}

/// Whether the heading of a column names a machine and a cell of the line another: a word that heads a line of a table read column by
/// column ("Room" over 1, 1, 2) is then no name, and what its numbers are nobody said.
fn names_two(column: &Column, line: &Line) -> bool {
    let own = line.machine.tag.as_ref().filter(|told| told.via == Via::Row);
    let head = column.heading.tag.as_ref();
    matches!((own, head), (Some(own), Some(head)) if own.value.as_str() != head.value)
}
