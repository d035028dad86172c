//! "Onde de choc, écart": a deviation beside the name of a surge test is that of its traces, and none of resistances.

use super::Label;
use crate::marks::holds_phrase;
use crate::vocabulary::{Concept, Hit};
use windrow_model::Dimension;

/// Fewest letters of one word that names a surge test for sure ("Stoßspannung"); "peak" is the peak of anything.
const LONG: usize = 8;

/// Takes the deviation of a surge test for what the test is there to find.
pub(super) fn settle(label: &mut Label, hits: &[Hit], words: &[&str]) {
    let is_surge = |hit: &Hit| {
        let is_sure = hit.to - hit.from >= 2 || words.get(hit.from).is_some_and(|word| word.chars().count() >= LONG);
        matches!(hit.concept, Concept::SurgeVoltage | Concept::SurgeDifference) && is_sure
    };
    if names_share_of_test(label, words) {
        label.concepts.push((Concept::SurgeDifference, 1.0));
    }
    let is_share = label.units.first().is_none_or(|best| best.unit.dimension == Dimension::Ratio);
    let names = |wanted: Concept| label.concepts.iter().any(|(concept, _)| *concept == wanted);
    // "Impulse, diff. %": the word alone may mean a voltage or a pulse, beside a deviation it names the test.
    let names_surges = || holds_phrase(&words.join(" "), "surge_word");
    // "Area difference % at 1900 V peak": what is told in percent is the difference, and not the volts.
    let in_percent = label.units.first().is_some_and(|best| best.unit.dimension == Dimension::Ratio);
    let is_deviation = names(Concept::Unbalance) && (hits.iter().any(is_surge) || names_surges())
        || names(Concept::SurgeDifference) && (in_percent && hits.iter().any(is_surge) || names_surges());
    if is_deviation && is_share {
        label.concepts.retain(|(concept, _)| {
            !matches!(concept, Concept::Unbalance | Concept::SurgeVoltage | Concept::SurgeDifference)
        });
        label.concepts.push((Concept::SurgeDifference, 1.0));
    }
}

/// "Surge test at 2 kV peak, in %": what that test tells in percent, where nothing else is named.
fn names_share_of_test(label: &Label, words: &[&str]) -> bool {
    let is_named = |(concept, _): &(Concept, f32)| !matches!(concept, Concept::TestKind | Concept::Circuit);
    let is_share =
        label.units.first().is_some_and(|best| best.unit.dimension == Dimension::Ratio && best.weight >= 0.8);
    is_share && !label.concepts.iter().any(is_named) && holds_phrase(&words.join(" "), "surge_test")
}
