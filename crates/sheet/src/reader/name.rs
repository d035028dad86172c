//! What the cell of a machine's name tells: the name, and the day, terminals or state behind it.

use super::Reader;
use super::line::{Line, of_this_line};
use crate::column::{Column, Role};
use crate::context::{Found, ReadTable, Scene};
use crate::cut::BodyLine;
use crate::fit::names_machine;
use crate::heading::{By, Heading};
use crate::pool::Count;
use crate::sense::Kind;
use crate::view::{Item, Orientation};
use std::collections::BTreeMap;
use windrow_model::raw::{Told, Via};
use windrow_model::{Disposition, Stage, Text};
use windrow_text::circuit::{CircuitMeaning, Named};
use windrow_text::date::DateMeaning;
use windrow_text::vocabulary::Concept;

/// Lines above a name that are looked at for the same.
const MOST_LINES: usize = 200;

/// Clauses of notes that say of which columns blank cells are as those above them.
pub(super) fn blanks_as_above(scene: &Scene<'_, '_>) -> Vec<String> {
    let texts = scene.loose.captions.iter().map(|caption| scene.view.cell(&caption.item).text.as_str());
    texts.filter_map(windrow_text::marks::blanks_as_above).map(str::to_owned).collect()
}

impl Reader<'_, '_, '_> {
    /// "SH-MAIN N" among "SH-FAN-1" and "SH-FAN-2": a name whose letters are short for other things begins as those of its column do.
    pub(super) fn is_named_like_others(&self, item: &Item) -> bool {
        let prefix = |item: &Item| {
            let text = self.view.cell(item).text.trim();
            let (prefix, _) = text.split_once(['-', '_', '/', '.'])?;
            (prefix.len() >= 2 && prefix.chars().all(|c| c.is_ascii_uppercase() || c.is_ascii_digit()))
                .then_some(prefix)
        };
        let Some(own) = prefix(item) else { return false };
        let (first, last) = self.scene.blocks[self.block].rows;
        (self.view.line_at(first)..self.view.line_count())
            .take_while(|at| self.view.row(*at) <= last)
            .flat_map(|at| self.view.line(at))
            .filter(|other| other.column == item.column && other.cell != item.cell && prefix(other) == Some(own))
            .any(|other| {
                self.view.sense(other).tag >= 0.5 || crate::column::is_code_of_capitals(&self.view.cell(other).text)
            })
    }

    /// "P4 après étuvage (11/08/2016)" below "P4": a name that the lines above have, and in which state it was measured again.
    pub(super) fn staged_name(&self, item: &Item) -> Option<(Text, Stage)> {
        let text = self.view.cell(item).text.trim();
        let (name, rest) = text.split_once(' ')?;
        let state = rest.split(['(', ',']).next().unwrap_or(rest).trim();
        let stage = crate::stage::stage(state)?;
        let first = self.scene.blocks.get(self.block)?.rows.0;
        let lines = (self.view.line_at(first)..self.view.line_at(item.row)).rev().take(MOST_LINES);
        let mut above = lines.flat_map(|at| self.view.line(at));
        let is_it = |other: &Item| other.column == item.column && self.view.cell(other).text.trim() == name;
        above.any(is_it).then(|| (name.into(), stage))
    }

    /// "PUMPE | 1": the number behind the name, where a print sets it apart. "Lock station | Pump 2": what stands before it.
    pub(super) fn add_name_part(&mut self, read: &ReadTable, line: &BodyLine, told: &mut Line) {
        let Some(column) = read.columns.iter().find(|column| column.role == Role::NamePart) else { return };
        let Some(part) = self.part_of(read, line, column) else { return };
        let text = self.view.cell(&part).text.trim().to_owned();
        let is_before = |at: u32| part.column < at;
        let named = |column: &Column| matches!(column.role, Role::Field(Concept::Tag | Concept::Description));
        let at = read.columns.iter().find(|column| named(column)).map_or(0, |column| column.column);
        let machine = &mut told.machine;
        let names = [&mut machine.tag, &mut machine.description];
        for name in names.into_iter().flatten().filter(|name| name.via == Via::Row) {
            let joined =
                if is_before(at) { format!("{text} {}", name.value) } else { format!("{} {text}", name.value) };
            name.value = joined.into();
        }
        if column.heading.has(Concept::Area) {
            machine.area = Some(self.told(text.into(), Via::Row, &part));
        }
        if part.row == line.row {
            self.mark(&part, Disposition::Value, None);
        }
    }

    /// The cell of a line that holds a part of its name; a blank under a heading is as the cell above it.
    fn part_of(&self, read: &ReadTable, line: &BodyLine, column: &Column) -> Option<Item> {
        let own = |line: &BodyLine| line.items.iter().find(|item| item.column == column.column).copied();
        if column.heading.items.is_empty() {
            return own(line);
        }
        let above = read.table.body.iter().rev().skip_while(|other| other.row > line.row);
        above.take(MOST_LINES).filter_map(own).find(|item| self.view.sense(item).kind != Kind::Ditto)
    }

    /// "Motor | Fan F-1 | | Temp. | 27 | °C" in a view turned over: whether a cell in the column of names stands in a pair of another label,
    /// behind the name.
    pub(super) fn is_of_another_pair(&self, item: &Item) -> bool {
        if self.view.orientation != Orientation::Turned {
            return false;
        }
        let (first, _) = self.scene.blocks[self.block].rows;
        let lines = self.view.line_at(first)..self.view.line_count();
        let column: Vec<&Item> = lines
            .take(MOST_LINES)
            .flat_map(|at| self.view.line(at))
            .filter(|other| other.column == item.column)
            .collect();
        let is_label = |two: &&[&Item]| {
            let (label, value) = (self.view.sense(two[0]), self.view.sense(two[1]));
            let names = |concepts: &[(Concept, f32)]| concepts.iter().any(|(concept, _)| names_machine(*concept));
            // "F 41" and "C 51" are machines, whatever their letters are units of.
            let [has_number, is_number] = [two[0], two[1]].map(|cell| {
                let text = self.view.cell(cell).text.trim();
                (text.contains(|c: char| c.is_ascii_digit()), text.starts_with(|c: char| !c.is_alphabetic()))
            });
            two[0].row <= item.row
                && !has_number.0
                && is_number.1
                && (label.is_pure_label() || label.is_unit_only())
                && !names(&label.label.concepts)
                && value.kind == Kind::Number
        };
        column.windows(2).skip(1).any(|two| is_label(&two))
    }

    /// "CAGE 1   17/11/86" under "Motor / date": a name and, behind it, the day.
    pub(super) fn dated_name(&self, text: Text, heading: &Heading) -> (Text, Option<Vec<DateMeaning>>) {
        let split = text.rsplit_once(char::is_whitespace).filter(|_| heading.has(Concept::Date));
        let Some((name, day)) = split else { return (text, None) };
        let mut meanings = windrow_text::date::read(day);
        meanings.retain(|meaning| !meaning.bare_number && meaning.date.precision == windrow_model::Precision::Day);
        if meanings.is_empty() { (text, None) } else { (name.trim_end().into(), Some(meanings)) }
    }

    /// Whether a column of names has a heading that nothing explains ("Student" over "group 2"), and a label right above the table
    /// tells the machine.
    pub(super) fn is_told_over_guess(&self, heading: &Heading) -> bool {
        let names_machine = |item: &Item| {
            windrow_text::said::names_machine(&windrow_text::fold::fold(self.view.cell(item).text.trim()))
        };
        let is_guess = !heading.items.is_empty()
            && heading.concepts.is_empty()
            && !heading.items.last().is_some_and(names_machine);
        is_guess && matches!(self.scene.pair(self.block, Concept::Tag), Found::One(_, Via::Block))
    }

    /// Names the machine of the line, with what else its name's cell tells: the day, the terminals, the state.
    pub(super) fn apply_name(&mut self, line: &mut Line, item: &Item, heading: &Heading, count: Count) {
        let text = Text::from(self.view.cell(item).text.trim());
        let told_text = self.told(text.clone(), Via::Row, item);
        // "Hoist" under "Motion", below "Crane 5".
        let is_motion = windrow_text::marks::heads_motions(&heading.text(self.view));
        let above = line.machine.tag.as_ref().filter(|tag| tag.via != Via::Row).map(|tag| tag.value.to_string());
        let whole = above.or_else(|| windrow_text::tag::numbered(&self.around.names.sheet)).filter(|_| is_motion);
        let whole = whole.or_else(|| self.titled_machine().filter(|_| is_motion));
        let text = whole.map_or(text.clone(), |whole| format!("{whole} {text}").into());
        line.machine = of_this_line(std::mem::take(&mut line.machine));
        let (text, day) = self.dated_name(text, heading);
        if let Some(meanings) = day {
            line.when = self.when(&meanings, item, Via::Row, count);
            line.origin.1 = Some(item.cell);
        }
        let staged = self.staged_name(item);
        let split = split_terminals(&text);
        if let Some((_, circuits)) = &split {
            line.circuits.push(By { value: circuits.clone(), item: *item });
        }
        let name = split.map_or(text.clone(), |(name, _)| name.into());
        let name = staged.as_ref().map_or(name, |(name, _)| name.clone());
        line.machine.tag = Some(Told { value: name, ..told_text });
        line.machine_conflict = names_alternatives(&text);
        if let Some((_, stage)) = staged {
            line.stage = Some(self.told(stage, Via::Row, item));
            self.date_by_stage(line, item);
        }
        line.origin.0 = Some(item.cell);
    }

    /// "Reclaimer SR1, overhaul 1998" above the block: the machine whose motions its lines name.
    fn titled_machine(&self) -> Option<String> {
        let found = self.scene.identity_caption(self.block, |caption| caption.tag.clone());
        let Found::One(index, _) = found else { return None };
        self.scene.loose.captions.get(index)?.tag.clone()
    }

    /// "Trolley | (blank)" below "Hoist | 4711": whether the line names another machine than the one that bears the serial number above.
    pub(super) fn names_another(&self, read: &ReadTable, serial: &Item, owns: &BTreeMap<u32, Item>) -> bool {
        let name = |item: &Item| {
            let text = || Text::from(self.view.cell(item).text.trim());
            self.staged_name(item).map_or_else(text, |(name, _)| name)
        };
        let names = read.columns.iter().filter(|column| column.role == Role::Field(Concept::Tag));
        let told = |column: &Column| {
            let own = owns.get(&column.column).filter(|own| self.view.sense(own).kind != Kind::Ditto)?;
            let lines = read.table.body.iter().filter(|line| line.row <= serial.row).rev();
            let above = lines.flat_map(|line| &line.items).find(|item| item.column == column.column);
            Some(above.is_some_and(|above| name(above) != name(own)))
        };
        names.filter_map(told).any(|is_another| is_another)
    }

    /// Whether a note on the sheet says of this column that its blank cells are as those above them.
    pub(super) fn is_said_to_fill(&self, concept: Concept, column: &Column) -> bool {
        let Some(head) = column.heading.items.last().map(|item| self.view.cell(item).text.trim()) else { return false };
        // "U" is a column where it stands alone and as a capital.
        let names = |note: &String| note.split(|c: char| !c.is_alphanumeric()).any(|word| word == head);
        !matches!(concept, Concept::Result | Concept::Remarks | Concept::Stage)
            && self.blanks_as_above.iter().any(names)
    }
}

/// "HPU-1 U-PE": a machine's name with the terminals behind it. "Pump A-B" may be a name in whole.
fn split_terminals(text: &str) -> Option<(&str, Vec<CircuitMeaning>)> {
    let (name, terminals) = text.trim().rsplit_once(' ')?;
    let name = name.trim_end_matches([' ', '/', ':', ',', ';']);
    let circuits: Vec<CircuitMeaning> =
        windrow_text::circuit::read(terminals).into_iter().filter(|meaning| meaning.weight >= 0.9).collect();
    let is_named =
        name.chars().filter(|c| c.is_alphabetic()).count() >= 2 && windrow_text::circuit::read(name).is_empty();
    let is_to_earth = circuits.iter().all(|meaning| !matches!(meaning.named, Named::Pair(..) | Named::Phase(_)));
    (is_named && is_to_earth && !circuits.is_empty()).then_some((name, circuits))
}

/// "Pump 2 or 3", "Lift Mulde oder Egg", "Fan No. ?": one of two machines, or one that the writer did not know.
fn names_alternatives(text: &str) -> bool {
    if text.match_indices('?').any(|(at, _)| is_open(text, at)) {
        return true;
    }
    const OR: [&str; 5] = ["or", "oder", "ou", "ó", "o"];
    let words: Vec<&str> = text.split([' ', '(', ')', ',', '/']).filter(|word| !word.is_empty()).collect();
    words.windows(3).any(|three| OR.contains(&three[1]))
}

/// Whether the question mark at byte `at` is one: between two letters it is a letter that some program lost ("M?hle").
fn is_open(text: &str, at: usize) -> bool {
    let is_letter = |c: Option<char>| c.is_some_and(char::is_alphabetic);
    let before = text.get(..at).and_then(|before| before.chars().next_back());
    let after = text.get(at + 1..).and_then(|after| after.chars().next());
    !(is_letter(before) && is_letter(after))
}
