//! "Onde de choc, écart": a deviation beside the name of a surge test is that of its traces, and none of resistances.

use super::Label;
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
    let is_share = label.units.first().is_none_or(|best| best.unit.dimension == Dimension::Ratio);
    let names_deviation = label.concepts.iter().any(|(concept, _)| *concept == Concept::Unbalance);
    if names_deviation && is_share && hits.iter().any(is_surge) {
        label.concepts.retain(|(concept, _)| !matches!(concept, Concept::Unbalance | Concept::SurgeVoltage));
        label.concepts.push((Concept::SurgeDifference, 1.0));
    }
}
