//! How well a cell's content fits what a label promises.

use crate::loose::Caption;
use crate::sense::{Kind, Sense};
use windrow_model::{Dimension, Quantity};
use windrow_source::{Cell, Content};
use windrow_text::vocabulary::Concept;

/// What a concept wants of its values.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wants {
    /// A key of a list: a number or a short text.
    Key,
    /// A plant tag or name of a machine.
    Tag,
    /// A serial number.
    Serial,
    /// Words.
    Words,
    /// A date.
    Date,
    /// A number, perhaps of one dimension.
    Number(Option<Dimension>),
    /// A circuit.
    Circuit,
    /// A unit.
    Unit,
    /// A year or several.
    Years,
}

/// What the values of a concept look like.
#[must_use]
pub fn wants(concept: Concept) -> Wants {
    match concept {
        Concept::Tag | Concept::OldTag | Concept::NewTag => Wants::Tag,
        Concept::ListKey | Concept::Parent => Wants::Key,
        Concept::Serial => Wants::Serial,
        Concept::Date | Concept::OtherDate => Wants::Date,
        Concept::Circuit => Wants::Circuit,
        Concept::UnitColumn => Wants::Unit,
        Concept::Rewound => Wants::Years,
        Concept::Elapsed => Wants::Number(Some(Dimension::Time)),
        Concept::TestVoltage | Concept::RatedVoltage => Wants::Number(Some(Dimension::Voltage)),
        Concept::RateOfRise => Wants::Number(Some(Dimension::VoltageRate)),
        Concept::WindingTemperature | Concept::AmbientTemperature | Concept::Temperature | Concept::DewPoint => {
            Wants::Number(Some(Dimension::Temperature))
        }
        Concept::RatedPower
        | Concept::RatedCurrent
        | Concept::RatedSpeed
        | Concept::RatedFrequency
        | Concept::MadeYear
        | Concept::Humidity
        | Concept::StepNumber
        | Concept::RowNumber
        | Concept::CorrectionFactor
        | Concept::Multiplier
        | Concept::Exponent
        | Concept::Limit
        | Concept::EarlierReading
        | Concept::OtherFigure => Wants::Number(None),
        other => match quantity(other) {
            Some(quantity) => Wants::Number(Some(quantity.dimension())),
            None if matches!(other, Concept::Resistance | Concept::CorrectedResistance) => {
                Wants::Number(Some(Dimension::Resistance))
            }
            None => Wants::Words,
        },
    }
}

/// The quantity that a concept names beyond doubt.
#[must_use]
pub fn quantity(concept: Concept) -> Option<Quantity> {
    Some(match concept {
        Concept::InsulationResistance => Quantity::InsulationResistance,
        Concept::WindingResistance => Quantity::WindingResistance,
        Concept::LeakageCurrent => Quantity::LeakageCurrent,
        Concept::PolarizationIndex => Quantity::PolarizationIndex,
        Concept::AbsorptionRatio => Quantity::AbsorptionRatio,
        Concept::Unbalance => Quantity::Unbalance,
        Concept::Capacitance => Quantity::Capacitance,
        Concept::DissipationFactor => Quantity::DissipationFactor,
        Concept::PdMagnitude => Quantity::PdMagnitude,
        Concept::PdInception => Quantity::PdInceptionVoltage,
        Concept::PdExtinction => Quantity::PdExtinctionVoltage,
        Concept::SurgeVoltage => Quantity::SurgePeakVoltage,
        Concept::SurgeDifference => Quantity::SurgeDifference,
        Concept::SurgeInception => Quantity::SurgeInceptionVoltage,
        Concept::Inductance => Quantity::Inductance,
        _ => return None,
    })
}

/// Whether a quantity is a ratio of insulation resistances at two times.
#[must_use]
pub const fn is_index(quantity: Quantity) -> bool {
    matches!(quantity, Quantity::PolarizationIndex | Quantity::AbsorptionRatio)
}

/// Whether a quantity is computed from others wherever they stand beside it.
#[must_use]
pub const fn is_of_others(quantity: Quantity) -> bool {
    is_index(quantity) || matches!(quantity, Quantity::Unbalance)
}

/// What a test speaks of: titles of one family say nothing of the readings of another.
#[derive(PartialEq, Eq)]
enum Family {
    Conductor,
    Insulation,
    Impulse,
    Discharge,
}

const fn family(quantity: Quantity) -> Family {
    match quantity {
        Quantity::WindingResistance | Quantity::Unbalance | Quantity::Inductance => Family::Conductor,
        Quantity::SurgePeakVoltage | Quantity::SurgeInceptionVoltage | Quantity::SurgeDifference => Family::Impulse,
        Quantity::PdMagnitude | Quantity::PdInceptionVoltage | Quantity::PdExtinctionVoltage => Family::Discharge,
        _ => Family::Insulation,
    }
}

/// Whether what a title says besides its quantity holds for readings of `quantity`: it names none, that one, or one that is measured
/// in the same kind of test. "Winding resistance at 20 °C" says nothing of megohms.
#[must_use]
pub fn speaks_of(caption: &Caption, quantity: Quantity) -> bool {
    // A title on a withstand test says nothing of how insulation resistance was measured.
    let has = |concept| caption.concepts.contains(&concept);
    if quantity == Quantity::InsulationResistance && has(Concept::Withstand) && !has(Concept::InsulationResistance) {
        return false;
    }
    let mut named = caption.concepts.iter().filter_map(|concept| self::quantity(*concept)).peekable();
    named.peek().is_none() || named.any(|other| family(other) == family(quantity))
}

/// Whether a number could be a date: a serial number of a day since 1930, a year, or a packed date.
#[must_use]
pub fn number_may_be_date(value: f64) -> bool {
    value.fract().abs() < 1.0
        && ((11_000.0..60_000.0).contains(&value)
            || value.fract() == 0.0
                && ((1930.0..2100.0).contains(&value) || (19_300_101.0..21_000_101.0).contains(&value)))
}

/// How well the content fits, 0 (not at all) to 1.
#[must_use]
pub fn fits(wants: Wants, cell: &Cell, sense: &Sense) -> f32 {
    // Marks that stand for any value.
    if matches!(sense.kind, Kind::Ditto | Kind::Void) {
        return 0.8;
    }
    match wants {
        Wants::Tag => fits_tag(cell, sense),
        Wants::Key => match sense.kind {
            Kind::Text if sense.words <= 4 => 0.9,
            Kind::Number => 0.8,
            _ => 0.2,
        },
        Wants::Serial => match sense.kind {
            Kind::Duration => 0.0,
            _ if is_numbered_code(&cell.text) => 0.9,
            Kind::Date => 0.0,
            _ if sense.serial >= 0.5 => 1.0,
            Kind::Number => 0.7,
            _ if sense.tag >= 0.5 => 0.8,
            _ if sense.words <= 2 && !sense.is_pure_label() => 0.4,
            _ => 0.1,
        },
        Wants::Words => match sense.kind {
            Kind::Text if sense.circuits.iter().any(|meaning| meaning.weight >= 0.5) => 0.3,
            Kind::Text if sense.is_pure_label() && sense.words <= 2 => 0.5,
            Kind::Text => 0.9,
            Kind::Number if matches!(cell.content, Content::Number(_)) => 0.3,
            Kind::Number | Kind::Over => 0.5,
            _ => 0.1,
        },
        Wants::Date => match sense.kind {
            Kind::Date => 1.0,
            _ if !sense.dates.is_empty() => 0.6,
            _ if cell.content == Content::Text && windrow_text::date::is_day_without_year(&cell.text) => 0.9,
            Kind::Number => match cell.content {
                Content::Number(value) if number_may_be_date(value) => 0.5,
                _ => 0.0,
            },
            _ => 0.0,
        },
        Wants::Years => match sense.kind {
            Kind::Number => match cell.content {
                Content::Number(value) if !(1880.0..2100.0).contains(&value) => 0.1,
                _ => 0.9,
            },
            Kind::Date => 0.9,
            Kind::Text => 0.6,
            _ => 0.1,
        },
        Wants::Number(dimension) => fits_number(dimension, sense),
        Wants::Circuit => {
            if sense.circuits.is_empty() && sense.label.circuits.is_empty() {
                if sense.kind == Kind::Text && sense.words <= 3 { 0.2 } else { 0.0 }
            } else {
                1.0
            }
        }
        Wants::Unit if !sense.label.units.is_empty() => 1.0,
        // The degrees of a temperature are a letter as often as not.
        Wants::Unit if matches!(cell.text.trim(), "C" | "F") => 0.8,
        // "M" and "G" under "Unit" are the megohms and gigohms of whoever writes no more than that.
        Wants::Unit if matches!(cell.text.trim(), "M" | "G" | "K" | "k") => 0.8,
        Wants::Unit => 0.0,
    }
}

fn fits_tag(cell: &Cell, sense: &Sense) -> f32 {
    // "24.III." in a column headed "Tag" is a day.
    if windrow_text::date::is_day_and_roman_month(&cell.text) {
        return 0.0;
    }
    match sense.kind {
        _ if sense.is_stage || windrow_text::marks::ends_in_other_unit(&cell.text) => 0.05,
        Kind::Date if cell.content == Content::Text && is_number_of_number(&cell.text) => 0.6,
        Kind::Date | Kind::Duration => 0.0,
        _ if sense.tag >= 0.5 => 1.0,
        Kind::Number => match cell.content {
            Content::Number(value) if value.fract() == 0.0 && value >= 0.0 => 0.3,
            Content::Text if sense.serial >= 0.5 || is_number_of_number(&cell.text) => 0.6,
            // "2A REFINER"
            Content::Text if sense.words <= 4 && has_own_word(sense) => 0.6,
            _ => 0.05,
        },
        Kind::Text if is_named_thing(cell, sense) || is_lettered(cell, sense) => 0.7,
        // "Capstan motor fwd": in a column a name that says what the machine is, beside a label hardly one.
        Kind::Text if names_kind_of_machine(sense) => 0.45,
        Kind::Text if is_name_of_letters(cell, sense) || is_joined_code(cell, sense) => 0.7,
        Kind::Text if sense.is_pure_label() => 0.15,
        Kind::Text if sense.words <= 4 => 0.7,
        Kind::Text if sense.words <= 6 => 0.3,
        _ => 0.0,
    }
}

/// "41/1": the first motor of car 41, whose number is that of no day.
fn is_number_of_number(text: &str) -> bool {
    let number = |part: &str| part.parse::<u32>().ok().filter(|_| part.bytes().all(|b| b.is_ascii_digit()));
    let parts = text.trim().split_once('/').and_then(|(set, number_in)| Some((number(set)?, number(number_in)?)));
    parts.is_some_and(|(set, in_set)| (32..10_000).contains(&set) && (1..=12).contains(&in_set))
}

/// Whether a text of two to four words holds one for machines beside words of its own.
fn names_kind_of_machine(sense: &Sense) -> bool {
    let concepts = &sense.label.concepts;
    (2..=4).contains(&sense.words)
        && !sense.label.unexplained.is_empty()
        && !concepts.is_empty()
        && concepts.iter().all(|(concept, weight)| *concept == Concept::Tag && *weight < 0.9)
}

/// Whether a word of a text is neither number nor label.
fn has_own_word(sense: &Sense) -> bool {
    let is_word = |word: &String| word.chars().filter(|c| c.is_alphabetic()).count() >= 4;
    sense.label.concepts.is_empty() && sense.label.units.is_empty() && sense.label.unexplained.iter().any(is_word)
}

/// "CV-A": capitals, a hyphen and a letter or two that name no terminals, though the capitals are weakly short for something else.
fn is_name_of_letters(cell: &Cell, sense: &Sense) -> bool {
    let capitals = |part: &str, lengths: std::ops::RangeInclusive<usize>| {
        lengths.contains(&part.len()) && part.chars().all(|c| c.is_ascii_uppercase())
    };
    let is_form =
        cell.text.trim().split_once(['-', '_']).is_some_and(|(a, b)| capitals(a, 2..=4) && capitals(b, 1..=2));
    let label = &sense.label;
    is_form
        && label.circuits.is_empty()
        && sense.circuits.is_empty()
        && label.units.is_empty()
        && label.concepts.iter().all(|(_, weight)| *weight < 0.6)
}

/// "RW-PUMP-A": capitals joined by hyphens, among them words of no meaning, are a name, whatever its first letters abbreviate.
fn is_joined_code(cell: &Cell, sense: &Sense) -> bool {
    let parts: Vec<&str> = cell.text.trim().split('-').collect();
    let is_code = |part: &&str| !part.is_empty() && part.chars().all(|c| c.is_ascii_uppercase() || c.is_ascii_digit());
    let label = &sense.label;
    parts.len() >= 2
        && parts.iter().all(is_code)
        && label.unexplained.iter().any(|word| word.len() >= 3)
        && label.units.is_empty()
        && label.elapsed_s.is_none()
}

/// Whether a text is a resistance with its unit and nothing behind it.
#[must_use]
pub(crate) fn is_in_ohms(sense: &Sense) -> bool {
    sense.measure.as_ref().is_some_and(|measure| {
        let in_ohms = |part: &windrow_text::measure::Part| {
            part.units.iter().any(|told| told.weight >= 0.9 && told.unit.dimension == Dimension::Resistance)
        };
        measure.remark.is_none() && measure.parts.iter().all(in_ohms)
    })
}

/// Whether a concept is a name, place or description of a machine.
#[must_use]
pub const fn names_machine(concept: Concept) -> bool {
    matches!(
        concept,
        Concept::Tag
            | Concept::OldTag
            | Concept::NewTag
            | Concept::ListKey
            | Concept::FunctionalLocation
            | Concept::Parent
            | Concept::EquipmentClass
            | Concept::Serial
            | Concept::Description
            | Concept::Site
            | Concept::Area
            | Concept::Manufacturer
            | Concept::Model
    )
}

/// "ID Fan A", "PA Fan 2": words of which some are short for labels, none of which says what was measured, and a number or letter.
fn is_named_thing(cell: &Cell, sense: &Sense) -> bool {
    let label = &sense.label;
    let is_code = |word: &str| word.len() <= 3 && word.chars().all(|c| c.is_ascii_uppercase() || c.is_ascii_digit());
    let is_numbered = cell.text.split_whitespace().next_back().is_some_and(is_code);
    // "Turbogenerator T3": a word of its own before a code that is a terminal's as well.
    let is_own = |word: &String| word.chars().count() >= 5;
    let is_name_with_code = sense.words == 2 && label.unexplained.iter().any(is_own) && sense.circuits.is_empty();
    let names_circuit =
        !is_name_with_code && label.circuits.iter().chain(&sense.circuits).any(|meaning| meaning.weight >= 0.5);
    sense.words >= 2
        && is_numbered
        && !label.unexplained.is_empty()
        && label.concepts.iter().all(|(concept, _)| names_machine(*concept))
        && label.elapsed_s.is_none()
        && label.voltage_v.is_none()
        && !names_circuit
}

/// "Motor A", "Prüfling B": a word for what is tested, or one that means nothing, and a capital letter, which is no ampere.
fn is_lettered(cell: &Cell, sense: &Sense) -> bool {
    let Some((word, letter)) = cell.text.trim().rsplit_once(' ') else { return false };
    let is_letter = letter.len() == 1 && letter.chars().all(|c| c.is_ascii_uppercase());
    let label = &sense.label;
    // "Zwirnerei K": a word that means nothing else, though K alone is short for a factor.
    let is_own = || windrow_text::header::read(word).concepts.is_empty();
    if is_letter && sense.words == 2 && label.unexplained.iter().any(|left| left.len() >= 4) && is_own() {
        return label.circuits.is_empty() && sense.circuits.is_empty();
    }
    let is_word = word.chars().count() >= 4 && word.chars().all(char::is_alphabetic);
    is_letter
        && is_word
        && label.circuits.is_empty()
        && sense.circuits.is_empty()
        && label.unexplained.iter().all(|left| left.eq_ignore_ascii_case(letter))
        && label.concepts.iter().all(|(concept, _)| matches!(concept, Concept::Tag | Concept::Circuit))
}

fn fits_number(dimension: Option<Dimension>, sense: &Sense) -> f32 {
    // "15 s" is a time whatever the header promises.
    let is_time = sense.label.elapsed_s.is_some() && sense.label.unexplained.is_empty();
    // "1000 V, 1 min" is a voltage with its time.
    if dimension == Some(Dimension::Voltage) && sense.label.voltage_v.is_some() && sense.label.unexplained.is_empty() {
        return 1.0;
    }
    match sense.kind {
        Kind::Number if is_time && dimension.is_some_and(|dimension| dimension != Dimension::Time) => 0.05,
        Kind::Number => match (dimension, &sense.measure) {
            (Some(dimension), Some(measure)) => {
                let told: Vec<_> = measure.parts.iter().filter(|part| !part.units.is_empty()).collect();
                let right = |part: &&windrow_text::measure::Part| {
                    part.units.iter().any(|unit| unit.unit.dimension == dimension)
                };
                if told.is_empty() || told.iter().any(right) { 1.0 } else { 0.1 }
            }
            _ => 1.0,
        },
        Kind::Over | Kind::Broken => 0.8,
        // "R60": a time in the name of a resistance.
        Kind::Text if is_time && dimension == Some(Dimension::Time) => 1.0,
        // "17 °C   RH 61 %" beside "Ambient", "1850 kW 6.6 kV" beside "Rating".
        Kind::Text if sense.begins.is_some_and(|first| dimension.is_none_or(|wanted| wanted == first)) => 0.6,
        Kind::Duration if dimension.is_none_or(|dimension| dimension == Dimension::Time) => 1.0,
        _ => 0.0,
    }
}

/// "44-018", "7/115": a series and a number, and no date, whose parts have two digits or, of a year, four.
fn is_numbered_code(text: &str) -> bool {
    let parts: Vec<&str> = text.trim().split(['-', '/']).collect();
    matches!(parts.as_slice(), [series, number]
        if (1..=3).contains(&series.len()) && (3..=6).contains(&number.len()) && number.len() != 4
            && text.bytes().filter(|b| !matches!(b, b'-' | b'/' | b' ')).all(|b| b.is_ascii_digit()))
}
