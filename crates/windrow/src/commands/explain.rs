//! `windrow explain`: what a finding rests on, from its statement down to the cells.

mod data;
mod number;

use crate::args::ExplainArgs;
use crate::{Ending, output};
use std::fmt::Write;
use windrow_model::lookup::find;
use windrow_model::{Asset, Finding, Step};
use windrow_store::Fleet;
use windrow_tasks::evidence::{self, Evidence};
use windrow_tasks::findings;

pub(crate) fn run(args: &ExplainArgs) -> anyhow::Result<Ending> {
    let snapshot = Fleet::open(&args.fleet.fleet)?.snapshot()?;
    let stored = snapshot.rows::<Finding>()?;
    let finding = find(&stored, &args.finding)?;
    let assets = snapshot.rows::<Asset>()?;
    let machine = assets.iter().find(|asset| Some(&asset.asset_id) == finding.asset_id.as_ref());
    let evidence = evidence::of(&snapshot, finding)?;
    output::data(explained(finding, machine, &evidence).as_bytes())?;
    Ok(Ending::Clean)
}

fn explained(finding: &Finding, machine: Option<&Asset>, evidence: &Evidence) -> String {
    let mut out = String::new();
    let _ = writeln!(
        out,
        "{}  {} ({}), rule {}\n{}",
        findings::short(finding),
        finding.level,
        finding.state,
        finding.rule,
        finding.statement
    );
    let about = machine.map_or_else(|| "none: the finding is about records".to_owned(), who);
    section(&mut out, "Machine", Some(about));
    section(&mut out, "Seen", seen(finding));
    section(&mut out, "Judged", Some(judged(finding)).filter(|text| !text.is_empty()));
    section(&mut out, "Data", data::table(evidence));
    section(&mut out, "From the cell to the value", data::derivations(evidence));
    for (step, heading) in findings::HEADINGS {
        section(&mut out, heading, steps(&finding.working, |name| name == step));
    }
    let other = |name: &str| !findings::HEADINGS.iter().any(|(known, _)| *known == name);
    section(&mut out, "More of the working", steps(&finding.working, other));
    section(&mut out, "Basis", Some(finding.basis.clone()));
    section(&mut out, "Would settle it", finding.next_test.clone());
    section(&mut out, "Could be decided (to be put into decisions.toml, after reading it)", finding.proposal.clone());
    section(&mut out, "What became of it", changes(&finding.changes));
    section(&mut out, "Cautions", Some(cautions(finding)));
    out
}

/// A heading with its text below, indented; nothing where there is no text.
fn section(out: &mut String, heading: &str, text: Option<String>) {
    let Some(text) = text.filter(|text| !text.trim().is_empty()) else { return };
    let _ = writeln!(out, "\n{heading}");
    for line in text.lines() {
        let _ = writeln!(out, "{}", format!("  {line}").trim_end());
    }
}

fn who(asset: &Asset) -> String {
    let mut parts = vec![asset.tag.clone()];
    parts.extend(asset.site.clone());
    parts.extend(asset.rated_voltage_v.map(|volts| format!("{volts} V")));
    parts.extend(asset.rated_power_w.map(|watts| format!("{:.0} kW", watts / 1e3)));
    parts.extend(asset.winding_kind.as_ref().map(|kind| format!("{kind}-wound")));
    parts.extend(asset.insulation_class.as_ref().map(|class| format!("class {class}")));
    parts.extend(asset.insulation_era.clone());
    parts.extend(asset.made_year.map(|year| format!("made {year}")));
    format!("{} (asset_id {})", parts.join(", "), asset.asset_id)
}

fn seen(finding: &Finding) -> Option<String> {
    match (finding.first_seen, finding.last_seen) {
        (Some(first), Some(last)) if first == last => Some(format!("in the test of {first}")),
        (Some(first), Some(last)) => Some(format!("first in the test of {first}, last in that of {last}")),
        (one, other) => one.or(other).map(|day| day.to_string()),
    }
}

fn judged(finding: &Finding) -> String {
    let unit = finding.unit.as_deref().unwrap_or_default();
    let mut lines = Vec::new();
    if let Some(value) = finding.value {
        lines.push(format!("value  {}", number::with_unit(value, unit)));
    }
    if let Some(limit) = finding.limit {
        lines.push(format!("limit  {}", number::with_unit(limit, unit)));
        if let Some(value) = finding.value.filter(|value| limit != 0.0 && value.is_finite()) {
            lines.push(format!("ratio  {} / {} = {:.3}", number::plain(value), number::plain(limit), value / limit));
        }
    }
    if let Some(q) = finding.q_value {
        lines.push(format!("q      {q:.2e}: so large a share of findings like this one is expected to be false"));
    }
    lines.extend(windrow_report::outlook::words(finding));
    lines.join("\n")
}

fn steps(working: &[Step], wanted: impl Fn(&str) -> bool) -> Option<String> {
    let lines: Vec<&str> = working.iter().filter(|step| wanted(&step.step)).map(|step| step.detail.as_str()).collect();
    (!lines.is_empty()).then(|| lines.join("\n"))
}

fn changes(changes: &[Step]) -> Option<String> {
    let lines: Vec<String> = changes.iter().map(|step| format!("{:<10}  {}", step.step, step.detail)).collect();
    (!lines.is_empty()).then(|| lines.join("\n"))
}

fn cautions(finding: &Finding) -> String {
    let general = windrow_criteria::cautions::GENERAL.join("\n");
    format!("{}\n{general}", finding.cautions)
}
