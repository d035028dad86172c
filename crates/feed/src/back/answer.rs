//! What is told of one finding, in whatever form it came.

use crate::modes;
use jiff::civil::Date;
use serde::Deserialize;
use windrow_model::lookup::find;
use windrow_model::{Acknowledgement, Finding, Word, WorkOutcome};

/// What is said where no outcome is told.
const SEEN: &str = "acknowledged";

/// What is told of one finding, as texts; an empty one is none.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Answer {
    /// Id of the finding, or its first eight letters or more.
    pub finding_id: Option<String>,
    /// `acknowledged`, `confirmed`, `nothing_found` or `repaired`; acknowledged where it is not told.
    pub outcome: Option<String>,
    /// Number of the work order.
    pub work_order: Option<String>,
    /// ISO 14224 code.
    pub failure_mode: Option<String>,
    /// Who.
    pub by: Option<String>,
    /// Day, as ISO 8601 writes it.
    pub on: Option<String>,
    /// Why, or what was seen.
    pub reason: Option<String>,
}

/// What is wrong with a field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Doubt {
    /// Name of the field.
    pub(super) field: &'static str,
    pub(super) what: String,
}

impl Doubt {
    const fn of(field: &'static str, what: String) -> Self {
        Self { field, what }
    }
}

/// The word on one of `findings` that `answer` is.
pub(super) fn word(answer: &Answer, findings: &[Finding]) -> Result<Acknowledgement, Doubt> {
    let finding = named(text("finding_id", answer.finding_id.as_ref())?, findings)?;
    let told = text("outcome", answer.outcome.as_ref())?.map(|text| text.to_lowercase().replace([' ', '-'], "_"));
    let outcome = told.filter(|text| text != SEEN).map(|text| {
        let what = || format!("{text:?} is none; acknowledged, confirmed, nothing_found or repaired is");
        WorkOutcome::from_code(&text).ok_or_else(|| Doubt::of("outcome", what()))
    });
    let failure_mode = text("failure_mode", answer.failure_mode.as_ref())?.map(|text| {
        let what = || format!("{text:?} is no failure mode of a motor or generator; {} are (ISO 14224)", modes::all());
        modes::known(text).map(str::to_owned).ok_or_else(|| Doubt::of("failure_mode", what()))
    });
    let on = text("on", answer.on.as_ref())?
        .map(|text| text.parse::<Date>().map_err(|_| Doubt::of("on", format!("{text:?} is no day; 2026-11-28 is"))));
    Ok(Acknowledgement {
        finding: finding.finding_id.clone(),
        word: Word::Acknowledged,
        level: finding.level.clone(),
        reason: text("reason", answer.reason.as_ref())?.unwrap_or("told by the maintenance system").to_owned(),
        by: text("by", answer.by.as_ref())?.map(str::to_owned),
        on: on.transpose()?.map(|day| day.to_string()),
        work_order: text("work_order", answer.work_order.as_ref())?.map(str::to_owned),
        outcome: outcome.transpose()?,
        failure_mode: failure_mode.transpose()?,
    })
}

/// The text of a field; `None` where it tells nothing.
fn text<'a>(field: &'static str, told: Option<&'a String>) -> Result<Option<&'a str>, Doubt> {
    let text = told.map(|text| text.trim()).filter(|text| !text.is_empty());
    if text.is_some_and(|text| text.chars().any(char::is_control)) {
        return Err(Doubt::of(field, "it holds control characters".to_owned()));
    }
    Ok(text)
}

fn named<'a>(id: Option<&str>, findings: &'a [Finding]) -> Result<&'a Finding, Doubt> {
    let doubt = |what: String| Doubt::of("finding_id", what);
    let id = id.ok_or_else(|| doubt("it is empty; the id of a finding is expected".to_owned()))?;
    find(findings, id).map_err(|unfound| doubt(unfound.to_string()))
}
