//! What programs read.

use super::Asked;
use crate::app::Shared;
use crate::pages::decisions::digest;
use crate::pages::finding::find;
use crate::pages::question::{seen, standing};
use crate::params::Params;
use crate::trouble::Trouble;
use serde::Serialize;
use serde_json::{Value, json};
use std::collections::BTreeSet;
use windrow_model::{Asset, CellRow, Coverage, Finding, Reading, Test, TestSummary};
use windrow_tasks::questions::Group;

/// Most rows of a list.
const MOST: usize = 1000;

/// Rows of a list, from where it was asked for.
fn part<T: Serialize>(name: &str, rows: &[T], params: &Params) -> Result<Value, Trouble> {
    let (limit, offset) = (params.number("limit").unwrap_or(100).min(MOST), params.number("offset").unwrap_or(0));
    let shown: Vec<&T> = rows.iter().skip(offset).take(limit).collect();
    Ok(json!({ "total": rows.len(), name: value(&shown)? }))
}

fn value(rows: &impl Serialize) -> Result<Value, Trouble> {
    serde_json::to_value(rows).map_err(|error| Trouble::Broken(error.into()))
}

pub(super) fn machines(app: &Shared, asked: &Asked) -> Result<Value, Trouble> {
    let view = app.view()?;
    let words: Vec<String> = asked.params.raw("q").split_whitespace().map(str::to_lowercase).collect();
    let site = asked.params.get("site");
    let pairs = view.assets.iter().zip(&view.lines);
    let found: Vec<&Asset> = pairs
        .filter(|(asset, line)| {
            words.iter().all(|word| line.words.contains(word.as_str()))
                && site.is_none_or(|site| asset.site.as_deref() == Some(site))
        })
        .map(|(asset, _)| asset)
        .collect();
    part("machines", &found, &asked.params)
}

pub(super) fn machine(app: &Shared, asked: &Asked) -> Result<Value, Trouble> {
    let view = app.view()?;
    let asset = view.asset(&asked.id).ok_or_else(|| Trouble::no("machine", &asked.id))?;
    let id = [asset.asset_id.as_str()];
    let tests: Vec<Test> = view.snapshot.rows_where("asset_id", &id)?;
    let ids: Vec<&str> = tests.iter().map(|test| test.test_id.as_str()).collect();
    let files: BTreeSet<&str> = tests.iter().map(|test| test.source_file.as_str()).collect();
    let files: Vec<&str> = files.into_iter().collect();
    let readings: Vec<Reading> = view.snapshot.rows_where_in("test_id", &ids, &files)?;
    let summaries: Vec<TestSummary> = view.snapshot.rows_where("asset_id", &id)?;
    let coverage: Vec<Coverage> = view.snapshot.rows_where("asset_id", &id)?;
    let findings: Vec<&Finding> =
        view.findings.iter().filter(|finding| finding.asset_id.as_deref() == Some(asset.asset_id.as_str())).collect();
    Ok(json!({
        "assets": [value(asset)?], "tests": value(&tests)?, "readings": value(&readings)?, "test_summary": value(&summaries)?,
        "coverage": value(&coverage)?, "findings": value(&findings)?,
    }))
}

pub(super) fn findings(app: &Shared, asked: &Asked) -> Result<Value, Trouble> {
    let view = app.view()?;
    let level = asked.params.get("level");
    let state = asked.params.get("state").unwrap_or("open");
    let is_in_state = |finding: &Finding| match state {
        "open" => finding.is_open(),
        "all" => true,
        other => finding.state == other,
    };
    let found: Vec<&Finding> = view
        .findings
        .iter()
        .filter(|finding| is_in_state(finding) && level.is_none_or(|level| finding.level == level))
        .collect();
    part("findings", &found, &asked.params)
}

pub(super) fn finding(app: &Shared, asked: &Asked) -> Result<Value, Trouble> {
    value(find(&app.view()?.findings, &asked.id)?)
}

pub(super) fn questions(app: &Shared, asked: &Asked) -> Result<Value, Trouble> {
    let view = app.view()?;
    let decisions = app.fleet.settings()?.decisions;
    let told = |group: &Group| {
        let standing = standing(&decisions, group);
        json!({ "id": group.id, "holds": group.holds, "standing": standing, "seen": seen(&standing) })
    };
    let all: Vec<Value> = view.questions.iter().map(told).collect();
    part("questions", &all, &asked.params)
}

pub(super) fn decisions(app: &Shared, _: &Asked) -> Result<Value, Trouble> {
    let decisions = app.fleet.settings()?.decisions;
    let told: Vec<Value> =
        decisions.iter().map(|decision| json!({ "ruling": digest(decision), "decision": decision })).collect();
    Ok(json!({ "total": told.len(), "decisions": told }))
}

pub(super) fn sources(app: &Shared, asked: &Asked) -> Result<Value, Trouble> {
    part("sources", &app.view()?.sources, &asked.params)
}

pub(super) fn cells(app: &Shared, asked: &Asked) -> Result<Value, Trouble> {
    let view = app.view()?;
    let file = asked.params.exact("file").ok_or_else(|| Trouble::Wrong("file is missing: name a source".to_owned()))?;
    let source = view.source(file).ok_or_else(|| Trouble::no("source", file))?;
    let mut cells: Vec<CellRow> = view.snapshot.rows_where("source_file", &[source.source_file.as_str()])?;
    if let Some(sheet) = asked.params.exact("sheet") {
        cells.retain(|cell| cell.source_sheet.as_deref() == Some(sheet));
    }
    part("cells", &cells, &asked.params)
}

pub(super) fn reading(app: &Shared, asked: &Asked) -> Result<Value, Trouble> {
    let readings: Vec<Reading> = app.view()?.snapshot.rows_where("reading_id", &[asked.id.as_str()])?;
    value(readings.first().ok_or_else(|| Trouble::no("reading", &asked.id))?)
}

pub(super) fn work(app: &Shared, _: &Asked) -> Result<Value, Trouble> {
    let view = app.view()?;
    let state = app.work.state();
    Ok(json!({
        "state": state.code(), "words": state.words(), "answers_wait": app.is_pending(&view),
        "commit": view.snapshot.commit(), "queries": app.sql.running(),
    }))
}
