//! Prints every cell of a workbook as the reader gives it: `cargo run -p windrow-plugin-workbook --example dump -- FILE [count]`.
//! With `count`, prints only how many cells there are and how long reading took.

use std::io::Write;
use std::time::Instant;

use windrow_plugin_workbook as _;
use windrow_source::{Input, Limits, ReaderPlugin, Workbook};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut arguments = std::env::args().skip(1);
    let path = arguments.next().ok_or("expected the path of a workbook")?;
    let plugin = inventory::iter::<ReaderPlugin>().next().ok_or("the reader is not linked")?;
    let bytes = std::fs::read(&path)?;
    let start = Instant::now();
    let book = (plugin.read)(&Input::alone(&path, &bytes), &Limits::default())?;
    let mut out = std::io::BufWriter::new(std::io::stdout().lock());
    if arguments.next().is_some() {
        let cells: usize = book.sheets.iter().map(|sheet| sheet.cells.len()).sum();
        writeln!(out, "{cells} cells in {:.3} s", start.elapsed().as_secs_f64())?;
        return Ok(());
    }
    print(&book, &mut out)?;
    Ok(())
}

fn print(book: &Workbook, out: &mut impl Write) -> std::io::Result<()> {
    for note in &book.notes {
        writeln!(out, "note: {note}")?;
    }
    for sheet in &book.sheets {
        writeln!(
            out,
            "== {:?} hidden={} rows={:?} columns={:?}",
            sheet.name, sheet.hidden, sheet.hidden_rows, sheet.hidden_columns
        )?;
        writeln!(out, "   merges={:?}", sheet.merges)?;
        for cell in &sheet.cells {
            write!(out, "{}\t{:?}\t{:?}", cell.place(), cell.text, cell.content)?;
            for (name, value) in
                [("format", cell.format.as_deref()), ("note", cell.note.as_deref()), ("struck", cell.struck.as_deref())]
            {
                if let Some(value) = value {
                    write!(out, "\t{name}={value:?}")?;
                }
            }
            writeln!(out)?;
        }
    }
    Ok(())
}
