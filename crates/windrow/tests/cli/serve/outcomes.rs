//! What a maintenance system posts of findings.

use super::{Application, fleet_of};
use crate::{SAMPLES, on};
use serde_json::{Value, json};
use std::fs;
use std::path::Path;

fn post(application: &Application, body: &Value) -> (u16, Value) {
    let answer = application.json("/api/v1/outcomes", &body.to_string());
    (answer.status, serde_json::from_str(&answer.body).unwrap())
}

#[test]
fn what_can_be_used_is_taken_once_and_the_rest_told() {
    let (_folder, fleet) = fleet_of(Path::new(SAMPLES));
    let application = Application::over(&fleet, &[]);
    let finding = application.read("/api/v1/findings")["findings"][0].clone();
    let id = finding["finding_id"].as_str().unwrap();
    let body = json!({ "outcomes": [
        { "finding_id": id, "outcome": "confirmed", "work_order": "WO-7", "failure_mode": "pde", "by": "R. Doe", "on": "2026-03-01" },
        { "finding_id": "0000000000", "outcome": "repaired" },
        { "finding_id": id, "failure_mode": "ZZZ" },
        { "finding_id": id, "on": "3.4.2003" },
        { "finding_id": id, "workorder": "WO-8" },
        { "finding_id": id, "outcome": "perhaps" },
        { "outcome": "confirmed" },
        { "finding_id": id, "by": 7 },
        id,
    ] });
    let (status, told) = post(&application, &body);
    assert_eq!((status, &told["written"], &told["known"]), (200, &json!(1), &json!(0)), "{told}");
    let of = |wrong: &Value| (wrong["number"].as_u64().unwrap(), wrong["field"].as_str().unwrap().to_owned());
    let wrong: Vec<(u64, String)> = told["wrong"].as_array().unwrap().iter().map(of).collect();
    let places = [
        (2, "finding_id"),
        (3, "failure_mode"),
        (4, "on"),
        (5, "workorder"),
        (6, "outcome"),
        (7, "finding_id"),
        (8, "by"),
        (9, ""),
    ];
    assert_eq!(wrong, places.map(|(number, field)| (number, field.to_owned())));
    let messages = told["wrong"].to_string();
    for expected in
        ["it takes finding_id, outcome, work_order", "one of acknowledged, confirmed", "an object with finding_id"]
    {
        assert!(messages.contains(expected), "{expected} is not in {messages}");
    }
    let now = application.read(&format!("/api/v1/findings/{id}"));
    assert_eq!(now["state"], "acknowledged");
    assert!(now["changes"].to_string().contains("confirmed (PDE), work order WO-7"), "{}", now["changes"]);
    let written = fs::read(fleet.join("decisions.toml")).unwrap();
    let (status, told) = post(&application, &body);
    assert_eq!((status, &told["written"], &told["known"]), (200, &json!(0), &json!(1)), "the same again: {told}");
    assert_eq!(fs::read(fleet.join("decisions.toml")).unwrap(), written);
    let shares = on(&fleet, "feed", &["--outcomes"]).out;
    assert!(shares.contains(finding["rule"].as_str().unwrap()) && shares.contains("100 %"), "{shares}");
}

#[test]
fn what_nothing_can_be_made_of_is_refused_with_the_reason() {
    let (_folder, fleet) = fleet_of(Path::new(SAMPLES));
    let application = Application::over(&fleet, &[]);
    let id = application.read("/api/v1/findings")["findings"][0]["finding_id"].clone();
    for (body, reason) in [
        (json!({}), "outcomes is missing"),
        (json!({ "outcomes": [] }), "a list of one object or more"),
        (json!({ "outcomes": { "finding_id": id } }), "a list of one object or more"),
        (json!({ "outcomes": [id] }), "outcome 1: an object with finding_id"),
        (json!({ "outcomes": [{ "outcome": "confirmed" }] }), "outcome 1, finding_id: finding_id is missing"),
        (
            json!({ "outcomes": [{ "finding_id": id, "outcome": "perhaps" }] }),
            "outcome 1, outcome: outcome must be one of",
        ),
        (json!({ "outcomes": [{ "finding_id": id, "on": 2026 }] }), "outcome 1, on: on must be a text"),
        (json!({ "outcomes": vec![json!({}); 12] }), "; and 2 more"),
        (json!({ "outcomes": [{ "finding_id": id, "workorder": "7" }] }), "\"workorder\" is no field"),
        (json!({ "outcomes": [{ "finding_id": id, "by": "a\nb" }] }), "by: it holds control characters"),
        (
            json!({ "outcomes": [{ "finding_id": "0000000000" }] }),
            "outcome 1, finding_id: no finding has an id that begins with",
        ),
    ] {
        let (status, told) = post(&application, &body);
        let message = told["error"]["message"].as_str().unwrap_or_default();
        assert!(status == 400 && message.contains(reason), "{body}: {status} {told}");
    }
    assert_eq!(application.json("/api/v1/outcomes", "finding_id,outcome\n").status, 400);
    assert!(!fleet.join("decisions.toml").exists(), "nothing was written");
}
