//! Where a machine stood, and who else stood there.

use crate::Fleet;
use jiff::civil::Date;
use maud::{Markup, html};

/// Tests in a row whose records call a machine by the name of one position.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stay {
    /// The machine on whose page it stands.
    pub of: String,
    /// Name of the position, as written; empty for tests whose records leave it open.
    pub position: String,
    /// The machine that stood there.
    pub who: String,
    /// Its tag.
    pub tag: String,
    /// Its serial number.
    pub serial: Option<String>,
    /// Day of its first test there; none where no test tells a day.
    pub from: Option<Date>,
    /// Day of its last test there.
    pub to: Option<Date>,
    /// Its tests there.
    pub tests: usize,
}

/// The position history of one machine: a line where it only ever stood at one place, alone; else who stood where and when.
#[must_use]
pub fn block(asset_id: &str, fleet: &Fleet<'_>) -> Markup {
    let stays: Vec<&Stay> = fleet.stays.iter().copied().filter(|stay| stay.of == asset_id).collect();
    match stays.as_slice() {
        [] => html! {},
        [only] if !only.position.is_empty() => html! {
            p.hint { "Position in all records: " (only.position) @if let (Some(from), Some(to)) = (only.from, only.to) { ", " (from) " to " (to) } "." }
        },
        _ => table(&stays, asset_id, fleet),
    }
}

fn table(stays: &[&Stay], asset_id: &str, fleet: &Fleet<'_>) -> Markup {
    let day = |day: Option<Date>| day.map_or_else(|| "no date told".to_owned(), |day| day.to_string());
    html! {
        div.wide tabindex="0" role="region" aria-label="Position history" {
            table {
                caption { "Position history: who stood where, by the names in the records of tests" }
                thead { tr { th scope="col" { "Position" } th scope="col" { "Machine" } th scope="col" { "First test" } th scope="col" { "Last test" } th scope="col" { "Tests" } } }
                tbody { @for stay in stays { tr {
                    th scope="row" { @if stay.position.is_empty() { "the record does not tell" } @else { (stay.position) } }
                    td {
                        @if stay.who == asset_id { b { "this machine" } } @else { a href=[fleet.machine_at(&stay.who)] { (stay.tag) } }
                        @if let Some(serial) = &stay.serial { ", serial number " (serial) }
                    }
                    td { (day(stay.from)) } td { (day(stay.to)) } td.n { (stay.tests) }
                } } }
            }
        }
        p.hint { "Between two lines of one position the machine was changed; records alone cannot tell the day." }
    }
}
