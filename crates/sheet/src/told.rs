//! Temperatures, humidity and ratings that titles and lines of forms tell beside other things, without a colon.

use crate::heading::Heading;
use crate::loose::{Loose, Pair, footnote_sign};
use crate::sense::Sense;
use crate::view::{Item, View};
use windrow_model::Dimension;
use windrow_source::Cell;
use windrow_text::vocabulary::Concept;
use windrow_text::{header, measure, prose, tag};

/// Temperatures and the humidity that a title or a line of a form tells in words, as pairs; those from `known` on are of the same cell.
pub(crate) fn add(view: &View<'_>, item: &Item, known: usize, loose: &mut Loose) {
    let text = loose.hashes.without(view.cell(item).text.trim());
    let told = prose::temperatures(text);
    // "R at 20 °C" tells what it was converted to, "windings at 20 °C" how warm they were.
    let is_converted =
        || told.iter().all(|(place, _)| *place != prose::Place::Winding) && header::read(text).reference_c.is_some();
    if footnote_sign(text).is_some() || is_converted() {
        return;
    }
    let temperatures = told.into_iter().map(|(place, celsius)| {
        let concept = match place {
            prose::Place::Winding => Concept::WindingTemperature,
            prose::Place::Surroundings => Concept::AmbientTemperature,
            prose::Place::Untold => Concept::Temperature,
        };
        (concept, format!("{celsius} °C"))
    });
    let code = code_behind_label(text).map(|(_, code)| (Concept::Tag, code.to_owned()));
    let found: Vec<(Concept, String)> = temperatures.chain(humidity(text)).chain(code).collect();
    for (concept, value) in found {
        // A label with a colon told it already.
        if !loose.pairs.iter().skip(known).any(|pair| pair.heading.concept() == Some(concept)) {
            push(item, concept, value, loose);
        }
    }
}

/// What a text tells behind the value of its label, as pairs: humidity ("17 °C   RH 61 %") and ratings ("1400 kW 6.6 kV 148 A").
pub(crate) fn add_others(view: &View<'_>, item: &Item, loose: &mut Loose) {
    let text = view.cell(item).text.trim();
    let is_plate = matches!(view.sense(item).begins, Some(Dimension::Power | Dimension::ApparentPower));
    let ratings = if is_plate { ratings(text) } else { Vec::new() };
    for (concept, value) in ratings.into_iter().chain(humidity(text)) {
        push(item, concept, value, loose);
    }
}

/// The rated voltage, current and speed of a text, each with its unit.
fn ratings(text: &str) -> Vec<(Concept, String)> {
    let mut found = Vec::new();
    let mut rest = text;
    while let Some(at) = rest.find(|c: char| c.is_ascii_digit()) {
        rest = rest.get(at..).unwrap_or_default();
        let Some((part, length)) = measure::begin(rest) else { break };
        let piece = rest.get(..length).filter(|piece| !piece.is_empty());
        let best = part.units.first().filter(|best| best.weight >= 0.5).map(|best| best.unit.dimension);
        let concept = match best {
            Some(Dimension::Voltage) => Some(Concept::RatedVoltage),
            Some(Dimension::Current) => Some(Concept::RatedCurrent),
            Some(Dimension::Speed) => Some(Concept::RatedSpeed),
            _ => None,
        };
        found.extend(concept.zip(piece).map(|(concept, piece)| (concept, piece.to_owned())));
        let digits = rest.bytes().take_while(u8::is_ascii_digit).count();
        rest = rest.get(length.max(digits)..).unwrap_or_default();
    }
    found
}

/// From this likeness on a word is made as codes of machines are.
const CODE: f32 = 0.85;

/// "KENNZEICHEN UF-A" without a colon: a label that surely wants the name of a machine, is no word for one itself, and the code behind it.
pub(crate) fn code_behind_label(text: &str) -> Option<(&str, &str)> {
    let (label, code) = text.trim().rsplit_once(' ')?;
    let read = header::read(label);
    let is_sure = matches!(read.concepts.as_slice(), [(Concept::Tag, weight), ..] if *weight >= 0.9);
    let names_machine = || windrow_text::fold::fold(label).split(' ').any(windrow_text::said::names_machine);
    let is_code = tag::likeness(code) >= CODE || crate::column::is_code_of_capitals(code);
    (is_sure && read.unexplained.is_empty() && is_code && !names_machine()).then_some((label.trim(), code))
}

fn humidity(text: &str) -> Option<(Concept, String)> {
    prose::humidity(text).map(|percent| (Concept::Humidity, format!("{percent} %")))
}

fn push(item: &Item, concept: Concept, value: String, loose: &mut Loose) {
    let heading = Heading { items: vec![*item], concepts: vec![(concept, 1.0, *item)], ..Heading::default() };
    let sense = Sense::read_text(&value);
    let cell = Cell { row: item.row, column: item.column, ..Cell::text(0, 0, value) };
    loose.pairs.push(Pair { heading, label: *item, value: *item, unit: None, inline: Some(Box::new((cell, sense))) });
}
