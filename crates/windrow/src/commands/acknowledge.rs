//! `windrow acknowledge`: a person closes a finding at its level, or takes that back; kept in decisions.toml.

use crate::args::AcknowledgeArgs;
use crate::{Ending, output};
use windrow_model::lookup::find;
use windrow_model::{Finding, Word};
use windrow_store::Fleet;
use windrow_tasks::acknowledge::{Said, acknowledge};
use windrow_tasks::findings;

pub(crate) fn run(args: &AcknowledgeArgs) -> anyhow::Result<Ending> {
    let fleet = Fleet::open(&args.fleet.fleet)?;
    let stored = fleet.snapshot()?.rows::<Finding>()?;
    let finding = find(&stored, &args.finding)?;
    let word = if args.undo { Word::TakenBack } else { Word::Acknowledged };
    acknowledge(&fleet, finding, &Said { word, reason: &args.reason, by: args.by.as_deref() })?;
    let what = match word {
        Word::Acknowledged => "acknowledged",
        Word::TakenBack => "open again",
    };
    let path = fleet.decisions_path();
    output::line(&format!("{} is {what}: {}; kept in {}", findings::short(finding), finding.statement, path.display()));
    Ok(Ending::Clean)
}
