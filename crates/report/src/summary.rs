//! The first page, for whoever decides: what to act on, why, by when, and what that rests on. One sheet of paper when printed.

use crate::findings::{badge, beside_its_machine};
use crate::{Fleet, ReportData, format, outlook};
use maud::{Markup, html};
use std::collections::HashSet;
use windrow_model::Finding;

/// Most lines that one sheet takes.
const MOST: usize = 9;

pub(crate) fn render(data: &ReportData, fleet: &Fleet<'_>) -> Markup {
    let lines = lines(data);
    let more = lines.len().saturating_sub(MOST);
    html! {
        section.sheet #summary {
            h2 { "For whoever decides" }
            @if lines.is_empty() { p { "Nothing in these records asks to be acted on or planned. " (silence(data)) } }
            @else {
                div.wide tabindex="0" role="region" aria-label="What to act on" {
                    table {
                        thead { tr { th scope="col" { "Level" } th scope="col" { "Machine" } th scope="col" { "What and why" } th scope="col" { "By when" } th scope="col" { "Rests on" } } }
                        tbody { @for findings in lines.iter().take(MOST) { (line(findings, fleet)) } }
                    }
                }
                @if more > 0 { p.hint { "and " (more) @if more == 1 { " more machine" } @else { " more machines" } " in " a href="#findings" { "Findings" } "." } }
                p.hint { (silence(data)) }
            }
        }
    }
}

/// What is pressing, a line a machine: its findings, the most pressing first. A finding without a machine has a line of its own.
fn lines(data: &ReportData) -> Vec<Vec<&Finding>> {
    let mut pressing: Vec<&Finding> = data.findings.iter().filter(|finding| is_pressing(finding)).collect();
    pressing.sort_by(|a, b| crate::findings::order(a, b));
    let mut lines: Vec<Vec<&Finding>> = Vec::new();
    for finding in pressing {
        let is_its = |line: &&mut Vec<&Finding>| {
            finding.asset_id.is_some() && line.first().is_some_and(|first| first.asset_id == finding.asset_id)
        };
        match lines.iter_mut().find(is_its) {
            Some(line) => line.push(finding),
            None => lines.push(vec![finding]),
        }
    }
    lines
}

/// Open findings that ask for something to be done on a machine.
fn is_pressing(finding: &Finding) -> bool {
    finding.is_open() && matches!(finding.level.as_str(), "act" | "plan")
}

fn line(findings: &[&Finding], fleet: &Fleet<'_>) -> Markup {
    let Some((first, others)) = findings.split_first() else { return html! {} };
    let machine = fleet.machines.iter().find(|machine| Some(&machine.asset.asset_id) == first.asset_id.as_ref());
    html! {
        tr {
            td { (badge(&first.level)) }
            th scope="row" {
                @match machine { Some(machine) => { a href={ "#m-" (machine.asset.asset_id) } { (machine.asset.tag) } @if let Some(site) = &machine.asset.site { " " small { (site) } } }, None => "no machine named" }
            }
            td {
                (beside_its_machine(first, machine.map_or("", |machine| machine.asset.tag.as_str())))
                @if !others.is_empty() {
                    p.hint { "Also " @for (index, other) in others.iter().enumerate() { @if index > 0 { "; " } (other.level) ": " (crate::findings::rule(&other.rule)) } "." }
                }
                @if let Some(next) = &first.next_test { p.hint { "Would settle it: " (next) } }
            }
            td { (by_when(first, findings)) }
            td { (rests_on(first)) }
        }
    }
}

/// When it is to be done: as the level asks, and when a limit is expected to be met.
fn by_when(first: &Finding, findings: &[&Finding]) -> String {
    let asked = if first.level == "act" {
        "before the next start, at the latest at the next stop"
    } else {
        "in the next planned outage"
    };
    let foreseen: Vec<String> = findings.iter().filter_map(|finding| outlook::words(finding)).collect();
    [&[asked.to_owned()], foreseen.as_slice()].concat().join(". ")
}

fn rests_on(finding: &Finding) -> String {
    let rows = match finding.evidence.len() {
        0 => String::new(),
        1 => "1 record, ".to_owned(),
        many => format!("{many} records, "),
    };
    let seen = finding.last_seen.map_or_else(|| format::partial_date(None, "unknown"), |day| day.to_string());
    format!("{rows}the last of {seen}; {}", finding.basis)
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
