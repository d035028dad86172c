//! The only place that prints.
#![expect(clippy::print_stdout, clippy::print_stderr, reason = "this module is the terminal's door")]

use std::io::{ErrorKind, Write};

/// A line for people about the run, on standard error: standard output is for data.
pub(crate) fn note(text: &str) {
    eprintln!("{text}");
}

/// Data or an answer, on standard output. A closed pipe (`| head`) ends quietly.
pub(crate) fn data(bytes: &[u8]) -> anyhow::Result<()> {
    let mut out = std::io::stdout().lock();
    match out.write_all(bytes).and_then(|()| out.flush()) {
        Err(error) if error.kind() == ErrorKind::BrokenPipe => Ok(()),
        result => Ok(result?),
    }
}

/// A line of an answer, on standard output.
pub(crate) fn line(text: &str) {
    println!("{text}");
}

/// Columns aligned for a terminal: `header`, then `rows` of the same length.
pub(crate) fn table(header: &[&str], rows: &[Vec<String>]) -> String {
    let mut widths: Vec<usize> = header.iter().map(|name| name.chars().count()).collect();
    for row in rows {
        for (width, cell) in widths.iter_mut().zip(row) {
            *width = (*width).max(cell.chars().count());
        }
    }
    let header: Vec<String> = header.iter().map(|name| (*name).to_owned()).collect();
    let mut out = String::new();
    for row in std::iter::once(&header).chain(rows) {
        let cells: Vec<String> = row.iter().zip(&widths).map(|(cell, width)| format!("{cell:<width$}")).collect();
        out.push_str(cells.join("  ").trim_end());
        out.push('\n');
    }
    out
}

/// A form in which rows are printed.
pub(crate) trait Listing {
    /// The bytes of `rows` under `header`.
    fn print(self, header: &[&str], rows: &[Vec<String>]) -> anyhow::Result<Vec<u8>>;
}

/// Prints rows in the form that was asked for.
pub(crate) fn list(header: &[&str], rows: &[Vec<String>], format: impl Listing) -> anyhow::Result<()> {
    data(&format.print(header, rows)?)
}
