//! The tests of one machine that come next by the site's intervals, with what the standards ask and the cautions.

use super::Context;
use crate::trouble::Trouble;
use maud::{Markup, html};
use windrow_analyze::plan::{DueTest, due};
use windrow_model::{Asset, TestSummary};
use windrow_tasks::clock;

/// Days ahead that are shown.
const WITHIN: u16 = 365;

/// What comes next, or that nothing does.
pub(super) fn next_tests(context: &Context, asset: &Asset, summaries: &[TestSummary]) -> Result<Markup, Trouble> {
    let settings = context.app.fleet.settings()?;
    let plan = due(std::slice::from_ref(asset), summaries, &settings, (clock::today(), WITHIN))
        .map_err(|error| Trouble::Wrong(error.to_string()))?;
    Ok(html! {
        @if asset.in_service == Some(false) { p { "The records tell that it is out of service: nothing is planned." } }
        @else if plan.is_empty() { p { "By the site's intervals nothing is due within a year." } }
        @for test in &plan { (one(test)) }
        p.hint { "By the intervals of " code { "[plan.months]" } " in windrow.toml and the records alone: a test that was made and never recorded is due here. A plan is no order to test." }
    })
}

fn one(test: &DueTest) -> Markup {
    html! {
        div.next-test {
            h3 { (test.order) ". " (test.facts.title) " " span.standing { (test.standing.words()) } }
            p { "Due " (test.due_on) ", every " (test.months) " months; " @match test.last_on { Some(day) => { "last on " (day) }, None => "no record of one on this winding" } "." }
            ul { @for asks in &test.asks { li { (asks) } } }
            dl.plate {
                div { dt { "stresses" } dd { (test.facts.stresses_in_words()) } }
                div { dt { "cannot see" } dd { (test.facts.cannot_see) } }
                div { dt { "before it" } dd { (test.facts.before) } }
            }
            p.hint { b { "Cautions: " } (test.caution) "." }
        }
    }
}
