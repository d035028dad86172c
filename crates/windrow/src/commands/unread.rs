//! `windrow unread`: what no plugin understood, biggest first, so that it can be taught or fixed.

use crate::args::ListArgs;
use crate::{Ending, output};
use std::collections::BTreeMap;
use windrow_model::{CellRow, Disposition};
use windrow_store::Fleet;

pub(crate) fn run(args: &ListArgs) -> anyhow::Result<Ending> {
    let cells = Fleet::open(&args.fleet.fleet)?.snapshot()?.rows::<CellRow>()?;
    let mut heaps: BTreeMap<(&str, &str), Vec<&CellRow>> = BTreeMap::new();
    for cell in cells.iter().filter(|cell| cell.disposition == Disposition::Unread.code()) {
        let reason = cell.reason.as_deref().unwrap_or_default();
        heaps.entry((cell.source_file.as_str(), reason)).or_default().push(cell);
    }
    let mut heaps: Vec<_> = heaps.into_iter().collect();
    heaps.sort_by_key(|(_, cells)| std::cmp::Reverse(cells.len()));
    let rows: Vec<Vec<String>> = heaps
        .into_iter()
        .map(|((file, reason), cells)| {
            let first = cells.first();
            let text = first.map(|cell| cell.raw_text.chars().take(40).collect()).unwrap_or_default();
            vec![cells.len().to_string(), file.to_owned(), places(&cells), text, reason.to_owned()]
        })
        .collect();
    output::list(&["cells", "file", "where", "text", "why"], &rows, args.format)?;
    if rows.is_empty() {
        output::note("every cell was understood");
    }
    Ok(if rows.is_empty() { Ending::Clean } else { Ending::Open })
}

/// The first cell, and on how many more sheets there are such.
fn places(cells: &[&CellRow]) -> String {
    let Some(first) = cells.first() else { return String::new() };
    let sheets: std::collections::BTreeSet<_> = cells.iter().map(|cell| &cell.source_sheet).collect();
    let more = match sheets.len() {
        0 | 1 => String::new(),
        count => format!(" and {} more sheets", count - 1),
    };
    let sheet = first.source_sheet.as_deref().map(|sheet| format!("[{sheet}] ")).unwrap_or_default();
    format!("{sheet}{}{more}", first.source_cell)
}
