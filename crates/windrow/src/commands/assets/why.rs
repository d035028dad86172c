//! Why two names are one machine or two.

use super::called;
use std::collections::BTreeSet;
use std::fmt::Write;
use windrow_identity::evidence::{Evidence, LIKELY, Profile, SURE, compare, total};
use windrow_model::{Asset, CellRow, Test};
use windrow_store::Snapshot;
use windrow_text::tag;

/// The evidence for and against, side by side with where it is told.
pub(super) fn why(
    (name_a, a): (&str, &Asset),
    (name_b, b): (&str, &Asset),
    tests: &[Test],
    snapshot: &Snapshot,
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
    let sum = total(&evidence);
    let _ = writeln!(out, "\n{sum:+.1}  in all; one machine from {SURE:+.1}, asked from {LIKELY:+.1}");
    let verdict = match (one, sum) {
        (true, sum) if sum >= SURE => "they are one machine",
        (true, _) => {
            "they are one machine: a serial number, the nameplate, other names or a ruling told more than these two names do"
        }
        (false, sum) if sum >= LIKELY => "they are two machines until a person rules; windrow holds lists the question",
        (false, _) => "they are two machines",
    };
    let _ = writeln!(out, "{verdict}");
    Ok(out)
}

/// The spelling of the machine's tag that a name stands for.
fn spelling<'a>(asset: &'a Asset, name: &str) -> &'a str {
    let own = tag::fold(name.split_once(", ").map_or(name, |(own, _)| own));
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
    let mut found: Vec<String> = cells
        .iter()
        .filter(is_told)
        .map(|cell| {
            let sheet = cell.source_sheet.as_deref().map(|sheet| format!(" [{sheet}]")).unwrap_or_default();
            format!("{}{sheet} {} {:?}", cell.source_file, cell.source_cell, cell.raw_text)
        })
        .collect();
    let more = found.len().saturating_sub(MOST_CELLS);
    found.truncate(MOST_CELLS);
    let more = if more == 0 { String::new() } else { format!(" and {more} more cells") };
    if found.is_empty() { String::new() } else { format!("   told at {}{more}", found.join(", ")) }
}
