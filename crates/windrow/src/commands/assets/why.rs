//! Why two names are one machine or two.

use super::called;
use std::collections::BTreeSet;
use std::fmt::Write;
use windrow_identity::evidence::{Evidence, LIKELY, Profile, SURE, compare, total};
use windrow_model::place::read_a1;
use windrow_model::{Asset, CellRow, Decision, Question, Test};
use windrow_store::Snapshot;
use windrow_text::naming::earlier;
use windrow_text::tag;

/// The evidence for and against, side by side with where it is told.
pub(super) fn why(
    (name_a, a): (&str, &Asset),
    (name_b, b): (&str, &Asset),
    tests: &[Test],
    (snapshot, decisions): (&Snapshot, &[Decision]),
) -> anyhow::Result<String> {
    let one = a.asset_id == b.asset_id;
    // Names of one machine share its nameplate: only the names themselves can be weighed then.
    let profile = |name: &str, asset: &Asset| {
        let spelling = spelling(asset, name);
        let whole = Profile::of(asset, spelling);
        if one { Profile { site: whole.site, tag: whole.tag, ..Profile::default() } } else { whole }
    };
    let evidence = compare(&profile(name_a, a), &profile(name_b, b));
    let cells = snapshot.rows::<CellRow>()?;
    let mut out = format!("A  {}\nB  {}\n\n", called(a), called(b));
    for piece in &evidence {
        let _ = writeln!(
            out,
            "{:+.1}  {}\n      A {}{}\n      B {}{}",
            piece.weight,
            piece.what,
            piece.a,
            told_at(piece, &piece.a, a, tests, &cells),
            piece.b,
            told_at(piece, &piece.b, b, tests, &cells)
        );
    }
    for line in
        told_as_one([name_a, name_b], [a, b], &cells).into_iter().chain(ruled([name_a, name_b], decisions, &cells))
    {
        let _ = writeln!(out, "sure  {line}");
    }
    let sum = total(&evidence);
    let _ = writeln!(out, "\n{sum:+.1}  in all; one machine from {SURE:+.1}, asked from {LIKELY:+.1}");
    let verdict = match (one, sum) {
        (true, sum) if sum >= SURE => "they are one machine",
        (true, _) => {
            "they are one machine: what is told as sure, a serial number, the nameplate or other names told more than these two names do"
        }
        (false, sum) if sum >= LIKELY => "they are two machines until a person rules; windrow holds lists the question",
        (false, _) => "they are two machines",
    };
    let _ = writeln!(out, "{verdict}");
    Ok(out)
}

/// Where a list or a note says that what had the one name has the other: a line of a list of renumbered machines, a tag beside its functional
/// location, or "P-7 (formerly P-3)".
fn told_as_one(names: [&str; 2], assets: [&Asset; 2], cells: &[CellRow]) -> Vec<String> {
    let [a, b] = names.map(own_name);
    let is = |text: &str, name: &str| tag::fold(text) == *name;
    let both = |one: &str, other: &str| is(one, &a) && is(other, &b) || is(one, &b) && is(other, &a);
    let aliases = assets.map(|asset| format!("assets/{}/aliases", asset.asset_id));
    let locations = assets.map(|asset| format!("assets/{}/functional_location", asset.asset_id));
    let tags = assets.map(|asset| format!("assets/{}/tag", asset.asset_id));
    let mut found = Vec::new();
    let is_of = |cell: &CellRow, columns: &[String; 2]| {
        cell.target.as_ref().is_some_and(|target| columns.contains(&target.to_string()))
    };
    for old in cells.iter().filter(|cell| is_of(cell, &aliases) || is_of(cell, &locations)) {
        let is_beside = |new: &&CellRow| {
            new.source_file == old.source_file
                && new.source_sheet == old.source_sheet
                && row_of(new).is_some()
                && row_of(new) == row_of(old)
                && new.target.as_ref().is_some_and(|target| tags.contains(&target.to_string()))
                && both(&old.raw_text, &new.raw_text)
        };
        if let Some(new) = cells.iter().find(is_beside) {
            let (tag, other) = (&new.raw_text, &old.raw_text);
            let told = if is_of(old, &locations) {
                format!("the equipment list puts {tag} at {other}")
            } else {
                format!("a list gives {tag} to what was {other}")
            };
            found.push(format!("{told}   told at {} and {}", at(old), at(new)));
        }
    }
    let noted = cells.iter().filter(|cell| earlier(&cell.raw_text).is_some_and(|(now, old)| both(now, old)));
    found.extend(noted.take(MOST_CELLS).map(|cell| format!("{:?}   told at {}", cell.raw_text, at(cell))));
    found
}

/// Rulings of people that name the one machine at a cell that names the other.
fn ruled(names: [&str; 2], decisions: &[Decision], cells: &[CellRow]) -> Vec<String> {
    let [a, b] = names.map(own_name);
    let about = |decision: &&Decision| {
        let answer = decision.answer.as_str();
        let other = ["same as ", "different from ", "renamed from ", "moved from "];
        let named = other
            .iter()
            .find_map(|words| answer.strip_prefix(words))
            .map(|name| own_name(name.split(" on ").next().unwrap_or(name)));
        let cell = cells.iter().find(|cell| {
            decision.file.as_deref() == Some(cell.source_file.as_str())
                && decision.concerns(&cell.source_file, cell.source_sheet.as_deref())
                && decision.cells.as_deref() == Some(cell.source_cell.as_str())
        });
        let own = cell.map(|cell| tag::fold(&cell.raw_text));
        decision.question == Question::SameMachine
            && (named.as_ref() == Some(&a) && own.as_ref() == Some(&b)
                || named.as_ref() == Some(&b) && own.as_ref() == Some(&a))
    };
    let shown = |decision: &Decision| format!("{:?}   {}", decision.answer, decision.credit());
    decisions.iter().filter(about).map(shown).collect()
}

/// A name as it is compared: without its site, folded.
fn own_name(name: &str) -> String {
    tag::fold(name.split_once(", ").map_or(name, |(own, _)| own))
}

fn row_of(cell: &CellRow) -> Option<u32> {
    read_a1(&cell.source_cell).map(|(row, _)| row)
}

fn at(cell: &CellRow) -> String {
    let sheet = cell.source_sheet.as_deref().map(|sheet| format!(" [{sheet}]")).unwrap_or_default();
    format!("{}{sheet} {}", cell.source_file, cell.source_cell)
}

/// The spelling of the machine's tag that a name stands for.
fn spelling<'a>(asset: &'a Asset, name: &str) -> &'a str {
    let own = own_name(name);
    asset.aliases.iter().find(|alias| tag::fold(alias) == own).map_or(asset.tag.as_str(), String::as_str)
}

/// Cells shown for a piece of evidence.
const MOST_CELLS: usize = 2;

/// Where a piece of evidence is told: cells that became this column of the machine, or that named it in a test.
fn told_at(evidence: &Evidence, told: &str, asset: &Asset, tests: &[Test], cells: &[CellRow]) -> String {
    let own = format!("assets/{}/{}", asset.asset_id, evidence.column);
    let named: BTreeSet<String> = tests
        .iter()
        .filter(|test| test.asset_id.as_deref() == Some(asset.asset_id.as_str()))
        .map(|test| format!("tests/{}/asset_id", test.test_id))
        .collect();
    let is_told = |cell: &&CellRow| {
        let Some(target) = &cell.target else { return false };
        let same_text = tag::fold(&cell.raw_text) == tag::fold(told);
        // A tag has many spellings: only the cells with this one tell it.
        (*target == own && (same_text || evidence.column != "tag")) || same_text && named.contains(target.as_str())
    };
    let mut found: Vec<String> =
        cells.iter().filter(is_told).map(|cell| format!("{} {:?}", at(cell), cell.raw_text)).collect();
    let more = found.len().saturating_sub(MOST_CELLS);
    found.truncate(MOST_CELLS);
    let more = if more == 0 { String::new() } else { format!(" and {more} more cells") };
    if found.is_empty() { String::new() } else { format!("   told at {}{more}", found.join(", ")) }
}
