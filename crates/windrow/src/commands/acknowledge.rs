//! `windrow acknowledge`: a person closes a finding at its level, or takes that back; kept in decisions.toml.

use crate::args::AcknowledgeArgs;
use crate::commands::analyze;
use crate::{Ending, WrongUsage, clock, findings, output};
use windrow_model::{Acknowledgement, Finding, Word};
use windrow_store::Fleet;

pub(crate) fn run(args: &AcknowledgeArgs) -> anyhow::Result<Ending> {
    let fleet = Fleet::open(&args.fleet.fleet)?;
    let stored = fleet.snapshot()?.rows::<Finding>()?;
    let finding = findings::find(&stored, &args.finding)?;
    let word = if args.undo { Word::TakenBack } else { Word::Acknowledged };
    if let Some(wrong) = refused(finding, word, &args.reason) {
        return Err(WrongUsage(wrong).into());
    }
    fleet.acknowledge(Acknowledgement {
        finding: finding.finding_id.clone(),
        word,
        level: finding.level.clone(),
        reason: args.reason.trim().to_owned(),
        by: args.by.clone(),
        on: Some(clock::today().to_string()),
    })?;
    analyze::judge(&args.fleet.fleet)?;
    let what = match word {
        Word::Acknowledged => "acknowledged",
        Word::TakenBack => "open again",
    };
    let path = fleet.decisions_path();
    output::line(&format!("{} is {what}: {}; kept in {}", findings::short(finding), finding.statement, path.display()));
    Ok(Ending::Clean)
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
