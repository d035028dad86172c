//! From cells to readings.

use super::Reader;
use super::circuit::Terminals;
use super::date::When;
use super::elapsed::Time;
use super::line::{Above, Line};
use super::quantity::What;
use super::temperature::Join;
use super::test::{self, Group, Pending};
use super::unit::{UnitPlaces, UnitTold};
use crate::column::{Column, Role};
use crate::context::{Found, ReadTable};
use crate::cut::BodyLine;
use crate::heading::{self, By, Heading};
use crate::hold::Hold;
use crate::pool::Count;
use crate::sense::Kind;
use crate::value::{self, Amount, Amounts, Marks};
use crate::view::{Item, Orientation};
use windrow_model::raw::{RawReading, Told, Via};
use windrow_model::{Bound, Disposition, Flag, Quantity, Question, Reported, Step, TestKind, Unit};
use windrow_source::Content;
use windrow_text::circuit::CircuitMeaning;
use windrow_text::measure::{Condition, OverRange};
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
        let base = if has_readings { self.block_line(read.table.top()) } else { self.bare_line(read.table.top()) };
        let counts = self.date_counts(read);
        let marks: Vec<(u32, Marks)> =
            read.columns.iter().map(|column| (column.column, self.column_marks(read, column))).collect();
        let half_converted = self.half_converted(read, &counts);
        let mut above = Above::new();
        let mut dittos = Above::new();
        for body_line in &read.table.body {
            if body_line.is_statistic {
                self.read_statistic(body_line);
                continue;
            }
            let line = self.line(read, body_line, &base, &mut above, &counts);
            let line = self.with_half_converted(line, &half_converted);
            self.read_line(read, body_line, &line, &marks, &mut dittos);
            if !has_readings && (line.origin.0.is_some()) && self.joins_nothing(read) {
                let at = line.origin.0.unwrap_or_default();
                self.machines.push((line.machine.clone(), at));
            }
        }
    }

    fn joins_nothing(&self, read: &ReadTable) -> bool {
        !read.columns.iter().any(|column| matches!(column.role, Role::Field(Concept::Date)))
    }

    fn read_line(
        &mut self,
        read: &ReadTable,
        body: &BodyLine,
        line: &Line,
        marks: &[(u32, Marks)],
        dittos: &mut Above,
    ) {
        for item in &body.items {
            let Some(column) = read.columns.iter().find(|column| column.column == item.column) else {
                self.mark(item, Disposition::Unread, Some("stands outside the columns"));
                continue;
            };
            let marks = marks.iter().find(|(at, _)| *at == item.column).map(|(_, marks)| *marks).unwrap_or_default();
            match column.role {
                                Role::Reading(_) => {
                    let unit = read.unit_columns.get(&item.column).and_then(|at| line.units.get(at)).cloned();
                    let line = Line { unit, ..line.clone() };
                    self.read_cell(item, column, &line, marks, dittos);
                }
                Role::Field(concept) if is_grouped_field(column, concept) => {
                    self.read_cell(item, column, line, marks, dittos);
                }
                Role::Field(_) | Role::LineLabel => {}
                Role::Statistic(statistic) => {
                    let limit = statistic == windrow_text::marks::Statistic::Limit;
                    let disposition = if limit { Disposition::Label } else { Disposition::Derived };
                    self.mark(item, disposition, Some("computed or set by the source, not measured"));
                }
                Role::Unknown => {
                    self.mark(item, Disposition::Unread, Some("the header of its column tells nothing known"));
                }
            }
        }
    }

    fn read_statistic(&mut self, line: &BodyLine) {
        for (index, item) in line.items.iter().enumerate() {
            if index == 0 {
                self.mark(item, Disposition::Label, Some("names a computed line"));
            } else {
                self.mark(item, Disposition::Derived, Some("computed or set by the source, not measured"));
            }
        }
    }

    /// Circumstances that hold for all of a block.
    fn block_line(&mut self, row: u32) -> Line {
        let mut line = self.bare_line(row);
        let (machine, conflict) = self.block_machine();
        line.machine = machine;
        line.machine_conflict = conflict;
        line.when = self.block_date();
        line.winding = self.block_temperature(Concept::WindingTemperature);
        line.some_temperature = self.block_temperature(Concept::Temperature);
        line.ambient = self.block_temperature(Concept::AmbientTemperature);
        line.dew_point = self.block_temperature(Concept::DewPoint);
        line.humidity = self.block_humidity();
        line.instrument = self.block_text(Concept::Instrument);
        line.tester = self.block_text(Concept::Tester);
        line.work_order = self.block_text(Concept::WorkOrder);
        line.outcome = self.block_text(Concept::Result);
        line.remarks = self.block_text(Concept::Remarks).into_iter().collect();
        line
    }

    fn bare_line(&self, row: u32) -> Line {
        Line {
            row,
            machine: windrow_model::raw::Mention { site: None, ..Default::default() },
            machine_conflict: false,
            when: When::Untold,
            circuits: Vec::new(),
            label: None,
                        unit: None,
            units: std::collections::BTreeMap::new(),
            elapsed: None,
            voltage: None,
            stage: None,
            winding: None,
            some_temperature: None,
            ambient: None,
            humidity: None,
            dew_point: None,
            instrument: None,
            tester: None,
            work_order: None,
            outcome: None,
            remarks: Vec::new(),
            origin: (None, None),
            fields: Vec::new(),
        }
    }

    fn block_text(&self, concept: Concept) -> Option<Told<String>> {
        let Found::One(index, via) = self.scene.pair(self.block, concept) else { return None };
        let pair = &self.scene.loose.pairs[index];
        Some(self.told(pair.cell(self.view).text.trim().to_owned(), via, &pair.value))
    }

    fn block_humidity(&self) -> Option<Told<f64>> {
        let Found::One(index, via) = self.scene.pair(self.block, Concept::Humidity) else { return None };
        let pair = &self.scene.loose.pairs[index];
        self.percent(pair.cell(self.view), pair.sense(self.view)).map(|percent| self.told(percent, via, &pair.value))
    }

    fn column_marks(&self, read: &ReadTable, column: &Column) -> Marks {
        let mut marks = Marks::default();
        for item in read.table.body.iter().flat_map(|line| &line.items).filter(|item| item.column == column.column) {
            marks.add(self.view.cell(item), self.view.sense(item));
        }
        marks
    }

    /// Columns in which month-first texts stand beside true dates that all have a day below 13.
    fn half_converted(&self, read: &ReadTable, counts: &std::collections::BTreeMap<u32, Count>) -> Vec<u32> {
        counts
            .iter()
            .filter(|(column, count)| {
                let cells = read.table.body.iter().flat_map(|line| &line.items).filter(|item| item.column == **column);
                let mut texts_with_low_day = false;
                let mut true_dates = 0;
                for item in cells {
                    let cell = self.view.cell(item);
                    let dates = crate::dates::meanings(cell, self.view.sense(item));
                    match cell.content {
                        Content::Date { .. } => {
                            if dates.iter().any(|meaning| meaning.date.first.day() > 12) {
                                return false;
                            }
                            true_dates += 1;
                        }
                        _ => texts_with_low_day |= dates.len() > 1,
                    }
                }
                true_dates > 0 && (count.first + count.second) >= 2 && !texts_with_low_day
            })
            .map(|(column, _)| *column)
            .collect()
    }

    fn with_half_converted(&mut self, mut line: Line, columns: &[u32]) -> Line {
        let at = line
            .fields
            .iter()
            .rev()
            .find(|(concept, item)| *concept == Concept::Date && columns.contains(&item.column))
            .map(|(_, item)| *item);
        if let (Some(item), When::Known(date)) = (at, &line.when)
            && matches!(self.view.cell(&item).content, Content::Date { .. })
        {
            let year =
                windrow_model::PartialDate::year(date.value.first.year()).map(|year| self.told(year, Via::Row, &item));
            self.hold_half_converted(&item);
            line.when = When::Open(year, item);
        }
        line
    }

    /// Reads the value cells that pairs tell.
    pub(super) fn read_pairs(&mut self, pairs: &[usize]) {
        let scene = self.scene;
        let row = pairs.first().map_or(0, |index| scene.loose.pairs[*index].value.row);
        let mut line = self.block_line(row);
        let mut dittos = Above::new();
        for index in pairs {
            let pair = &scene.loose.pairs[*index];
            self.mark(&pair.label, Disposition::Label, Some("label"));
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

    fn read_cell(&mut self, item: &Item, column: &Column, line: &Line, marks: Marks, dittos: &mut Above) {
        let (cell, sense) = (self.view.cell(item), self.view.sense(item));
        match sense.kind {
            Kind::Ditto => {
                let Some(from) = dittos.get(&item.column).copied() else {
                    self.mark(item, Disposition::Unread, Some("a ditto mark with nothing above it"));
                    return;
                };
                let amounts = value::amounts(self.view.cell(&from), self.view.sense(&from));
                self.mark(item, Disposition::Repeat, Some("as in the line above"));
                self.read_amounts(item, amounts, column, line, marks);
            }
            Kind::Void => self.mark(item, Disposition::Label, Some("says that nothing was measured")),
            Kind::Broken if cell.content == Content::NoResult && column.heading.reference_c.is_none() => {
                self.hold_formula(item);
            }
            Kind::Broken => self.mark(item, Disposition::Derived, Some("a formula or an error value")),
            Kind::Over => self.read_over(item, sense.over, column, line),
            _ => match value::amounts(cell, sense) {
                Some(amounts) => {
                    dittos.insert(item.column, *item);
                    self.read_amounts(item, Some(amounts), column, line, marks);
                }
                None if windrow_text::marks::event(&cell.text).is_some() => {
                    self.mark(item, Disposition::Label, Some("an event in the life of the machine, no reading"));
                }
                                None if has_broken_number(&cell.text) => {
                    self.hold_value(item, "the figure cannot be read for certain", Vec::new());
                }
                None if sense.kind == Kind::Text => {
                    self.mark(item, Disposition::Unread, Some("words where a reading is expected"));
                }
                None => self.hold_value(item, "a date or time where a reading is expected", Vec::new()),
            },
        }
    }

    fn hold_formula(&mut self, item: &Item) {
        self.mark(item, Disposition::Held, Some("a formula without a stored result"));
        self.holds.ask(format!("formula results, column {}", item.column), item.cell, || Hold {
            question: Question::FormulaResult,
            choices: Vec::new(),
            context: "the file holds the formula but not what it gave".to_owned(),
            cells: Vec::new(),
        });
    }

    pub(super) fn hold_value(&mut self, item: &Item, context: &str, choices: Vec<String>) {
        self.mark(item, Disposition::Held, Some(context));
        let context = context.to_owned();
        self.holds.ask(format!("value {}:{}", item.row, item.column), item.cell, || Hold {
            question: Question::IllegibleValue,
            choices,
            context,
            cells: Vec::new(),
        });
    }

    /// Over range: the ceiling that the sheet tells, or a question.
    fn read_over(&mut self, item: &Item, over: Option<OverRange>, column: &Column, line: &Line) {
        let ceiling = self
            .scene
            .loose
            .captions
            .iter()
            .find_map(|caption| caption.ceiling.clone().map(|part| (part, caption.item)));
        if let (Some(OverRange::Above), Some((part, at))) = (over, ceiling) {
            let amount = Amount {
                numbers: part.numbers.clone(),
                bound: Bound::AtLeast,
                units: part.units.clone(),
                unit_text: part.unit_text.clone(),
                unit_by_format: false,
                divisor: 1.0,
                label: String::new(),
                conditions: Vec::new(),
            };
            let step = Step::new("bound", format!("over range; the range ends where {} says", self.place(&at)));
            self.read_amount(
                item,
                &amount,
                column,
                line,
                Extra { flags: vec![Flag::CeilingFromRange], steps: vec![step], ..Extra::default() },
            );
        } else {
            self.mark(item, Disposition::Held, Some("over range, and nothing tells where the range ends"));
            self.holds.ask(format!("end of the range, column {}", item.column), item.cell, || Hold {
                question: Question::MissingCeiling,
                choices: Vec::new(),
                context: "the instrument's range is told neither in the cell nor in a title".to_owned(),
                cells: Vec::new(),
            });
        }
    }

    fn read_amounts(&mut self, item: &Item, amounts: Option<Amounts>, column: &Column, line: &Line, marks: Marks) {
        let Some(amounts) = amounts else {
            self.mark(item, Disposition::Unread, Some("no number"));
            return;
        };
        if amounts.doubtful {
            self.hold_value(item, "some digits cannot be read for certain", Vec::new());
            return;
        }
        if amounts.range {
            self.hold_value(item, "a range where one value is expected", Vec::new());
            return;
        }
        let told_apart = amounts.parts.iter().all(|part| !part.label.is_empty() || !part.conditions.is_empty());
        let phases = self.phases_of(&amounts, column);
        if amounts.parts.len() > 1 && !told_apart && phases.is_none() {
            self.hold_value(item, "several values in one cell, and nothing tells them apart", Vec::new());
            return;
        }
        let corrected = self.footnote_corrected(amounts.footnote.as_deref());
        for (index, amount) in amounts.parts.iter().enumerate() {
            let Some(number) =
                value::choose_number(&amount.numbers, &self.decimal_levels(marks), self.proves_thousands(marks))
            else {
                self.hold_decimal(item, amount);
                return;
            };
            let amount = Amount { numbers: vec![number.clone()], ..amount.clone() };
            let circuits = phases.as_ref().and_then(|phases| phases.get(index)).cloned();
            let extra = Extra { circuits, corrected, remark: amounts.remark.clone(), ..Extra::default() };
            self.read_amount(item, &amount, column, line, extra);
        }
    }

    /// Three values of a cell are the three phases, if header or title names three.
    fn phases_of(&self, amounts: &Amounts, column: &Column) -> Option<Vec<Vec<CircuitMeaning>>> {
        if amounts.parts.len() != 3 || amounts.parts.iter().any(|part| !part.label.is_empty()) {
            return None;
        }
        if column.heading.phases.is_some() {
            return column.heading.phases.clone();
        }
        let captions = self.scene.loose.captions.iter();
        let mut texts = captions.filter_map(|caption| self.view.grid.cells.get(caption.item.cell as usize));
        texts.find_map(|cell| heading::three_phases(&cell.text))
    }

    fn hold_decimal(&mut self, item: &Item, amount: &Amount) {
        self.mark(item, Disposition::Held, Some("is the mark between the digits a decimal or a thousands mark?"));
        let choices = amount.numbers.iter().map(|number| number.value.to_string()).collect();
        self.holds.ask(format!("decimal mark, column {}", item.column), item.cell, || Hold {
            question: Question::DecimalMark,
            choices,
            context: "no number of the column, sheet, file or folder settles it".to_owned(),
            cells: Vec::new(),
        });
    }

    /// Reference temperature if a footnote explains the sign behind a value as "corrected".
    fn footnote_corrected(&self, sign: Option<&str>) -> Option<Option<f64>> {
        let sign = sign?;
        let caption = self.scene.loose.captions.iter().find(|caption| caption.footnote.as_deref() == Some(sign))?;
        caption.corrected.then(|| caption.heading.reference_c.as_ref().map(|by| by.value))
    }

    fn read_amount(&mut self, item: &Item, amount: &Amount, column: &Column, line: &Line, extra: Extra) {
        let quantity = match self.what(item, amount, line, column) {
            What::Measured(told) => told,
            What::Circumstance(concept) => {
                self.read_circumstance(item, amount, concept, column, line);
                return;
            }
            What::Other => {
                self.mark(item, Disposition::Derived, Some("its label names no measured quantity"));
                return;
            }
            What::Untold => {
                self.ask(item, Question::Quantity, "quantity", column, Vec::new());
                return;
            }
        };
        let places = UnitPlaces {
            item,
            amount,
            line: line.unit.as_ref().map(|(unit, at)| (unit, *at)),
            label: line.label.as_ref(),
            column: &column.heading,
        };
        let unit = match self.unit(&places, quantity.value) {
            UnitTold::Known(unit) => unit,
            UnitTold::Untold => {
                self.ask(item, Question::Unit, "unit", column, vec![quantity.value.code().to_owned()]);
                return;
            }
            UnitTold::Conflict(a, b) => {
                self.ask(item, Question::UnitConflict, "unit", column, vec![a.symbol.to_owned(), b.symbol.to_owned()]);
                return;
            }
        };
        self.push_reading(item, amount, column, line, (quantity, unit), extra);
    }

    pub(super) fn ask(&mut self, item: &Item, question: Question, what: &str, column: &Column, choices: Vec<String>) {
        self.mark(item, Disposition::Held, Some(&format!("{what} not told")));
        let header = column.heading.text(self.view);
        let context =
            format!("neither the cell, its line, its column (\"{header}\"), a title nor the file tells one {what}");
        self.holds.ask(format!("{what}, column {} (\"{header}\")", item.column), item.cell, || Hold {
            question,
            choices,
            context,
            cells: Vec::new(),
        });
    }

    /// A number of a table of temperatures waits for the test of its machine and date.
    fn read_circumstance(&mut self, item: &Item, amount: &Amount, concept: Concept, column: &Column, line: &Line) {
        let mut line = line.clone();
        self.apply_heading(&column.heading, &mut line);
        let cell = self.view.cell(item).clone();
        let sense = self.view.sense(item).clone();
        let mut heading = column.heading.clone();
        if heading.units.is_none()
            && let Some(label) = line.label.as_ref().and_then(|label| label.units.clone())
        {
            heading.units = Some(label);
        }
        let _ = amount;
        if let Some(celsius) = self.celsius(&cell, &sense, &heading, item, Via::Joined) {
            let date = match &line.when {
                When::Known(date) => Some(date.value),
                _ => None,
            };
            self.joins.push(Join { machine: test::machine_key(&line), date, concept, celsius });
            self.mark(item, Disposition::Value, Some("joined to the test of the same machine and date"));
        }
    }

    /// Machine, date and stage told by a column's header.
    fn apply_heading(&mut self, heading: &Heading, line: &mut Line) {
        if let Some(item) = heading.date {
            line.when = self.date_of(&item, Via::Column, Count::default());
        } else if let Some(by) = heading.number.as_ref().filter(|by| (1900.0..2100.0).contains(&by.value)) {
            let item = by.item;
            line.when = self.date_of(&item, Via::Column, Count::default());
        }
                if let Some(by) = &heading.tag {
            line.machine.tag = Some(self.told(by.value.clone(), Via::Column, &by.item));
            line.machine_conflict = false;
        } else if !heading.unexplained.is_empty()
            && line.machine.tag.as_ref().is_some_and(|tag| matches!(tag.via, Via::SheetName | Via::File))
        {
            // A header that is not understood may name the machine: what a name of sheet or file tells is no more than a default.
            line.machine.tag = None;
        }
        if let Some(stage) = &heading.stage {
            line.stage = Some(self.told(stage.value, Via::Column, &stage.item));
        }
    }

    fn push_reading(
        &mut self,
        item: &Item,
        amount: &Amount,
        column: &Column,
        line: &Line,
        (quantity, unit): (Told<Quantity>, Told<Unit>),
        extra: Extra,
    ) {
        let mut line = line.clone();
        self.apply_heading(&column.heading, &mut line);
        if line.machine_conflict {
            self.ask(item, Question::Machine, "machine", column, Vec::new());
            return;
        }
        if let When::Unclear(at) = line.when
            && !self.is_asked(at)
        {
            self.ask(item, Question::Date, "date", column, Vec::new());
            return;
        }
        let circuit = match self.terminals(item, amount, column, &line, quantity.value, &extra) {
            Terminals::Known(told) => Some(told),
            Terminals::Untold => None,
            Terminals::Open(choices, text) => {
                let choices = choices.iter().map(|circuit| circuit.code().to_owned()).collect();
                self.ask(item, Question::Circuit, &format!("circuit (\"{text}\")"), column, choices);
                return;
            }
        };
                let is_ratio = matches!(quantity.value, Quantity::PolarizationIndex | Quantity::AbsorptionRatio | Quantity::Unbalance);
        let elapsed = match self.elapsed(item, amount, &line, column) {
            _ if is_ratio => None,
            Time::Known(told) => Some(told),
            Time::Untold => None,
            Time::Open(number) => {
                self.ask(
                    item,
                    Question::Elapsed,
                    "unit of time",
                    column,
                    vec![format!("{number} s"), format!("{number} min")],
                );
                return;
            }
        };
        let applied_voltage_v = self.voltage(item, amount, &line, column);
        let (as_reported, reference) = self.reported(column, &line, &extra);
        let number = amount.numbers.first().map_or(f64::NAN, |number| number.value) / amount.divisor;
        let mut steps = extra.steps.clone();
        if amount.divisor > 1.0 {
            steps.push(Step::new("scale", format!("the number format shows it divided by {}", amount.divisor)));
        }
        let mut flags = extra.flags.clone();
        if self.is_hidden(item) {
            flags.push(Flag::Hidden);
        }
        if self.view.sense(item).kind == Kind::Ditto {
            flags.push(Flag::Ditto);
        }
        for condition in &amount.conditions {
            if let Condition::TemperatureC(celsius) = condition {
                line.winding = Some(self.told(*celsius, Via::Cell, item));
            }
        }
        if line.winding.is_none() {
            line.winding = self.note_temperature(item);
        }
        if let Some(remark) = &extra.remark {
            line.remarks.push(self.told(remark.clone(), Via::Cell, item));
        }
        let reading = RawReading {
            quantity,
            circuit,
            elapsed_s: elapsed,
            applied_voltage_v,
            number,
            unit,
            bound: amount.bound,
            as_reported,
            reported_reference_c: reference,
            outcome: None,
            raw_text: self.view.cell(item).text.clone(),
            place: self.place(item),
            steps,
            flags,
        };
        self.add(reading, item, &line);
    }

    fn is_asked(&self, at: Item) -> bool {
        self.fates
            .get(at.cell as usize)
            .and_then(Option::as_ref)
            .is_some_and(|fate| fate.disposition == Disposition::Held)
    }

    fn add(&mut self, reading: RawReading, item: &Item, line: &Line) {
        let Some(mut kind) = test::kind_of(reading.quantity.value) else {
            self.mark(item, Disposition::Unread, Some("a quantity that belongs to no kind of test"));
            return;
        };
                let home = self.scene.homes.get(self.block).copied().unwrap_or(self.block);
        // A resistance in the same line as a leakage current belongs to the voltage test.
        if kind == TestKind::InsulationResistance {
            let key = test::test_key(home, line, TestKind::DcWithstand);
            if self.by_key.contains_key(&key) {
                kind = TestKind::DcWithstand;
            }
        }
        let key = test::test_key(home, line, kind);
        let index = if let Some(index) = self.by_key.get(&key) {
            *index
        } else {
            let place = self.place(item);
            self.groups.push(Group::new(self.block, line, kind, place));
            self.by_key.insert(key, self.groups.len() - 1);
            self.groups.len() - 1
        };
        let group = &mut self.groups[index];
        group.absorb(line);
        group.pending.push(Pending { reading, cell: item.cell, computed: false, row: item.row });
        if self.view.sense(item).kind != Kind::Ditto {
            self.mark(item, Disposition::Value, None);
        }
    }

    fn terminals(
        &self,
        item: &Item,
        amount: &Amount,
        column: &Column,
        line: &Line,
        quantity: Quantity,
        extra: &Extra,
    ) -> Terminals {
        if matches!(quantity, Quantity::Unbalance) {
            return Terminals::Untold;
        }
        let mut cell: Vec<By<Vec<CircuitMeaning>>> = Vec::new();
        if let Some(circuits) = &extra.circuits {
            cell.push(By { value: circuits.clone(), item: *item });
        }
        if !amount.label.is_empty() {
            cell.push(By { value: windrow_text::circuit::read(&amount.label), item: *item });
        }
        let near = self.circuit(
            &[(&cell, Via::Cell), (&line.circuits, Via::Row), (&column.heading.circuits, Via::Column)],
            quantity,
        );
        if near != Terminals::Untold || !column.heading.unexplained.is_empty() {
            return near;
        }
        let pair = match self.scene.pair(self.block, Concept::Circuit) {
            Found::One(index, via) => {
                let pair = &self.scene.loose.pairs[index];
                let sense = pair.sense(self.view);
                let value =
                    if sense.circuits.is_empty() { sense.label.circuits.clone() } else { sense.circuits.clone() };
                self.circuit(&[(&[By { value, item: pair.value }], via)], quantity)
            }
            _ => Terminals::Untold,
        };
        if pair != Terminals::Untold {
            return pair;
        }
        let tell = |caption: &crate::loose::Caption| {
            let found = self.circuit(&[(&caption.heading.circuits, Via::Block)], quantity);
            if let Terminals::Known(told) = found { Some(told.value.code().to_owned()) } else { None }
        };
        match self.scene.caption(self.block, tell) {
            Found::One(index, via) => {
                self.circuit(&[(&self.scene.loose.captions[index].heading.circuits, via)], quantity)
            }
            _ => Terminals::Untold,
        }
    }

    /// Whether the source had corrected the value, and to which temperature.
    fn reported(&self, column: &Column, line: &Line, extra: &Extra) -> (Reported, Option<f64>) {
        if let Some(reference) = extra.corrected {
            return (Reported::Corrected, reference);
        }
        for heading in [line.label.as_ref(), Some(&column.heading)].into_iter().flatten() {
            if heading.reference_c.is_some() || heading.concept() == Some(Concept::CorrectedResistance) {
                return (Reported::Corrected, heading.reference_c.as_ref().map(|by| by.value));
            }
        }
        // Where a column says that it is corrected, the others are not.
        let told_by_column = self.scene.tables.iter().flat_map(|read| &read.columns).any(|other| {
            other.heading.reference_c.is_some() || other.heading.concept() == Some(Concept::CorrectedResistance)
        });
        if told_by_column {
            return (Reported::AsRead, None);
        }
        let tell = |caption: &crate::loose::Caption| {
            (caption.corrected && caption.footnote.is_none()).then(|| "corrected".to_owned())
        };
        if let Found::One(index, _) = self.scene.caption(self.block, tell) {
            return (
                Reported::Corrected,
                self.scene.loose.captions[index].heading.reference_c.as_ref().map(|by| by.value),
            );
        }
        (Reported::AsRead, None)
    }

    fn is_hidden(&self, item: &Item) -> bool {
        let grid = self.view.grid;
        let (row, column) = match self.view.orientation {
            Orientation::Upright => (item.row, item.column),
            Orientation::Turned => (item.column, item.row),
        };
        grid.hidden
            || grid.hidden_rows.binary_search(&row).is_ok()
            || grid.hidden_columns.binary_search(&column).is_ok()
    }
}

/// What else is known of one value of a cell.
#[derive(Debug, Clone, Default)]
struct Extra {
    circuits: Option<Vec<CircuitMeaning>>,
    corrected: Option<Option<f64>>,
    remark: Option<String>,
    flags: Vec<Flag>,
    steps: Vec<Step>,
}

/// A temperature column under a date or machine of its own, as in tables with a pair of columns a year.
fn is_grouped_field(column: &Column, concept: Concept) -> bool {
    let own = column.heading.date.is_some() || column.heading.tag.is_some() || column.heading.number.is_some();
    own && matches!(concept, Concept::WindingTemperature | Concept::Temperature | Concept::AmbientTemperature)
}

/// Digits and marks without words: a figure that was spoilt, not a remark.
fn has_broken_number(text: &str) -> bool {
    let digits = text.chars().filter(char::is_ascii_digit).count();
    let letters = text.chars().filter(|c| c.is_alphabetic()).count();
    digits > 0 && letters <= 2
}
