//! What a maintenance system tells of findings: the same as a file for `windrow feed --receive`.

use super::Asked;
use super::check::{self, Fault};
use super::operations::OUTCOME;
use crate::app::Shared;
use crate::trouble::Trouble;
use serde_json::{Value, json};
use std::sync::PoisonError;
use windrow_feed::{Answer, Wrong, take_answers};
use windrow_tasks::judge::judge;

/// Takes what can be used, and tells what cannot; refuses a request of which nothing can be used.
pub(super) fn take(app: &Shared, asked: &Asked) -> Result<Value, Trouble> {
    let rows = asked.body.get("outcomes").and_then(Value::as_array).map(Vec::as_slice).unwrap_or_default();
    let mut told: Vec<(u64, Answer)> = Vec::new();
    let mut unread: Vec<Wrong> = Vec::new();
    for (number, row) in (1..).zip(rows) {
        match read(row) {
            Ok(answer) => told.push((number, answer)),
            Err(fault) => unread.push(wrong(number, fault)),
        }
    }
    let _changing = app.changing.lock().unwrap_or_else(PoisonError::into_inner);
    let mut answers = take_answers(&told, &app.view()?.findings, &app.fleet.acknowledgements()?);
    answers.wrong.extend(unread);
    answers.wrong.sort_by_key(|wrong| wrong.line);
    let written = answers.words.len();
    if written > 0 {
        app.fleet.acknowledge_all(answers.words)?;
    }
    // What was known already may have been written by a request whose judgement failed; judging the same again changes nothing.
    if written + answers.known > 0 {
        judge(app.fleet.dir())?;
    }
    if written + answers.known == 0 && !answers.wrong.is_empty() {
        let reasons: Vec<String> = answers.wrong.iter().take(SHOWN).map(shown).collect();
        let more = answers.wrong.len().saturating_sub(SHOWN);
        let more = if more > 0 { format!("; and {more} more") } else { String::new() };
        return Err(Trouble::Wrong(format!("nothing was written: {}{more}", reasons.join("; "))));
    }
    let wrong: Vec<Value> = answers
        .wrong
        .iter()
        .map(|wrong| json!({ "number": wrong.line, "field": field(wrong), "message": wrong.what }))
        .collect();
    Ok(json!({ "written": written, "known": answers.known, "wrong": wrong }))
}

/// One of the outcomes, if its fields are as they are described.
fn read(row: &Value) -> Result<Answer, Fault> {
    check::fields(OUTCOME, row)?;
    serde_json::from_value(row.clone()).map_err(|error| Fault { field: String::new(), what: error.to_string() })
}

fn wrong(number: u64, fault: Fault) -> Wrong {
    let at = OUTCOME.iter().position(|takes| takes.name == fault.field).map_or(0, |index| index + 1);
    Wrong { line: number, column: Some((at, fault.field)), what: fault.what }
}

/// Most reasons of a refusal.
const SHOWN: usize = 10;

fn field(wrong: &Wrong) -> &str {
    wrong.column.as_ref().map(|(_, name)| name.as_str()).unwrap_or_default()
}

fn shown(wrong: &Wrong) -> String {
    match field(wrong) {
        "" => format!("outcome {}: {}", wrong.line, wrong.what),
        field => format!("outcome {}, {field}: {}", wrong.line, wrong.what),
    }
}
