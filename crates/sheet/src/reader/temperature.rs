//! Temperatures: their unit, which of them is the winding's, and those that stand in a table of their own.

use super::Reader;
use crate::context::Found;
use crate::heading::Heading;
use crate::hold::Hold;
use crate::ruling::Ruling;
use crate::value;
use crate::view::Item;
use windrow_model::raw::{Told, Via};
use windrow_model::{Dimension, Disposition, Question, Unit};
use windrow_text::measure::Condition;
use windrow_text::number::Mark;
use windrow_text::vocabulary::Concept;

/// Temperatures that a winding or what surrounds it can have at a test, °C, ovens included. Wide on purpose; common practice, no
/// source.
const WINDINGS: std::ops::RangeInclusive<f64> = -60.0..=250.0;

/// From here on a number may be the temperature of a room in degrees Fahrenheit.
const LEAST_FAHRENHEIT: f64 = 45.0;

/// Letters of German, French and Spanish that English writes without.
const ACCENTED: [char; 28] = [
    'ä', 'ö', 'ü', 'ß', 'Ä', 'Ö', 'Ü', 'à', 'â', 'ç', 'é', 'è', 'ê', 'ë', 'î', 'ï', 'ô', 'û', 'É', 'È', 'À', 'ñ', 'á',
    'í', 'ó', 'ú', 'Ó', 'Í',
];

/// A circumstance that waits for the test of the same machine and date.
#[derive(Debug, Clone)]
pub(crate) struct Join {
    /// Machine, folded.
    pub machine: String,
    /// When.
    pub when: String,
    /// Row of the view.
    pub row: u32,
    /// Which circumstance.
    pub concept: Concept,
    /// A temperature, °C, or a voltage, V.
    pub told: Told<f64>,
}

impl Reader<'_, '_, '_> {
    /// A temperature in °C from a cell under `heading`. Without any unit it is asked for, not guessed.
    pub(super) fn celsius(
        &mut self,
        cell: &windrow_source::Cell,
        sense: &crate::sense::Sense,
        heading: &Heading,
        item: &Item,
        via: Via,
    ) -> Option<Told<f64>> {
        let amounts = value::amounts(cell, sense)?;
        let amount = amounts.parts.first()?;
        let number = value::choose_number(&amount.numbers, &self.decimal_levels(self.sheet_marks), false)?.value;
        let pick = |ruling: &Ruling| if let Ruling::TemperatureUnit(unit) = ruling { Some(*unit) } else { None };
        let ruled = self.ruled(item, Question::TemperatureUnit, pick).map(|told| told.value);
        let told = ruled.or_else(|| self.temperature_unit(amount, heading)).map(|unit| (unit, via));
        let assumed = || self.unit_of_country(amount, heading, number).map(|unit| (unit, Via::Assumed));
        let Some((unit, via)) = told.or_else(assumed) else {
            self.mark(item, Disposition::Held, Some("degrees Celsius or Fahrenheit?"));
            let cause = format!("unit of temperatures, column {}", item.column);
            self.holds.ask(cause, item.cell, || Hold {
                question: Question::TemperatureUnit,
                choices: vec!["°C".to_owned(), "°F".to_owned()],
                context: "neither the cells nor their header, the title or the file tell the unit".to_owned(),
                cells: Vec::new(),
            });
            return None;
        };
        let celsius = unit.to_stored(number);
        if !WINDINGS.contains(&celsius) {
            self.mark(item, Disposition::Unread, Some("no winding is tested at this temperature"));
            return None;
        }
        Some(self.told(celsius, via, item))
    }

    fn temperature_unit(&self, amount: &value::Amount, heading: &Heading) -> Option<Unit> {
        let of = |units: &[windrow_text::unit::UnitMeaning]| value::unit_of(units, Dimension::Temperature);
        let reread = || {
            windrow_text::unit::read(&amount.unit_text, Some(Dimension::Temperature))
                .first()
                .map(|meaning| meaning.unit)
        };
        let by_cell = of(&amount.units).or_else(|| if amount.unit_text.is_empty() { None } else { reread() });
        let by_heading = || {
            let told = heading.units.as_ref().and_then(|units| of(&units.value.0));
            // "Wdg C": a lone letter behind a temperature is its unit.
            let last = |item: &Item| {
                let word = self.view.cell(item).text.split_whitespace().last()?;
                windrow_text::unit::read(word, Some(Dimension::Temperature)).first().map(|meaning| meaning.unit)
            };
            told.or_else(|| heading.items.iter().rev().find_map(last))
        };
        let by_caption = || {
            let tell = |caption: &crate::loose::Caption| {
                caption.units.iter().find_map(|(units, _)| of(units)).map(|unit| unit.ucum.to_owned())
            };
            let Found::One(index, _) = self.scene.caption(self.block, tell) else { return None };
            self.scene.loose.captions[index].units.iter().find_map(|(units, _)| of(units))
        };
        let by_setting = || {
            let code = self.around.settings.reading.temperature_unit.as_deref()?;
            Unit::from_ucum(code).filter(|unit| unit.dimension == Dimension::Temperature)
        };
        let by_pair = || self.pair_unit(|units, _| of(units)).map(|told| told.value);
        by_cell.or_else(by_heading).or_else(by_pair).or_else(by_caption).or_else(by_setting)
    }

    /// Where decimals are written with a comma, or headings with the letters of other languages than English, temperatures are assumed to be in
    /// degrees Celsius (common practice, no source). A number that a room has in degrees Fahrenheit is asked about all the same.
    fn unit_of_country(&self, amount: &value::Amount, heading: &Heading, number: f64) -> Option<Unit> {
        let is_bare = amount.units.is_empty() && amount.unit_text.is_empty() && number < LEAST_FAHRENHEIT;
        let is_warmth = |concept: &Concept| {
            matches!(concept, Concept::Temperature | Concept::WindingTemperature | Concept::AmbientTemperature)
        };
        if !is_bare || !heading.concepts.iter().any(|(concept, ..)| is_warmth(concept)) {
            return None;
        }
        let told = self.decimal_levels(self.sheet_marks).into_iter().flatten().next();
        // Names of people and places have such letters in English sheets as well.
        let has_letters = |item: &Item| self.view.cell(item).text.contains(ACCENTED);
        let mut heads = self.scene.tables.iter().flat_map(|read| read.table.header.iter().flatten());
        let is_metric = told == Some(Mark::Comma) || heads.any(has_letters);
        is_metric.then(|| Unit::from_ucum("Cel")).flatten()
    }

    /// A temperature that the block tells as a pair.
    pub(super) fn block_temperature(&mut self, concept: Concept) -> Option<Told<f64>> {
        let Found::One(index, via) = self.scene.pair(self.block, concept) else { return None };
        let scene = self.scene;
        let pair = &scene.loose.pairs[index];
        let (cell, sense) = (pair.cell(self.view).clone(), pair.sense(self.view).clone());
        self.celsius(&cell, &sense, &pair.heading, &pair.value, via)
    }

    /// The winding's temperature told in a note on a cell ("wdg temp 34 C, RH 71%").
    pub(super) fn note_temperature(&self, item: &Item) -> Option<Told<f64>> {
        let note = self.view.cell(item).note.as_deref()?;
        let celsius = windrow_text::remark::conditions(note).into_iter().find_map(|condition| match condition {
            Condition::TemperatureC(celsius) => Some(celsius),
            _ => None,
        })?;
        Some(Told { text: note.into(), ..self.told(celsius, Via::Cell, item) })
    }

    /// Gives waiting circumstances to the tests of their machine and date; of two different voltages, or two temperatures in one line,
    /// neither.
    pub(crate) fn join(&mut self) {
        let joins = std::mem::take(&mut self.joins);
        let is_other = |join: &Join, other: &Join| {
            (other.concept == Concept::TestVoltage || other.row == join.row)
                && join.concept == other.concept
                && (&join.machine, &join.when) == (&other.machine, &other.when)
                && (join.told.value - other.told.value).abs() > f64::EPSILON
        };
        for join in joins.iter().filter(|join| !joins.iter().any(|other| is_other(join, other))) {
            for group in &mut self.groups {
                if group.machine_key == join.machine && group.when_key == join.when && !join.machine.is_empty() {
                    let told = Told { via: Via::Joined, ..join.told.clone() };
                    match join.concept {
                        Concept::TestVoltage => group.set_voltage(&told),
                        concept => group.set_temperature(concept, told),
                    }
                }
            }
        }
    }
}
