//! What a feed tells of: machines, tests, findings and due tests as the tables hold them now.

use crate::error::{Error, Result};
use crate::event::{NO_ASSET, explain, object};
use jiff::civil::Date;
use serde_json::{Map, Value, json};
use std::collections::{BTreeMap, HashMap};
use windrow_analyze::plan::{DueTest, due};
use windrow_export::Tables;
use windrow_model::settings::Settings;
use windrow_model::{Asset, Finding, ImportRow, Reading, Test, TestSummary};

/// Most cells that a finding leads back to; the rest is found by `windrow explain`.
const MOST_PLACES: usize = 100;

/// One thing that can be told, as it is now.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Entity {
    pub(crate) id: String,
    pub(crate) asset: String,
    /// Hash of what a change of is worth an event.
    pub(crate) digest: String,
    pub(crate) data: Map<String, Value>,
}

/// A finding as it is now.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Known {
    pub(crate) entity: Entity,
    pub(crate) level: String,
    /// Whether the records show it; acknowledged ones are shown too.
    pub(crate) shown: Shown,
}

/// Whether the records show a finding.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Shown {
    Open,
    Cleared,
}

/// Everything, by kind, each sorted by its machine and day.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Now {
    pub(crate) assets: Vec<Entity>,
    pub(crate) tests: Tests,
    pub(crate) findings: Vec<Known>,
    pub(crate) due: Vec<Entity>,
    /// The newest import.
    pub(crate) import_id: String,
    /// Whether the findings are those of the newest import.
    pub(crate) is_judged: bool,
    /// When it began.
    pub(crate) time: String,
    /// Name of the fleet's folder.
    pub(crate) fleet: String,
}

/// The tests, each made into what is told of it when its turn comes: as JSON they take many times the room.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Tests {
    tests: Vec<Test>,
    readings: HashMap<String, Vec<Reading>>,
}

impl Tests {
    /// Each test with its machine.
    pub(crate) fn places(&self) -> impl Iterator<Item = (&str, &str)> {
        self.tests.iter().map(|test| (test.test_id.as_str(), machine(test)))
    }

    /// What is told of each.
    pub(crate) fn entities(&self) -> impl Iterator<Item = Entity> {
        self.tests.iter().map(|test| {
            let mut data = object(test, &["import_id", "duplicate_of"]);
            let told = self.readings.get(test.test_id.as_str()).into_iter().flatten();
            let told = told.map(|reading| Value::Object(object(reading, &["test_id", "derivation"])));
            data.insert("readings".to_owned(), Value::Array(told.collect()));
            Entity { id: test.test_id.to_string(), asset: machine(test).to_owned(), digest: digest(&data), data }
        })
    }
}

fn machine(test: &Test) -> &str {
    test.asset_id.as_deref().unwrap_or(NO_ASSET)
}

/// Reads `tables`, whose findings are those of the import `judged`; due tests are those within `window` days after `on`.
pub(crate) fn now(
    tables: &Tables,
    settings: &Settings,
    judged: Option<&str>,
    (on, window): (Date, u16),
) -> Result<Now> {
    let imports: Vec<ImportRow> = tables.rows()?;
    let newest = imports.into_iter().max_by(|a, b| a.started_at.cmp(&b.started_at));
    let (import_id, time) = newest.map(|import| (import.import_id, import.started_at)).unwrap_or_default();
    let assets: Vec<Asset> = tables.rows()?;
    let mut readings: HashMap<String, Vec<Reading>> = HashMap::new();
    for reading in tables.rows::<Reading>()? {
        readings.entry(reading.test_id.to_string()).or_default().push(reading);
    }
    let summaries: Vec<TestSummary> = tables.rows()?;
    let plan = due(&assets, &summaries, settings, (on, window)).map_err(|error| Error::Usage(error.to_string()))?;
    Ok(Now {
        findings: findings(tables, &readings)?,
        tests: Tests { tests: tests(tables)?, readings },
        due: plan.iter().map(due_test).collect(),
        assets: assets.iter().map(asset).collect(),
        is_judged: judged == Some(import_id.as_str()),
        import_id,
        time,
        fleet: tables.name().to_owned(),
    })
}

fn digest(data: &Map<String, Value>) -> String {
    // Keys of a map are sorted, so equal data is equal text.
    blake(&Value::Object(data.clone()).to_string())
}

fn blake(text: &str) -> String {
    windrow_model::id::row_id("content", &[text]).to_string()
}

fn asset(asset: &Asset) -> Entity {
    let data = object(asset, &["nameplate_conflicts"]);
    Entity { id: asset.asset_id.clone(), asset: asset.asset_id.clone(), digest: digest(&data), data }
}

fn tests(tables: &Tables) -> Result<Vec<Test>> {
    let mut tests: Vec<Test> = tables.rows()?;
    tests.retain(|test| test.duplicate_of.is_none());
    tests.sort_by(|a, b| (&a.asset_id, a.performed_on, &a.test_id).cmp(&(&b.asset_id, b.performed_on, &b.test_id)));
    Ok(tests)
}

fn findings(tables: &Tables, readings: &HashMap<String, Vec<Reading>>) -> Result<Vec<Known>> {
    let by_id: HashMap<&str, &Reading> =
        readings.values().flatten().map(|reading| (reading.reading_id.as_str(), reading)).collect();
    let known = |finding: Finding| {
        let mut data = object(&finding, &["working"]);
        let places = finding.evidence.iter().filter_map(|id| by_id.get(id.as_str()).copied()).take(MOST_PLACES);
        let place = |reading: &Reading| {
            json!({"reading_id": reading.reading_id, "source_file": reading.source_file, "source_sheet": reading.source_sheet,
                "source_cell": reading.source_cell, "raw_text": reading.raw_text})
        };
        data.insert("places".to_owned(), Value::Array(places.map(place).collect()));
        data.insert("explain".to_owned(), explain(&finding.finding_id, tables.name()));
        let shown = if finding.state == "cleared" { Shown::Cleared } else { Shown::Open };
        let is_acknowledged = finding.state == "acknowledged";
        // Figures of the whole fleet move a little with every record: they are told, and are no reason to tell.
        let material = json!([finding.level, is_acknowledged, finding.test_id, finding.last_seen]);
        let entity = Entity {
            asset: finding.asset_id.clone().unwrap_or_else(|| NO_ASSET.to_owned()),
            id: finding.finding_id,
            digest: blake(&material.to_string()),
            data,
        };
        Known { entity, level: finding.level, shown }
    };
    let mut all: Vec<Known> = tables.rows::<Finding>()?.into_iter().map(known).collect();
    all.sort_by(|a, b| (&a.entity.asset, &a.entity.id).cmp(&(&b.entity.asset, &b.entity.id)));
    Ok(all)
}

/// A due test; it is told once for each time that it comes due, and once more when its day has passed.
fn due_test(test: &DueTest) -> Entity {
    let standing = test.standing.words();
    let facts: BTreeMap<&str, Value> = BTreeMap::from([
        ("asset_id", json!(test.asset.asset_id)),
        ("tag", json!(test.asset.tag)),
        ("site", json!(test.asset.site)),
        ("test", json!(test.facts.kind())),
        ("standing", json!(standing)),
        ("last_on", json!(test.last_on)),
        ("due_on", json!(test.last_on.map(|_| test.due_on))),
        ("months", json!(test.months)),
        ("asks", json!(test.asks)),
        ("before", json!(test.facts.before)),
        ("cannot_see", json!(test.facts.cannot_see)),
        ("cautions", json!(test.caution)),
    ]);
    Entity {
        id: format!("{}/{}", test.asset.asset_id, test.facts.kind()),
        asset: test.asset.asset_id.clone(),
        digest: blake(&json!([standing, test.last_on, test.months]).to_string()),
        data: facts.into_iter().map(|(name, value)| (name.to_owned(), value)).collect(),
    }
}
