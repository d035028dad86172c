//! The running text of a sheet, and which cell each of its signs stands in.

use super::piece::APART;
use crate::cut::Cut;
use crate::inline;
use crate::sense::Kind;
use crate::view::{Item, View};
use std::collections::BTreeSet;
use std::ops::Range;
use windrow_source::Content;

/// Running text with the cells that it was put together from.
#[derive(Debug, Default)]
pub(super) struct Running {
    pub text: String,
    /// Byte ranges of cells, in order.
    cells: Vec<(Range<usize>, Item)>,
    /// Rows over which a line of several headings stands, so that what is below may be a table's.
    headed: Vec<u32>,
}

impl Running {
    /// The cell in which a byte of the text stands.
    pub(super) fn item(&self, at: usize) -> Option<Item> {
        let index = self.cells.partition_point(|(range, _)| range.end <= at);
        self.cells.get(index).filter(|(range, _)| range.start <= at).map(|(_, item)| *item)
    }

    /// The cells that a range of the text touches.
    pub(super) fn items(&self, range: &Range<usize>) -> Vec<Item> {
        let touching = self.cells.iter().filter(|(own, _)| own.start < range.end && range.start < own.end);
        touching.map(|(_, item)| *item).collect()
    }

    /// Whether a line of headings stands right over the run of lines that this row is in.
    pub(super) fn is_headed(&self, row: u32) -> bool {
        self.headed.contains(&row)
    }

    fn push(&mut self, text: &str, item: Item) {
        let from = self.text.len();
        self.text.push_str(text);
        self.cells.push((from..self.text.len(), item));
    }
}

/// Longest text of a cell that is read, in bytes.
const LONGEST: usize = 4_000;

/// The running text of a view: its lines where the source is a text or the paragraphs of a document, else each loose text by itself.
/// `None` where no text tells a resistance.
pub(super) fn text(view: &View<'_>, cut: &Cut) -> Option<Running> {
    let free: BTreeSet<u32> = cut.loose.iter().map(|item| item.cell).collect();
    // A value with its unit in a table is the table's.
    let is_open = |item: &Item| view.sense(item).kind == Kind::Text || free.contains(&item.cell);
    let tells = |item: &&Item| view.cell(item).content == Content::Text && tells_resistance(&view.cell(item).text);
    if !view.items().iter().filter(tells).any(is_open) {
        return None;
    }
    let mut running = Running::default();
    let mut last: Option<u32> = None;
    for line in 0..view.line_count() {
        let items = view.line(line);
        let row = view.row(line);
        if items.iter().all(|item| is_of_text(view, item)) {
            let is_next = last.is_some_and(|last| last + 1 == row) && !is_paragraph(view, items);
            running.text.push_str(if is_next { "\n" } else { "\n\n" });
            set_line(view, items, &mut running);
            last = Some(row);
            continue;
        }
        last = None;
        running.text.push(APART);
        let loose = items.iter().filter(|item| view.sense(item).kind == Kind::Text && free.contains(&item.cell));
        for item in loose.filter(|item| tells_resistance(&view.cell(item).text)) {
            running.text.push(APART);
            let text = view.cell(item).text.clone();
            if text.len() <= LONGEST {
                running.push(&text, *item);
            }
        }
    }
    running.headed = headed(view);
    Some(running)
}

/// Rows of runs of lines under a line of several pieces that no sentence is.
fn headed(view: &View<'_>) -> Vec<u32> {
    let mut rows = Vec::new();
    let mut is_headed = false;
    for line in 0..view.line_count() {
        let (items, row) = (view.line(line), view.row(line));
        let is_next = line > 0 && view.row(line - 1) + 1 == row;
        let is_heading = items.len() >= 2
            && items.iter().all(|item| !view.cell(item).text.contains(|c: char| c.is_ascii_digit()))
            && items.iter().all(|item| view.sense(item).words <= 4);
        if is_heading {
            is_headed = true;
        } else if !is_next {
            is_headed = false;
        }
        if is_headed && !is_heading {
            rows.push(row);
        }
    }
    rows
}

/// Whether a cell is a label with its measured value, which the reader of pairs understands.
pub(super) fn is_measured_pair(view: &View<'_>, item: &Item) -> bool {
    let text = &view.cell(item).text;
    let pairs = inline::read(text);
    pairs.iter().any(|pair| {
        let units = pair.sense.measure.iter().flat_map(|measure| &measure.parts).flat_map(|part| &part.units);
        units.into_iter().any(|meaning| meaning.unit.dimension == windrow_model::Dimension::Resistance)
    })
}

/// Whether a cell is a piece of a line of text, or a paragraph: its address says so.
fn is_of_text(view: &View<'_>, item: &Item) -> bool {
    line_and_column(view, item).is_some() || is_paragraph(view, std::slice::from_ref(item))
}

fn is_paragraph(view: &View<'_>, items: &[Item]) -> bool {
    items.iter().all(|item| view.cell(item).address.as_deref().is_some_and(|address| address.contains("paragraph")))
}

fn line_and_column(view: &View<'_>, item: &Item) -> Option<(usize, usize)> {
    let (line, column) = view.cell(item).address.as_deref()?.split_once(':')?;
    Some((line.parse().ok()?, column.parse().ok()?))
}

/// Sets the pieces of a line where they stood.
fn set_line(view: &View<'_>, items: &[Item], running: &mut Running) {
    let mut reached: Option<usize> = None;
    for item in items {
        let text = &view.cell(item).text;
        if text.len() > LONGEST {
            continue;
        }
        let column = line_and_column(view, item).map(|(_, column)| column);
        let blanks = match (reached, column) {
            (None, _) => 0,
            (Some(reached), Some(column)) => column.saturating_sub(reached).clamp(1, 8),
            (Some(_), None) => 2,
        };
        running.text.push_str(&" ".repeat(blanks));
        running.push(text, *item);
        reached = column.map(|column| column + text.chars().count());
    }
}

/// Whether a text may tell a unit of resistance: cheap, and true too often.
fn tells_resistance(text: &str) -> bool {
    let is_unit = |three: &[u8]| three.eq_ignore_ascii_case(b"ohm") || three.eq_ignore_ascii_case(b"meg");
    text.contains(['Ω', '\u{2126}', 'Î']) || text.as_bytes().windows(3).any(is_unit)
}
