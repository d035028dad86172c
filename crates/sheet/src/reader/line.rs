//! What the key cells of a body line tell: filled down where a blank or a ditto mark means "as above".

use super::Reader;
use super::date::When;
use super::elapsed::Time;
use super::fill_down::fills_down;
use crate::column::{Column, Role};
use crate::context::ReadTable;
use crate::cut::BodyLine;
use crate::fit::{names_machine, wants};
use crate::heading::{By, Heading};
use crate::pool::Count;
use crate::sense::Kind;
use crate::view::Item;
use std::collections::BTreeMap;
use windrow_model::raw::{Mention, Told, Via};
use windrow_model::{Bound, Disposition, PartialDate, Stage, Text};
use windrow_source::Content;
use windrow_text::circuit::CircuitMeaning;
use windrow_text::date::Order;
use windrow_text::measure::OverRange;
use windrow_text::vocabulary::Concept;

/// What a line tells of all its readings.
#[derive(Debug, Clone)]
pub(super) struct Line {
    pub row: u32,
    pub machine: Mention,
    /// Whether different machines are told and none nearer.
    pub machine_conflict: bool,
    pub when: When,
    /// Whether a column of the reading's own group told the date.
    pub is_dated_by_group: bool,
    pub circuits: Vec<By<Vec<CircuitMeaning>>>,
    pub label: Option<Heading>,
    /// Whether its key cell holds a label that is not understood, where the others hold keys.
    pub is_of_another_kind: bool,
    pub unit: Option<(super::unit::UnitText, Item)>,
    /// Units told by the line's unit columns.
    pub units: BTreeMap<u32, (super::unit::UnitText, Item)>,
    /// What a column tells of the number of this reading beside its own cell.
    pub beside: Beside,
    /// The verdict or remark of the line that says no more than that the instrument's range was left.
    pub over_remark: Option<Item>,
    pub elapsed: Option<Time>,
    pub voltage: Option<Told<f64>>,
    /// How fast the voltage was raised, V/s.
    pub rate: Option<Told<f64>>,
    pub stage: Option<Told<Stage>>,
    /// Which round of its year's tests.
    pub round: Option<Text>,
    pub winding: Option<Told<f64>>,
    pub some_temperature: Option<Told<f64>>,
    pub ambient: Option<Told<f64>>,
    pub humidity: Option<Told<f64>>,
    pub dew_point: Option<Told<f64>>,
    pub instrument: Option<Told<Text>>,
    pub tester: Option<Told<Text>>,
    pub work_order: Option<Told<Text>>,
    pub outcome: Option<Told<Text>>,
    pub remarks: Vec<Told<Text>>,
    /// Cells that told this line its machine and date, for grouping.
    pub origin: (Option<u32>, Option<u32>),
    /// Whether the column's header told the machine or date, so that other columns tell others.
    pub fields: Vec<(Concept, Item)>,
}

/// What columns of multipliers and of over-range tell of one reading.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Beside {
    /// The power of ten of the reading's multiplier with its cell; inner `None` where its cell tells none.
    pub power: Option<Option<(i32, Item)>>,
    /// The bound that a flag of over-range or a code tells; inner `None` where it is not understood.
    pub bound: Option<Option<Bound>>,
}

/// Items that a blank or ditto repeats, by column.
pub(super) type Above = BTreeMap<u32, Item>;

impl Reader<'_, '_, '_> {
    /// Evidence on the order of day and month in each date column.
    pub(super) fn date_counts(&self, read: &ReadTable) -> BTreeMap<u32, Count> {
        let mut counts: BTreeMap<u32, Count> = BTreeMap::new();
        for column in read.columns.iter().filter(|column| column.role == Role::Field(Concept::Date)) {
            let count = counts.entry(column.column).or_default();
            for line in &read.table.body {
                let Some(item) = line.items.iter().find(|item| item.column == column.column) else { continue };
                self.count_day(item, count);
                match crate::pool::proven_order(self.view.sense(item)) {
                    Some(Order::DayFirst) => count.first += 1,
                    Some(Order::MonthFirst) => count.second += 1,
                    _ => {}
                }
            }
        }
        counts
    }

    /// Fields of a line: own cells, and those that hold from above.
    pub(super) fn line_fields(
        &mut self,
        read: &ReadTable,
        line: &BodyLine,
        above: &mut Above,
    ) -> Vec<(Concept, Item, bool)> {
        let mut fields = Vec::new();
        let is_name = |item: &&Item| {
            let is_key = |column: &Column| column.column == item.column && column.role.tells_which_or_when();
            !read.columns.iter().any(is_key) || !self.is_of_another_pair(item)
        };
        let owns: BTreeMap<u32, Item> =
            line.items.iter().filter(is_name).rev().map(|item| (item.column, *item)).collect();
        let own_of = |column: &Column| owns.get(&column.column).copied();
        let is_ditto = |item: &Item| self.view.sense(item).kind == Kind::Ditto;
        let blank = |concepts: &[Concept]| {
            read.columns.iter().any(|column| {
                matches!(column.role, Role::Field(concept) if concepts.contains(&concept))
                    && own_of(column).is_none_or(|item| is_ditto(&item))
            })
        };
        let asset_blank = blank(&[Concept::Tag, Concept::Serial]);
        let date_blank = blank(&[Concept::Date]);
        // Records that are merged over the lines of their details say so of all that holds for these: a blank beside is a blank.
        let is_declared = read.table.header.iter().flatten().all(|item| self.view.cell(item).synthetic);
        let merges_what_holds = is_declared && !read.table.header.is_empty() && !self.view.grid.merges.is_empty();
        for column in &read.columns {
            let Role::Field(concept) = column.role else { continue };
            // What stands under a date or machine of its own speaks of that one only.
            if column.group().is_some() || read.fellows.is_partial(column.column) {
                continue;
            }
            let own = own_of(column);
            let ditto = own.filter(|item| self.view.sense(item).kind == Kind::Ditto);
            if let Some(mark) = ditto {
                self.mark(&mark, Disposition::Repeat, Some("as in the line above"));
            }
            if let Some(item) = own.filter(|item| self.view.cell(item).content == Content::NoResult) {
                self.hold_formula(&item);
            }
            let usable = own.filter(|item| self.is_usable(item) && !self.is_line_label(item, column));
            let usable = usable.filter(|item| concept != Concept::Tag || !self.follows_another_label(item));
            if let Some(item) = usable {
                above.insert(column.column, item);
                fields.push((concept, item, true));
            } else if let Some(item) = above.get(&column.column).copied() {
                let merged = item.bottom >= line.row;
                let fill = ditto.is_some()
                    || own.is_none()
                        && (merged
                            || !merges_what_holds
                                && fills_down(concept, asset_blank, date_blank, column, read)
                                && !(concept == Concept::Serial && self.names_another(read, &item, &owns))
                            || self.is_said_to_fill(concept, column));
                if fill {
                    fields.push((concept, item, false));
                }
            }
        }
        fields
    }

    /// Whether the cell says what its line holds: in a column of such labels, or as a stranger among keys of another kind ("P.I."
    /// below minutes).
    fn is_line_label(&self, item: &Item, column: &Column) -> bool {
        match column.role {
            Role::LineLabel => true,
            Role::Field(concept) => {
                let sense = self.view.sense(item);
                // "1:30" under "min:s" is a minute and a half, and no ratio.
                if concept == Concept::Elapsed
                    && column.heading.clock.is_some()
                    && windrow_text::date::clock(&self.view.cell(item).text).is_some()
                {
                    return false;
                }
                // "1 min at 40 °C" among times: a corrected value, and at which time it was read.
                if concept == Concept::Elapsed && sense.label.reference_c.is_some() && sense.is_label() {
                    return true;
                }
                // "10 min / 1 min" among times: the ratio of two of them, and no time.
                let is_ratio =
                    |concept: Concept| matches!(concept, Concept::PolarizationIndex | Concept::AbsorptionRatio);
                if concept == Concept::Elapsed && sense.concept().is_some_and(is_ratio) {
                    return true;
                }
                // "Insulation to frame (MOhm)" among pairs of phases: what was measured, and in what, beside between what.
                let is_named =
                    |(concept, weight): &(Concept, f32)| *weight >= 0.6 && crate::fit::quantity(*concept).is_some();
                if concept == Concept::Circuit
                    && !sense.label.units.is_empty()
                    && sense.label.concepts.iter().any(is_named)
                {
                    return true;
                }
                // "Spread %" among pairs of terminals: something in a unit of its own, whatever its words are.
                let has_unit = sense.label.units.first().is_some_and(|best| best.weight >= 0.8 && !best.colloquial);
                let is_circuit = !sense.circuits.is_empty() || !sense.label.circuits.is_empty();
                if concept == Concept::Circuit && has_unit && !is_circuit && sense.kind == Kind::Text {
                    return true;
                }
                let fit = crate::fit::fits(wants(concept), self.view.cell(item), sense);
                // "ID Fan A" is a machine, though ID is short for one and A for ampere.
                let concepts = &sense.label.concepts;
                let names = !concepts.is_empty() && !concepts.iter().all(|(concept, _)| names_machine(*concept));
                fit < 0.2
                    && sense.is_pure_label()
                    && names | sense.label.statistic.is_some()
                    && !(concept == Concept::Tag
                        && (self.is_named_like_others(item)
                            || self.staged_name(item).is_some()
                            || sense.is_name_with_short_word()
                            || self.names_machine_not_quantity(item)))
            }
            _ => false,
        }
    }

    /// "Sec. Pump", "Min. flow pump": a word for a machine and no quantity, whatever the others abbreviate.
    fn names_machine_not_quantity(&self, item: &Item) -> bool {
        let folded = windrow_text::fold::fold(&self.view.cell(item).text);
        let mut concepts = self.view.sense(item).label.concepts.iter();
        folded.split(' ').any(windrow_text::said::names_machine)
            && !concepts.any(|(concept, _)| crate::fit::quantity(*concept).is_some())
    }

    /// Whether a cell is a label with a colon that names no machine, or a number right behind one as the sheet is written ("Applied
    /// voltage (V): | 2500"), whatever column they fall into.
    fn follows_another_label(&self, item: &Item) -> bool {
        let cells = &self.view.grid.cells;
        let own = self.view.cell(item);
        let names_other = |cell: &windrow_source::Cell| {
            let text = cell.text.trim_end();
            let label = text.strip_suffix(':').map(windrow_text::header::read);
            let concept = label.and_then(|label| label.concepts.first().map(|(concept, _)| *concept));
            concept.is_some_and(|concept| !names_machine(concept))
        };
        let before = (item.cell as usize).checked_sub(1).and_then(|before| cells.get(before));
        let is_number = || own.text.trim().chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | ','));
        let is_behind = |before: &windrow_source::Cell| {
            before.row == own.row && before.column + 1 == own.column && names_other(before)
        };
        names_other(own) || before.is_some_and(is_behind) && is_number()
    }

    fn is_usable(&self, item: &Item) -> bool {
        let sense = self.view.sense(item);
        match sense.kind {
            Kind::Ditto | Kind::Broken => false,
            Kind::Void => sense.is_pure_label(),
            _ => true,
        }
    }

    /// The line's circumstances over those of the block.
    pub(super) fn line(
        &mut self,
        read: &ReadTable,
        line: &BodyLine,
        base: &Line,
        above: &mut Above,
        counts: &BTreeMap<u32, Count>,
    ) -> Line {
        let fields = self.line_fields(read, line, above);
        let mut told = Line { row: line.row, ..base.clone() };
        let told_here: Vec<Item> =
            fields.iter().filter(|(_, item, own)| *own || item.bottom >= line.row).map(|(_, item, _)| *item).collect();
        for (concept, item, _) in &fields {
            if *concept == Concept::UnitColumn {
                let units = self.view.sense(item).label.units.clone();
                told.units.insert(item.column, ((units, self.view.cell(item).text.trim().into()), *item));
            }
        }
        let is_over = |(concept, item, own): &&(Concept, Item, bool)| {
            let is_remark = matches!(concept, Concept::Result | Concept::Remarks | Concept::Stage);
            *own && is_remark && self.view.sense(item).over == Some(OverRange::Above)
        };
        told.over_remark = fields.iter().find(is_over).map(|(_, item, _)| *item);
        for (concept, item, own) in fields {
            let Some(column) = read.columns.iter().find(|column| column.column == item.column) else { continue };
            let unit = read.unit_columns.get(&item.column).and_then(|at| told.units.get(at));
            if let Some(((units, text), at)) = unit.filter(|_| concept != Concept::UnitColumn) {
                let mut heading = column.heading.clone();
                let units = crate::pair_unit::within(wants(concept), units, text);
                heading.units = Some(By { value: (units, text.clone()), item: *at });
                self.apply(
                    &mut told,
                    concept,
                    &item,
                    &heading,
                    counts.get(&item.column).copied().unwrap_or_default(),
                    own,
                );
                continue;
            }
            self.apply(
                &mut told,
                concept,
                &item,
                &column.heading,
                counts.get(&item.column).copied().unwrap_or_default(),
                own,
            );
        }
        self.name_by_number(line, &mut told);
        if self.together.nameless.contains(&line.row) {
            told.machine_conflict = true;
        }
        self.add_name_part(read, line, &mut told);
        self.apply_rivals(read, line, &mut told, counts);
        self.apply_asked(read, line, &mut told);
        let mut labels: Vec<Item> = Vec::new();
        for column in &read.columns {
            let own = line.items.iter().find(|item| item.column == column.column);
            let own = own.filter(|item| self.is_line_label(item, column)).copied();
            let own = own.filter(|item| !column.role.tells_which_or_when() || !self.is_of_another_pair(item));
            if let Some(item) = own {
                self.mark(&item, Disposition::Label, Some("says what its line holds"));
                above.insert(column.column, item);
            }
            // A label over several lines is of all of them.
            told.is_of_another_kind |= own.is_some() && column.role != Role::LineLabel;
            let from_above = || above.get(&column.column).filter(|item| item.bottom >= line.row).copied();
            labels.extend(own.or_else(|| if column.role == Role::LineLabel { from_above() } else { None }));
        }
        if !labels.is_empty() {
            let heading = Heading::sum(self.view, &labels);
            told.circuits.splice(0..0, heading.circuits.clone());
            if labels.len() > 1 {
                self.apply_heading(&heading, &mut told);
            } else if let Some(stage) = &heading.stage {
                told.stage = Some(self.told(stage.value, Via::Row, &stage.item));
            }
            if let Some((celsius, item)) = self.warmth_beside(&labels) {
                told.winding = Some(self.told(celsius, Via::Row, &item));
            }
            let tells = !heading.circuits.is_empty() || heading.elapsed_s.is_some() || heading.voltage_v.is_some();
            told.is_of_another_kind &= !tells;
            told.is_of_another_kind |= self.is_unknown_among_windings(&heading);
            told.label = Some(heading);
        }
        self.take_terminals(&told_here, &mut told);
        self.apply_remarks(&told_here, &mut told);
        told
    }

    /// "Resistance U-V | winding at 21 °C": a label behind the name of what was measured that tells the winding's temperature and nothing
    /// else. In one label with the name it may be what the reading was corrected to.
    fn warmth_beside(&self, labels: &[Item]) -> Option<(f64, Item)> {
        let warmth = |item: &Item| {
            let (text, label) = (&self.view.cell(item).text, &self.view.sense(item).label);
            let is_alone = label.circuits.is_empty()
                && label.elapsed_s.is_none()
                && label.voltage_v.is_none()
                && !label.concepts.iter().any(|(concept, _)| crate::fit::quantity(*concept).is_some())
                && !windrow_text::explained::says_corrected(text);
            match windrow_text::prose::temperatures(text).as_slice() {
                [(windrow_text::prose::Place::Winding, celsius)] if is_alone => Some((*celsius, *item)),
                _ => None,
            }
        };
        let at_unit = |item: &Item| {
            windrow_text::header::unit_at_degrees(&self.view.cell(item).text).map(|(_, celsius)| (celsius, *item))
        };
        if let Some(told) = labels.iter().find_map(at_unit) {
            return Some(told);
        }
        let (_, behind) = labels.split_first()?;
        let mut told = behind.iter().filter_map(warmth);
        told.next().filter(|_| told.next().is_none())
    }

    /// Adds the terminals that a cell names.
    fn apply_circuit(&self, line: &mut Line, item: &Item, heading: &Heading) -> Disposition {
        let (cell, sense) = (self.view.cell(item), self.view.sense(item));
        let circuits = if sense.circuits.is_empty() { &sense.label.circuits } else { &sense.circuits };
        let numbered = windrow_text::circuit::numbered(&heading.text(self.view), &cell.text);
        // The heading says that these are phases, however others in the folder are named.
        let named = numbered.map_or_else(|| circuits.clone(), |phase| vec![CircuitMeaning { naming: None, ..phase }]);
        if named.is_empty() {
            return Disposition::Unread;
        }
        self.add_terminals(line, named, item);
        // "Field - earth, at 500 V".
        self.take_time_and_voltage(line, item);
        Disposition::Value
    }

    pub(super) fn apply(
        &mut self,
        line: &mut Line,
        concept: Concept,
        item: &Item,
        heading: &Heading,
        count: Count,
        own: bool,
    ) {
        let (cell, sense) = (self.view.cell(item), self.view.sense(item));
        let text = Text::from(cell.text.trim());
        let told_text = self.told(text.clone(), Via::Row, item);
        let mut disposition = Disposition::Value;
        match concept {
            Concept::Tag if self.follows_another_label(item) => disposition = Disposition::Label,
            // A column that only looks like names does not outweigh what is labelled as the machine right above.
            Concept::Tag if self.is_told_over_guess(heading) => disposition = Disposition::Unread,
            Concept::Tag if let Some(code) = self.code_described(item) => {
                self.apply_name(line, &code, heading, count);
                line.machine.description = Some(told_text);
            }
            Concept::Tag => self.apply_name(line, item, heading, count),
            Concept::Serial => {
                if line.machine.tag.as_ref().is_some_and(|tag| tag.via != Via::Row) {
                    line.machine = of_this_line(std::mem::take(&mut line.machine));
                    line.machine.tag = None;
                }
                line.machine.serial = Some(told_text);
                line.machine_conflict = false;
                line.origin.0 = line.origin.0.or(Some(item.cell));
            }
            Concept::OldTag | Concept::NewTag => line.machine.other_tags.push(told_text),
            Concept::Date => {
                line.when = by_quarters(self.date_of(item, Via::Row, count), &heading.text(self.view));
                line.origin.1 = Some(item.cell);
                if matches!(line.when, When::Untold) {
                    disposition = Disposition::Unread;
                }
            }
            Concept::Circuit => disposition = self.apply_circuit(line, item, heading),
            Concept::UnitColumn => {
                disposition = Disposition::Label;
            }
            Concept::Elapsed => line.elapsed = self.time_told(cell, sense, heading, item),
            Concept::TestVoltage => {
                line.voltage = self.line_volts(item, heading);
                if line.voltage.is_none() {
                    disposition = Disposition::Unread;
                }
            }
            Concept::RateOfRise => {
                line.rate = self.rate(cell, sense, heading).map(|rate| self.told(rate, Via::Row, item));
                line.remarks.push(Told { value: self.rate_in_words(item, heading), ..told_text });
            }
            Concept::WindingTemperature | Concept::Temperature | Concept::AmbientTemperature | Concept::DewPoint => {
                self.line_celsius(line, concept, item, heading);
            }
            Concept::Humidity => {
                line.humidity = self.percent(cell, sense).map(|value| self.told(value, Via::Row, item));
            }
            Concept::Instrument => line.instrument = Some(told_text),
            Concept::Tester => line.tester = Some(told_text),
            Concept::WorkOrder => line.work_order = Some(told_text),
            Concept::Result => line.outcome = Some(told_text),
            Concept::Remarks if own => {
                self.heed(line, item);
                line.remarks.push(told_text);
            }
            Concept::Stage => self.apply_stage(line, told_text, item, own),
            Concept::StepNumber
            | Concept::RowNumber
            | Concept::Witness
            | Concept::Page
            | Concept::OtherFigure
            | Concept::OtherPlate
            | Concept::ClockTime
            | Concept::OtherDate
            | Concept::Withstand => disposition = Disposition::Decor,
            Concept::CorrectionFactor => disposition = Disposition::Derived,
            Concept::TestKind => {
                self.take_time_and_voltage(line, item);
                disposition = Disposition::Decor;
            }
            Concept::Multiplier | Concept::Exponent | Concept::OverRange => {}
            Concept::Limit => disposition = Disposition::Label,
            other => {
                if let Some(slot) = described(&mut line.machine, other) {
                    *slot = Some(told_text);
                } else if let Some((field, value)) = self.plate_value(other, cell, sense, heading) {
                    let value = self.told(value, Via::Row, item);
                    line.machine.plate.retain(|(known, _)| *known != field);
                    line.machine.plate.push((field, value));
                } else {
                    disposition = Disposition::Unread;
                }
            }
        }
        if own {
            self.mark(item, disposition, None);
        }
        line.fields.push((concept, *item));
    }

    /// "IR, 60 s, 500 V", "phase winding at 22 °C": the name of a test tells its time, voltage and warmth, where no column of its own does.
    fn take_time_and_voltage(&self, line: &mut Line, item: &Item) {
        let (label, text) = (&self.view.sense(item).label, &self.view.cell(item).text);
        if let [(windrow_text::prose::Place::Winding, celsius)] = windrow_text::prose::temperatures(text).as_slice()
            && label.reference_c.is_none()
            && line.winding.as_ref().is_none_or(|told| told.via != Via::Row)
        {
            line.winding = Some(self.told(*celsius, Via::Row, item));
        }
        if let Some(seconds) = label.elapsed_s.filter(|_| line.elapsed.is_none()) {
            line.elapsed = Some(Time::Known(self.told(seconds, Via::Row, item)));
        }
        // "AC withstand 750 V, 1 min": volts with a time were put on, whatever the form tells of all its lines.
        let is_applied = |volts: &f64| windrow_text::volts::is_test_step(*volts) || label.elapsed_s.is_some();
        let is_open = line.voltage.as_ref().is_none_or(|told| told.via == Via::Block);
        if let Some(volts) = label.voltage_v.filter(is_applied).filter(|_| is_open) {
            line.voltage = Some(self.told(volts, Via::Row, item));
        }
    }

    /// The stage that a cell names, or a remark, and the day behind it.
    fn apply_stage(&mut self, line: &mut Line, told_text: Told<Text>, item: &Item, own: bool) {
        match crate::stage::stage(&told_text.value) {
            Some(stage) => line.stage = Some(self.told(stage, Via::Row, item)),
            None if own => line.remarks.push(told_text),
            None => {}
        }
        self.date_by_stage(line, item);
    }

    /// A temperature of the line; one that tells nothing leaves what was told before.
    fn line_celsius(&mut self, line: &mut Line, concept: Concept, item: &Item, heading: &Heading) {
        let told = self.celsius(self.view.cell(item), self.view.sense(item), heading, item, Via::Row);
        let field = match concept {
            Concept::WindingTemperature => &mut line.winding,
            Concept::AmbientTemperature => &mut line.ambient,
            Concept::DewPoint => &mut line.dew_point,
            _ => &mut line.some_temperature,
        };
        *field = told.or(field.take());
    }

    /// A relative humidity in percent.
    pub(super) fn percent(&self, cell: &windrow_source::Cell, sense: &crate::sense::Sense) -> Option<f64> {
        let amounts = crate::value::amounts(cell, sense)?;
        let number = amounts.parts.first()?.numbers.first()?.value;
        let percent = if number > 0.0 && number <= 1.0 { number * 100.0 } else { number };
        (0.0..=100.0).contains(&percent).then_some(percent)
    }
}

/// "III/98" under "Quarter" is the third quarter, no March.
fn by_quarters(when: When, heading: &str) -> When {
    const WORDS: [&str; 7] = ["quarter", "quarters", "qtr", "quartal", "quartale", "trimestre", "trim"];
    const NUMBERS: [&str; 8] = ["I", "II", "III", "IV", "1", "2", "3", "4"];
    let When::Known(mut told) = when else { return when };
    let is_quarter = windrow_text::fold::fold(heading).split(' ').any(|word| WORDS.contains(&word));
    let is_numbered = told.text.split(['/', '.', '-', ' ']).next().is_some_and(|first| NUMBERS.contains(&first));
    if is_quarter && is_numbered && told.value.precision == windrow_model::Precision::Month {
        let first = told.value.first;
        told.value = PartialDate::quarter(first.year(), first.month()).unwrap_or(told.value);
    }
    When::Known(told)
}

/// Where a mention keeps a name or place of the machine other than its tag and serial number.
const fn described(machine: &mut Mention, concept: Concept) -> Option<&mut Option<Told<Text>>> {
    Some(match concept {
        Concept::ListKey => &mut machine.list_key,
        Concept::FunctionalLocation => &mut machine.location,
        Concept::Parent => &mut machine.parent,
        Concept::Site => &mut machine.site,
        Concept::Area => &mut machine.area,
        Concept::Description => &mut machine.description,
        _ => return None,
    })
}

/// What a mention keeps when the line names its own machine: where it stands, and what the line's other cells tell of it.
pub(super) fn of_this_line(mut mention: Mention) -> Mention {
    let of_line = |told: &Told<Text>| told.via == Via::Row;
    mention.serial = mention.serial.filter(of_line);
    mention.description = mention.description.filter(of_line);
    mention.other_tags.retain(of_line);
    mention.plate.retain(|(_, told)| told.via == Via::Row);
    mention
}
