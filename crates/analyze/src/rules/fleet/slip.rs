//! # What it finds
//! An insulation resistance that looks wrong by a factor of a thousand: one unit taken for another.
//! # How it is judged
//! `note`: far beyond the usual scatter and about three decades from what the readings before it, and those after it where there are any, lead one
//! to expect, with a stated chance of a slip among the readings of this fleet that are as far off; how far and what chance stands in
//! `windrow_fleet::slip`. Such a reading counts neither for nor against the machine. Nothing is changed: a winding that truly fell so
//! far is below any minimum too, and that rule speaks.
//! # References
//! Local false discovery rate: Efron 2004, *JASA* 99:96, with limits set on simulated fleets (`cargo xtask scoreboard`).

use super::words::{compared, factor, resistance};
use crate::finding::{self, Found};
use crate::fleet::{Model, Quantity, Resistance, Review};
use crate::series::History;
use windrow_criteria::cautions;
use windrow_fleet::slip::{BEYOND_SCALES, LIKELY, REACH, THOUSAND};
use windrow_model::Finding;
use windrow_model::place::Step;

pub(super) fn find(model: &Model<'_>, machine: usize, history: &History<'_>, reviews: &[Review<'_>]) -> Vec<Finding> {
    let places = model.columns.reviews_of(machine).zip(reviews);
    let slips = places.filter(|(place, _)| model.scores.resistance.slip[*place]);
    slips.filter_map(|(place, review)| one(model, history, (machine, place, review))).collect()
}

fn one(
    model: &Model<'_>,
    history: &History<'_>,
    (machine, place, review): (usize, usize, &Review<'_>),
) -> Option<Finding> {
    let Resistance { judged, decades, .. } = review.resistance()?;
    let surprises = &model.scores.resistance;
    let surprise = surprises.off[place];
    let way = if surprise > 0.0 { "higher" } else { "lower" };
    let later = model.columns.reviews_of(machine).any(|other| other > place && surprises.score[other].is_finite());
    let next = if later { "; the readings after it are as before" } else { "; no later reading tells" };
    let found = Found {
        rule: "unit_slip",
        level: "note",
        statement: format!(
            "{}: insulation resistance of {} at 40 °C is {} times {way} than the other readings lead one to expect, about the thousand of a \
             unit taken for another{next}. It counts neither for nor against the machine until somebody looks at the source.",
            history.tag,
            resistance(decades),
            factor(surprise)
        ),
        value: Some(10_f64.powf(surprise)),
        limit: None,
        unit: "1",
        basis: format!(
            "more than {BEYOND_SCALES} scales from expectation, within {REACH} of {THOUSAND} decades, and with a chance of {LIKELY} or more a slip \
             among the readings of this fleet that are as far off (local false discovery rate, Efron 2004; limits from simulated fleets)"
        ),
        cautions: cautions::GROUND_WALL,
        next_test: "look at the source; if it stands so there, repeat the measurement",
    };
    let mut finding = finding::row_of_record(history, judged, found);
    finding.working = vec![
        compared(model, (Quantity::Resistance, "insulation resistance at 40 °C, log10 MΩ"), (machine, place)),
        Step::new(
            "arithmetic",
            format!(
                "log10 MΩ at 40 °C: {decades:.2} read, {:.2} expected, {surprise:+.2} apart; a thousand is 3",
                decades - surprise
            ),
        ),
        Step::new("look_alike", "a winding that was cleaned, or that truly fell to a thousandth"),
    ];
    Some(finding)
}
