//! A table for a terminal.

use super::{cell, names};
use comfy_table::{CellAlignment, ContentArrangement, Table, TableComponent, presets};
use polars::prelude::DataFrame;
use std::io::{self, Write};

/// Longest text shown in one cell, in characters; longer ones end in `…`.
const LONGEST: usize = 80;

pub(super) fn write(frame: &DataFrame, out: &mut dyn Write) -> io::Result<()> {
    let mut table = Table::new();
    table.load_preset(presets::UTF8_HORIZONTAL_ONLY).set_content_arrangement(ContentArrangement::Disabled);
    table.remove_style(TableComponent::HorizontalLines);
    table.remove_style(TableComponent::MiddleIntersections);
    table.set_header(names(frame).map(one_line));
    for row in 0..frame.height() {
        table.add_row(frame.columns().iter().map(|column| {
            let cell = cell(column, row);
            let alignment = if cell.is_number() { CellAlignment::Right } else { CellAlignment::Left };
            comfy_table::Cell::new(one_line(&cell.to_string())).set_alignment(alignment)
        }));
    }
    writeln!(out, "{table}")?;
    match frame.height() {
        1 => writeln!(out, "1 row"),
        rows => writeln!(out, "{rows} rows"),
    }
}

/// The text on one line: no control character of a record reaches the terminal.
fn one_line(text: &str) -> String {
    let mut line: String = text.chars().map(|letter| if letter.is_control() { ' ' } else { letter }).collect();
    if let Some((cut, _)) = line.char_indices().nth(LONGEST) {
        line.truncate(cut);
        line.push('\u{2026}');
    }
    line
}
