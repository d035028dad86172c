//! JSON Schemas of events: the envelope (CloudEvents 1.0 as it is used here) and the data of each family.

use super::forms::{column_schema, pretty};
use serde_json::{Map, Value, json};
use windrow_model::table::TableInfo;
use windrow_model::{Asset, Finding, Reading, Test};

const DRAFT: &str = "https://json-schema.org/draft/2020-12/schema";

/// Kinds of events by family, as `windrow_feed::Kind` has them; a test of the feed compares real events with these files.
const KINDS: &[(&str, &[&str])] = &[
    ("asset", &["asset.added", "asset.changed", "asset.merged", "asset.withdrawn"]),
    ("test", &["test.recorded", "test.corrected", "test.withdrawn"]),
    ("finding", &["finding.opened", "finding.changed", "finding.cleared"]),
    ("due", &["test.due"]),
];

/// Every schema by its name below `schema/`.
pub(super) fn files() -> anyhow::Result<Vec<(String, String)>> {
    let mut files = vec![("events/event.schema.json".to_owned(), pretty(&envelope())?)];
    for (family, data) in [("asset", asset()), ("test", test()), ("finding", finding()), ("due", due())] {
        let mut schema = data;
        schema["$schema"] = json!(DRAFT);
        schema["$id"] = json!(format!("urn:windrow:schema:event:{family}:1"));
        files.push((format!("events/{family}.schema.json"), pretty(&schema)?));
    }
    Ok(files)
}

fn envelope() -> Value {
    let types: Vec<String> = KINDS.iter().flat_map(|(_, kinds)| *kinds).map(|kind| format!("windrow.{kind}")).collect();
    let text = |doc: &str| json!({"type": "string", "minLength": 1, "description": doc});
    json!({
        "$schema": DRAFT,
        "$id": "urn:windrow:schema:event:1",
        "title": "event",
        "description": "A CloudEvent 1.0 in the JSON format. The data has the schema that `dataschema` names.",
        "type": "object",
        "properties": {
            "specversion": {"const": "1.0"},
            "id": {"type": "string", "format": "uuid", "description": "The same for the same content at the same place of the sequence: drop what you know by source and id."},
            "source": text("The fleet."),
            "type": {"enum": types},
            "subject": text("What it is about: findings/ID, tests/ID, assets/ID, due-tests/ID/KIND."),
            "time": {"type": "string", "format": "date-time", "description": "When the import began that it was derived from."},
            "datacontenttype": {"const": "application/json"},
            "dataschema": {"type": "string", "pattern": "^urn:windrow:schema:event:(asset|test|finding|due):1$"},
            "sequence": {"type": "string", "pattern": "^[0-9]{10,}$", "description": "Place in the sequence of the machine, from 1; sorts as text."},
            "partitionkey": text("The machine (asset_id), or `unassigned`."),
            "data": {"type": "object"},
        },
        "required": ["specversion", "id", "source", "type", "subject", "time", "datacontenttype", "dataschema", "sequence", "partitionkey", "data"],
        "additionalProperties": false,
    })
}

/// Properties of a row without some of its columns.
fn properties(table: &TableInfo, without: &[&str]) -> Map<String, Value> {
    let columns = table.columns.iter().filter(|column| !without.contains(&column.name));
    columns.map(|column| (column.name.to_owned(), column_schema(column))).collect()
}

/// An object that holds all of `properties`, and maybe those of `more`.
fn object(properties: Map<String, Value>, more: Map<String, Value>) -> Value {
    let required: Vec<String> = properties.keys().cloned().collect();
    let all: Map<String, Value> = properties.into_iter().chain(more).collect();
    json!({"type": "object", "properties": all, "required": required, "additionalProperties": false})
}

fn texts(names: &[(&str, &str)]) -> Map<String, Value> {
    names
        .iter()
        .map(|(name, doc)| ((*name).to_owned(), json!({"type": ["string", "null"], "description": doc})))
        .collect()
}

fn asset() -> Value {
    let row = properties(&TableInfo::of::<Asset>(), &["nameplate_conflicts"]);
    let changed = json!({"type": "array", "items": {"type": "string"}, "description": "In asset.changed: the fields that were told otherwise before."});
    let merged = texts(&[
        ("asset_id", "The machine that was told."),
        ("tag", "Its tag."),
        ("into_asset_id", "The machine that goes on with its tests."),
        ("into_tag", "That machine's tag."),
    ]);
    let gone = texts(&[("asset_id", "The machine that was told."), ("tag", "Its tag.")]);
    json!({"title": "asset", "description": "A machine: its row in the table assets; in asset.merged and asset.withdrawn what it was.",
        "oneOf": [object(row, Map::from_iter([("changed".to_owned(), changed)])), object(merged, Map::new()), object(gone, Map::new())]})
}

fn test() -> Value {
    let mut row = properties(&TableInfo::of::<Test>(), &["import_id", "duplicate_of"]);
    let reading = object(properties(&TableInfo::of::<Reading>(), &["test_id", "derivation"]), Map::new());
    row.insert("readings".to_owned(), json!({"type": "array", "items": reading, "description": "Its readings, each with the cell that it was read from."}));
    let gone = texts(&[("test_id", "The test that was told."), ("asset_id", "The machine under which it was told.")]);
    json!({"title": "test", "description": "A test: its row in the table tests with its readings; in test.withdrawn what it was.",
        "oneOf": [object(row, Map::new()), object(gone, Map::new())]})
}

fn finding() -> Value {
    let mut row = properties(&TableInfo::of::<Finding>(), &["working"]);
    let place = object(
        texts(&[
            ("reading_id", "The reading."),
            ("source_file", "Path below the imported folder."),
            ("source_sheet", "Sheet."),
            ("source_cell", "Cell."),
            ("raw_text", "Text as it stood."),
        ]),
        Map::new(),
    );
    row.insert("places".to_owned(), json!({"type": "array", "items": place, "description": "Where the readings stand that it rests on; at most 100."}));
    row.insert(
        "explain".to_owned(),
        json!({"type": "string", "description": "The command that shows all that it rests on."}),
    );
    let mut schema = object(row, Map::new());
    schema["title"] = json!("finding");
    schema["description"] = json!("A finding: its row in the table findings, and the way to its evidence.");
    schema
}

fn due() -> Value {
    let mut fields = texts(&[
        ("site", "Plant, station or ship."),
        ("last_on", "Day of the last such test on record; null where there is none."),
        ("due_on", "Day on which the next is due by the site's interval; null where there was none yet."),
    ]);
    for (name, doc) in [
        ("asset_id", "The machine."),
        ("tag", "Its tag."),
        ("test", "Kind of test."),
        ("before", "What must hold before it."),
        ("cannot_see", "What it cannot see."),
        ("cautions", "What goes with it; a plan is no order to test."),
    ] {
        fields.insert(name.to_owned(), json!({"type": "string", "description": doc}));
    }
    fields.insert("standing".to_owned(), json!({"enum": ["overdue", "never tested", "due"]}));
    fields.insert("months".to_owned(), json!({"type": "integer", "description": "Months between two tests."}));
    fields.insert("asks".to_owned(), json!({"type": "array", "items": {"type": "string"}, "description": "What standards ask, each with its basis."}));
    let mut schema = object(fields, Map::new());
    schema["title"] = json!("due");
    schema["description"] = json!("A test that comes due by the site's intervals.");
    schema
}
