//! A last look at each reading: whatever stands nearer to it than what it was taken from, and went unused, must not speak against it.
//!
//! Each rule that reads titles, labels and headings was written for what it may mean. What is asked here is only whether the page as
//! a whole bears out what was made of it, whichever rule made it. Where it does not, a time or voltage is left out, and of a unit,
//! a day or a circuit a person is asked.

mod days;
mod mentions;

use super::test::{self, Pending};
use super::{Fate, Reader};
use crate::column::Role;
use crate::context::Body;
use crate::hold::Hold;
use crate::view::{Item, Orientation};
use mentions::{Against, Sightings};
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::raw::{Told, Via};
use windrow_model::{Circuit, Disposition, Flag, Quantity, Question, Unit};
use windrow_text::circuit::{Named, resolve};
use windrow_text::marks::{self, says_between};
use windrow_text::vocabulary::Concept;

/// What speaks against a reading as a whole.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Doubt {
    /// Only one or two pairs of phases are named on the sheet.
    LonePair,
    /// Another day is told that nothing explains, in this cell.
    OtherDay(u32),
    /// A text that stands nearer than the one that told the day tells another.
    NearerDay,
    /// Another unit stands nearer than the first.
    OtherUnit(Unit, Unit),
    /// The line names other terminals than the title that was followed.
    OtherCircuit(Circuit),
    /// An unbalance beside the voltages of surges.
    NoConductor,
}

/// Rows of a sheet by what was read in them.
#[derive(Debug)]
struct Lines {
    surged: BTreeSet<u32>,
    conductors: BTreeSet<u32>,
}

impl Reader<'_, '_, '_> {
    /// Doubts what the rest of the sheet does not bear out.
    pub(super) fn hear_witnesses(&mut self) {
        let items: BTreeMap<u32, Item> = self.view.items().iter().map(|item| (item.cell, *item)).collect();
        let sightings = self.sightings();
        let denied: Vec<bool> =
            self.groups.iter().map(|group| self.is_warmth_denied(group, &items, &sightings)).collect();
        for (group, _) in self.groups.iter_mut().zip(denied).filter(|(_, is_denied)| *is_denied) {
            group.test.winding_temperature_c = None;
            group.test.flags.retain(|flag| *flag != Flag::TemperatureAssumed);
        }
        let spoken = self.all_spoken_against(&items, &sightings);
        for pending in self.groups.iter_mut().flat_map(|group| &mut group.pending) {
            let Some(against) = spoken.get(&pending.cell) else { continue };
            if against.voltage {
                pending.reading.applied_voltage_v = None;
            }
            if against.elapsed {
                pending.reading.elapsed_s = None;
            }
        }
        self.set_statistics_aside();
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

    /// "lowest" where machines are named, as in a table read column by column: what stands there is computed from the others.
    fn set_statistics_aside(&mut self) {
        let mut computed: Vec<u32> = Vec::new();
        for group in &mut self.groups {
            let tag = group.test.machine.tag.as_ref().filter(|tag| matches!(tag.via, Via::Row | Via::Column));
            if tag.is_some_and(|tag| is_statistic(&tag.text)) {
                computed.extend(std::mem::take(&mut group.pending).iter().map(|pending| pending.cell));
            }
        }
        for cell in computed {
            if let Some(fate) = self.fates.get_mut(cell as usize) {
                let reason = Some("computed or set by the source, not measured".into());
                *fate = Some(Fate { disposition: Disposition::Derived, reason });
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
        let days = self.days_unused();
        let lines = self.lines();
        for group in &self.groups {
            let rival = self.rival_day(group, &days);
            for pending in &group.pending {
                let Some(item) = items.get(&pending.cell) else { continue };
                let unit = spoken.get(&pending.cell).and_then(|against| against.unit);
                let told = pending.reading.unit.value;
                let doubt = rival
                    .map(Doubt::OtherDay)
                    .or_else(|| self.is_day_denied(group, item, sightings).then_some(Doubt::NearerDay))
                    .or_else(|| unit.map(|nearer| Doubt::OtherUnit(nearer, told)))
                    .or_else(|| (!are_borne_out && is_lone_pair(pending)).then_some(Doubt::LonePair))
                    .or_else(|| self.is_no_unbalance(group.block, item, pending, &lines).then_some(Doubt::NoConductor))
                    .or_else(|| self.rival_circuit(group.block, item, pending, sightings).map(Doubt::OtherCircuit));
                doubts.extend(doubt.map(|doubt| (pending.cell, doubt)));
            }
        }
        doubts
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

    /// The terminals that a label in the line of a reading names, where a title gave it others.
    fn rival_circuit(&self, block: usize, item: &Item, pending: &Pending, all: &Sightings) -> Option<Circuit> {
        let reading = &pending.reading;
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
            let least = match block.body {
                Body::Table(table) => self.scene.tables[table].columns.iter().find_map(|column| {
                    let is_label = matches!(column.role, Role::LineLabel | Role::Field(Concept::Circuit));
                    (column.column == other.column && is_label).then_some(0.5)
                }),
                // "Phase | U": the label says what the letter is.
                _ => Some(if self.is_labelled_circuit(other) { 0.0 } else { 0.5 }),
            };
            let mut meanings = self.view.sense(other).circuits.iter();
            let named = meanings.find(|meaning| meaning.weight >= least.unwrap_or(f32::MAX) && is_phase(meaning.named));
            named.map(|meaning| meaning.named)
        })
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

    fn ask_about(&mut self, item: &Item, doubt: Doubt) {
        let (question, cause, choices, context) = match doubt {
            Doubt::LonePair => (
                Question::Circuit,
                format!("lone pair, column {}", item.column),
                Vec::new(),
                "a pair of phases seems to be named, but the sheet names no others: they come in threes".to_owned(),
            ),
            Doubt::OtherDay(cell) => {
                let text = self.view.grid.cells.get(cell as usize).map(|cell| cell.text.clone()).unwrap_or_default();
                (
                    Question::Date,
                    format!("other day {cell}"),
                    Vec::new(),
                    format!("a title tells one day, and {text:?} another one: which is that of the test is not told"),
                )
            }
            Doubt::OtherCircuit(circuit) => (
                Question::Circuit,
                format!("circuit of the line or of the title, column {}", item.column),
                vec![circuit.code().to_owned()],
                "a title names terminals, and the line of the value seems to name others".to_owned(),
            ),
            Doubt::NoConductor => (
                Question::Quantity,
                format!("deviation beside surges, column {}", item.column),
                vec![Quantity::SurgeDifference.code().to_owned(), Quantity::Unbalance.code().to_owned()],
                "a deviation that no resistance of the windings stands beside: of the waves of a surge test, or of the resistances?".to_owned(),
            ),
            Doubt::NearerDay => (
                Question::Date,
                format!("nearer day, row {}", item.row),
                Vec::new(),
                "a title tells one day, and a text that stands nearer another: which is that of the test is not told".to_owned(),
            ),
            Doubt::OtherUnit(nearer, told) => (
                Question::UnitConflict,
                format!("unit {} or {}, column {}", nearer.symbol, told.symbol, item.column),
                vec![nearer.symbol.to_owned(), told.symbol.to_owned()],
                format!("it would be in {}, but a text that stands nearer names {}", told.symbol, nearer.symbol),
            ),
        };
        self.mark(item, Disposition::Held, Some(&context));
        self.holds.ask(cause, item.cell, || Hold { question, choices, context, cells: Vec::new() });
    }
}

/// Whether something was told for more than the reading's own line, column or cell.
const fn is_far(via: Via) -> bool {
    matches!(via, Via::Block | Via::Section | Via::Sheet | Via::SheetName | Via::File | Via::Folder)
}

/// Whether a reading of the insulation was given a pair of phases by a text that does not say "between".
fn is_lone_pair(pending: &Pending) -> bool {
    let reading = &pending.reading;
    let is_of_insulation = test::is_of_insulation(reading.quantity.value);
    let told = reading.circuit.as_ref().filter(|told| Circuit::PAIRS.contains(&told.value));
    is_of_insulation
        && told.is_some_and(|told| told.via != Via::Decision && !says_between(&told.text) && !is_plain_pair(&told.text))
}

/// "R-S (MΩ)": two names and no more, of which none is short for earth.
fn is_plain_pair(text: &str) -> bool {
    let pair = text.split(['(', '[']).next().unwrap_or_default().trim();
    let is_short = pair.len() <= 7 && pair.chars().filter(|c| !c.is_alphanumeric()).count() <= 1;
    is_short && !pair.contains(['T', 't'])
}

/// Whether a text is no more than the name of a statistic.
fn is_statistic(text: &str) -> bool {
    let is_bare = text.split_whitespace().count() <= 2 && !text.contains(|c: char| c.is_ascii_digit());
    is_bare && marks::statistic(text.trim()).is_some()
}
