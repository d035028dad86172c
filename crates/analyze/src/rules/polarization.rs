//! # What it finds
//! A newest polarization index below the minimum for the thermal class, where the index means something: recomputed from its minutes, or as
//! the source computed it where the record does not tell them.
//! # How it is judged
//! `plan` below 1 (the current rose during the test), else `watch`.
//! # References
//! IEEE 43-2013 Table 2 and clause 12.2.2, by `windrow-criteria`.

use crate::finding::{self, Found};
use crate::judge::Judged;
use crate::loaded::Reading;
use crate::series::History;
use windrow_criteria::cautions;
use windrow_model::{Bound, Finding, Quantity, Step};

pub(crate) fn find(history: &History<'_>) -> Option<Finding> {
    let (newest, (value, bound)) = history.newest(|judged| judged.polarization_index)?;
    let limit = newest.index_minimum.as_ref().ok()?;
    if value >= limit.value || bound == Bound::AtLeast {
        return None;
    }
    let meaning = if value < 1.0 {
        "the current rose during the test: wet, dirty or failing, or the two readings are swapped"
    } else {
        "moisture or dirt is likely"
    };
    let quotients = quotients(newest);
    let told = if quotients.is_empty() { ", as the record gives it," } else { "" };
    let mut working = if quotients.is_empty() { recorded(newest) } else { quotients };
    working.push(Step::new("rule", format!("{value:.3} is less than {:.1}", limit.value)));
    let found = Found {
        rule: "polarization_index",
        level: if value < 1.0 { "plan" } else { "watch" },
        statement: format!(
            "{}: polarization index {value:.2}{told} is below the minimum of {:.1}; {meaning}.",
            history.tag, limit.value
        ),
        value: Some(value),
        limit: Some(limit.value),
        unit: "1",
        basis: limit.basis.to_string(),
        cautions: cautions::GROUND_WALL,
        next_test: "the same ten-minute test after drying or cleaning",
    };
    Some(Finding { working, ..finding::row(history, newest, found) })
}

/// The figures as the source computed them.
fn recorded(newest: &Judged<'_>) -> Vec<Step> {
    let figures = newest.all_figures_of(Quantity::PolarizationIndex);
    let one = |figure: Reading<'_>| {
        let circuit = figure.circuit().unwrap_or("a circuit that is not told");
        let (text, place) = (figure.raw_text(), figure.place());
        Step::new(
            "data",
            format!("{circuit}: {text:?} at {place}, as the source computed it; its minutes are not told"),
        )
    };
    figures.map(one).collect()
}

/// The quotient of each circuit that tells its minutes.
fn quotients(newest: &Judged<'_>) -> Vec<Step> {
    let at = |seconds: f64| {
        newest.figures().filter(move |figure| figure.is_insulation_resistance() && figure.is_at(seconds))
    };
    at(600.0)
        .filter_map(|late| {
            let early = at(60.0).find(|early| early.circuit() == late.circuit() && early.value() > 0.0)?;
            let circuit = late.circuit().unwrap_or("a circuit that is not told");
            let (ten, one, ratio) = (late.raw_text(), early.raw_text(), late.value() / early.value());
            Some(Step::new("arithmetic", format!("{circuit}: ten minutes {ten:?} / one minute {one:?} = {ratio:.3}")))
        })
        .collect()
}
