//! `windrow decide`: a person's answer, written down with who and why; the next import applies it.

use crate::args::DecideArgs;
use crate::{Ending, clock, output, questions};
use anyhow::bail;
use windrow_model::decision::NO_READING;
use windrow_model::settings::Settings;
use windrow_model::{Decision, Hold, Question, SourceRow};
use windrow_sheet::ruling;
use windrow_store::Fleet;

pub(crate) fn run(args: &DecideArgs) -> anyhow::Result<Ending> {
    let fleet = Fleet::open(&args.fleet.fleet)?;
    check(&fleet.settings()?)?;
    let rulings = match &args.file {
        Some(file) => vec![unasked(args, file, &fleet)?],
        None => asked(args, &fleet)?,
    };
    let count = rulings.len();
    fleet.decide(rulings)?;
    let path = fleet.decisions_path();
    let rulings = if count == 1 { "1 ruling".to_owned() } else { format!("{count} rulings") };
    output::line(&format!(
        "{rulings} added to {}; the next import of these records applies them, and deleting a ruling there takes it back",
        path.display()
    ));
    Ok(Ending::Clean)
}

/// The answer to a question that was asked, on each of its cells that is meant.
fn asked(args: &DecideArgs, fleet: &Fleet) -> anyhow::Result<Vec<Decision>> {
    let groups = questions::groups(fleet.snapshot()?.rows::<Hold>()?);
    let group = questions::find(&groups, &args.id)?;
    let question = group.holds.first().and_then(|hold| Question::from_code(&hold.question));
    if let Some(question) = question
        && let Err(expected) = answers(question, &args.answer)
    {
        bail!("{:?} does not answer the question {question} ({}): {expected}", args.answer, group.place());
    }
    if args.cells.is_none() && args.sheet.is_none() && group.is_about_several_machines() && args.answer != NO_READING {
        bail!(
            "{} records say {:?} ({}), and nothing says that they are of one machine: tell with --cells which of them are {:?}, such \
             as --cells {}; `windrow holds --explain {}` lists them",
            group.holds.len(),
            group.holds.first().map(|hold| hold.raw_text.as_str()).unwrap_or_default(),
            group.place(),
            args.answer,
            group.holds.first().and_then(|hold| hold.source_cell.as_deref()).unwrap_or("A2:A9"),
            group.id
        );
    }
    let scope = Decision { sheet: args.sheet.clone(), cells: args.cells.clone(), ..blank(args, Question::Machine) };
    let is_meant = |ruling: &Decision| {
        scope.concerns("", ruling.sheet.as_deref()) && ruling.cells.as_deref().is_none_or(|cell| scope.covers(cell))
    };
    let mut rulings = group.rulings(&args.answer, args.by.as_deref(), args.why.as_deref(), &today());
    rulings.retain(is_meant);
    if rulings.is_empty() {
        bail!(
            "the question {} is about none of these cells; `windrow holds --explain {}` lists its cells",
            group.id,
            group.id
        );
    }
    Ok(rulings)
}

/// A ruling on a file of the fleet about which nothing is asked.
fn unasked(args: &DecideArgs, file: &str, fleet: &Fleet) -> anyhow::Result<Decision> {
    let Some(question) = Question::from_code(&args.id) else {
        let codes: Vec<&str> = Question::ALL.iter().map(|question| question.code()).collect();
        bail!("with --file the question itself is told, one of {}; {:?} is none", codes.join(", "), args.id);
    };
    if let Err(expected) = answers(question, &args.answer) {
        bail!("{:?} does not answer the question {question}: {expected}", args.answer);
    }
    if !fleet.snapshot()?.rows::<SourceRow>()?.iter().any(|source| source.source_file == file) {
        bail!(
            "the fleet has no file {file:?}; `windrow query \"SELECT source_file FROM sources\" --fleet {}` lists them",
            args.fleet.fleet.display()
        );
    }
    if question == Question::Nameplate && args.cells.is_none() {
        bail!(
            "a rated voltage is ruled cell by cell: tell with --cells where it stands, or where the machine is named"
        );
    }
    Ok(Decision {
        file: Some(file.to_owned()),
        sheet: args.sheet.clone(),
        cells: args.cells.clone(),
        ..blank(args, question)
    })
}

/// A ruling on everything.
fn blank(args: &DecideArgs, question: Question) -> Decision {
    Decision {
        question,
        answer: args.answer.clone(),
        file: None,
        sheet: None,
        cells: None,
        by: args.by.clone(),
        on: Some(today()),
        why: args.why.clone(),
    }
}

fn today() -> String {
    clock::today().to_string()
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
        Question::Corrected => windrow_pipeline::corrected::answers(answer),
        Question::Nameplate => voltage(answer),
        Question::SameMachine => windrow_identity::ruling::read(question, answer).map(drop),
        _ => ruling::read(question, answer).map(drop),
    }
}

/// Checks a rated voltage that a person tells: a ruling must not bring in what no machine has.
fn voltage(answer: &str) -> Result<(), String> {
    let Some(volts) = windrow_identity::nameplate::read(answer)? else { return Ok(()) };
    match windrow_criteria::rated::doubt(volts) {
        Some(doubt) if !doubt.can_be_confirmed => Err(doubt.reason),
        _ => Ok(()),
    }
}
