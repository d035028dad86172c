//! Between which terminals: phases are named as the sheet names them together.

use super::Reader;
use super::line::Line;
use super::reading::Extra;
use crate::column::{Column, Role};
use crate::context::{Body, Found};
use crate::fit::speaks_of;
use crate::heading::By;
use crate::ruling::Ruling;
use crate::value::Amount;
use crate::view::Item;
use windrow_model::raw::{Told, Via};
use windrow_model::{Circuit, Dimension, Quantity, Question, Text};
use windrow_text::circuit::{CircuitMeaning, Named, Naming, resolve};
use windrow_text::vocabulary::Concept;

/// Most words of a title that names a phase and nothing measured.
const MOST_WORDS_OF_TITLE: usize = 6;

/// What the places told of the circuit.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Terminals {
    /// Nothing told.
    Untold,
    /// One circuit.
    Known(Told<Circuit>),
    /// A name of a phase that may be another's.
    Open(Vec<Circuit>, Text),
}

impl Reader<'_, '_, '_> {
    /// The circuit told by the nearest of `levels`.
    pub(super) fn circuit(&self, levels: &[(&[By<Vec<CircuitMeaning>>], Via)], quantity: Quantity) -> Terminals {
        for (told, via) in levels {
            for by in *told {
                match self.one_circuit(by, *via, quantity) {
                    Terminals::Untold => {}
                    found => return found,
                }
            }
        }
        Terminals::Untold
    }

    pub(super) fn terminals(
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
        let pick = |ruling: &Ruling| if let Ruling::Circuit(circuit) = ruling { Some(*circuit) } else { None };
        if let Some(told) = self.ruled(item, Question::Circuit, pick) {
            return Terminals::Known(told);
        }
        let mut cell: Vec<By<Vec<CircuitMeaning>>> = Vec::new();
        if let Some(circuits) = &extra.circuits {
            cell.push(By { value: circuits.clone(), item: *item });
        }
        if !amount.label.is_empty() {
            cell.push(By { value: windrow_text::circuit::read(&amount.label), item: *item });
        }
        if cell.is_empty()
            && let Some(of_list) = self.of_listed_phases(line, column, quantity)
        {
            return of_list;
        }
        if cell.is_empty()
            && let Some(of_both) = self.of_row_and_column(line, column, quantity)
        {
            return of_both;
        }
        let is_lone = self.stands_alone_in_line(column, line);
        let of_column: &[By<Vec<CircuitMeaning>>] = if is_lone { &[] } else { &column.heading.circuits };
        let near = self.circuit(&[(&cell, Via::Cell), (&line.circuits, Via::Row), (of_column, Via::Column)], quantity);
        // "Interpole - E", "phase to phase": told, though no circuit has a code for it.
        let told = [&cell, &line.circuits, &column.heading.circuits].into_iter().flatten().flat_map(|by| &by.value);
        // Nor is there one for the conductor of a rotor or field, and what a title tells is of something else.
        let is_conductor = quantity == Quantity::WindingResistance;
        let mut uncoded = told.filter(|meaning| match meaning.named {
            Named::OtherWinding | Named::BetweenPhases | Named::ToNext => true,
            Named::Special(_) => is_conductor && meaning.weight >= 0.5,
            _ => false,
        });
        let label = line.label.iter().flat_map(|label| &label.unexplained);
        if near != Terminals::Untold
            || uncoded.next().is_some()
            || column.heading.unexplained.iter().chain(label).next().is_some()
        {
            return near;
        }
        let corner = self.corner_terminals(quantity);
        if corner != Terminals::Untold {
            return corner;
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
        // Of a column headed "Stator" a title on the rotor says nothing.
        let headings = [Some(&column.heading), line.label.as_ref(), self.first_heading()].into_iter().flatten();
        let is_of_stator =
            headings.map(|heading| heading.text(self.view)).any(|text| windrow_text::circuit::names_stator(&text));
        let tell = |caption: &crate::loose::Caption| {
            if !speaks_of(caption, quantity) || self.tells_of_damage(caption) || self.labels_number(caption) {
                return None;
            }
            let found = self.circuit(&[(&caption.heading.circuits, Via::Block)], quantity);
            let Terminals::Known(told) = found else { return None };
            (!is_of_stator || is_stators(told.value)).then(|| told.value.code().to_owned())
        };
        let titled = match self.scene.caption(self.block, tell) {
            Found::One(index, via) => {
                self.circuit(&[(&self.scene.loose.captions[index].heading.circuits, via)], quantity)
            }
            _ => Terminals::Untold,
        };
        match titled {
            Terminals::Untold if is_lone => {
                let headed = self.circuit(&[(&column.heading.circuits, Via::Column)], quantity);
                let Terminals::Known(told) = headed else { return headed };
                Terminals::Open(vec![told.value], told.text)
            }
            titled => titled,
        }
    }

    /// "After rewind, all phases to frame | 1 min | 10 min": what the heading over the labels of lines says of all columns.
    fn corner_terminals(&self, quantity: Quantity) -> Terminals {
        let Some(Body::Table(table)) = self.scene.blocks.get(self.block).map(|block| &block.body) else {
            return Terminals::Untold;
        };
        let first = self.scene.tables.get(*table).and_then(|read| read.columns.first());
        let Some(first) = first.filter(|column| !matches!(column.role, Role::Reading(_))) else {
            return Terminals::Untold;
        };
        let is_all = |by: &&By<Vec<CircuitMeaning>>| by.value.iter().all(|meaning| meaning.named == Named::All);
        let told: Vec<By<Vec<CircuitMeaning>>> = first.heading.circuits.iter().filter(is_all).cloned().collect();
        self.circuit(&[(&told, Via::Column)], quantity)
    }

    /// The heading of the column of labels or tests that the block's table begins with.
    fn first_heading(&self) -> Option<&crate::heading::Heading> {
        let Body::Table(table) = self.scene.blocks.get(self.block)?.body else { return None };
        let first = self.scene.tables.get(table)?.columns.first()?;
        let labels = matches!(first.role, Role::LineLabel | Role::Field(Concept::TestKind));
        labels.then_some(&first.heading)
    }

    /// "Exciter armature to earth | 35": what a number without a unit stands right behind is its label, and no title of others.
    fn labels_number(&self, caption: &crate::loose::Caption) -> bool {
        let line = self.view.line(self.view.line_at(caption.item.row));
        let mut behind = line.iter().filter(|item| item.row == caption.item.row && item.column > caption.item.column);
        let is_all = |meaning: &CircuitMeaning| matches!(meaning.named, Named::All);
        let mut named = caption.heading.circuits.iter().flat_map(|by| &by.value);
        behind.next().is_some_and(|next| {
            let is_plain = self.view.cell(next).text.trim().parse::<f64>().is_ok();
            next.column == caption.item.right + 1 && is_plain
        }) && !named.any(is_all)
    }

    /// "Earth fault in phase U near the slot exit.": a sentence that tells where something happened, and not what was measured.
    fn tells_of_damage(&self, caption: &crate::loose::Caption) -> bool {
        let is_phase = |meaning: &CircuitMeaning| matches!(meaning.named, Named::Phase(_) | Named::PhaseToEarth(_));
        let names_measured = caption.concepts.iter().any(|concept| crate::fit::quantity(*concept).is_some());
        let text = self.view.cell(&caption.item).text.trim();
        let is_sentence = text.contains(". ") || text.ends_with('.');
        let words = text.split_whitespace().count();
        let mut meanings = caption.heading.circuits.iter().flat_map(|by| &by.value);
        is_sentence && words > MOST_WORDS_OF_TITLE && !names_measured && meanings.any(is_phase)
    }

    /// "Between terminals (U-V, V-W, W-U)" beside columns of U, V and W: the line lists what each column is, in their order.
    fn of_listed_phases(&self, line: &Line, column: &Column, quantity: Quantity) -> Option<Terminals> {
        let label = line.label.as_ref().and_then(|label| label.items.first());
        let kind = line.fields.iter().find(|(concept, item)| *concept == Concept::TestKind && item.row == line.row);
        let label = label.or(kind.map(|(_, item)| item))?;
        let listed = windrow_text::circuit::listed(&self.view.cell(label).text)?;
        let head = column.heading.circuits.first()?;
        let number = head.value.iter().find_map(|meaning| match meaning.named {
            Named::Phase(number) | Named::PhaseToEarth(number) => Some(usize::from(number)),
            _ => None,
        });
        let value = listed.get(number?)?.clone();
        Some(self.one_circuit(&By { value, item: *label }, Via::Row, quantity))
    }

    /// A circuit that line and column tell together: "U" beside and "V" or "earth" above are a matrix, two names of different circuits
    /// a question.
    fn of_row_and_column(&self, line: &Line, column: &Column, quantity: Quantity) -> Option<Terminals> {
        let (row, head) = (line.circuits.first()?, column.heading.circuits.first()?);
        let value = crossed(&row.value, &head.value);
        if !value.is_empty() {
            return Some(self.one_circuit(&By { value, item: row.item }, Via::Row, quantity));
        }
        if let Some(open) = self.open_between(row, head) {
            return Some(open);
        }
        let known = |by: &By<Vec<CircuitMeaning>>, via| match self.one_circuit(by, via, quantity) {
            Terminals::Known(told) => Some(told),
            _ => None,
        };
        let is_sure = |by: &&By<Vec<CircuitMeaning>>| by.value.iter().any(|meaning| meaning.weight >= 0.5);
        let head = Some(head).filter(is_sure)?;
        let (row, head) = (known(row, Via::Row)?, known(head, Via::Column)?);
        let are_apart =
            row.value != head.value && head.value != Circuit::AllToEarth && row.value != Circuit::AllToEarth;
        are_apart.then(|| Terminals::Open(vec![row.value, head.value], row.text.clone()))
    }

    /// "U" beside "between phases": against which of the other two, nobody said.
    fn open_between(&self, row: &By<Vec<CircuitMeaning>>, head: &By<Vec<CircuitMeaning>>) -> Option<Terminals> {
        let is_between = head.value.iter().all(|meaning| matches!(meaning.named, Named::BetweenPhases | Named::ToNext));
        let one = row.value.iter().find_map(|meaning| match meaning.named {
            Named::Phase(one) => Some(one),
            _ => None,
        });
        let one = one.filter(|_| is_between && !head.value.is_empty())?;
        let pairs = [(one + 1) % 3, (one + 2) % 3].map(|other| resolve(Named::Pair(one, other), true));
        let text = self.view.grid.cells.get(head.item.cell as usize).map(|cell| cell.text.clone());
        Some(Terminals::Open(pairs.into_iter().flatten().collect(), text.unwrap_or_default()))
    }

    /// Adds what a cell of the line tells; "U" in one column and "earth" in the next are one circuit.
    pub(super) fn add_terminals(&self, line: &mut Line, alone: Vec<CircuitMeaning>, item: &Item) {
        let text = |item: &Item| self.view.cell(item).text.trim().to_owned();
        let first = line.circuits.first().filter(|by| by.item.row == item.row && by.item.cell != item.cell);
        let both = first.map(|first| windrow_text::circuit::read(&format!("{} - {}", text(&first.item), text(item))));
        let value = both.filter(|both| !both.is_empty()).unwrap_or(alone);
        line.circuits.insert(0, By { value, item: *item });
    }

    fn one_circuit(&self, by: &By<Vec<CircuitMeaning>>, via: Via, quantity: Quantity) -> Terminals {
        let to_earth = !matches!(
            quantity,
            Quantity::WindingResistance
                | Quantity::Inductance
                | Quantity::SurgePeakVoltage
                | Quantity::SurgeDifference
                | Quantity::SurgeInceptionVoltage
        );
        if quantity.dimension() == Dimension::Resistance && self.is_short_for_resistance(&by.value) {
            return Terminals::Untold;
        }
        let mut found: Vec<(Circuit, f32)> = Vec::new();
        for meaning in &by.value {
            // A rotor or field has a code to earth only: its conductor has none.
            if !to_earth && matches!(meaning.named, Named::Special(_)) {
                continue;
            }
            let named = if to_earth { self.against_tierra(meaning) } else { meaning.named };
            let Some(circuit) = resolve(named, to_earth) else { continue };
            let weight = self.weight(meaning);
            match found.iter_mut().find(|(known, _)| *known == circuit) {
                Some(known) => known.1 = known.1.max(weight),
                None => found.push((circuit, weight)),
            }
        }
        found.sort_by(|a, b| b.1.total_cmp(&a.1));
        match found.as_slice() {
            [] => Terminals::Untold,
            [(circuit, weight), rest @ ..]
                if *weight >= 0.5 && rest.first().is_none_or(|(_, next)| *next < weight - 0.1) =>
            {
                let told = if by.item.cell == u32::MAX {
                    Told::without_place(*circuit, via, self.around.names.sheet.clone())
                } else {
                    self.told(*circuit, via, &by.item)
                };
                Terminals::Known(told)
            }
            all => {
                let text = self.view.grid.cells.get(by.item.cell as usize).map(|cell| cell.text.clone());
                Terminals::Open(all.iter().map(|(circuit, _)| *circuit).collect(), text.unwrap_or_default())
            }
        }
    }

    /// "R-T" beside "T-T": against the T of "tierra" or "terre", no pair of phases.
    fn against_tierra(&self, meaning: &CircuitMeaning) -> Named {
        let levels = [&self.view.pools, self.around.book];
        let is_earth = || levels.into_iter().find_map(|pools| pools.tierra.verdict()) == Some(true);
        match meaning.named {
            Named::Pair(phase, 2) | Named::Pair(2, phase) if meaning.naming == Some(Naming::Rst) && is_earth() => {
                Named::PhaseToEarth(phase)
            }
            named => named,
        }
    }

    /// Whether a lone R over resistances ("R", "R to earth") is no phase: neither its sheet nor its file names the other two.
    fn is_short_for_resistance(&self, meanings: &[CircuitMeaning]) -> bool {
        let is_r = |meaning: &CircuitMeaning| {
            let is_alone = meaning.named == Named::Phase(0) && meaning.weight < 0.5;
            (is_alone || meaning.named == Named::PhaseToEarth(0))
                && matches!(meaning.naming, Some(Naming::Rst | Naming::Ryb))
        };
        let near = [&self.view.pools, self.around.book];
        let is_named = near.iter().any(|pools| pools.names_all(Naming::Rst) || pools.names_all(Naming::Ryb));
        !meanings.is_empty() && meanings.iter().all(is_r) && !is_named
    }

    /// Weight of a meaning in the light of the phases that the sheet, the file and the folder name.
    fn weight(&self, meaning: &CircuitMeaning) -> f32 {
        let Some(naming) = meaning.naming else { return meaning.weight };
        if matches!(meaning.named, Named::All | Named::Special(_)) {
            return meaning.weight;
        }
        let levels = [&self.view.pools, self.around.book, self.around.folder];
        let Some(pools) = levels.into_iter().find(|pools| pools.namings.keys().any(|naming| pools.names_all(*naming)))
        else {
            return meaning.weight;
        };
        if pools.names_all(naming) { meaning.weight.max(0.5) + 0.45 } else { meaning.weight * 0.3 }
    }
}

/// Whether a circuit is one of a stator's.
const fn is_stators(circuit: Circuit) -> bool {
    !matches!(circuit, Circuit::ArmatureToEarth | Circuit::FieldToEarth | Circuit::RotorToEarth)
}

/// What a phase beside a line and a phase or earth above a column name together, where each stands alone.
fn crossed(row: &[CircuitMeaning], head: &[CircuitMeaning]) -> Vec<CircuitMeaning> {
    let both = row.iter().flat_map(|row| head.iter().map(move |head| (row, head)));
    both.filter_map(|(row, head)| {
        let (named, naming) = match (row.named, head.named) {
            (Named::Phase(a), Named::Phase(b)) if a != b && row.naming == head.naming => {
                (Named::Pair(a, b), row.naming)
            }
            (Named::Phase(a), Named::ToEarth) => (Named::PhaseToEarth(a), row.naming),
            (Named::ToEarth, Named::Phase(b)) => (Named::PhaseToEarth(b), head.naming),
            (Named::Phase(a), Named::ToNext) => (Named::Pair(a, (a + 1) % 3), row.naming),
            _ => return None,
        };
        Some(CircuitMeaning { named, naming, weight: row.weight.max(head.weight).max(0.5) })
    })
    .collect()
}
