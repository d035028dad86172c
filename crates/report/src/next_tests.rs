//! The tests of a machine that come next by the site's intervals, with what the standards ask and the cautions.

use jiff::civil::Date;
use maud::{Markup, html};

/// Tests that are due on a day or within a year of it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Plan {
    /// The day on which it was made; none where nothing was imported yet.
    pub on: Option<Date>,
    /// The tests, by machine and in the order in which they are made.
    pub tests: Vec<NextTest>,
}

/// A test that is due.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NextTest {
    /// The machine.
    pub asset_id: String,
    /// Place in the order in which the tests of one machine are made, from 1.
    pub order: usize,
    /// Name of the test.
    pub title: String,
    /// Whether it is due, overdue, or was never made, in words.
    pub standing: String,
    /// Day on which it is due.
    pub due_on: Date,
    /// Day of the last one on this winding.
    pub last_on: Option<Date>,
    /// Months between two tests.
    pub months: u16,
    /// What the standards ask, each with its basis.
    pub asks: Vec<String>,
    /// What it stresses.
    pub stresses: String,
    /// What it cannot see.
    pub cannot_see: String,
    /// What must hold before it.
    pub before: String,
    /// What must be said wherever it is shown.
    pub caution: String,
}

/// What comes next on one machine, or that nothing does.
#[must_use]
pub fn block<'t>(plan: impl IntoIterator<Item = &'t NextTest>, on: Date, in_service: Option<bool>) -> Markup {
    let tests: Vec<&NextTest> = plan.into_iter().collect();
    html! {
        @if in_service == Some(false) { p { "The records tell that it is out of service: nothing is planned." } }
        @else if tests.is_empty() { p { "By the site's intervals nothing is due within a year of " (on) "." } }
        @for test in tests { (one(test)) }
        p.hint { "As of " (on) ", by the intervals of " code { "[plan.months]" } " in windrow.toml and the records alone: a test that was made and never recorded is due here. A plan is no order to test." }
    }
}

fn one(test: &NextTest) -> Markup {
    html! {
        div.next-test {
            h4 { (test.order) ". " (test.title) " " span.standing { (test.standing) } }
            p { "Due " (test.due_on) ", every " (test.months) " months; " @match test.last_on { Some(day) => { "last on " (day) }, None => "no record of one on this winding" } "." }
            ul { @for asks in &test.asks { li { (asks) } } }
            dl.plate {
                div { dt { "stresses" } dd { (test.stresses) } }
                div { dt { "cannot see" } dd { (test.cannot_see) } }
                div { dt { "before it" } dd { (test.before) } }
            }
            p.hint { b { "Cautions: " } (test.caution) "." }
        }
    }
}
