//! Two numbers of a line that would be the same reading: what sets their columns apart was not understood, so neither is stated.

use super::Reader;
use super::test::Pending;
use super::together::names_winding;
use crate::column::Role;
use crate::context::Body;
use crate::heading::Heading;
use crate::hold::Hold;
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::raw::Told;
use windrow_model::{Disposition, Question};
use windrow_text::circuit::Named;
use windrow_text::vocabulary::Concept;

/// Fewest lines that name windings where an unknown label is no winding.
const FEWEST_WINDINGS: usize = 2;

/// All that tells one reading of a test from another.
pub(super) type Identity = (&'static str, Option<&'static str>, Option<u64>, Option<u64>, bool);

pub(super) fn identity(pending: &Pending) -> Identity {
    let reading = &pending.reading;
    let bits = |told: &Option<Told<f64>>| told.as_ref().map(|told| told.value.to_bits());
    (
        reading.quantity.value.code(),
        reading.circuit.as_ref().map(|told| told.value.code()),
        bits(&reading.elapsed_s),
        bits(&reading.applied_voltage_v),
        reading.as_reported == windrow_model::Reported::Corrected,
    )
}

impl Reader<'_, '_, '_> {
    /// Takes back readings of one line of a table that nothing tells apart, and asks about them.
    pub(super) fn doubt_twins(&mut self) {
        let mut doubted: BTreeSet<u32> = BTreeSet::new();
        for group in &self.groups {
            if !matches!(self.scene.blocks[group.block].body, Body::Table(_)) {
                continue;
            }
            let mut twins: BTreeMap<(u32, Identity), BTreeSet<u32>> = BTreeMap::new();
            for pending in group.pending.iter().filter(|pending| !pending.computed) {
                twins.entry((pending.row, identity(pending))).or_default().insert(pending.cell);
            }
            let is_open = |own: &Identity| own.1.is_none();
            let are_alike = |((_, own), cells): &((u32, Identity), BTreeSet<u32>)| {
                cells.len() > 1 && !(is_open(own) && self.are_to_earth_and_between(group.block, cells))
            };
            doubted.extend(twins.into_iter().filter(are_alike).flat_map(|(_, cells)| cells));
        }
        doubted.extend(self.twins_in_columns());
        for group in &mut self.groups {
            group.pending.retain(|pending| !doubted.contains(&pending.cell));
        }
        let items = self.view.items().iter().filter(|item| doubted.contains(&item.cell)).copied();
        for item in items.collect::<Vec<_>>() {
            let context = "another column of the line tells the same quantity, terminals, time and voltage: what sets them apart is not understood";
            self.mark(&item, Disposition::Held, Some(context));
            self.holds.ask(format!("columns alike, column {}", item.column), item.cell, || Hold {
                question: Question::Circuit,
                choices: Vec::new(),
                context: context.to_owned(),
                cells: Vec::new(),
            });
        }
    }

    /// "Phase to earth | between phases": two readings of a line whose headings say that one is against earth and the other is not, though
    /// no code tells between which terminals.
    fn are_to_earth_and_between(&self, block: usize, cells: &BTreeSet<u32>) -> bool {
        let Body::Table(table) = self.scene.blocks[block].body else { return false };
        let columns: BTreeSet<u32> =
            self.view.items().iter().filter(|item| cells.contains(&item.cell)).map(|item| item.column).collect();
        let told = |column: &u32| {
            let read = self.scene.tables[table].columns.iter().find(|own| own.column == *column)?;
            let meanings = read.heading.circuits.iter().flat_map(|by| &by.value);
            let mut sure = meanings.filter(|meaning| meaning.weight >= 0.5).map(|meaning| meaning.named);
            sure.find(|named| matches!(named, Named::ToEarth | Named::BetweenPhases))
        };
        let told: Vec<Option<Named>> = columns.iter().map(told).collect();
        told.len() == cells.len() && matches!(told.as_slice(), [Some(one), Some(other)] if one != other)
    }

    /// Cells of one column that only labels at their lines could tell apart, and do not.
    fn twins_in_columns(&self) -> BTreeSet<u32> {
        let is_labelled = |block: usize| match self.scene.blocks[block].body {
            Body::Table(table) => self.scene.tables[table].columns.iter().any(|column| column.role == Role::LineLabel),
            Body::Pairs(_) | Body::Prose(_) => false,
        };
        let columns: BTreeMap<u32, u32> = self.view.items().iter().map(|item| (item.cell, item.column)).collect();
        let windings = self.windings_beside();
        let mut twins: BTreeMap<_, BTreeSet<u32>> = BTreeMap::new();
        for group in self.groups.iter().filter(|group| is_labelled(group.block)) {
            let stage = group.test.stage.as_ref().map(|told| told.value.code());
            // "cold | 21 °C" and "hot | 96 °C" are two tests, whatever their labels are called.
            let warmth = group.test.winding_temperature_c.as_ref().map(|told| told.value.to_bits());
            // One name at two plants is two machines.
            let site = group.test.machine.site.as_ref().map(|told| told.value.as_str());
            for pending in group.pending.iter().filter(|pending| !pending.computed) {
                let column = columns.get(&pending.cell).copied();
                let winding = windings.get(&(group.block, pending.row)).filter(|_| pending.reading.circuit.is_none());
                let test = (group.machine_key.as_str(), site, group.when_key.as_str());
                let own = (group.block, test, stage, warmth, column, winding);
                twins.entry((own, identity(pending))).or_default().insert(pending.cell);
            }
        }
        twins.into_values().filter(|cells| cells.len() > 1).flatten().collect()
    }

    /// "Armature", "Interpoles" as labels of lines, by block and row: windings that have no code for what was measured are told apart by
    /// their names.
    fn windings_beside(&self) -> BTreeMap<(usize, u32), String> {
        let mut named = BTreeMap::new();
        for (number, block) in self.scene.blocks.iter().enumerate() {
            let Body::Table(table) = block.body else { continue };
            let read = &self.scene.tables[table];
            let labels: BTreeSet<u32> = read
                .columns
                .iter()
                .filter(|column| column.role == Role::LineLabel)
                .map(|column| column.column)
                .collect();
            for line in &read.table.body {
                for item in line.items.iter().filter(|item| labels.contains(&item.column)) {
                    let sense = self.view.sense(item);
                    if sense.circuits.iter().chain(&sense.label.circuits).any(names_winding) {
                        named.insert((number, line.row), windrow_text::fold::fold(&self.view.cell(item).text));
                    }
                }
            }
        }
        named
    }

    /// "Hours spent", "Commutator wear" among the names of windings: of what else the number beside it is, nobody knows.
    pub(super) fn is_unknown_among_windings(&self, label: &Heading) -> bool {
        let names_measured = label
            .concepts
            .iter()
            .any(|(concept, ..)| *concept == Concept::Resistance || crate::fit::quantity(*concept).is_some());
        let tells =
            label.units.is_some() || label.elapsed_s.is_some() || label.voltage_v.is_some() || label.stage.is_some();
        if !label.circuits.is_empty() || names_measured || tells || label.unexplained.is_empty() {
            return false;
        }
        let columns: BTreeSet<u32> = label.items.iter().map(|item| item.column).collect();
        let named = columns.iter().filter_map(|column| self.together.windings.get(column));
        named.sum::<usize>() >= FEWEST_WINDINGS
    }
}
