//! Findings, most pressing first, each with what it rests on.

use crate::format;
use crate::{Fleet, ReportData};
use maud::{Markup, html};
use std::cmp::Ordering;
use std::collections::BTreeMap;
use std::sync::LazyLock;
use windrow_model::Finding;

/// Levels, most pressing first, with what each asks of a person.
pub const LEVELS: &[(&str, &str)] = &[
    (Finding::LEVELS[0], "Look at it before the next start, or at the next stop at the latest."),
    (Finding::LEVELS[1], "Put the test that would settle it into the next planned outage."),
    (Finding::LEVELS[2], "Test again at the usual interval and compare."),
    (Finding::LEVELS[3], "A statement about the record or the data; nothing to do on the machine."),
];

/// Order of presentation: open before cleared, most pressing first, then newest evidence, then id.
#[must_use]
pub fn order(a: &Finding, b: &Finding) -> Ordering {
    (!a.is_open(), a.rank())
        .cmp(&(!b.is_open(), b.rank()))
        .then_with(|| b.last_seen.cmp(&a.last_seen))
        .then_with(|| a.finding_id.cmp(&b.finding_id))
}

/// The level as a labelled badge; the word carries the meaning.
#[must_use]
pub fn badge(level: &str) -> Markup {
    html! { span class={ "level level-" (level) } { (level) } }
}

static RULES: LazyLock<BTreeMap<&'static str, &'static str>> = LazyLock::new(|| {
    let lines = include_str!("../data/rules.csv").lines().filter(|line| !line.starts_with('#'));
    lines.filter_map(|line| line.split_once(',')).collect()
});

/// What a rule finds, in words.
///
/// ```
/// assert_eq!(windrow_report::findings::rule("phase_divergence"), "phases apart");
/// assert_eq!(windrow_report::findings::rule("some_new_rule"), "some new rule");
/// ```
#[must_use]
pub fn rule(code: &str) -> String {
    RULES.get(code).map_or_else(|| format::words(code), |words| (*words).to_owned())
}

/// A figure of a finding in the unit of the finding; a bare number where the statement alone says of what.
#[must_use]
pub fn figure(finding: &Finding, value: f64) -> String {
    let of = |quantity: &str| {
        let unit = finding.unit.as_deref().unwrap_or_default();
        format::with_unit(value, unit, quantity)
    };
    match (finding.unit.as_deref(), finding.rule.as_str()) {
        (Some("1"), "unbalance" | "unbalance_growth" | "fleet_conductor" | "digit_preference") => of("unbalance"),
        (Some("1"), "dissipation_rise" | "step_voltage_rise") => of("unbalance"),
        (Some("1"), "dissipation_tip_up" | "dissipation_phases" | "dissipation_sisters") => {
            format!("{}\u{a0}percentage points", format::number(100.0 * value))
        }
        (Some("1"), "step_change") => format!("{} decades", format::number(value)),
        (Some("1/a"), _) => format!("{} decades a year", format::number(value)),
        (Some("d"), _) => format!("{} days", format::number(value)),
        (Some("K"), _) => format!("{}\u{a0}K", format::number(value)),
        _ => of(&finding.rule),
    }
}

/// What was found, without the name of the machine where that stands beside it.
#[must_use]
pub fn beside_its_machine<'f>(finding: &'f Finding, tag: &str) -> &'f str {
    let without = finding.statement.strip_prefix(tag).and_then(|rest| rest.strip_prefix(": "));
    without.unwrap_or(&finding.statement)
}

pub(crate) fn render(data: &ReportData, fleet: &Fleet<'_>) -> Markup {
    let tags: BTreeMap<&str, &str> =
        fleet.machines.iter().map(|machine| (machine.asset.asset_id.as_str(), machine.asset.tag.as_str())).collect();
    let mut findings: Vec<&Finding> = data.findings.iter().collect();
    findings.sort_by(|a, b| order(a, b));
    let (pressing, notes): (Vec<&Finding>, Vec<&Finding>) =
        findings.into_iter().partition(|finding| finding.level != "note");
    html! {
        section #findings {
            h2 { "Findings" }
            @if pressing.is_empty() && notes.is_empty() {
                p { "None. Either nothing was found in these records, or the analysis has not been run (" code { "windrow analyze" } ")." }
            }
            @if !pressing.is_empty() { (table(&pressing, &tags)) }
            @if !notes.is_empty() {
                details { summary { (notes.len()) " notes on records and data" } (table(&notes, &tags)) }
            }
        }
    }
}

fn table(findings: &[&Finding], tags: &BTreeMap<&str, &str>) -> Markup {
    html! {
        div.wide tabindex="0" role="region" aria-label="Table of findings" {
            table {
                thead { tr {
                    th scope="col" { "Level" } th scope="col" { "Machine" } th scope="col" { "What was found" }
                    th scope="col" { "Seen" } th scope="col" { "Basis" }
                } }
                tbody { @for finding in findings { (row(finding, tags)) } }
            }
        }
    }
}

fn row(finding: &Finding, tags: &BTreeMap<&str, &str>) -> Markup {
    let tag = finding.asset_id.as_deref().and_then(|id| tags.get(id).copied()).unwrap_or_default();
    html! {
        tr {
            td { (badge(&finding.level)) @if finding.state != "open" { " " small { (finding.state) } } }
            td {
                @match finding.asset_id.as_deref() {
                    Some(id) => { a.tag href={ "#m-" (id) } { (tags.get(id).copied().unwrap_or("unnamed")) } }
                    None => { "no machine named" }
                }
            }
            td { (beside_its_machine(finding, tag)) (settling(finding)) }
            td.day { (seen(finding)) }
            td { (finding.basis) }
        }
    }
}

/// One machine's findings, with cautions.
pub(crate) fn list(findings: &[&Finding], tag: &str) -> Markup {
    html! {
        @if !findings.is_empty() {
            ul.findings {
                @for finding in findings {
                    li {
                        (badge(&finding.level)) @if finding.state != "open" { " " small { (finding.state) } } " " (beside_its_machine(finding, tag))
                        (settling(finding))
                        p.hint { "Basis: " (finding.basis) ". Seen " (seen(finding)) "." }
                        @if !finding.cautions.is_empty() { p.hint { "Cautions: " (finding.cautions) } }
                    }
                }
            }
        }
    }
}

fn settling(finding: &Finding) -> Markup {
    html! { @if let Some(next) = &finding.next_test { p.hint { "Would settle it: " (next) } } }
}

fn seen(finding: &Finding) -> String {
    match (finding.first_seen, finding.last_seen) {
        (Some(first), Some(last)) if first == last => first.to_string(),
        (Some(first), Some(last)) => format!("{first} to {last}"),
        (None, Some(day)) | (Some(day), None) => day.to_string(),
        (None, None) => format::partial_date(None, "unknown"),
    }
}

#[cfg(test)]
mod tests {
    use super::{RULES, figure};
    use std::path::{Path, PathBuf};
    use windrow_model::Finding;

    #[test]
    fn shares_are_shown_as_the_statement_tells_them() {
        let of = |rule: &str, value: f64| {
            figure(
                &Finding { rule: rule.into(), unit: Some("1".into()), ..crate::tests::data().findings.remove(0) },
                value,
            )
        };
        assert_eq!(of("dissipation_rise", 0.024), "2.4\u{a0}%");
        assert_eq!(of("step_voltage_rise", 0.79), "79\u{a0}%");
        for rule in ["dissipation_tip_up", "dissipation_phases", "dissipation_sisters"] {
            assert_eq!(of(rule, 0.0073), "0.73\u{a0}percentage points", "{rule}");
        }
    }

    fn sources(folder: &Path) -> Vec<PathBuf> {
        let entries = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
        let (folders, files): (Vec<PathBuf>, Vec<PathBuf>) = entries.partition(|path| path.is_dir());
        let below = folders.iter().filter(|path| !path.ends_with("tests")).flat_map(|path| sources(path));
        files.into_iter().chain(below).collect()
    }

    /// Literals in the field `rule:` of what is found, without those that an arm only compares with.
    fn codes(source: &str) -> Vec<String> {
        let field = |rest: &'_ str| {
            let end = if rest.starts_with("match") { "}" } else { ",\n" };
            rest.split(end).next().unwrap_or_default().to_owned()
        };
        let given = |field: String| {
            let pieces: Vec<&str> = field.split('"').collect();
            let literals = pieces.chunks_exact(2).zip(pieces.iter().skip(2).step_by(2));
            let given = literals.filter(|(pair, behind)| !pair[1].is_empty() && !behind.starts_with(" =>"));
            given.map(|(pair, _)| pair[1].to_owned()).collect::<Vec<String>>()
        };
        source.split(" rule: ").skip(1).map(field).flat_map(given).collect()
    }

    #[test]
    fn every_rule_of_the_analysis_has_words() {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../analyze/src");
        let found: Vec<String> =
            sources(&folder).iter().flat_map(|path| codes(&std::fs::read_to_string(path).unwrap())).collect();
        for sure in ["dissipation_rise", "dissipation_tip_up", "fleet_turns", "dew_point_differs", "unbalance"] {
            assert!(found.iter().any(|code| code == sure), "{sure}: {found:?}");
        }
        let missing: Vec<&String> = found.iter().filter(|code| !RULES.contains_key(code.as_str())).collect();
        assert!(missing.is_empty(), "{missing:?}");
    }
}
