//! "Windings to core, 3 leads together, 500 V 1 min ..... 3.5 meg": a label that tells all there is to say of the value behind it, and
//! "Same, 10 min" below it.

use super::Pair;
use crate::heading::Heading;
use crate::line;
use crate::sense::{Kind, Sense};
use crate::view::{Item, View};
use windrow_model::Dimension;
use windrow_source::Content;
use windrow_text::fold::fold;
use windrow_text::said::{Said, said};

/// Most words of such a label.
const MOST_WORDS: usize = 14;

/// Whether `label` says between what a resistance was measured, and how, and `value` is one with its unit, the last of its line but for
/// a remark.
pub(super) fn makes_pair(view: &View<'_>, label: &Item, value: &Item) -> bool {
    let sense = view.sense(label);
    let told = &sense.label;
    let names_circuit = told.circuits.iter().any(|meaning| meaning.weight >= 0.8);
    let is_text = view.cell(label).content == Content::Text && sense.kind == Kind::Text && !sense.is_pair;
    is_text
        && sense.words <= MOST_WORDS
        && names_circuit
        && (told.elapsed_s.is_some() || told.voltage_v.is_some())
        && told.statistic.is_none()
        && !line::is_heading(view, value)
        && is_resistance(view.sense(value))
}

/// Whether a text is one resistance with its unit.
pub(super) fn is_resistance(sense: &Sense) -> bool {
    let Some(measure) = sense.measure.as_ref().filter(|measure| !measure.range && sense.kind == Kind::Number) else {
        return false;
    };
    matches!(measure.parts.as_slice(), [part] if part.units.iter().any(|meaning| meaning.weight >= 0.6 && meaning.unit.dimension == Dimension::Resistance))
}

/// What a label tells whose value is surely a resistance: no word of it is the name of anything else.
pub(super) fn heading(view: &View<'_>, label: &Item) -> Heading {
    let mut heading = Heading::sum(view, std::slice::from_ref(label));
    heading.concepts.retain(|(concept, ..)| crate::fit::quantity(*concept).is_some());
    heading
}

/// "Same, 10 min": between what, and at what voltage, the label right above says, where this one does not.
pub(super) fn settle_same(view: &View<'_>, pairs: &mut [Pair]) {
    for index in 1..pairs.len() {
        let (before, rest) = pairs.split_at_mut(index);
        let (Some(above), Some(own)) = (before.last(), rest.first_mut()) else { continue };
        let text = fold(&view.cell(&own.label).text);
        let is_same = text.split(' ').next().is_some_and(|word| said(word).contains(&Said::Same));
        let stands_below = own.label.row == above.label.row + 1 && own.label.column == above.label.column;
        if own.inline.is_some() || !is_same || !stands_below || !is_resistance(view.sense(&above.value)) {
            continue;
        }
        if own.heading.circuits.is_empty() {
            own.heading.circuits.clone_from(&above.heading.circuits);
        }
        if own.heading.voltage_v.is_none() {
            own.heading.voltage_v.clone_from(&above.heading.voltage_v);
        }
        if own.heading.elapsed_s.is_none() {
            own.heading.elapsed_s.clone_from(&above.heading.elapsed_s);
        }
    }
}
