//! What is told between two states that no import of a fleet brings about by itself.

use super::derive;
use crate::now::{Entity, Known, Now, Shown, Tests};
use crate::outbox::Outbox;
use serde_json::{Map, Value, json};

fn finding(shown: Shown) -> Known {
    let data = json!({"finding_id": "f", "level": "plan", "state": "open", "statement": "low", "changes": [{"step": "", "detail": "opened"}]});
    let data = data.as_object().unwrap().clone();
    Known {
        entity: Entity { id: "f".to_owned(), asset: "m".to_owned(), digest: "d".to_owned(), data },
        level: "plan".to_owned(),
        shown,
    }
}

fn now(findings: Vec<Known>, import: &str) -> Now {
    let asset = Entity { id: "m".to_owned(), asset: "m".to_owned(), digest: "d".to_owned(), data: Map::new() };
    let time = "2026-11-28T10:00:00Z".to_owned();
    Now {
        assets: vec![asset],
        tests: Tests::default(),
        findings,
        due: Vec::new(),
        import_id: import.to_owned(),
        is_judged: true,
        time,
        fleet: "mill".to_owned(),
    }
}

/// Events after the one at `position`.
fn events(outbox: &Outbox, position: i64) -> Vec<Value> {
    let stored = outbox.after(position, None, 100).unwrap();
    stored.iter().map(|event| serde_json::from_str(&event.body).unwrap()).collect()
}

#[test]
fn a_finding_that_the_records_no_longer_know_is_told_as_cleared_once() {
    let folder = tempfile::tempdir().unwrap();
    let mut outbox = Outbox::open(&folder.path().join("outbox.sqlite")).unwrap();
    assert_eq!(derive(&mut outbox, &now(vec![finding(Shown::Open)], "1"), "urn:x", "1").unwrap(), 2);
    assert_eq!(derive(&mut outbox, &now(Vec::new(), "2"), "urn:x", "2").unwrap(), 1);
    let told = events(&outbox, 2).remove(0);
    assert_eq!((&told["type"], &told["subject"]), (&json!("windrow.finding.cleared"), &json!("findings/f")));
    let data = &told["data"];
    assert_eq!(
        (&data["level"], &data["statement"], &data["state"]),
        (&json!("plan"), &json!("low"), &json!("cleared"))
    );
    assert_eq!(data["changes"][1], json!({"step": "2026-11-28", "detail": "cleared: the records no longer tell it"}));
    assert_eq!(derive(&mut outbox, &now(Vec::new(), "3"), "urn:x", "3").unwrap(), 0, "once");
    assert_eq!(derive(&mut outbox, &now(vec![finding(Shown::Open)], "4"), "urn:x", "4").unwrap(), 1);
    assert_eq!(events(&outbox, 3)[0]["type"], "windrow.finding.opened");
}

#[test]
fn a_finding_is_told_as_cleared_even_where_no_event_tells_it_any_more() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("outbox.sqlite");
    let mut outbox = Outbox::open(&path).unwrap();
    derive(&mut outbox, &now(vec![finding(Shown::Open)], "1"), "urn:x", "1").unwrap();
    let database = rusqlite::Connection::open(&path).unwrap();
    database.execute("DELETE FROM events WHERE kind = 'finding.opened'", []).unwrap();
    assert_eq!(derive(&mut outbox, &now(Vec::new(), "2"), "urn:x", "2").unwrap(), 1);
    let told = events(&outbox, 1).remove(0);
    assert_eq!((&told["type"], &told["subject"]), (&json!("windrow.finding.cleared"), &json!("findings/f")));
    let data = &told["data"];
    assert_eq!((&data["finding_id"], &data["level"], &data["state"]), (&json!("f"), &json!("plan"), &json!("cleared")));
    let schema: Value = serde_json::from_str(include_str!("../../../../schema/events/finding.schema.json")).unwrap();
    for field in schema["required"].as_array().unwrap() {
        assert!(data.get(field.as_str().unwrap()).is_some(), "{field} is missing");
    }
    assert_eq!(data.as_object().unwrap().len(), schema["properties"].as_object().unwrap().len(), "{data}");
    assert_eq!(derive(&mut outbox, &now(Vec::new(), "3"), "urn:x", "3").unwrap(), 0, "once");
}

#[test]
fn a_finding_that_was_cleared_before_it_is_gone_is_not_told_again() {
    let folder = tempfile::tempdir().unwrap();
    let mut outbox = Outbox::open(&folder.path().join("outbox.sqlite")).unwrap();
    for (import, findings, count) in
        [("1", vec![finding(Shown::Open)], 2), ("2", vec![finding(Shown::Cleared)], 1), ("3", Vec::new(), 0)]
    {
        assert_eq!(derive(&mut outbox, &now(findings, import), "urn:x", import).unwrap(), count, "{import}");
    }
}
