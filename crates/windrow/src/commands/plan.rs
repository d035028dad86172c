//! `windrow plan`: tests that are due by the site's intervals, as a list, as a calendar, or as sheets to take along.

mod calendar;

use crate::args::{PlanArgs, PlanFormat};
use crate::{Ending, output};
use anyhow::Context;
use std::fmt::Write;
use std::path::Path;
use windrow_analyze::plan::{DueTest, due};
use windrow_criteria::cautions;
use windrow_model::{Asset, TestSummary};
use windrow_store::Fleet;
use windrow_tasks::{WrongUsage, clock};

pub(crate) fn run(args: &PlanArgs) -> anyhow::Result<Ending> {
    let fleet = Fleet::open(&args.fleet.fleet)?;
    let settings = fleet.settings()?;
    let snapshot = fleet.snapshot()?;
    let (assets, summaries): (Vec<Asset>, Vec<TestSummary>) = (snapshot.rows()?, snapshot.rows()?);
    let on = args.on.unwrap_or_else(clock::today);
    let plan =
        due(&assets, &summaries, &settings, (on, args.within)).map_err(|unknown| WrongUsage(unknown.to_string()))?;
    if let Some(folder) = &args.sheets {
        let count = sheets(&plan, &summaries, folder)?;
        output::line(&format!("{count} machines have a workbook and a page in {}", folder.display()));
        return Ok(Ending::Clean);
    }
    match args.format {
        PlanFormat::Table => output::data(text(&plan, &assets, on, args.within).as_bytes())?,
        PlanFormat::Calendar => output::data(calendar::write(&plan, on).as_bytes())?,
        PlanFormat::Csv => output::list(&HEADER, &rows(&plan), crate::args::ListFormat::Csv)?,
        PlanFormat::Json => output::list(&HEADER, &rows(&plan), crate::args::ListFormat::Json)?,
    }
    Ok(Ending::Clean)
}

/// Writes a workbook and a page for each machine with a due test that has a form; returns the number of machines.
fn sheets(plan: &[DueTest], summaries: &[TestSummary], folder: &Path) -> anyhow::Result<usize> {
    let machines = windrow_testsheet::machines(plan, summaries);
    let cannot = |path: &Path| format!("{} cannot be written; check the disk and the permissions", path.display());
    std::fs::create_dir_all(folder).with_context(|| cannot(folder))?;
    for machine in &machines {
        let base = folder.join(file_name(machine.asset));
        let files = [
            (base.with_added_extension("xlsx"), windrow_testsheet::workbook(machine)?),
            (base.with_added_extension("html"), windrow_testsheet::page(machine).into_bytes()),
        ];
        for (path, bytes) in files {
            std::fs::write(&path, bytes).with_context(|| cannot(&path))?;
        }
    }
    Ok(machines.len())
}

/// Tag in letters that every file system takes, and the beginning of the id, since two sites may have one tag.
fn file_name(asset: &Asset) -> String {
    let tag: String = asset.tag.chars().map(|c| if c.is_alphanumeric() || c == '-' { c } else { '_' }).collect();
    let id: String = asset.asset_id.chars().take(8).collect();
    format!("{tag}_{id}")
}

const HEADER: [&str; 14] = [
    "asset_id",
    "tag",
    "site",
    "order",
    "test",
    "standing",
    "last_on",
    "due_on",
    "months",
    "stresses",
    "cannot_see",
    "before",
    "asks",
    "caution",
];

fn rows(plan: &[DueTest]) -> Vec<Vec<String>> {
    plan.iter()
        .map(|test| {
            vec![
                test.asset.asset_id.clone(),
                test.asset.tag.clone(),
                test.asset.site.clone().unwrap_or_default(),
                test.order.to_string(),
                test.facts.kind().to_owned(),
                test.standing.words().to_owned(),
                test.last_on.map(|date| date.to_string()).unwrap_or_default(),
                test.due_on.to_string(),
                test.months.to_string(),
                test.facts.stresses_in_words(),
                test.facts.cannot_see.clone(),
                test.facts.before.clone(),
                test.asks.join("; "),
                test.caution.to_owned(),
            ]
        })
        .collect()
}

fn text(plan: &[DueTest], assets: &[Asset], on: jiff::civil::Date, within: u16) -> String {
    let machines: std::collections::BTreeSet<&str> = plan.iter().map(|test| test.asset.asset_id.as_str()).collect();
    let mut out = format!(
        "{} tests due on {on} or within {within} days, on {} of {} machines\n\n",
        plan.len(),
        machines.len(),
        assets.len()
    );
    let short: Vec<Vec<String>> = plan
        .iter()
        .map(|test| {
            vec![
                test.asset.tag.clone(),
                test.asset.site.clone().unwrap_or_default(),
                test.order.to_string(),
                test.facts.kind().replace('_', " "),
                test.standing.words().to_owned(),
                test.last_on.map(|date| date.to_string()).unwrap_or_default(),
                test.due_on.to_string(),
                test.asks.first().cloned().unwrap_or_default(),
            ]
        })
        .collect();
    out.push_str(&output::table(&["tag", "site", "order", "test", "standing", "last", "due", "asks first"], &short));
    out.push_str("\nBefore the tests, in their order\n");
    let kinds: std::collections::BTreeSet<(usize, &str)> = plan
        .iter()
        .filter_map(|test| {
            let at = windrow_criteria::facts::in_order().iter().position(|facts| facts.kind() == test.facts.kind())?;
            Some((at, test.facts.kind()))
        })
        .collect();
    for (at, _) in kinds {
        if let Some(facts) = windrow_criteria::facts::in_order().get(at) {
            let _ = writeln!(out, "- {}: {}", facts.title, facts.before);
        }
    }
    out.push_str("\nCautions\n");
    for caution in cautions::GENERAL.iter().chain([&cautions::HIGH_VOLTAGE]) {
        let _ = writeln!(out, "- {caution}");
    }
    out
}
