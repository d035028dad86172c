//! "Voltage: 5000 V": of the nameplate or of the test, as its neighbours say.

use super::{Loose, Pair};
use crate::fit;
use crate::sense::Sense;
use crate::view::View;
use windrow_model::Dimension;
use windrow_text::fold::fold;
use windrow_text::vocabulary::Concept;

/// Labels that name a voltage and not whose. Common practice, no source.
const BARE: &[&str] = &["voltage", "volts", "volt", "v", "kv", "u", "spannung", "tension", "voltaje"];

/// Whose voltage each bare label tells: that of the nearest pair that speaks of nameplate or test. Where both stand equally near, that
/// of a tester's step is the test's; any other is left open.
pub(super) fn settle(view: &View<'_>, loose: &mut Loose) {
    let is_own = |index: &usize| is_bare(view, &loose.pairs[*index]) && !is_phase(view, loose, &loose.pairs[*index]);
    let bare: Vec<usize> = (0..loose.pairs.len()).filter(is_own).collect();
    if bare.is_empty() {
        return;
    }
    for index in &bare {
        // "U: 690 V" tells no resistance of phase U.
        loose.pairs[*index].heading.circuits.clear();
    }
    let told: Vec<usize> = (0..loose.pairs.len())
        .filter(|index| !bare.contains(index) && is_of_test(view, &loose.pairs[*index]))
        .collect();
    let kinds: Vec<Option<Kind>> = loose.pairs.iter().map(|pair| kind(view, pair)).collect();
    let found: Vec<(usize, Kind)> = bare
        .into_iter()
        .filter_map(|index| {
            // "Voltage: 6000 V" in a form that tells the test's voltage by its name is the machine's.
            let is_beside_test = told.iter().any(|told| is_same_form(view, loose, index, *told));
            let whose = if is_beside_test { Some(Kind::Plate) } else { whose(view, loose, &kinds, index) };
            Some((index, whose?))
        })
        .collect();
    for (index, kind) in found {
        let pair = &mut loose.pairs[index];
        let concept = match kind {
            Kind::Plate => Concept::RatedVoltage,
            Kind::Test => Concept::TestVoltage,
        };
        pair.heading.concepts = vec![(concept, 0.9, pair.label)];
    }
}

/// "Voltage | 400 V": a label that names a voltage beside volts, without a colon.
pub(super) fn is_bare_pair(label: &str, value: &Sense) -> bool {
    let mut parts = value.measure.iter().flat_map(|measure| &measure.parts);
    BARE.contains(&fold(label).as_str())
        && parts.any(|part| crate::value::unit_of(&part.units, Dimension::Voltage).is_some())
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Plate,
    Test,
}

/// What a pair speaks of, if of either.
fn kind(view: &View<'_>, pair: &Pair) -> Option<Kind> {
    if pair.is_reading(view) {
        return Some(Kind::Test);
    }
    match pair.heading.concept()? {
        Concept::RatedPower
        | Concept::RatedCurrent
        | Concept::RatedSpeed
        | Concept::RatedFrequency
        | Concept::InsulationClass
        | Concept::MadeYear
        | Concept::Manufacturer
        | Concept::Model
        | Concept::OtherPlate => Some(Kind::Plate),
        Concept::Date
        | Concept::WindingTemperature
        | Concept::AmbientTemperature
        | Concept::Temperature
        | Concept::Humidity
        | Concept::RateOfRise
        | Concept::Tester
        | Concept::Instrument
        | Concept::Elapsed
        | Concept::TestKind
        | Concept::Circuit => Some(Kind::Test),
        concept => fit::quantity(concept).map(|_| Kind::Test),
    }
}

/// "U 450  V 440  W 455": beside W a lone U is a phase.
fn is_phase(view: &View<'_>, loose: &Loose, pair: &Pair) -> bool {
    let label = |pair: &Pair| view.cell(&pair.label).text.trim_end_matches([' ', ':', '=']).to_owned();
    let mut others = loose.pairs.iter().filter(|other| other.label.row == pair.label.row);
    label(pair) == "U" && others.any(|other| label(other) == "W")
}

fn is_bare(view: &View<'_>, pair: &Pair) -> bool {
    let text = match &pair.inline {
        Some(_) => return false,
        None => fold(view.cell(&pair.label).text.trim_end_matches([' ', ':', '='])),
    };
    // "Voltage (V)": the unit is said and the owner is not.
    let word = text.split(' ').next().unwrap_or_default();
    let is_label = BARE.contains(&text.as_str())
        || BARE.contains(&word) && word.len() > 2 && text.split(' ').skip(1).all(|unit| matches!(unit, "v" | "kv"));
    is_label && volts(view, pair).is_some()
}

/// The volts of a pair, where it tells any.
fn volts(view: &View<'_>, pair: &Pair) -> Option<f64> {
    let amounts = crate::value::amounts(pair.cell(view), pair.sense(view))?;
    let amount = amounts.parts.first()?;
    let labelled = pair.heading.units.as_ref().map_or(&[][..], |units| units.value.0.as_slice());
    let unit = crate::value::unit_of(&amount.units, Dimension::Voltage)
        .or_else(|| crate::value::unit_of(labelled, Dimension::Voltage))
        .or_else(|| amount.units.is_empty().then_some(windrow_model::Unit::VOLT))?;
    amount.numbers.first().map(|number| unit.to_stored(number.value))
}

/// Whether a pair tells the voltage of a test by a label that says so ("Test voltage: 500 V").
fn is_of_test(view: &View<'_>, pair: &Pair) -> bool {
    let sure = pair
        .heading
        .concepts
        .first()
        .is_some_and(|(concept, weight, _)| *concept == Concept::TestVoltage && *weight >= 0.8);
    sure && volts(view, pair).is_some()
}

/// Whether two pairs stand in one form: no line between them is without a pair, and none with labels of which one is theirs again.
fn is_same_form(view: &View<'_>, loose: &Loose, one: usize, other: usize) -> bool {
    let (one, other) = (&loose.pairs[one], &loose.pairs[other]);
    let (from, to) = (one.label.row.min(other.label.row), one.label.row.max(other.label.row));
    let text = |pair: &Pair| fold(&view.cell(&pair.label).text);
    let within = || loose.pairs.iter().filter(|pair| (from..=to).contains(&pair.label.row));
    (from..=to).all(|row| within().any(|pair| pair.label.row == row))
        && within().filter(|pair| text(pair) == text(one)).count() == 1
        && within().filter(|pair| text(pair) == text(other)).count() == 1
}

/// The kind of the nearest pair of the same form, in lines that no blank one and no title parts from it.
fn whose(view: &View<'_>, loose: &Loose, kinds: &[Option<Kind>], index: usize) -> Option<Kind> {
    let own = &loose.pairs[index];
    let (row, column) = (own.label.row, own.label.column);
    let is_title = |from: u32, to: u32| {
        let titles = loose.captions.iter().map(|caption| caption.item);
        titles.into_iter().any(|item| from < item.row && item.row < to && item.column <= column)
    };
    let told = |row: u32| loose.pairs.iter().any(|pair| pair.label.row == row);
    let parted = |other: u32| {
        let (from, to) = (row.min(other), row.max(other));
        is_title(from, to) || (from + 1..to).any(|between| !told(between))
    };
    let near = loose.pairs.iter().zip(kinds).enumerate().filter_map(|(at, (pair, kind))| {
        let kind = (*kind).filter(|_| at != index)?;
        (!parted(pair.label.row)).then(|| {
            // What stands in its line is nearer than what stands below it.
            let apart = pair.label.row.abs_diff(row) * 4 + pair.label.column.abs_diff(column).min(3);
            (apart, kind)
        })
    });
    let near: Vec<(u32, Kind)> = near.collect();
    let least = near.iter().map(|(apart, _)| *apart).min()?;
    let has = |kind: Kind| near.contains(&(least, kind));
    match (has(Kind::Plate), has(Kind::Test)) {
        (true, false) => Some(Kind::Plate),
        (false, true) => Some(Kind::Test),
        _ => {
            let volts = volts(view, own)?;
            windrow_text::volts::is_test_step(volts).then_some(Kind::Test)
        }
    }
}
