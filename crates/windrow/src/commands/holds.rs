//! `windrow holds`: what waits for a person, and the cell in its surroundings.

use crate::args::HoldsArgs;
use crate::{Ending, output};
use std::fmt::Write;
use windrow_model::place::{column_letters, read_a1};
use windrow_model::{CellRow, Hold, Question};
use windrow_store::{Fleet, Snapshot};
use windrow_tasks::questions::{self, Group};

pub(crate) fn run(args: &HoldsArgs) -> anyhow::Result<Ending> {
    let snapshot = Fleet::open(&args.fleet.fleet)?.snapshot()?;
    let groups = questions::groups(snapshot.rows::<Hold>()?);
    if let Some(id) = &args.explain {
        output::data(explanation(questions::find(&groups, id)?, &snapshot)?.as_bytes())?;
        return Ok(Ending::Clean);
    }
    let rows: Vec<Vec<String>> = groups.iter().map(row).collect();
    output::list(&["id", "question", "where", "text", "choices"], &rows, args.format)?;
    if rows.is_empty() {
        output::note("no question is open");
    } else {
        output::note("windrow holds --explain ID shows one; windrow decide ID ANSWER answers it");
    }
    Ok(if rows.is_empty() { Ending::Clean } else { Ending::Open })
}

fn row(group: &Group) -> Vec<String> {
    let first = group.holds.first();
    let text = |pick: &dyn Fn(&Hold) -> String| first.map(pick).unwrap_or_default();
    vec![
        group.id.clone(),
        text(&|hold| hold.question.to_string()),
        group.place(),
        text(&|hold| hold.raw_text.chars().take(30).collect()),
        text(&|hold| hold.choices.join(" | ")),
    ]
}

fn explanation(group: &Group, snapshot: &Snapshot) -> anyhow::Result<String> {
    let Some(first) = group.holds.first() else { return Ok(String::new()) };
    let meaning = Question::from_code(&first.question).map_or("", Question::doc).trim();
    let mut out = format!("{}  {meaning}\n{}\n{}\n\n", group.id, group.place(), first.context);
    let cells: Vec<CellRow> = snapshot
        .rows::<CellRow>()?
        .into_iter()
        .filter(|cell| cell.source_file == first.source_file && cell.source_sheet == first.source_sheet)
        .collect();
    out.push_str(&surroundings(first, &cells));
    if !first.choices.is_empty() {
        let _ = writeln!(out, "\nit could be: {}", first.choices.join(", "));
    }
    for hold in group.holds.iter().skip(1).take(8) {
        let _ = writeln!(
            out,
            "also: {} {}",
            hold.source_sheet.as_deref().unwrap_or(""),
            hold.source_cell.as_deref().unwrap_or("")
        );
    }
    let no_reading = if is_about_readings(&first.question) { " (or \"no reading\")" } else { "" };
    let several = if group.holds.len() > 1 { "\nsome of its cells only: --cells A2:A9" } else { "" };
    let _ = writeln!(out, "\nanswer: windrow decide {} ANSWER --fleet DIR{no_reading}{several}", group.id);
    Ok(out)
}

/// Whether "no reading" answers a question: not where machines, tests or nameplates are asked about.
fn is_about_readings(question: &str) -> bool {
    let of_rows = [Question::SameMachine, Question::SameTest, Question::Nameplate, Question::Corrected];
    !of_rows.iter().any(|other| other.code() == question)
}

/// Rows above and below, and columns on each side, that are shown.
const REACH: (u32, u32) = (4, 3);
/// Widest column shown, in characters.
const WIDEST: usize = 18;

/// The cell among its neighbours, between `»` and `«`.
fn surroundings(hold: &Hold, cells: &[CellRow]) -> String {
    let asked = hold.source_cell.as_deref().unwrap_or_default();
    let first = asked.split(':').next().unwrap_or_default();
    let Some((row, column)) = read_a1(first) else { return in_order(asked, cells) };
    let rows = row.saturating_sub(REACH.0)..=row + REACH.0;
    let columns = column.saturating_sub(REACH.1)..=column + REACH.1;
    let near: Vec<((u32, u32), &CellRow)> = cells
        .iter()
        .filter_map(|cell| Some((read_a1(&cell.source_cell)?, cell)))
        .filter(|((r, c), _)| rows.contains(r) && columns.contains(c))
        .collect();
    let text = |r: u32, c: u32| {
        let found = near.iter().find(|(at, _)| *at == (r, c)).map_or("", |(_, cell)| cell.raw_text.as_str());
        let short: String = found.replace('\n', " ").chars().take(WIDEST).collect();
        if (r, c) == (row, column) { format!("»{short}«") } else { short }
    };
    let letters = columns.clone().map(|column| column_letters(column).to_string());
    let header: Vec<String> = std::iter::once(String::new()).chain(letters).collect();
    let header: Vec<&str> = header.iter().map(String::as_str).collect();
    let lines: Vec<Vec<String>> = rows
        .map(|r| std::iter::once((r + 1).to_string()).chain(columns.clone().map(|c| text(r, c))).collect())
        .collect();
    output::table(&header, &lines)
}

/// Neighbours in the order of the file, where cells have no rows and columns.
fn in_order(asked: &str, cells: &[CellRow]) -> String {
    let at = cells.iter().position(|cell| cell.source_cell == asked).unwrap_or(0);
    let near = cells.iter().skip(at.saturating_sub(5)).take(11);
    let lines: Vec<Vec<String>> = near
        .map(|cell| {
            let mark = if cell.source_cell == asked { "»" } else { "" };
            vec![mark.to_owned(), cell.source_cell.to_string(), cell.raw_text.chars().take(60).collect()]
        })
        .collect();
    output::table(&["", "place", "text"], &lines)
}
