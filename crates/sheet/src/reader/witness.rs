//! A last look at each reading: whatever stands nearer to it than what it was taken from, and went unused, must not speak against it.
//!
//! Each rule that reads titles, labels and headings was written for what it may mean. What is asked here is only whether the page as
//! a whole bears out what was made of it, whichever rule made it. Where it does not, a time or voltage is left out, and of a unit,
//! a day or a circuit a person is asked.

mod days;
mod doubt;
mod mentions;
mod names;
mod volts;

use super::Reader;
use super::test::{self, Group, Pending};
use crate::column::Role;
use crate::context::Body;
use crate::fit::is_index;
use crate::view::{Item, Orientation};
use doubt::Doubt;
use mentions::{Against, NEARER, Sightings};
use names::Rival;
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::kind::TemperatureBasis;
use windrow_model::raw::{Told, Via};
use windrow_model::{Circuit, Flag, Quantity, Step, Unit};
use windrow_text::circuit::{Named, resolve};
use windrow_text::marks::says_between;
use windrow_text::tag;
use windrow_text::vocabulary::Concept;

/// Rows of a sheet by what was read in them.
#[derive(Debug)]
struct Lines {
    surged: BTreeSet<u32>,
    conductors: BTreeSet<u32>,
}

impl Reader<'_, '_, '_> {
    /// Doubts what the rest of the sheet does not bear out.
    pub(super) fn hear_witnesses(&mut self) {
        if self.groups.is_empty() {
            return;
        }
        let items: BTreeMap<u32, Item> = self.view.items().iter().map(|item| (item.cell, *item)).collect();
        let sightings = self.sightings();
        self.heed_names(&items);
        let denied: Vec<bool> =
            self.groups.iter().map(|group| self.is_warmth_denied(group, &items, &sightings)).collect();
        for (group, _) in self.groups.iter_mut().zip(denied).filter(|(_, is_denied)| *is_denied) {
            leave_out_temperature(group);
        }
        let spoken = self.all_spoken_against(&items, &sightings);
        for pending in self.groups.iter_mut().flat_map(|group| &mut group.pending) {
            let Some(against) = spoken.get(&pending.cell) else { continue };
            let reading = &mut pending.reading;
            if let Some(why) = against.voltage {
                let told = reading.applied_voltage_v.take();
                reading.steps.extend(told.map(|told| left_out(&told, "V", why)));
            }
            if let Some(why) = against.elapsed {
                let told = reading.elapsed_s.take();
                reading.steps.extend(told.map(|told| left_out(&told, "s", why)));
            }
        }
        let doubts = self.doubts(&spoken, &items, &sightings);
        for group in &mut self.groups {
            group.pending.retain(|pending| !doubts.contains_key(&pending.cell));
        }
        for (cell, doubt) in doubts {
            if let Some(item) = items.get(&cell) {
                self.ask_about(item, doubt);
            }
        }
    }

    /// Makes ratios of what a nearer label calls one, and asks where it names another quantity.
    fn heed_names(&mut self, items: &BTreeMap<u32, Item>) {
        let namings = self.namings();
        let mut rivals: BTreeMap<u32, Rival> = BTreeMap::new();
        let mut doubts = Vec::new();
        for group in &self.groups {
            for pending in &group.pending {
                let Some(item) = items.get(&pending.cell) else { continue };
                let rival = self.rival_quantity(group.block, item, pending, &namings);
                rivals.extend(rival.map(|rival| (pending.cell, rival)));
                let unit = self.unit_above(item, pending, &namings).filter(|_| rival.is_none());
                doubts.extend(unit.map(|unit| (pending.cell, Doubt::OtherUnit(unit, pending.reading.unit.value))));
            }
        }
        let ratios: BTreeMap<u32, Told<Quantity>> = rivals
            .iter()
            .filter(|(_, rival)| is_index(rival.quantity))
            .map(|(cell, rival)| (*cell, self.told(rival.quantity, rival.via, &rival.item)))
            .collect();
        let of_other_unit: BTreeSet<u32> = doubts.iter().map(|(cell, _)| *cell).collect();
        for group in &mut self.groups {
            group.pending.retain_mut(|pending| {
                let Some(rival) = rivals.get(&pending.cell) else { return !of_other_unit.contains(&pending.cell) };
                if let Some(ratio) = ratios.get(&pending.cell).filter(|_| names::may_be_ratio(pending)) {
                    let reading = &mut pending.reading;
                    reading.steps.push(Step::new(
                        "ratio",
                        format!("no {}, for {:?} names it", reading.unit.value.symbol, ratio.text),
                    ));
                    reading.unit = ratio.clone().map(|_| Unit::ONE);
                    (reading.quantity, reading.elapsed_s) = (ratio.clone(), None);
                    return true;
                }
                doubts.push((pending.cell, Doubt::OtherQuantity(*rival, pending.reading.quantity.value)));
                false
            });
        }
        for (cell, doubt) in doubts {
            if let Some(item) = items.get(&cell) {
                self.ask_about(item, doubt);
            }
        }
    }

    fn all_spoken_against(&self, items: &BTreeMap<u32, Item>, sightings: &Sightings) -> BTreeMap<u32, Against> {
        let mut spoken = BTreeMap::new();
        for group in &self.groups {
            for pending in &group.pending {
                let Some(item) = items.get(&pending.cell) else { continue };
                let against = self.spoken_against(group.block, item, pending, sightings);
                if against != Against::default() {
                    spoken.insert(pending.cell, against);
                }
            }
        }
        spoken
    }

    fn doubts(
        &self,
        spoken: &BTreeMap<u32, Against>,
        items: &BTreeMap<u32, Item>,
        sightings: &Sightings,
    ) -> BTreeMap<u32, Doubt> {
        let mut doubts = BTreeMap::new();
        let are_borne_out = self.bears_out_pairs();
        let (days, lone) = (self.days_unused(), self.lone_days());
        let lines = self.lines();
        for group in &self.groups {
            let rival = self.rival_day(group, &days, &lone);
            for pending in &group.pending {
                let Some(item) = items.get(&pending.cell) else { continue };
                let unit = spoken.get(&pending.cell).and_then(|against| against.unit);
                let told = pending.reading.unit.value;
                let doubt = rival
                    .or_else(|| self.nearer_day(group, item, sightings))
                    .or_else(|| self.remark_on_other_visit(group, item, sightings))
                    .map(Doubt::OtherDay)
                    .or_else(|| self.remark_that_asks(group, item, sightings).map(Doubt::Questioned))
                    .or_else(|| self.rectified(item).map(Doubt::Rectified))
                    .or_else(|| unit.map(|nearer| Doubt::OtherUnit(nearer, told)))
                    .or_else(|| lone_pair(pending).filter(|_| !are_borne_out).map(Doubt::LonePair))
                    .or_else(|| self.is_no_unbalance(group.block, item, pending, &lines).then_some(Doubt::NoConductor))
                    .or_else(|| self.rival_circuit(group.block, item, pending, sightings).map(Doubt::OtherCircuit))
                    .or_else(|| self.rival_machine(group, item).map(Doubt::OtherMachine));
                doubts.extend(doubt.map(|doubt| (pending.cell, doubt)));
            }
        }
        doubts
    }

    /// The cell of a reading, where its comment says that another number is right.
    fn rectified(&self, item: &Item) -> Option<u32> {
        let note = self.view.cell(item).note.as_deref()?;
        windrow_text::explained::rectifies(note, &self.view.cell(item).text).then_some(item.cell)
    }

    /// Whether readings of the sheet were given all pairs of phases, or each phase to earth, so that a pair beside them is no phase
    /// against the T of "tierra" or the M of "masse".
    fn bears_out_pairs(&self) -> bool {
        let pending = self.groups.iter().flat_map(|group| &group.pending);
        let told: BTreeSet<&str> =
            pending.filter_map(|pending| Some(pending.reading.circuit.as_ref()?.value.code())).collect();
        let has_all = |circuits: [Circuit; 3]| circuits.iter().all(|circuit| told.contains(circuit.code()));
        has_all(Circuit::PAIRS) || has_all([Circuit::UToEarth, Circuit::VToEarth, Circuit::WToEarth])
    }

    /// The cell that begins the line of a reading, where it looks like the name of a machine, its column was not understood, and the
    /// machine was told by a title that names another.
    fn rival_machine(&self, group: &Group, item: &Item) -> Option<u32> {
        let machine = group.test.machine.tag.as_ref().filter(|told| is_far(told.via))?;
        let block = self.scene.blocks.get(group.block)?;
        let Body::Table(table) = block.body else { return None };
        let line = self.view.line(self.view.line_at(item.row));
        let first = line.iter().find(|other| other.row == item.row && other.column >= block.columns.0)?;
        let columns = &self.scene.tables.get(table)?.columns;
        let is_unknown = columns.iter().any(|column| column.column == first.column && column.role == Role::Unknown);
        let text = &self.view.cell(first).text;
        let name = text.split([' ', '(']).next().unwrap_or_default();
        let (own, its) = (tag::fold(name), tag::fold(&machine.value));
        let is_name = first.column < item.column && is_unknown && tag::likeness(name) >= 0.5 && !own.is_empty();
        (is_name && !own.contains(its.as_str()) && !its.contains(own.as_str())).then_some(first.cell)
    }

    /// The terminals that a label in the line of a reading names, where a title gave it others.
    fn rival_circuit(&self, block: usize, item: &Item, pending: &Pending, all: &Sightings) -> Option<Circuit> {
        let reading = &pending.reading;
        if let Some(pair) = self.pair_before(block, item).filter(|pair| {
            reading.circuit.as_ref().is_some_and(|told| told.value != *pair && told.via != Via::Decision)
        }) {
            return Some(pair);
        }
        let told = reading.circuit.as_ref().filter(|told| is_far(told.via))?;
        let named = self.phases_before(block, item).or_else(|| self.phase_over(item, told, all))?;
        let circuit = resolve(named, test::is_of_insulation(reading.quantity.value))?;
        (circuit != told.value).then_some(circuit)
    }

    /// The phase that a line of its own names between the title that told terminals and a reading: "PHASE B" above the second part of a
    /// table.
    fn phase_over(&self, item: &Item, told: &Told<Circuit>, all: &Sightings) -> Option<Named> {
        let from = all.row_of(told).filter(|_| self.view.orientation == Orientation::Upright)?;
        let before = all.phases.partition_point(|(row, _)| *row < item.row);
        let (row, named) = all.phases.get(before.checked_sub(1)?)?;
        (*row > from).then_some(*named)
    }

    /// What a cell before `item` in its line names: one phase or one pair.
    fn phases_before(&self, block: usize, item: &Item) -> Option<Named> {
        let block = self.scene.blocks.get(block)?;
        let line = self.view.line(self.view.line_at(item.row));
        let mut before = line.iter().filter(|other| other.row == item.row && other.column < item.column);
        let is_phase = |named: Named| matches!(named, Named::Phase(_) | Named::PhaseToEarth(_) | Named::Pair(..));
        before.find_map(|other| {
            let least = self.least_weight(&block.body, other)?;
            let mut meanings = self.view.sense(other).circuits.iter();
            let named = meanings.find(|meaning| meaning.weight >= least && is_phase(meaning.named));
            named.map(|meaning| meaning.named)
        })
    }

    /// The pair that two cells before `item` in its line name: "T1 | T2 | 2.6".
    fn pair_before(&self, block: usize, item: &Item) -> Option<Circuit> {
        let block = self.scene.blocks.get(block)?;
        let line = self.view.line(self.view.line_at(item.row));
        let before: Vec<&Item> =
            line.iter().filter(|other| other.row == item.row && other.column < item.column).collect();
        let [.., one, other] = before.as_slice() else { return None };
        // In "U | 500 | V | 510" a value stands between them.
        let phase = |cell: &Item| {
            let least = self.least_weight(&block.body, cell)?;
            self.view.sense(cell).circuits.iter().find_map(|meaning| match meaning.named {
                Named::Phase(phase) if meaning.weight >= least => Some(phase),
                _ => None,
            })
        };
        let (one, other) = (phase(one)?, phase(other)?);
        (one != other).then(|| resolve(Named::Pair(one, other), true)).flatten()
    }

    /// From which weight on a cell of a block names a phase; none where its column is of something else ("Room | T1").
    fn least_weight(&self, body: &Body, item: &Item) -> Option<f32> {
        let Body::Table(table) = body else {
            // "Phase | U": the label says what the letter is.
            return Some(if self.is_labelled_circuit(item) { 0.0 } else { 0.5 });
        };
        let column = self.scene.tables.get(*table)?.columns.iter().find(|column| column.column == item.column)?;
        matches!(column.role, Role::LineLabel | Role::Field(Concept::Circuit)).then_some(0.5)
    }

    fn is_labelled_circuit(&self, item: &Item) -> bool {
        let mut pairs = self.scene.loose.pairs.iter().filter(|pair| pair.value.cell == item.cell);
        pairs.any(|pair| pair.heading.concept() == Some(Concept::Circuit))
    }

    /// Whether an unbalance, which is of all three phases, stands in a line that names one of them, or beside voltages of surges, and no
    /// resistance of a conductor does.
    fn is_no_unbalance(&self, block: usize, item: &Item, pending: &Pending, lines: &Lines) -> bool {
        let quantity = &pending.reading.quantity;
        quantity.value == Quantity::Unbalance
            && quantity.via != Via::Decision
            && !lines.conductors.contains(&pending.row)
            && (lines.surged.contains(&pending.row) || self.phases_before(block, item).is_some())
    }

    /// Lines with voltages of surges, and those with values of conductors.
    fn lines(&self) -> Lines {
        let rows_of = |quantities: &[Quantity]| {
            let all = self.groups.iter().flat_map(|group| &group.pending);
            all.filter(|pending| quantities.contains(&pending.reading.quantity.value))
                .map(|pending| pending.row)
                .collect()
        };
        Lines {
            surged: rows_of(&[Quantity::SurgePeakVoltage, Quantity::SurgeInceptionVoltage]),
            conductors: rows_of(&[Quantity::WindingResistance, Quantity::Inductance]),
        }
    }
}

/// Whether something was told for more than the reading's own line, column or cell.
const fn is_far(via: Via) -> bool {
    matches!(via, Via::Block | Via::Section | Via::Sheet | Via::SheetName | Via::File | Via::Folder)
}

/// The pair of phases that a reading of the insulation was given by a text that does not say "between".
fn lone_pair(pending: &Pending) -> Option<Circuit> {
    let told = pending.reading.circuit.as_ref().filter(|told| Circuit::PAIRS.contains(&told.value))?;
    let is_borne_out = told.via == Via::Decision || says_between(&told.text) || is_plain_pair(&told.text);
    (test::is_of_insulation(pending.reading.quantity.value) && !is_borne_out).then_some(told.value)
}

/// Takes the temperature away that a title gave a test, and says so in the derivation of its readings.
fn leave_out_temperature(group: &mut Group) {
    let Some(told) = group.test.winding_temperature_c.take() else { return };
    group.test.winding_temperature_basis = TemperatureBasis::Unknown;
    group.test.flags.retain(|flag| *flag != Flag::TemperatureAssumed);
    for pending in &mut group.pending {
        pending.reading.steps.push(left_out(&told, "°C", NEARER));
    }
}

/// The step that says what was told from afar and not believed.
fn left_out(told: &Told<f64>, unit: &str, why: &str) -> Step {
    Step::new("left out", format!("{} {unit} told by {:?}: {why}", told.value, told.text))
}

/// "R-S (MΩ)": two names and no more, of which none is short for earth.
fn is_plain_pair(text: &str) -> bool {
    let pair = text.split(['(', '[']).next().unwrap_or_default().trim();
    let is_short = pair.len() <= 7 && pair.chars().filter(|c| !c.is_alphanumeric()).count() <= 1;
    is_short && !pair.contains(['T', 't'])
}
