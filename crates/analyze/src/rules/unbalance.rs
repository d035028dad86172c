//! # What it finds
//! A newest unbalance of winding resistance above the limit: recomputed from the three resistances, or as the source computed it where no test of
//! the machine tells them.
//! # How it is judged
//! `plan`: joints and shorted turns do not mend themselves. A figure whose definition is not told is `watch` where another definition would
//! leave it within the limit.
//! # References
//! ANSI/EASA AR100-2020 clause 4.3.1, by `windrow-criteria`; 5 % where the construction is not told is common practice.

use crate::finding::{self, Found};
use crate::judge::Judged;
use crate::loaded::Reading;
use crate::ratios::{Unbalances, least_deviation};
use crate::series::History;
use windrow_criteria::cautions;
use windrow_model::{Finding, Quantity, Step};

pub(crate) fn find(history: &History<'_>) -> Option<Finding> {
    let told = Unbalances::of(&history.tests);
    let (newest, value) = history.newest(|judged| told.value(judged))?;
    let limit = newest.unbalance_limit.as_ref().filter(|limit| value > limit.value)?;
    let (percent, most) = (value * 100.0, limit.value * 100.0);
    let surely = least_deviation(value);
    let (level, statement, working) = match told {
        Unbalances::Recomputed => {
            let text = format!("winding resistances differ from their mean by {percent:.1} %, more than {most:.0} %");
            ("plan", text, recomputed(&newest.test.winding_resistances, value))
        }
        Unbalances::Recorded => {
            let text = format!(
                "the record gives an unbalance of winding resistances of {percent:.1} %, more than {most:.0} %, and not by which definition; at \
                 least {:.1} % by the one that the limit is given for",
                surely * 100.0
            );
            (if surely > limit.value { "plan" } else { "watch" }, text, recorded(newest, surely))
        }
    };
    let found = Found {
        rule: "unbalance",
        level,
        statement: format!("{}: {statement}; a joint or a turn may be failing.", history.tag),
        value: Some(value),
        limit: Some(limit.value),
        unit: "1",
        basis: limit.basis.to_string(),
        cautions: cautions::CONDUCTOR,
        next_test: "winding resistance at the motor's own terminals, all joints measured",
    };
    Some(Finding { working, ..finding::row(history, newest, found) })
}

/// The figure as the source computed it, and what it says at least.
fn recorded(newest: &Judged<'_>, surely: f64) -> Vec<Step> {
    let figures = newest.all_figures_of(Quantity::Unbalance);
    let one = |figure: Reading<'_>| {
        let (text, place) = (figure.raw_text(), figure.place());
        Step::new("data", format!("{text:?} at {place}, as the source computed it; its three resistances are not told"))
    };
    let bound = format!(
        "largest deviation from the mean, over the mean, at least u/(2 + u) = {surely:.4}, whichever of the three definitions was meant"
    );
    figures.map(one).chain([Step::new("arithmetic", bound)]).collect()
}

/// The mean and the largest deviation from it.
fn recomputed(resistances: &[f64], value: f64) -> Vec<Step> {
    #[expect(clippy::cast_precision_loss, reason = "three resistances")]
    let mean = resistances.iter().sum::<f64>() / resistances.len() as f64;
    let told: Vec<String> = resistances.iter().map(|ohm| format!("{ohm:.5} Ω")).collect();
    vec![
        Step::new("data", format!("winding resistances, at 25 °C where the temperature is known: {}", told.join(", "))),
        Step::new("arithmetic", format!("mean {mean:.5} Ω; largest deviation from it / mean = {value:.4}")),
    ]
}
