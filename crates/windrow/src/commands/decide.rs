//! `windrow decide`: a person's answer, written down with who and why; the next import applies it.

use crate::args::DecideArgs;
use crate::{Ending, output, questions};
use anyhow::bail;
use windrow_model::settings::Settings;
use windrow_model::{Hold, Question};
use windrow_sheet::ruling;
use windrow_store::Fleet;

pub(crate) fn run(args: &DecideArgs) -> anyhow::Result<Ending> {
    let fleet = Fleet::open(&args.fleet.fleet)?;
    check(&fleet.settings()?)?;
    let groups = questions::groups(fleet.snapshot()?.rows::<Hold>()?);
    let group = questions::find(&groups, &args.id)?;
    let question = group.holds.first().and_then(|hold| Question::from_code(&hold.question));
    if let Some(question) = question
        && let Err(expected) = answers(question, &args.answer)
    {
        bail!("{:?} does not answer the question {question} ({}): {expected}", args.answer, group.place());
    }
    let today: String = jiff::Timestamp::now().to_string().chars().take("2026-11-28".len()).collect();
    let rulings = group.rulings(&args.answer, args.by.as_deref(), args.why.as_deref(), &today);
    let count = rulings.len();
    fleet.decide(rulings)?;
    let path = fleet.decisions_path();
    let rulings = if count == 1 { "1 ruling".to_owned() } else { format!("{count} rulings") };
    output::line(&format!("{rulings} added to {}; the next import of these records applies them", path.display()));
    Ok(Ending::Clean)
}

/// Checks that every ruling of a fleet answers its question, and that every layout says what is known.
///
/// # Errors
/// The first that does not, and what was expected.
pub(crate) fn check(settings: &Settings) -> anyhow::Result<()> {
    for layout in &settings.layouts {
        if let Err(wrong) = windrow_sheet::layout::check(layout) {
            bail!("layouts/, layout {:?}: {wrong}", layout.name);
        }
    }
    for (number, decision) in (1..).zip(&settings.decisions) {
        if let Err(expected) = answers(decision.question, &decision.answer) {
            bail!(
                "decisions.toml, ruling {number} ({} = {:?}): {expected}; correct or delete it",
                decision.question,
                decision.answer
            );
        }
    }
    Ok(())
}

/// Checks that an answer has the form that its question wants.
fn answers(question: Question, answer: &str) -> Result<(), String> {
    match question {
        Question::SameTest => windrow_identity::duplicates::answers(answer),
        Question::Nameplate => windrow_identity::nameplate::answers(answer),
        Question::SameMachine => windrow_identity::ruling::read(question, answer).map(drop),
        _ => ruling::read(question, answer).map(drop),
    }
}
