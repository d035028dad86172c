//! What a value cell holds: one value, several, a mark, a limit of the instrument, or nothing readable.

use super::line::{Above, Line};
use super::reading::Extra;
use super::{Reader, labelled};
use crate::column::{Column, Role};
use crate::context::{Body, Scene};
use crate::heading::{self, By};
use crate::hold::Hold;
use crate::loose::Caption;
use crate::ruling::Ruling;
use crate::sense::Kind;
use crate::value::{self, Amount, Amounts, Marks};
use crate::view::{Item, Orientation};
use windrow_model::raw::Told;
use windrow_model::{Bound, Dimension, Disposition, Flag, Quantity, Question, Step, Text, Unit};
use windrow_source::Content;
use windrow_text::circuit::CircuitMeaning;
use windrow_text::explained;
use windrow_text::measure::{OverRange, Part};
use windrow_text::number::NumberMeaning;
use windrow_text::vocabulary::Concept;

/// Whether a note explains ditto marks as what stands at their left ("the sign \" means: as at the left").
pub(super) fn dittos_repeat_the_left(scene: &Scene<'_, '_>) -> bool {
    let explains = |caption: &Caption| windrow_text::marks::repeats_the_left(&scene.view.cell(&caption.item).text);
    scene.loose.captions.iter().any(explains)
}

impl Reader<'_, '_, '_> {
    pub(super) fn read_cell(&mut self, item: &Item, column: &Column, line: &Line, marks: Marks, dittos: &mut Above) {
        if self.is_ruled_out(item) {
            return;
        }
        if let Some(amounts) = self.ruled_value(item) {
            self.read_amounts(item, Some(amounts), column, line, marks);
            return;
        }
        let (cell, sense) = (self.view.cell(item), self.view.sense(item));
        if cell.struck.as_deref().is_some_and(|struck| struck.trim() == cell.text.trim()) {
            self.mark(item, Disposition::Label, Some("struck through: whoever wrote it took it back"));
            return;
        }
        match sense.kind {
            Kind::Ditto => {
                let Some(from) = self.repeated(item, dittos) else {
                    self.mark(item, Disposition::Unread, Some("a ditto mark with nothing above it"));
                    return;
                };
                if self.dittos_repeat_the_left {
                    let context = "a note says that the mark repeats what stands at its left, not above it";
                    self.hold_value(item, context, Vec::new());
                    return;
                }
                if let Some(beside) = self.reading_beside_another_machine(item, &from, line) {
                    let choices = [&from, &beside].map(|item| self.view.cell(item).text.trim().to_owned());
                    let context =
                        "the mark repeats the line above, which is of another machine, or the reading before it";
                    self.hold_value(item, context, choices.to_vec());
                    return;
                }
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
                None if is_sign(&cell.text) => {
                    self.hold_value(
                        item,
                        "a sign where a reading is expected, and nothing tells what it means",
                        Vec::new(),
                    );
                }
                None if sense.kind == Kind::Text => {
                    self.mark(item, Disposition::Unread, Some("words where a reading is expected"));
                }
                None => self.hold_value(item, "a date or time where a reading is expected", Vec::new()),
            },
        }
    }

    /// The value that a ditto mark repeats: what stands above it on the sheet, whichever way the table is read.
    fn repeated(&self, mark: &Item, dittos: &Above) -> Option<Item> {
        if self.view.orientation == Orientation::Upright {
            return dittos.get(&mark.column).copied();
        }
        let line = self.view.line(self.view.line_at(mark.row));
        let above = line.iter().find(|item| item.right + 1 == mark.column)?;
        let is_value = value::amounts(self.view.cell(above), self.view.sense(above)).is_some();
        (is_value && self.is_reading_column(above.column)).then_some(*above)
    }

    /// The text that says that something is swapped which the number may belong to.
    fn said_swapped(&self, item: &Item) -> Option<Item> {
        let table = match self.scene.blocks.get(self.block)?.body {
            Body::Table(table) => Some(table),
            _ => None,
        };
        self.scene.swaps.about(table, item.row)
    }

    /// The reading right before a ditto mark, where what stands over the mark is of another machine.
    fn reading_beside_another_machine(&self, mark: &Item, above: &Item, line: &Line) -> Option<Item> {
        let name = line.fields.iter().find(|(concept, ..)| *concept == Concept::Tag).map(|(_, item)| *item)?;
        let of_above = self.view.line(self.view.line_at(above.row)).iter().find(|item| item.column == name.column)?;
        let text = |item: &Item| self.view.cell(item).text.trim();
        let is_another = name.row == mark.row && of_above.row == above.row && text(of_above) != text(&name);
        let beside = self.view.line(self.view.line_at(mark.row)).iter().find(|item| item.right + 1 == mark.column)?;
        let is_reading = beside.column > name.column
            && self.view.sense(beside).kind == Kind::Number
            && text(beside) != text(above)
            && self.is_reading_column(beside.column);
        (is_another && is_reading && self.view.orientation == Orientation::Upright).then_some(*beside)
    }

    /// Whether the column of the present table holds readings.
    fn is_reading_column(&self, column: u32) -> bool {
        let Body::Table(table) = self.scene.blocks[self.block].body else { return false };
        let mut columns = self.scene.tables[table].columns.iter();
        columns.any(|other| other.column == column && matches!(other.role, Role::Reading(_)))
    }

    /// The end of the instrument's range that a title or a line of a form tells, with its cell.
    fn ceiling(&self, item: &Item) -> Option<(Part, Item)> {
        let loose = &self.scene.loose;
        // "« infini » = more than 500 MΩ" says it of that word, and of no other.
        let word = windrow_text::explained::over_word(&self.view.cell(item).text);
        let explained = loose.captions.iter().filter_map(|caption| {
            let (told, end) = windrow_text::explained::end_of_range(&self.view.cell(&caption.item).text)?;
            Some((told, end, caption.item))
        });
        let mut explained = explained.peekable();
        if explained.peek().is_some() {
            return explained.find(|(told, ..)| *told == word).map(|(_, end, at)| (end, at));
        }
        let titled = loose.captions.iter().find_map(|caption| Some((caption.ceiling.clone()?, caption.item)));
        // "Instrument: 500 V, full scale 1000 MΩ"
        let told = || {
            loose.pairs.iter().find_map(|pair| {
                let text = &pair.cell(self.view).text;
                Some((crate::loose::caption(text, &pair.value).ceiling?, pair.value))
            })
        };
        titled.or_else(told)
    }

    /// Over range: the ceiling that the sheet tells, or a question.
    pub(super) fn read_over(&mut self, item: &Item, over: Option<OverRange>, column: &Column, line: &Line) {
        let ceiling = self.ceiling(item);
        // "4.000 MΩ" ends a range at four or at four thousand, as the sheet writes its numbers.
        let number = ceiling.as_ref().and_then(|(part, _)| {
            value::choose_number(&part.numbers, &self.decimal_levels(self.sheet_marks), false).cloned()
        });
        if let (Some(OverRange::Above), Some((part, at)), Some(number)) = (over, ceiling, number) {
            let amount = Amount {
                numbers: vec![number],
                bound: Bound::AtLeast,
                units: part.units.clone(),
                unit_text: part.unit_text.clone(),
                unit_by_format: false,
                divisor: 1.0,
                label: String::new(),
                conditions: Vec::new(),
                is_approximate: false,
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

    pub(super) fn read_amounts(
        &mut self,
        item: &Item,
        amounts: Option<Amounts>,
        column: &Column,
        line: &Line,
        marks: Marks,
    ) {
        let Some(amounts) = amounts else {
            self.mark(item, Disposition::Unread, Some("no number"));
            return;
        };
        if let Some((disposition, why)) = self.foreign(item, column, line) {
            self.mark(item, disposition, Some(why));
            return;
        }
        if let Some(note) = self.said_swapped(item).filter(|_| self.ruled_value(item).is_none()) {
            let cell = self.view.cell(&note);
            let is_text = explained::says_swapped(&cell.text);
            let said = cell.note.as_deref().filter(|_| !is_text).unwrap_or(&cell.text);
            let (place, text) = (self.place(&note), said.trim());
            self.hold_value(
                item,
                &format!("{place} says that something is swapped: {text}"),
                vec![self.view.cell(item).text.to_string()],
            );
            return;
        }
        if let Some(meaning) = self.view.sign(item) {
            let context = format!("the file explains this number as a sign of its own: {meaning}");
            self.hold_value(item, &context, Vec::new());
            return;
        }
        let is_first = self.view.cell(item).column == 0;
        if is_first && self.view.cell(item).text.trim_start().starts_with("> ") {
            self.hold_value(item, "the sign before it may be that of a quoted letter, or \"at least\"", Vec::new());
            return;
        }
        if is_full_display(&self.view.cell(item).text) {
            let choices = vec![self.view.cell(item).text.to_string()];
            self.hold_value(
                item,
                "nothing but nines: a reading, or what was written where none could be taken?",
                choices,
            );
            return;
        }
        if amounts.doubtful {
            self.hold_value(item, "some digits cannot be read for certain", Vec::new());
            return;
        }
        if amounts.range {
            self.hold_value(item, "a range where one value is expected", Vec::new());
            return;
        }
        let told_apart = amounts.parts.iter().all(|part| !part.label.is_empty() || !part.conditions.is_empty());
        let listed = self.listed_beside(&amounts, line).filter(|_| column.heading.phases.is_none());
        let phases = listed.as_ref().map(|(phases, _)| phases.clone());
        let phases = phases.or_else(|| self.phases_of(&amounts, column)).or_else(|| labelled::phases(&amounts));
        if amounts.parts.len() > 1 && !told_apart && phases.is_none() {
            self.hold_value(item, "several values in one cell, and nothing tells them apart", Vec::new());
            return;
        }
        if labelled::may_be_conditions(&amounts) {
            let why = "two letters with values: two phases, or a voltage or temperature beside one reading";
            self.hold_value(item, why, Vec::new());
            return;
        }
        let corrected = self.footnote_corrected(amounts.footnote.as_deref());
        let noted = self.footnote_conditions(amounts.footnote.as_deref());
        for (index, amount) in amounts.parts.iter().enumerate() {
            let marks = if is_of_conductor(amount, column) { marks.of_several() } else { marks };
            let Some(number) = self.number(item, amount, marks) else {
                self.hold_decimal(item, amount);
                return;
            };
            let conditions = amount.conditions.iter().chain(&noted).copied().collect();
            let Some(bound) = self.bound_of(item, amount, column, line) else { return };
            let amount = Amount { numbers: vec![number.clone()], bound, conditions, ..amount.clone() };
            let circuits = phases.as_ref().and_then(|phases| phases.get(index)).cloned();
            let (remark, steps) = (amounts.remark.clone(), amounts.steps.clone());
            let sign = amounts.footnote.clone();
            let flags = if amount.is_approximate { vec![Flag::Approximate] } else { Vec::new() };
            let own = listed.as_ref().zip(circuits.clone()).map(|((_, at), value)| {
                let mut own = line.clone();
                own.circuits.insert(0, By { value, item: *at });
                own
            });
            let extra = Extra { circuits, corrected, sign, remark, flags, steps };
            self.read_amount(item, &amount, column, own.as_ref().unwrap_or(line), extra);
        }
    }

    /// The bound of a value, by its own sign or what stands beside it; `None` where a person has to tell.
    fn bound_of(&mut self, item: &Item, amount: &Amount, column: &Column, line: &Line) -> Option<Bound> {
        let bound = self.sign_beside(item).filter(|_| amount.bound == Bound::Exact).unwrap_or(amount.bound);
        if bound != Bound::Exact {
            return Some(bound);
        }
        let unclear = match (self.plus(item, line, column), line.beside.bound) {
            _ if line.over_remark.is_some() => "a remark says that the range was left, and not of which reading",
            (Some(None), _) => "a plus before it may say \"more than\"",
            (_, Some(None)) => "whether it went over range is marked in a way that is not understood",
            (Some(Some(told)), _) | (None, Some(Some(told))) => return Some(told),
            (None, None) => return Some(bound),
        };
        self.hold_value(item, unclear, Vec::new());
        None
    }

    /// "+1000": nobody writes a plus before a resistance but for "more than". The bound, where a remark of the line says so; `None` inside
    /// where nothing does, `None` where no plus stands.
    fn plus(&self, item: &Item, line: &Line, column: &Column) -> Option<Option<Bound>> {
        let behind = self.view.cell(item).text.trim().strip_prefix('+')?.trim_start();
        let is_resistance = matches!(
            column.role,
            Role::Reading(None | Some(Quantity::InsulationResistance | Quantity::WindingResistance))
        );
        let says_beyond =
            |remark: &Told<Text>| explained::standing(&remark.value) == Some(explained::Standing::AtLeast);
        (is_resistance && behind.starts_with(|c: char| c.is_ascii_digit()))
            .then(|| line.remarks.iter().any(says_beyond).then_some(Bound::AtLeast))
    }

    /// The bound that a sign in a cell of its own tells ("2000 | >"): of the column before it, unless readings stand only behind it.
    fn sign_beside(&mut self, item: &Item) -> Option<Bound> {
        let line = self.view.line(self.view.line_at(item.row));
        let at = |column: u32| line.iter().find(|other| other.row == item.row && other.column == column).copied();
        let sign = |other: &Item| match self.view.cell(other).text.trim() {
            ">" | ">=" | "≥" => Some(Bound::AtLeast),
            "<" | "<=" | "≤" => Some(Bound::AtMost),
            _ => None,
        };
        let before = item.column.checked_sub(1).and_then(at).and_then(|other| Some((other, sign(&other)?)));
        let behind = at(item.right + 1).and_then(|other| Some((other, sign(&other)?)));
        // A sign between two readings stands before its number, as it is written.
        let is_own = |other: &Item| !self.is_reading_column(other.right + 1);
        let (cell, bound) = before
            .filter(|(other, _)| {
                other.column.checked_sub(1).is_none_or(|left| !self.is_reading_column(left)) || !is_own(other)
            })
            .or_else(|| behind.filter(|(other, _)| is_own(other)))?;
        self.mark(&cell, Disposition::Label, Some("the sign of the number beside it"));
        Some(bound)
    }

    /// The one way to read a number that a ruling or the marks of its neighbours leave.
    fn number<'n>(&self, item: &Item, amount: &'n Amount, marks: Marks) -> Option<&'n NumberMeaning> {
        let pick = |ruling: &Ruling| if let Ruling::Decimal(mark) = ruling { Some(*mark) } else { None };
        if let Some(told) = self.ruled(item, Question::DecimalMark, pick) {
            return value::choose_number(&amount.numbers, &[Some(told.value)], false);
        }
        value::choose_number(&amount.numbers, &self.decimal_levels(marks), self.proves_thousands(marks))
    }

    /// "Riso U / V / W to PE" beside "850 / 820 / 870 MΩ": the three connections that the line lists for the three values of a cell, and
    /// where it does.
    fn listed_beside(&self, amounts: &Amounts, line: &Line) -> Option<(Vec<Vec<CircuitMeaning>>, Item)> {
        if amounts.parts.len() != 3 || amounts.parts.iter().any(|part| !part.label.is_empty()) {
            return None;
        }
        let labels = line.label.iter().flat_map(|label| &label.items).copied();
        let is_name = |concept: Concept| matches!(concept, Concept::TestKind | Concept::Circuit);
        let named = line.fields.iter().filter(|(concept, item)| is_name(*concept) && item.row == line.row);
        let mut told = labels.chain(named.map(|(_, item)| *item));
        told.find_map(|at| {
            let phases = heading::three_phases(&self.view.cell(&at).text)?;
            let named: Vec<_> = phases.iter().map(|phase| phase.first().map(|meaning| meaning.named)).collect();
            let are_apart =
                named.iter().enumerate().all(|(at, one)| !named.iter().skip(at + 1).any(|other| other == one));
            are_apart.then_some((phases, at))
        })
    }

    /// Three values of a cell are the three phases, if header or title names three.
    pub(super) fn phases_of(&self, amounts: &Amounts, column: &Column) -> Option<Vec<Vec<CircuitMeaning>>> {
        if amounts.parts.len() != 3 || amounts.parts.iter().any(|part| !part.label.is_empty()) {
            return None;
        }
        if column.heading.phases.is_some() {
            return column.heading.phases.clone();
        }
        // "L1/L2/L3 to earth" is all of them together over one value, and each of them over three.
        let mut headings = column.heading.items.iter().rev().map(|item| self.view.cell(item).text.as_str());
        if let Some(phases) = headings.find_map(|text| heading::three_phases(text).filter(|_| text.contains('/'))) {
            return Some(phases);
        }
        if let Some(phases) = self.phases_beside(column) {
            return Some(phases);
        }
        let captions = self.scene.loose.captions.iter();
        let mut texts = captions.filter_map(|caption| self.view.grid.cells.get(caption.item.cell as usize));
        texts.find_map(|cell| heading::three_phases(&cell.text))
    }
}

/// A sign without letters and digits ("=", "??").
fn is_sign(text: &str) -> bool {
    let text = text.trim();
    !text.is_empty()
        && text.chars().count() <= 3
        && text.chars().all(|c| matches!(c, '=' | '?' | '~' | '≈' | '^' | '<' | '>'))
}

/// "9999", "9,999", "9999.9 MΩ": what displays and databases show where there is no reading as often as one. Common practice, no source.
fn is_full_display(text: &str) -> bool {
    let text = text.trim();
    let end = text.find(|c: char| !c.is_ascii_digit() && !matches!(c, '.' | ',' | '\'')).unwrap_or(text.len());
    let (number, unit) = text.split_at(end);
    let number = number.strip_suffix(".0").or_else(|| number.strip_suffix(",0")).unwrap_or(number);
    let digits: Vec<char> = number.chars().filter(char::is_ascii_digit).collect();
    digits.len() >= 4 && digits.iter().all(|digit| *digit == '9') && !unit.contains(|c: char| c.is_ascii_digit())
}

/// Digits and marks without words: a figure that was spoilt, not a remark.
fn has_broken_number(text: &str) -> bool {
    let digits = text.chars().filter(char::is_ascii_digit).count();
    let letters = text.chars().filter(|c| c.is_alphabetic()).count();
    digits > 0 && letters <= 2
}

/// Whether a number is in ohms or less: what proves the marks of megohms beside it proves nothing here.
fn is_of_conductor(amount: &Amount, column: &Column) -> bool {
    let told = column.heading.units.as_ref().map(|by| by.value.0.as_slice()).unwrap_or_default();
    let units = if amount.units.is_empty() { told } else { amount.units.as_slice() };
    let best = units.iter().max_by(|a, b| a.weight.total_cmp(&b.weight)).map(|meaning| meaning.unit);
    best.is_some_and(|unit| unit.dimension == Dimension::Resistance && unit.factor <= Unit::OHM.factor)
}
