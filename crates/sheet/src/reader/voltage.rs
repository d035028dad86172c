//! At which applied voltage.

use super::Reader;
use super::line::Line;
use super::plausible::is_applied;
use crate::column::{Column, Role};
use crate::context::{Body, Found};
use crate::fit::speaks_of;
use crate::heading::{By, Heading};
use crate::hold::Hold;
use crate::ruling::Ruling;
use crate::value;
use crate::view::Item;
use windrow_model::raw::{Told, Via};
use windrow_model::{Dimension, Disposition, Quantity, Question, Unit};
use windrow_text::measure::Condition;
use windrow_text::vocabulary::Concept;

/// Why a cell is held whose voltage is doubted.
const DOUBTED: &str = "no winding is tested with such a voltage";

/// Below this no winding is tested, V. Common practice, no source.
pub(super) const LEAST_VOLTS: f64 = 20.0;

/// Lines within which a ramp that starts below fifty volts has passed a hundred.
const LOW_POINTS: usize = 200;

impl Reader<'_, '_, '_> {
    /// The voltage of a reading, V.
    pub(super) fn voltage(
        &self,
        item: &Item,
        amount: &value::Amount,
        line: &Line,
        (column, quantity): (&Column, Quantity),
    ) -> Option<Told<f64>> {
        if let Some(told) = self.ruled_volts(item) {
            return Some(told);
        }
        for condition in &amount.conditions {
            if let Condition::VoltageV(volts) = condition {
                return Some(self.told(*volts, Via::Cell, item));
            }
        }
        let noted = self.view.cell(item).note.as_deref().map(windrow_text::remark::conditions).unwrap_or_default();
        for condition in noted {
            if let Condition::VoltageV(volts) = condition {
                return Some(self.told(volts, Via::Cell, item));
            }
        }
        if let Some(told) = &line.voltage {
            // "IR at 1000 V" beside a voltage of its line that is another one, not only the exact one: which was applied is not told.
            let head = column.heading.voltage_v.as_ref().filter(|_| told.via == Via::Row);
            let is_clear = head.is_none_or(|by| (by.value - told.value).abs() <= 0.1 * by.value);
            return is_clear.then(|| told.clone());
        }
        for (heading, via) in [(line.label.as_ref(), Via::Row), (Some(&column.heading), Via::Column)] {
            // "AC withstand 2 kV" over megohms: not what they were measured with.
            let is_of_other =
                |heading: &&Heading| quantity == Quantity::InsulationResistance && heading.has(Concept::Withstand);
            let told = heading.filter(|heading| !is_of_other(heading)).and_then(|heading| heading.voltage_v.as_ref());
            if let Some(by) = told.filter(|by| quantity != Quantity::InsulationResistance || self.heads_test(by)) {
                return Some(self.told(by.value, via, &by.item));
            }
        }
        if let Some(by) = &column.heading.number
            && let Some(corner) = self.corner(&by.item)
            && corner.concept() == Some(Concept::TestVoltage)
        {
            let unit = corner.units.as_ref().and_then(|units| value::unit_of(&units.value.0, Dimension::Voltage));
            let unit = unit.unwrap_or(if by.value < 50.0 { Unit::KILOVOLT } else { Unit::VOLT });
            return Some(self.told(unit.to_stored(by.value), Via::Column, &by.item));
        }
        // A column of voltages whose cell is not understood is nearer than any title.
        let is_unclear =
            line.fields.iter().any(|(concept, item)| *concept == Concept::TestVoltage && self.says_something(item));
        // "% of final" beside each reading: what the title tells is the last of several.
        if is_unclear || self.is_told_in_percent() {
            return None;
        }
        self.volts_behind(item).or_else(|| self.corner_voltage()).or_else(|| self.block_voltage(quantity))
    }

    /// "Insulation resistance at 5000 V | GΩ" over lines of times: what the heading over the labels of lines tells of all.
    fn corner_voltage(&self) -> Option<Told<f64>> {
        let Body::Table(table) = self.scene.blocks.get(self.block)?.body else { return None };
        let first = self.scene.tables.get(table)?.columns.first()?;
        let heading = Some(&first.heading).filter(|_| !matches!(first.role, Role::Reading(_)))?;
        let names_measured = heading.concepts.iter().any(|(concept, ..)| crate::fit::quantity(*concept).is_some());
        let by = heading.voltage_v.as_ref().filter(|_| names_measured && heading.items.len() == 1)?;
        self.heads_test(by).then(|| self.told(by.value, Via::Column, &by.item))
    }

    /// "Exciter armature to frame: | 12,4 MΩ | (1 min, 500 V)" in a form: what the text right behind the value tells.
    fn volts_behind(&self, item: &Item) -> Option<Told<f64>> {
        if matches!(self.scene.blocks.get(self.block)?.body, Body::Table(_)) {
            return None;
        }
        let line = self.view.line(self.view.line_at(item.row));
        let behind = line.iter().filter(|other| other.row == item.row && other.column > item.column);
        let next = behind.min_by_key(|other| other.column)?;
        let mut captions = self.scene.loose.captions.iter().filter(|caption| caption.item.cell == next.cell);
        let by = captions.find_map(|caption| caption.heading.voltage_v.as_ref())?;
        Some(self.told(by.value, Via::Row, &by.item))
    }

    /// Whether the voltage of a heading was put on: "IR 6.6 kV" may tell the machine's, "6.6 kV" alone over readings and "IR at 6.6 kV" not.
    fn heads_test(&self, by: &By<f64>) -> bool {
        let names_more = !self.view.sense(&by.item).label.concepts.is_empty();
        !names_more || is_likely(&self.view.cell(&by.item).text, by.value)
    }

    /// What a person ruled that was applied, V.
    pub(super) fn ruled_volts(&self, item: &Item) -> Option<Told<f64>> {
        let pick = |ruling: &Ruling| if let Ruling::VoltageV(volts) = ruling { Some(*volts) } else { None };
        self.ruled(item, Question::Voltage, pick)
    }

    /// Asks about the voltage at which the cell was read where no winding is tested with as much; whether it did.
    pub(super) fn doubts_voltage(&mut self, item: &Item, quantity: Quantity, told: &Told<f64>) -> bool {
        if told.via == Via::Decision || is_applied(quantity, told.value) {
            return false;
        }
        self.mark(item, Disposition::Held, Some(DOUBTED));
        let context = format!(
            "the voltage told for it, {:?}, would be {} kV; no such test is made with as much, and volts under a heading in kilovolts read so",
            told.text,
            told.value / 1e3
        );
        self.holds.ask(format!("voltage {}", told.text), item.cell, || Hold {
            question: Question::Voltage,
            choices: vec![format!("{} V", told.value / 1e3)],
            context,
            cells: Vec::new(),
        });
        true
    }

    /// Whether the voltage at which the cell was read is asked about.
    pub(super) fn is_doubted(&self, item: &Item) -> bool {
        let fate = self.fates.get(item.cell as usize).and_then(Option::as_ref);
        fate.and_then(|fate| fate.reason.as_deref()) == Some(DOUBTED)
    }

    fn says_something(&self, item: &Item) -> bool {
        self.view.cell(item).text.contains(|c: char| c.is_ascii_digit())
    }

    /// Whether a column of the block's table tells rising percentages up to a hundred that no quantity is: parts of a voltage.
    fn is_told_in_percent(&self) -> bool {
        let Body::Table(table) = self.scene.blocks[self.block].body else { return false };
        let read = &self.scene.tables[table];
        let is_percent = |column: &&Column| {
            // A humidity rises too.
            let is_open = match column.role {
                Role::Unknown | Role::Reading(None) => true,
                Role::Field(concept) => {
                    matches!(concept, Concept::TestVoltage | Concept::StepNumber | Concept::OtherFigure)
                }
                _ => false,
            };
            is_open && column.heading.text(self.view).contains('%')
        };
        let number = |item: &Item| {
            let amounts = value::amounts(self.view.cell(item), self.view.sense(item))?;
            amounts.parts.first()?.numbers.first().map(|number| number.value)
        };
        read.columns.iter().filter(is_percent).any(|column| {
            let cells = read.table.body.iter().take(LOW_POINTS).flat_map(|line| &line.items);
            let own = cells.filter(|item| item.column == column.column);
            let numbers: Option<Vec<f64>> = own.map(number).collect();
            numbers.is_some_and(|numbers| {
                numbers.len() >= 3
                    && numbers.windows(2).all(|two| two[0] < two[1])
                    && numbers.last().is_some_and(|last| (90.0..=150.0).contains(last))
            })
        })
    }

    /// The voltage that a pair or caption tells for the block.
    pub(super) fn block_voltage(&self, quantity: Quantity) -> Option<Told<f64>> {
        if let Found::One(index, via) = self.scene.pair(self.block, Concept::TestVoltage) {
            let pair = &self.scene.loose.pairs[index];
            let volts = self.volts(pair.cell(self.view), pair.sense(self.view), &pair.heading);
            if let Some(volts) = volts {
                return Some(self.told(volts, via, &pair.value));
            }
        }
        let last = self.scene.blocks.iter().map(|block| block.rows.1).max().unwrap_or(0);
        let tell = |caption: &crate::loose::Caption| {
            let told = caption.heading.voltage_v.as_ref().filter(|_| speaks_of(caption, quantity));
            // A direct voltage is that of no surge.
            let text = &self.view.cell(&caption.item).text;
            let is_direct = is_surge(quantity) && tells_direct(text);
            // "Insulation resistance 6.6 kV": no tester's step, and nothing says that it was put on.
            let is_open = |volts: f64| quantity == Quantity::InsulationResistance && !is_likely(text, volts);
            // "C rises after 6 kV: stopped at 10" below all tables tells what happened.
            let is_of_event = |volts: f64| caption.item.row > last && !is_likely(text, volts);
            let told = told.filter(|by| !is_direct && !is_open(by.value) && !is_of_event(by.value));
            let told = told.filter(|_| !self.stands_beside_power(&caption.item));
            told.map(|by| by.value.to_string())
        };
        if let Found::One(index, via) = self.scene.caption(self.block, tell) {
            let caption = &self.scene.loose.captions[index];
            let by = caption.heading.voltage_v.as_ref()?;
            // "500 V" over the insulation of an earlier section is no peak of surges.
            let names_surge =
                || caption.concepts.iter().any(|concept| crate::fit::quantity(*concept).is_some_and(is_surge));
            if is_surge(quantity) && via != Via::Block && !names_surge() {
                return None;
            }
            return Some(self.told(by.value, via, &caption.item));
        }
        None
    }

    /// "1250 kW | 6000 V": a voltage in a line that tells a power is of the nameplate.
    fn stands_beside_power(&self, item: &Item) -> bool {
        let line = self.view.line(self.view.line_at(item.row));
        let is_power = |other: &Item| {
            let units = &self.view.sense(other).label.units;
            let measured = value::amounts(self.view.cell(other), self.view.sense(other));
            let parts = measured.iter().flat_map(|amounts| &amounts.parts).flat_map(|part| &part.units);
            units.iter().chain(parts).any(|meaning| {
                // "MW" is written for megohms, too.
                meaning.weight >= 0.5
                    && !meaning.colloquial
                    && matches!(meaning.unit.dimension, Dimension::Power | Dimension::ApparentPower)
            })
        };
        line.iter().any(|other| other.row == item.row && other.cell != item.cell && is_power(other))
    }

    /// The voltage that a cell of a line tells under the heading of its column.
    pub(super) fn line_volts(&self, item: &Item, heading: &Heading) -> Option<Told<f64>> {
        let volts = self
            .low_volts(item, heading)
            .or_else(|| self.volts(self.view.cell(item), self.view.sense(item), heading))?;
        Some(self.told(volts, Via::Row, item))
    }

    /// Volts below fifty in a column of volts that goes on far above: the first points of a ramp, no kilovolts.
    fn low_volts(&self, item: &Item, heading: &Heading) -> Option<f64> {
        let unit = value::unit_of(&heading.units.as_ref()?.value.0, Dimension::Voltage)?;
        let number = |item: &Item| {
            let amounts = value::amounts(self.view.cell(item), self.view.sense(item))?;
            let amount = amounts.parts.first().filter(|amount| amount.units.is_empty())?.clone();
            Some(value::choose_number(&amount.numbers, &self.decimal_levels(self.sheet_marks), false)?.value)
        };
        let own = number(item).filter(|own| *own > 0.0 && *own < 50.0 && unit == Unit::VOLT)?;
        let (first, last) = self.scene.blocks.get(self.block)?.rows;
        let from = self.view.line_at(item.row.max(first));
        let further = (from..self.view.line_count()).take_while(|line| self.view.row(*line) <= last).take(LOW_POINTS);
        let mut further =
            further.filter_map(|line| self.view.line(line).iter().find(|other| other.column == item.column));
        further.any(|other| number(other).is_some_and(|other| other >= 100.0)).then_some(own)
    }

    /// Volts told by a value cell under `heading`.
    pub(super) fn volts(
        &self,
        cell: &windrow_source::Cell,
        sense: &crate::sense::Sense,
        heading: &Heading,
    ) -> Option<f64> {
        // "0,4 Un": how many volts that is, the nameplate knows.
        if windrow_text::rated_part::is_rated_part(&cell.text) {
            return None;
        }
        let Some(amounts) = value::amounts(cell, sense) else { return sense.label.voltage_v };
        // "2500/500": which of both was put on this winding is not told.
        let is_volts =
            |part: &&value::Amount| part.units.is_empty() || value::unit_of(&part.units, Dimension::Voltage).is_some();
        if amounts.range || amounts.parts.iter().filter(is_volts).count() > 1 {
            return None;
        }
        // "15 kW / 400 V": so many kilowatts are no volts.
        let amount = amounts.parts.iter().find(is_volts).or(amounts.parts.first())?;
        // "LT-1" under a voltage and "Motor" is a machine.
        if amount.units.is_empty() && sense.tag >= 0.5 {
            return None;
        }
        let number = value::choose_number(&amount.numbers, &self.decimal_levels(self.sheet_marks), false)?.value;
        let unit = value::unit_of(&amount.units, Dimension::Voltage)
            .or_else(|| heading.units.as_ref().and_then(|units| value::unit_of(&units.value.0, Dimension::Voltage)));
        // "0.4 V" is what was left on a winding, and neither volts nor kilovolts that were put on it.
        if unit == Some(Unit::VOLT) && number < 1.0 {
            return None;
        }
        // "Volts 5" is five kilovolts: nobody tests insulation at five volts.
        let unit = unit.unwrap_or(if number < 50.0 { Unit::KILOVOLT } else { Unit::VOLT });
        let unit = if unit == Unit::VOLT && number < LEAST_VOLTS { Unit::KILOVOLT } else { unit };
        (number > 0.0).then(|| unit.to_stored(number))
    }
}

/// Whether a voltage in a title is likely the one that insulation resistance was measured with.
fn is_likely(text: &str, volts: f64) -> bool {
    windrow_text::volts::is_usual(volts) || windrow_text::volts::is_applied(text, volts)
}

const fn is_surge(quantity: Quantity) -> bool {
    matches!(quantity, Quantity::SurgePeakVoltage | Quantity::SurgeInceptionVoltage | Quantity::SurgeDifference)
}

/// Whether a text says that its voltage is direct. Common practice, no source.
fn tells_direct(text: &str) -> bool {
    const WORDS: [&str; 8] = ["dc", "cc", "vdc", "vcc", "gs", "gleichspannung", "continu", "continua"];
    let folded = windrow_text::fold::fold(text);
    folded.split(' ').any(|word| WORDS.contains(&word))
}
