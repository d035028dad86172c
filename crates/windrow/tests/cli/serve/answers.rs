//! Answers to questions and words on findings, through the forms and the interface for programs.

use super::{Application, fleet_of};
use crate::{SAMPLES, folder, on};
use std::fs;
use std::path::Path;

#[test]
fn of_two_answers_to_one_question_the_second_is_told_the_first() {
    let (_folder, fleet) = fleet_of(Path::new(SAMPLES));
    let application = Application::over(&fleet, &[]);
    let question = application.read("/api/v1/questions")["questions"][0].clone();
    let (id, seen) = (question["holds"][0]["hold_id"].as_str().unwrap(), question["seen"].as_str().unwrap());
    let body = |by: &str| serde_json::json!({ "answer": "no reading", "seen": seen, "by": by }).to_string();
    let path = format!("/api/v1/questions/{id}/answer");
    let first = application.json(&path, &body("first engineer"));
    assert_eq!(first.status, 200, "{}", first.body);
    let second = application.json(&path, &body("second engineer"));
    assert_eq!(second.status, 409, "{}", second.body);
    assert!(second.body.contains("first engineer"), "{}", second.body);
    let written = fs::read_to_string(fleet.join("decisions.toml")).unwrap();
    assert!(written.contains("first engineer") && !written.contains("second engineer"));
    // Taken back, it can be answered anew; taken back twice is told.
    let ruling = application.read("/api/v1/decisions")["decisions"][0]["ruling"].as_str().unwrap().to_owned();
    let back = serde_json::json!({ "ruling": ruling }).to_string();
    assert_eq!(application.json("/api/v1/decisions/take-back", &back).status, 200);
    assert_eq!(application.json("/api/v1/decisions/take-back", &back).status, 409);
    assert_eq!(application.json(&path, &body("second engineer")).status, 200);
}

#[test]
fn an_answer_of_another_form_is_refused_and_nothing_is_written() {
    let (_folder, fleet) = fleet_of(Path::new(SAMPLES));
    let application = Application::over(&fleet, &[]);
    let question = application.read("/api/v1/questions")["questions"][0].clone();
    let id = question["holds"][0]["hold_id"].as_str().unwrap();
    let body = serde_json::json!({ "answer": "perhaps", "seen": question["seen"] }).to_string();
    let answer = application.json(&format!("/api/v1/questions/{id}/answer"), &body);
    assert_eq!(answer.status, 400, "{}", answer.body);
    assert!(!fleet.join("decisions.toml").exists());
}

/// Each is a machine's record that names none; that they are one machine nobody knows.
#[test]
fn records_of_spares_are_answered_one_by_one_and_never_all_at_once() {
    let records = folder();
    let log = "Motor,Date,IR MOhm\nSPARE,2001-02-03,910\nSPARE,2002-02-03,880\nSPARE,2003-02-03,70\n";
    fs::write(records.path().join("log.csv"), log).unwrap();
    let (_folder, fleet) = fleet_of(records.path());
    let application = Application::over(&fleet, &[]);
    let question = application.read("/api/v1/questions")["questions"][0].clone();
    let ids: Vec<&str> =
        question["holds"].as_array().unwrap().iter().map(|hold| hold["hold_id"].as_str().unwrap()).collect();
    assert_eq!(ids.len(), 3);
    let page = application.get(&format!("/questions/{}", ids[0])).body;
    let ticks: Vec<&str> = page.split("<input").filter(|input| input.contains("type=\"checkbox\"")).collect();
    assert_eq!(ticks.len(), 3, "{page}");
    assert!(ticks.iter().all(|tick| !tick.split('>').next().unwrap().contains("checked")), "{ticks:?}");
    let path = format!("/api/v1/questions/{}/answer", ids[0]);
    let ask = |holds: Option<serde_json::Value>, answer: &str| {
        let mut body = serde_json::json!({ "answer": answer, "seen": question["seen"] });
        if let Some(holds) = holds {
            body["holds"] = holds;
        }
        application.json(&path, &body.to_string())
    };
    let all = ask(None, "P-9");
    assert!(all.status == 400 && all.body.contains("one machine"), "{} {}", all.status, all.body);
    let none = application.form(&format!("/questions/{}", ids[0]), &format!("answer=P-9&seen={}", question["seen"]));
    assert_eq!(none.status, 400, "nothing is ticked: {}", none.body);
    // A cell of another question, or of none, is told and nothing is written for the others either.
    let strange = ask(Some(serde_json::json!([ids[1], "0000-none"])), "P-9");
    assert!(strange.status == 400 && strange.body.contains("0000-none"), "{} {}", strange.status, strange.body);
    assert!(!fleet.join("decisions.toml").exists(), "nothing was written");
    let one = ask(Some(serde_json::json!([ids[1]])), "P-9");
    assert_eq!((one.status, one.body.as_str()), (200, "{\"written\":1}"));
    let again = application.read("/api/v1/questions")["questions"][0].clone();
    let body = serde_json::json!({ "answer": "no reading", "seen": again["seen"] }).to_string();
    assert_eq!(application.json(&path, &body).body, "{\"written\":3}", "that there is no reading is for all");
}

/// That nobody knows a rated voltage may be said of all machines at once; a voltage is that of those which are named.
#[test]
fn that_a_voltage_is_not_known_is_answered_for_all_machines_and_names_none() {
    let records = folder();
    let log = "Motor,Date,IR MOhm\nP-1,2001-02-03,910\nP-2,2001-02-03,880\n";
    fs::write(records.path().join("log.csv"), log).unwrap();
    fs::write(records.path().join("spare.csv"), "Motor,Date,IR MOhm\nSPARE,2001-02-03,910\nSPARE,2002-02-03,880\n")
        .unwrap();
    let (_folder, fleet) = fleet_of(records.path());
    let application = Application::over(&fleet, &[]);
    let questions = application.read("/api/v1/questions")["questions"].clone();
    let answer = |kind: &str, answer: &str| {
        let all = questions.as_array().unwrap();
        let question = all.iter().find(|question| question["holds"][0]["question"] == kind).unwrap();
        let body = serde_json::json!({ "answer": answer, "seen": question["seen"] }).to_string();
        application
            .json(&format!("/api/v1/questions/{}/answer", question["holds"][0]["hold_id"].as_str().unwrap()), &body)
    };
    let one = answer("nameplate", "480 V");
    assert!(one.status == 400 && one.body.contains("hold_ids"), "{}", one.body);
    assert_eq!(answer("nameplate", "not known").body, "{\"written\":2}");
    let machine = answer("machine", "not known");
    assert_eq!(machine.status, 400, "it is no machine: {}", machine.body);
}

#[test]
fn of_two_words_on_a_finding_the_second_is_told_the_first() {
    let (_folder, fleet) = fleet_of(Path::new(SAMPLES));
    let application = Application::over(&fleet, &[]);
    let finding = application.read("/api/v1/findings")["findings"][0].clone();
    let path = format!("/findings/{}/word", finding["finding_id"].as_str().unwrap());
    let form = format!("word=acknowledged&level={}&reason=rewind+ordered&by=first", finding["level"].as_str().unwrap());
    assert_eq!(application.form(&path, &form).status, 303);
    let second = application.form(&path, &form.replace("first", "second"));
    assert_eq!(second.status, 409, "{}", second.body);
    assert!(second.body.contains("rewind ordered"), "it tells what was said: {}", second.body);
    let states = on(&fleet, "query", &["SELECT state FROM findings WHERE state = 'acknowledged'", "--format", "csv"]);
    assert_eq!(states.out.lines().count(), 2, "one is acknowledged, as the command line sees it");
    let without = application.form(&path, "word=taken_back&reason=+");
    assert_eq!(without.status, 400, "a reason is needed");
}
