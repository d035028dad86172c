//! A page to sheets.

use scraper::Html;
use windrow_source::encoding::{self, Encoding};
use windrow_source::{Area, Cell, Grid, Input, Limits, ReadError, Refusal, Workbook};

use crate::content;
use crate::spans::{self, Laid};
use crate::walk::{self, Block, Item};

/// Bytes in which a page may declare its encoding; HTML asks for it in the first 1024, exports keep to it loosely.
const DECLARATION: usize = 4 << 10;

/// Elements open at once that a page may have.
const MOST_OPEN: i64 = 2_000;
/// Elements that need no end, or that the next of their kind ends.
const ALONE: [&str; 24] = [
    "br", "hr", "img", "input", "meta", "link", "col", "wbr", "area", "base", "embed", "source", "param", "p", "li",
    "td", "th", "tr", "tbody", "thead", "tfoot", "dt", "dd", "option",
];

/// Reads each table with content as a sheet: unnamed when it is the only one, else `Table 1`, `Table 2` and so on.
///
/// Text before a table stands in rows above it, text after the last one in rows below; it has its XPath as address. The
/// cells of the table keep the addresses that they have in the table alone.
pub(crate) fn read(input: &Input<'_>, limits: &Limits) -> Result<Workbook, ReadError> {
    let decoded = encoding::decode_declared(input.bytes, declared(input.bytes));
    refuse_unclosed(&decoded.text)?;
    let html = Html::parse_document(&decoded.text);
    let (items, title) = walk::items(&html, limits)?;
    let mut sheets: Vec<Grid> = Vec::new();
    let mut texts: Vec<Block> = Vec::new();
    for item in items {
        match item {
            Item::Text(block) => texts.push(block),
            Item::Table(table) => {
                let mut laid = spans::lay_out(&table, limits)?;
                if !laid.cells.is_empty() {
                    let above = std::mem::take(&mut texts);
                    let hidden = table.hidden.iter().filter_map(|row| u32::try_from(*row).ok()).collect();
                    sheets.push(sheet(&above, &mut laid, hidden));
                }
            }
        }
    }
    let Some(last) = sheets.last_mut() else {
        return Err(ReadError::new(
            Refusal::Empty,
            "a page without a table that holds anything",
            "check what was exported",
        ));
    };
    below(last, &texts);
    if sheets.len() > limits.sheets {
        let found = format!("{} tables", sheets.len());
        return Err(ReadError::new(Refusal::TooLarge, found, "split it"));
    }
    if sheets.len() > 1 {
        for (number, sheet) in (1..).zip(&mut sheets) {
            sheet.name = Some(format!("Table {number}"));
        }
    }
    let title = (!title.is_empty()).then(|| format!("title of the page: {title}"));
    Ok(Workbook { sheets, notes: decoded.note().into_iter().chain(title).collect(), ..Workbook::default() })
}

/// The parser looks through all open elements again and again: a page that opens thousands and closes none would take hours.
fn refuse_unclosed(text: &str) -> Result<(), ReadError> {
    let (mut open, mut most) = (0_i64, 0_i64);
    for tag in text.split('<').skip(1) {
        let is_end = tag.starts_with('/');
        let name = tag.trim_start_matches('/');
        let name =
            name.get(..name.find(|c: char| !c.is_ascii_alphanumeric()).unwrap_or(name.len())).unwrap_or_default();
        let closes_itself = ALONE.iter().any(|alone| alone.eq_ignore_ascii_case(name));
        open += if name.is_empty() || closes_itself { 0 } else { 1 - 2 * i64::from(is_end) };
        most = most.max(open);
    }
    if most <= MOST_OPEN {
        return Ok(());
    }
    let found = format!("a page with {most} elements that are never closed");
    Err(ReadError::new(Refusal::Damaged, found, "save the page again from a browser"))
}

/// The encoding that a `charset=` near the start declares.
fn declared(bytes: &[u8]) -> Option<Encoding> {
    let head = String::from_utf8_lossy(bytes.get(..bytes.len().min(DECLARATION))?).to_ascii_lowercase();
    let (_, after) = head.split_once("charset=")?;
    let label = after.trim_start_matches(['"', '\'']);
    let end = label.find(|c: char| !(c.is_ascii_alphanumeric() || matches!(c, '-' | '_'))).unwrap_or(label.len());
    Encoding::of_label(label.get(..end)?)
}

/// The sheet of a table with the text above it; a row stays empty between the two.
fn sheet(above: &[Block], laid: &mut Laid, hidden: Vec<u32>) -> Grid {
    let mut grid = Grid { cells: text_cells(0, above), ..Grid::default() };
    let shift = if above.is_empty() { 0 } else { u32::try_from(above.len()).unwrap_or(0) + 1 };
    for cell in laid.cells.drain(..) {
        let place = cell.place();
        let moved = Cell { row: cell.row + shift, ..cell };
        grid.cells.push(if shift > 0 { moved.at(place) } else { moved });
    }
    let moved = |area: &Area| Area { top: area.top + shift, bottom: area.bottom + shift, ..*area };
    grid.merges = laid.merges.iter().map(moved).collect();
    grid.hidden_rows = hidden.into_iter().map(|row| row + shift).collect();
    grid.finish();
    grid
}

fn below(grid: &mut Grid, texts: &[Block]) {
    let first = grid.cells.last().map_or(0, |cell| cell.row + 2);
    grid.cells.extend(text_cells(first, texts));
    grid.finish();
}

fn text_cells(first: u32, texts: &[Block]) -> Vec<Cell> {
    let cells = (first..).zip(texts).filter_map(|(row, block)| {
        let cell = content::text_cell(row, 0, block.words.tidy())?;
        Some(cell.at(block.address.clone()))
    });
    cells.collect()
}
