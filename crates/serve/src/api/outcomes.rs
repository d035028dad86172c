//! What a maintenance system tells of findings: the same as a file for `windrow feed --receive`.

use super::Asked;
use crate::app::Shared;
use crate::trouble::Trouble;
use serde_json::{Value, json};
use std::sync::PoisonError;
use windrow_feed::{Answer, Wrong, take_answers};
use windrow_tasks::judge::judge;

/// Takes what can be used, and tells what cannot; refuses a request of which nothing can be used.
pub(super) fn take(app: &Shared, asked: &Asked) -> Result<Value, Trouble> {
    let told = asked.body.get("outcomes").cloned().unwrap_or_default();
    let told: Vec<Answer> =
        serde_json::from_value(told).map_err(|error| Trouble::Wrong(format!("outcomes cannot be read: {error}")))?;
    let _changing = app.changing.lock().unwrap_or_else(PoisonError::into_inner);
    let answers = take_answers(&told, &app.view()?.findings, &app.fleet.acknowledgements()?);
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
        return Err(Trouble::Wrong(format!("nothing was written: {}", reasons.join("; "))));
    }
    let wrong: Vec<Value> = answers
        .wrong
        .iter()
        .map(|wrong| json!({ "number": wrong.line, "field": field(wrong), "message": wrong.what }))
        .collect();
    Ok(json!({ "written": written, "known": answers.known, "wrong": wrong }))
}

/// Most reasons of a refusal.
const SHOWN: usize = 10;

fn field(wrong: &Wrong) -> &str {
    wrong.column.as_ref().map(|(_, name)| name.as_str()).unwrap_or_default()
}

fn shown(wrong: &Wrong) -> String {
    format!("outcome {}, {}: {}", wrong.line, field(wrong), wrong.what)
}
