//! A person closes a finding at its level, or takes that back; kept in decisions.toml.

use crate::{WrongUsage, clock, findings, judge};
use windrow_model::{Acknowledgement, Finding, Word};
use windrow_store::Fleet;

/// What a person says of a finding.
#[derive(Debug, Clone)]
pub struct Said<'a> {
    /// Closed, or open again.
    pub word: Word,
    /// Why; what the next person reads.
    pub reason: &'a str,
    /// Who.
    pub by: Option<&'a str>,
}

/// Writes the word down and judges the fleet again, so that the finding's state follows.
///
/// # Errors
/// [`WrongUsage`] when the word makes no sense on the finding as it is now: another person may have been quicker.
pub fn acknowledge(fleet: &Fleet, finding: &Finding, said: &Said<'_>) -> anyhow::Result<()> {
    if let Some(wrong) = refused(finding, said.word, said.reason) {
        return Err(WrongUsage(wrong).into());
    }
    fleet.acknowledge(Acknowledgement {
        finding: finding.finding_id.clone(),
        word: said.word,
        level: finding.level.clone(),
        reason: said.reason.trim().to_owned(),
        by: said.by.map(str::to_owned),
        on: Some(clock::today().to_string()),
        work_order: None,
        outcome: None,
        failure_mode: None,
    })?;
    judge::judge(fleet.dir()).map(drop)
}

/// Why a word on a finding makes no sense.
fn refused(finding: &Finding, word: Word, reason: &str) -> Option<String> {
    let id = findings::short(finding);
    if reason.trim().is_empty() {
        return Some("a reason is needed: it is what the next person reads (--reason \"rewind ordered\")".to_owned());
    }
    match (word, finding.state.as_str()) {
        (Word::Acknowledged, "cleared") => Some(format!("{id} is cleared already: newer data no longer shows it")),
        (Word::Acknowledged, "acknowledged") => {
            Some(format!("{id} is acknowledged already; `windrow acknowledge {id} --undo --reason …` takes it back"))
        }
        (Word::TakenBack, state) if state != "acknowledged" => {
            Some(format!("{id} is {state}, not acknowledged: there is nothing to take back"))
        }
        _ => None,
    }
}
