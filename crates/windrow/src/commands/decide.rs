//! `windrow decide`: a person's answer, written down with who and why; the next import applies it.

use crate::args::DecideArgs;
use crate::{Ending, output};
use anyhow::bail;
use std::collections::BTreeSet;
use windrow_model::{CellRow, Decision, Hold, Question, SourceRow};
use windrow_store::Fleet;
use windrow_tasks::decide::{Answer, Meant, answers, check, rulings};
use windrow_tasks::questions::goes_by_text;
use windrow_tasks::{clock, questions};

pub(crate) fn run(args: &DecideArgs) -> anyhow::Result<Ending> {
    let fleet = Fleet::open(&args.fleet.fleet)?;
    check(&fleet.settings()?)?;
    let rulings = match &args.file {
        Some(file) => unasked(args, file, &fleet)?,
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
    let answer = Answer { answer: &args.answer, by: args.by.as_deref(), why: args.why.as_deref() };
    let scope = Decision { sheet: args.sheet.clone(), cells: args.cells.clone(), ..blank(args, Question::Machine) };
    let is_meant = |ruling: &Decision| {
        scope.concerns("", ruling.sheet.as_deref()) && ruling.cells.as_deref().is_none_or(|cell| scope.covers(cell))
    };
    if let (Some(cells), None) = (&args.cells, &args.sheet) {
        let covered =
            group.holds.iter().filter(|hold| hold.source_cell.as_deref().is_some_and(|cell| scope.covers(cell)));
        one_sheet(cells, covered.map(|hold| hold.source_sheet.as_deref()))?;
    }
    let all = args.cells.is_none() && args.sheet.is_none();
    rulings(group, answer, if all { Meant::All } else { Meant::Told(&is_meant) })
}

/// Refuses cells that several sheets have: who names them looks at one sheet, and an answer there is none for the others.
fn one_sheet<'a>(cells: &str, sheets: impl Iterator<Item = Option<&'a str>>) -> anyhow::Result<()> {
    let sheets: BTreeSet<&str> = sheets.flatten().collect();
    if sheets.len() > 1 {
        let names: Vec<String> = sheets.iter().map(|sheet| format!("{sheet:?}")).collect();
        bail!("several sheets have cells {cells}: {}; tell with --sheet which of them is meant", names.join(", "));
    }
    Ok(())
}

/// Rulings on a file of the fleet about which nothing is asked.
fn unasked(args: &DecideArgs, file: &str, fleet: &Fleet) -> anyhow::Result<Vec<Decision>> {
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
    let whole = Decision {
        file: Some(file.to_owned()),
        sheet: args.sheet.clone(),
        cells: args.cells.clone(),
        ..blank(args, question)
    };
    let Some(cells) = &args.cells else { return Ok(vec![whole]) };
    let mut covered = fleet.snapshot()?.rows_where::<CellRow>("source_file", &[file])?;
    covered.retain(|cell| whole.concerns(file, cell.source_sheet.as_deref()) && whole.covers(&cell.source_cell));
    one_sheet(cells, covered.iter().map(|cell| cell.source_sheet.as_deref()))?;
    if !goes_by_text(question) {
        return Ok(vec![whole]);
    }
    if covered.is_empty() {
        bail!("{file:?} has nothing in cells {cells}; `windrow inspect` shows where what stands");
    }
    let on = |cell: &CellRow| Decision {
        sheet: cell.source_sheet.as_ref().map(ToString::to_string),
        cells: Some(cell.source_cell.to_string()),
        text: Some(cell.raw_text.to_string()),
        ..whole.clone()
    };
    Ok(covered.iter().map(on).collect())
}

/// A ruling on everything.
fn blank(args: &DecideArgs, question: Question) -> Decision {
    Decision {
        question,
        answer: args.answer.clone(),
        file: None,
        sheet: None,
        cells: None,
        text: None,
        by: args.by.clone(),
        on: Some(today()),
        why: args.why.clone(),
    }
}

fn today() -> String {
    clock::today().to_string()
}

#[cfg(test)]
mod tests {
    use super::one_sheet;

    #[test]
    fn cells_of_one_sheet_are_never_those_of_another() {
        assert!(one_sheet("A2", [Some("North"), Some("North")].into_iter()).is_ok());
        assert!(one_sheet("A2", [None].into_iter()).is_ok(), "delimited text has no sheets");
        let refused = one_sheet("A2", [Some("North"), Some("South")].into_iter()).unwrap_err().to_string();
        assert!(refused.contains("\"North\", \"South\"") && refused.contains("--sheet"), "{refused}");
    }
}
