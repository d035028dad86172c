//! The fleet as one self-contained HTML page: findings, machines with their histories plotted, sources, open questions, and
//! for every number the way back to its cell. No network, no script; text from cells is always text.
//!
//! This crate must **not** know the store, the importers or the web application: it is given rows and gives a page.

pub mod coverage;
pub mod distributions;
pub mod findings;
pub mod format;
pub mod machine;
pub mod next_tests;
pub mod outlook;
mod overview;
pub mod plot;
pub mod positions;
mod sources;
mod summary;
pub mod trail;

pub use coverage::LevelLine;
use distributions::Kind;
use format::Units;
use next_tests::{NextTest, Plan};
use positions::Stay;

use jiff::civil::Date;
use maud::{DOCTYPE, Markup, PreEscaped, html};
use std::collections::BTreeMap;
use windrow_model::{Asset, Coverage, Finding, Hold, ImportRow, Reading, SourceRow, Test, TestSummary};

/// The rows a report is made from, as they stand in the store.
#[derive(Debug, Clone, Default)]
pub struct ReportData {
    /// Name of the fleet, for the title.
    pub title: String,
    /// Cautions that stand at the top and beside every verdict.
    pub cautions: Vec<String>,
    /// Machines.
    pub assets: Vec<Asset>,
    /// Tests.
    pub tests: Vec<Test>,
    /// Readings.
    pub readings: Vec<Reading>,
    /// One row per test.
    pub summaries: Vec<TestSummary>,
    /// Findings.
    pub findings: Vec<Finding>,
    /// What tests proved of the insulation.
    pub coverage: Vec<Coverage>,
    /// Levels of standards that stand beside the tests.
    pub levels: Vec<LevelLine>,
    /// Where machines stood, and who else stood there.
    pub stays: Vec<Stay>,
    /// Tests that come next.
    pub plan: Plan,
    /// Machines of one kind beside one another; empty in the report of one machine.
    pub kinds: Vec<Kind>,
    /// Open questions: the cells that one answer settles, none of them empty.
    pub questions: Vec<Vec<Hold>>,
    /// Files met.
    pub sources: Vec<SourceRow>,
    /// The newest import.
    pub import: Option<ImportRow>,
}

/// Renders the report. Same rows, same bytes: nothing but the data goes in, not even the clock.
#[must_use]
pub fn render(data: &ReportData) -> String {
    render_in(data, Units::default())
}

/// As [`render`], in the units of the reader.
#[must_use]
pub fn render_in(data: &ReportData, units: Units) -> String {
    let mut fleet = Fleet::new(data);
    fleet.units = units;
    page(data, &fleet).into_string()
}

/// Where a page shows a cell of a source: its address for file, sheet and cell.
pub type CellPage = fn(&str, Option<&str>, &str) -> String;

/// Where a page shows a machine: its address for the machine's id.
pub type MachinePage = fn(&str) -> String;

/// The rows arranged by machine.
#[derive(Debug)]
pub struct Fleet<'a> {
    /// Machines by site and tag, with what was measured on them.
    pub machines: Vec<Machine<'a>>,
    /// Units in which values are shown.
    pub units: Units,
    /// Where cells can be seen; a page that stands alone has no such place.
    pub cell_page: Option<CellPage>,
    /// Where machines can be seen; a page that stands alone shows its own only.
    pub machine_page: Option<MachinePage>,
    pub(crate) stays: Vec<&'a Stay>,
    pub(crate) unassigned: Vec<&'a Test>,
    pub(crate) readings_of: BTreeMap<&'a str, Vec<&'a Reading>>,
    pub(crate) coverage: BTreeMap<&'a str, Vec<&'a Coverage>>,
    pub(crate) levels: BTreeMap<&'a str, Vec<&'a LevelLine>>,
    /// Day of the plan, and what comes next on each machine.
    pub(crate) plan: (Option<Date>, BTreeMap<&'a str, Vec<&'a NextTest>>),
}

/// A machine with what was measured on it.
#[derive(Debug)]
pub struct Machine<'a> {
    /// Names and nameplate.
    pub asset: &'a Asset,
    /// Tests, oldest first.
    pub tests: Vec<&'a Test>,
    /// A row a test, oldest first.
    pub summaries: Vec<&'a TestSummary>,
    /// Findings, most pressing first.
    pub findings: Vec<&'a Finding>,
}

impl<'a> Fleet<'a> {
    /// Arranges rows by machine; metric, for a page that stands alone.
    #[must_use]
    pub fn new(data: &'a ReportData) -> Self {
        let mut readings_of: BTreeMap<&str, Vec<&Reading>> = BTreeMap::new();
        for reading in &data.readings {
            readings_of.entry(&reading.test_id).or_default().push(reading);
        }
        for readings in readings_of.values_mut() {
            readings.sort_by_key(|reading| reading.seq);
        }
        let tests_of = group(&data.tests, |test| test.asset_id.as_deref());
        let summaries_of = group(&data.summaries, |summary| summary.asset_id.as_deref());
        let findings_of = group(&data.findings, |finding| finding.asset_id.as_deref());
        let mut machines: Vec<Machine<'_>> = data
            .assets
            .iter()
            .map(|asset| {
                let id = Some(asset.asset_id.as_str());
                let mut tests = tests_of.get(&id).cloned().unwrap_or_default();
                tests.sort_by_key(|test| (test.performed_on, &test.kind, &test.test_id));
                let mut summaries = summaries_of.get(&id).cloned().unwrap_or_default();
                summaries.sort_by_key(|summary| (summary.performed_on, &summary.kind, &summary.test_id));
                let mut findings = findings_of.get(&id).cloned().unwrap_or_default();
                findings.sort_by(|a, b| findings::order(a, b));
                Machine { asset, tests, summaries, findings }
            })
            .collect();
        machines.sort_by(|a, b| {
            (&a.asset.site, &a.asset.tag, &a.asset.asset_id).cmp(&(&b.asset.site, &b.asset.tag, &b.asset.asset_id))
        });
        let mut unassigned = tests_of.get(&None).cloned().unwrap_or_default();
        unassigned.sort_by_key(|test| (&test.source_file, &test.source_sheet, &test.test_id));
        let coverage = named(group(&data.coverage, |row| Some(row.asset_id.as_str())));
        let levels = named(group(&data.levels, |line| Some(line.asset_id.as_str())));
        let plan = named(group(&data.plan.tests, |test| Some(test.asset_id.as_str())));
        Self {
            machines,
            units: Units::default(),
            cell_page: None,
            machine_page: None,
            stays: data.stays.iter().collect(),
            unassigned,
            readings_of,
            coverage,
            levels,
            plan: (data.plan.on, plan),
        }
    }

    /// Address of a machine; its own place where it stands on the page.
    pub(crate) fn machine_at(&self, asset_id: &str) -> Option<String> {
        match self.machine_page {
            Some(page) => Some(page(asset_id)),
            None => {
                self.machines.iter().any(|machine| machine.asset.asset_id == asset_id).then(|| format!("#m-{asset_id}"))
            }
        }
    }

    /// What tests proved of a machine's insulation, part by part.
    #[must_use]
    pub fn coverage_of(&self, asset_id: &str) -> &[&'a Coverage] {
        self.coverage.get(asset_id).map_or(&[], Vec::as_slice)
    }

    /// Levels that stand beside a machine's tests.
    #[must_use]
    pub fn levels_of(&self, asset_id: &str) -> &[&'a LevelLine] {
        self.levels.get(asset_id).map_or(&[], Vec::as_slice)
    }

    /// What comes next on a machine, and as of which day; none before anything was imported.
    pub(crate) fn plan_of(&self, asset_id: &str) -> Option<(Date, &[&'a NextTest])> {
        Some((self.plan.0?, self.plan.1.get(asset_id).map_or(&[], Vec::as_slice)))
    }

    /// Readings of a test, in its order.
    #[must_use]
    pub fn readings(&self, test_id: &str) -> &[&'a Reading] {
        self.readings_of.get(test_id).map_or(&[], Vec::as_slice)
    }
}

fn group<'a, T>(rows: &'a [T], key: impl Fn(&'a T) -> Option<&'a str>) -> BTreeMap<Option<&'a str>, Vec<&'a T>> {
    let mut groups: BTreeMap<Option<&str>, Vec<&T>> = BTreeMap::new();
    for row in rows {
        groups.entry(key(row)).or_default().push(row);
    }
    groups
}

/// The groups of rows that name a machine.
fn named<'a, T>(groups: BTreeMap<Option<&'a str>, Vec<&'a T>>) -> BTreeMap<&'a str, Vec<&'a T>> {
    groups.into_iter().filter_map(|(id, rows)| Some((id?, rows))).collect()
}

fn page(data: &ReportData, fleet: &Fleet<'_>) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (data.title) " – winding evidence" }
                style { (PreEscaped(include_str!("style.css"))) }
            }
            body {
                a.skip href="#main" { "Skip to the content" }
                header.top {
                    p.mark aria-hidden="true" { "windrow" }
                    h1 { (data.title) }
                    (navigation())
                }
                main #main {
                    (cautions(&data.cautions))
                    (summary::render(data, fleet))
                    (overview::render(data, fleet))
                    (findings::render(data, fleet))
                    (machine::index(fleet))
                    (distributions::section(&data.kinds, fleet.units))
                    @for machine in &fleet.machines { (machine::section(machine, fleet)) }
                    (machine::unassigned(fleet))
                    (sources::render(data))
                }
            }
        }
    }
}

fn navigation() -> Markup {
    html! {
        nav aria-label="Sections" {
            a href="#summary" { "Summary" }
            a href="#overview" { "Overview" }
            a href="#findings" { "Findings" }
            a href="#machines" { "Machines" }
            a href="#questions" { "Open questions" }
            a href="#sources" { "Sources" }
        }
    }
}

/// The cautions block that stands wherever a level, a verdict or a plan is shown.
#[must_use]
pub fn cautions(texts: &[String]) -> Markup {
    html! {
        section.cautions aria-label="Cautions" {
            h2 { "Before anyone acts on this page" }
            ul { @for text in texts { li { (text) } } }
        }
    }
}

#[cfg(test)]
mod tests;
