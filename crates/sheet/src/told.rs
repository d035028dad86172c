//! Temperatures and humidity that titles and lines of forms tell in words, without a colon.

use crate::heading::Heading;
use crate::loose::{Loose, Pair, footnote_sign};
use crate::sense::Sense;
use crate::view::{Item, View};
use windrow_source::Cell;
use windrow_text::vocabulary::Concept;
use windrow_text::{header, prose};

/// Temperatures and the humidity that a title or a line of a form tells in words, as pairs; those from `known` on are of the same cell.
pub(crate) fn add(view: &View<'_>, item: &Item, known: usize, loose: &mut Loose) {
    let text = loose.hashes.without(view.cell(item).text.trim());
    if footnote_sign(text).is_some() || header::read(text).reference_c.is_some() {
        return;
    }
    let temperatures = prose::temperatures(text).into_iter().map(|(place, celsius)| {
        let concept = match place {
            prose::Place::Winding => Concept::WindingTemperature,
            prose::Place::Surroundings => Concept::AmbientTemperature,
            prose::Place::Untold => Concept::Temperature,
        };
        (concept, format!("{celsius} °C"))
    });
    let found: Vec<(Concept, String)> = temperatures.chain(humidity(text)).collect();
    for (concept, value) in found {
        // A label with a colon told it already.
        if !loose.pairs.iter().skip(known).any(|pair| pair.heading.concept() == Some(concept)) {
            push(item, concept, value, loose);
        }
    }
}

/// The humidity that a text tells beside the value of its label ("17 °C   RH 61 %"), as a pair.
pub(crate) fn add_humidity(view: &View<'_>, item: &Item, loose: &mut Loose) {
    if let Some((concept, value)) = humidity(view.cell(item).text.trim()) {
        push(item, concept, value, loose);
    }
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
