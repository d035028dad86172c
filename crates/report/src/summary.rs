//! The first page, for whoever decides: what to act on, why, by when, and what that rests on. One sheet of paper when printed.

use crate::findings::badge;
use crate::{Fleet, ReportData, format};
use maud::{Markup, html};
use std::collections::HashSet;
use windrow_model::Finding;

/// Most lines that one sheet takes.
const MOST: usize = 12;

pub(crate) fn render(data: &ReportData, fleet: &Fleet<'_>) -> Markup {
    let mut pressing: Vec<&Finding> = data.findings.iter().filter(|finding| is_pressing(finding)).collect();
    pressing.sort_by(|a, b| crate::findings::order(a, b));
    let more = pressing.len().saturating_sub(MOST);
    html! {
        section.sheet #summary {
            h2 { "For whoever decides" }
            @if pressing.is_empty() { p { "Nothing in these records asks to be acted on or planned. " (silence(data)) } }
            @else {
                div.wide tabindex="0" role="region" aria-label="What to act on" {
                    table {
                        thead { tr { th scope="col" { "Level" } th scope="col" { "Machine" } th scope="col" { "What and why" } th scope="col" { "By when" } th scope="col" { "Rests on" } } }
                        tbody { @for finding in pressing.iter().take(MOST) { (line(finding, fleet)) } }
                    }
                }
                @if more > 0 { p.hint { "and " (more) " more in " a href="#findings" { "Findings" } "." } }
                p.hint { (silence(data)) }
            }
        }
    }
}

/// Open findings that ask for something to be done on a machine.
fn is_pressing(finding: &Finding) -> bool {
    finding.is_open() && matches!(finding.level.as_str(), "act" | "plan")
}

fn line(finding: &Finding, fleet: &Fleet<'_>) -> Markup {
    let machine = fleet.machines.iter().find(|machine| Some(&machine.asset.asset_id) == finding.asset_id.as_ref());
    html! {
        tr {
            td { (badge(&finding.level)) }
            th scope="row" {
                @match machine { Some(machine) => { a href={ "#m-" (machine.asset.asset_id) } { (machine.asset.tag) } @if let Some(site) = &machine.asset.site { " " small { (site) } } }, None => "no machine named" }
            }
            td { (finding.statement) @if let Some(next) = &finding.next_test { p.hint { "Would settle it: " (next) } } }
            td { (by_when(finding)) }
            td { (rests_on(finding)) }
        }
    }
}

/// When it is to be done: as the level asks, and when a limit is expected to be met.
fn by_when(finding: &Finding) -> String {
    let asked = if finding.level == "act" {
        "before the next start, at the latest at the next stop"
    } else {
        "in the next planned outage"
    };
    match (finding.forecast_date, finding.forecast_from, finding.forecast_to) {
        (Some(day), Some(from), Some(to)) => {
            format!("{asked}; the limit is expected to be met about {day} ({from} to {to})")
        }
        (Some(day), ..) => format!("{asked}; the limit is expected to be met about {day}"),
        _ => asked.to_owned(),
    }
}

fn rests_on(finding: &Finding) -> String {
    let rows = match finding.evidence.len() {
        0 => String::new(),
        1 => "1 record, ".to_owned(),
        many => format!("{many} records, "),
    };
    let seen = finding.last_seen.map_or_else(|| format::partial_date(None, "unknown"), |day| day.to_string());
    format!("{rows}the last of {seen}. {}", finding.basis)
}

/// What these records do not say.
fn silence(data: &ReportData) -> String {
    let tested: HashSet<&str> = data.tests.iter().filter_map(|test| test.asset_id.as_deref()).collect();
    let untested = data.assets.iter().filter(|asset| !tested.contains(asset.asset_id.as_str())).count();
    let of_machines = if untested == 1 { "1 machine has".to_owned() } else { format!("{untested} machines have") };
    let questions = match data.questions.len() {
        1 => "1 question about records is open".to_owned(),
        many => format!("{many} questions about records are open"),
    };
    format!(
        "A machine without a finding is not a machine proven good: {of_machines} no test in these records, and {questions}. \
         Qualified people decide, under local codes; repeat a single bad test before acting on it."
    )
}
