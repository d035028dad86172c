//! From cells to readings.

use super::Reader;
use super::circuit::Terminals;
use super::date::When;
use super::elapsed::Time;
use super::line::Line;
use super::plausible::{is_likely_percent, is_plausible};
use super::power_factor::{self, Loss};
use super::quantity::What;
use super::test::{self, Group, Pending};
use super::unit::{UnitPlaces, UnitTold};
use crate::column::{Column, Role};
use crate::context::Body;
use crate::sense::Kind;
use crate::value::Amount;
use crate::view::{Item, Orientation};
use windrow_model::kind::Outcome;
use windrow_model::raw::{RawReading, Told, Via};
use windrow_model::{Dimension, Disposition, Flag, Quantity, Question, Step, TestKind, Unit};
use windrow_text::circuit::CircuitMeaning;
use windrow_text::marks::{Verdict, verdict};
use windrow_text::measure::Condition;
use windrow_text::vocabulary::Concept;

/// "22 kW" below a title on resistances: a unit that only damage could make one of them, where nothing nearer than a title names what was
/// measured.
fn is_rather_of_other(amount: &Amount, quantity: &Told<Quantity>) -> bool {
    const SURE: f32 = 0.8;
    const FAINT: f32 = 0.2;
    let dimension = quantity.value.dimension();
    let is_titled = !matches!(quantity.via, Via::Cell | Via::Row | Via::Column);
    let is_other = |meaning: &windrow_text::unit::UnitMeaning| {
        meaning.unit.dimension != dimension && meaning.weight >= SURE && !meaning.colloquial
    };
    let is_faint =
        |meaning: &windrow_text::unit::UnitMeaning| meaning.unit.dimension != dimension || meaning.weight <= FAINT;
    is_titled && amount.units.iter().any(is_other) && amount.units.iter().all(is_faint)
}

/// Whether a number is below zero of a quantity that cannot be.
fn is_negative(amount: &Amount, quantity: Quantity) -> bool {
    let is_size = matches!(
        quantity.dimension(),
        Dimension::Resistance | Dimension::Capacitance | Dimension::Charge | Dimension::Inductance
    );
    is_size && amount.numbers.iter().any(|number| number.value < 0.0)
}

/// From here on a voltage is none that a conductor is measured with, V. Common practice, no source.
const CONDUCTOR_VOLTS: f64 = 50.0;

impl Reader<'_, '_, '_> {
    pub(super) fn read_amount(&mut self, item: &Item, amount: &Amount, column: &Column, line: &Line, extra: Extra) {
        let quantity = match self.what(item, amount, line, column) {
            What::Measured(told) => told,
            What::Circumstance(concept) => {
                self.read_circumstance(item, amount, concept, column, line);
                return;
            }
            What::Other => {
                self.mark(item, Disposition::Derived, Some(super::DISMISSED));
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
            sign: extra.sign.as_deref(),
        };
        let unit = match self.unit(&places, quantity.value) {
            UnitTold::Known(unit) => unit,
            UnitTold::Untold => {
                self.ask(item, Question::Unit, "unit", column, usual_units(quantity.value));
                return;
            }
            UnitTold::Conflict(a, b) => {
                self.ask(item, Question::UnitConflict, "unit", column, vec![a.symbol.to_owned(), b.symbol.to_owned()]);
                return;
            }
        };
        if let Some(behind) = self.unit_behind(item, quantity.value).filter(|behind| *behind != unit.value)
            && amount.units.is_empty()
            && unit.via != Via::Decision
        {
            let choices = vec![behind.symbol.to_owned(), unit.value.symbol.to_owned()];
            self.ask(item, Question::UnitConflict, "unit", column, choices);
            return;
        }
        // "30 s" among megohms is no resistance.
        let is_of_other =
            |meaning: &windrow_text::unit::UnitMeaning| meaning.unit.dimension != quantity.value.dimension();
        let has_other_unit = !amount.units.is_empty()
            && amount.units.iter().all(is_of_other)
            && amount.units.iter().any(|meaning| meaning.weight >= 0.8 && !meaning.colloquial);
        let has_other_unit = has_other_unit || is_rather_of_other(amount, &quantity);
        if has_other_unit && quantity.via != Via::Decision && unit.via != Via::Decision {
            self.mark(item, Disposition::Unread, Some("its unit is none of what its heading tells"));
            return;
        }
        if is_negative(amount, quantity.value) && quantity.via != Via::Decision {
            self.mark(item, Disposition::Unread, Some("no such quantity is negative"));
            return;
        }
        let is_dial = quantity.value == Quantity::InsulationResistance && amount.units.is_empty();
        let is_ratio = quantity.value.dimension() == Dimension::Ratio;
        let unit = match line.beside.power.filter(|_| !is_ratio).map(|power| power.filter(|_| is_dial)) {
            None => unit,
            Some(power) => {
                let many =
                    power.and_then(|(power, at)| Some(self.told(unit.value.times_ten_to(power)?, Via::Row, &at)));
                let Some(unit) = many else {
                    self.ask(item, Question::Unit, "multiplier", column, usual_units(quantity.value));
                    return;
                };
                unit
            }
        };
        let written = amount.numbers.first().map_or(f64::NAN, |number| number.value) / amount.divisor;
        let is_doubted = !is_plausible(quantity.value, unit.value.to_stored(written))
            || is_likely_percent(quantity.value, &unit, written);
        if unit.via != Via::Decision && is_doubted {
            let choices = usual_units(quantity.value);
            self.ask(item, Question::Unit, "plausible unit", column, choices);
            return;
        }
        self.push_reading(item, amount, column, line, (quantity, unit), extra);
    }

    /// What the line tells, with what the column, a footnote and a person say of this reading.
    fn line_of(&mut self, item: &Item, column: &Column, line: &Line, extra: &Extra) -> Line {
        let mut line = line.clone();
        // A day over the column is that of this test, and not of the earlier one that its line tells.
        let of_earlier =
            line.label.as_ref().filter(|label| label.has(Concept::EarlierReading)).map(|_| line.when.clone());
        self.apply_heading(&column.heading, &mut line);
        line.when = of_earlier.unwrap_or(line.when);
        if let Some(when) = self.footnote_day(extra.sign.as_deref()) {
            line.when = when;
        }
        self.heed_exciter(&mut line, column);
        self.apply_rulings(item, &mut line);
        line
    }

    pub(super) fn push_reading(
        &mut self,
        item: &Item,
        amount: &Amount,
        column: &Column,
        line: &Line,
        (quantity, unit): (Told<Quantity>, Told<Unit>),
        extra: Extra,
    ) {
        let mut line = self.line_of(item, column, line, &extra);
        if line.machine_conflict {
            self.ask(item, Question::Machine, "machine", column, Vec::new());
            return;
        }
        if let When::Unclear(at) = line.when
            && !self.is_asked(at)
        {
            self.ask_day(item, &at, column);
            return;
        }
        let Some(circuit) = self.circuit_or_ask(item, amount, (column, quantity.value), &line, &extra) else { return };
        let is_ratio =
            matches!(quantity.value, Quantity::PolarizationIndex | Quantity::AbsorptionRatio | Quantity::Unbalance);
        // Nobody waits or chooses a voltage for a conductor: what a title or a form tells of them is meant for other readings.
        let is_conductor =
            matches!(quantity.value, Quantity::WindingResistance | Quantity::Unbalance | Quantity::Inductance);
        // An inception voltage is where something began, whatever the steps beside it waited.
        let is_inception = matches!(
            quantity.value,
            Quantity::PdInceptionVoltage | Quantity::PdExtinctionVoltage | Quantity::SurgeInceptionVoltage
        );
        let is_own = |via: Via| match via {
            Via::Cell | Via::Decision => true,
            Via::Row | Via::Column => !is_inception,
            _ => !(is_conductor || is_inception),
        };
        let elapsed = match self.elapsed(item, amount, &line, (column, quantity.value)) {
            _ if is_ratio => None,
            Time::Known(told) => Some(told).filter(|told| is_own(told.via)),
            Time::Untold => None,
            Time::Unclear => {
                self.ask(item, Question::Elapsed, "time", column, Vec::new());
                return;
            }
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
        // The volts of a line with both are those put on the insulation.
        let is_of_insulation = |told: &Told<f64>| is_conductor && told.via == Via::Row && told.value >= CONDUCTOR_VOLTS;
        let applied_voltage_v = self
            .voltage(item, amount, &line, (column, quantity.value))
            .filter(|told| is_own(told.via) && !is_of_insulation(told));
        let is_end = applied_voltage_v.as_ref().is_some_and(|told| self.is_end_of_ramp(&line, told));
        if applied_voltage_v.as_ref().is_some_and(|told| self.doubts_voltage(item, quantity.value, told)) {
            return;
        }
        let ramped = self.ramped(&line, elapsed.as_ref(), quantity.value).filter(|_| applied_voltage_v.is_none());
        let applied_voltage_v = applied_voltage_v.filter(|_| !is_end);
        let (as_reported, reference) = self.reported(quantity.value, column, &line, &extra);
        let number = amount.numbers.first().map_or(f64::NAN, |number| number.value) / amount.divisor;
        let mut steps = extra.steps.clone();
        let number = match power_factor::loss(&quantity, number, unit.value) {
            Loss::AsRead => number,
            Loss::Converted(tangent, step) => {
                steps.push(step);
                tangent
            }
            Loss::Open(why) => {
                self.hold_value(item, why, Vec::new());
                return;
            }
        };
        if amount.divisor > 1.0 {
            steps.push(Step::new("scale", format!("the number format shows it divided by {}", amount.divisor)));
        }
        let (ramped, step) = ramped.unzip();
        steps.extend(step);
        let applied_voltage_v = ramped.or(applied_voltage_v);
        let flags = self.flags(item, &extra);
        self.tell_beside(item, amount, &extra, &mut line);
        let outcome = outcome(&line, quantity.value);
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
            outcome,
            raw_text: self.view.cell(item).text.clone(),
            place: self.place(item),
            steps,
            flags,
        };
        self.add(reading, item, &line);
    }

    /// Between which terminals, if that is told; `None` where a person is asked.
    #[expect(clippy::option_option, reason = "asked, not told, told")]
    fn circuit_or_ask(
        &mut self,
        item: &Item,
        amount: &Amount,
        (column, quantity): (&Column, Quantity),
        line: &Line,
        extra: &Extra,
    ) -> Option<Option<Told<windrow_model::Circuit>>> {
        let (question, choices) = match self.terminals(item, amount, column, line, quantity, extra) {
            Terminals::Known(told) => return Some(Some(told)),
            Terminals::Untold if test::is_of_insulation(quantity) && self.tells_unread_circuit(line) => {
                ("circuit".to_owned(), Vec::new())
            }
            Terminals::Untold => return Some(None),
            Terminals::Open(choices, text) => {
                let choices = choices.iter().map(|circuit| circuit.code().to_owned()).collect();
                (format!("circuit (\"{text}\")"), choices)
            }
        };
        self.ask(item, Question::Circuit, &question, column, choices);
        None
    }

    /// Whether the line holds something in a column of circuits that is not understood ("Channel" over 1, 2, 3).
    fn tells_unread_circuit(&self, line: &Line) -> bool {
        let Some(Body::Table(table)) = self.scene.blocks.get(self.block).map(|block| &block.body) else { return false };
        let Some(read) = self.scene.tables.get(*table) else { return false };
        let is_open = |column: &&Column| {
            let concepts = &column.heading.concepts;
            column.role == Role::Unknown
                && concepts.first().is_some_and(|(concept, weight, _)| *concept == Concept::Circuit && *weight >= 0.5)
        };
        read.columns.iter().filter(is_open).any(|column| self.view.at(line.row, column.column).is_some())
    }

    /// What a person should know of a reading.
    fn flags(&self, item: &Item, extra: &Extra) -> Vec<Flag> {
        let mut flags = extra.flags.clone();
        if self.is_hidden(item) {
            flags.push(Flag::Hidden);
        }
        if self.view.sense(item).kind == Kind::Ditto {
            flags.push(Flag::Ditto);
        }
        flags
    }

    /// Temperature and remark that stand beside a value in its own cell, or in a note on it.
    fn tell_beside(&self, item: &Item, amount: &Amount, extra: &Extra, line: &mut Line) {
        for condition in &amount.conditions {
            if let Condition::TemperatureC(celsius) = condition {
                line.winding = Some(self.told(*celsius, Via::Cell, item));
            }
        }
        if line.winding.is_none() {
            line.winding = self.note_temperature(item);
        }
        if let Some(remark) = &extra.remark {
            line.remarks.push(self.told(remark.into(), Via::Cell, item));
        }
    }

    pub(super) fn is_asked(&self, at: Item) -> bool {
        self.fates
            .get(at.cell as usize)
            .and_then(Option::as_ref)
            .is_some_and(|fate| fate.disposition == Disposition::Held)
    }

    pub(super) fn add(&mut self, reading: RawReading, item: &Item, line: &Line) {
        let Some(kind) = test::kind_of(reading.quantity.value) else {
            self.mark(item, Disposition::Unread, Some("a quantity that belongs to no kind of test"));
            return;
        };
        let kind = if kind == TestKind::DcWithstand && self.is_alternating() { TestKind::AcWithstand } else { kind };
        self.add_as(kind, reading, item, line);
    }

    /// Adds a reading to its test of this kind.
    pub(super) fn add_as(&mut self, mut kind: TestKind, reading: RawReading, item: &Item, line: &Line) {
        let home = self.scene.homes.get(self.block).copied().unwrap_or(self.block);
        // A resistance in the same line as a leakage current belongs to the voltage test.
        if kind == TestKind::InsulationResistance {
            let key = test::test_key(home, line, TestKind::DcWithstand);
            if self.by_key.contains_key(&key) {
                kind = TestKind::DcWithstand;
            }
        }
        let mut key = test::test_key(home, line, kind);
        let first = self.by_key.get(&key).and_then(|index| self.groups.get(*index));
        if first.is_some_and(|group| test::contradicts(&group.test.machine, &line.machine)) {
            key = format!("{key}|{}", test::machine_details(&line.machine));
        }
        let index = if let Some(index) = self.by_key.get(&key) {
            *index
        } else {
            let place = self.place(item);
            let raised = if kind == TestKind::DcWithstand { self.raised(line) } else { TestKind::DcStep };
            self.groups.push(Group { raised, ..Group::new(self.block, line, kind, place) });
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

    pub(super) fn is_hidden(&self, item: &Item) -> bool {
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

/// What the source says that a voltage did to the circuit of a line; a verdict on a whole test or on a resistance is none.
fn outcome(line: &Line, quantity: Quantity) -> Option<Outcome> {
    let is_a_trial = matches!(
        quantity,
        Quantity::LeakageCurrent
            | Quantity::Voltage
            | Quantity::SurgePeakVoltage
            | Quantity::SurgeInceptionVoltage
            | Quantity::SurgeDifference
    );
    let told = line.outcome.as_ref().filter(|told| is_a_trial && matches!(told.via, Via::Row | Via::Cell))?;
    match verdict(&told.value)? {
        Verdict::Pass => Some(Outcome::Withstood),
        Verdict::Fail => Some(Outcome::BrokeDown),
        Verdict::Stopped => Some(Outcome::Stopped),
        Verdict::Marginal => None,
    }
}

/// Units that a quantity is usually written in, to choose from. Common practice, no source.
fn usual_units(quantity: Quantity) -> Vec<String> {
    let units: &[&str] = match quantity {
        Quantity::InsulationResistance => &["MΩ", "GΩ", "kΩ"],
        Quantity::WindingResistance => &["Ω", "mΩ", "µΩ"],
        Quantity::LeakageCurrent => &["µA", "nA", "mA"],
        Quantity::Capacitance => &["nF", "µF", "pF"],
        _ => &[],
    };
    units.iter().map(|unit| (*unit).to_owned()).collect()
}

/// What else is known of one value of a cell.
#[derive(Debug, Clone, Default)]
pub(super) struct Extra {
    pub(super) circuits: Option<Vec<CircuitMeaning>>,
    pub(super) corrected: Option<Option<f64>>,
    /// The footnote sign behind the value.
    pub(super) sign: Option<String>,
    pub(super) remark: Option<String>,
    pub(super) flags: Vec<Flag>,
    pub(super) steps: Vec<Step>,
}
