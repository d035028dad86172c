//! Reads a source whole.

use windrow_source::spreadsheet::budget::Budget;
use windrow_source::{Cell, Grid, Input, Limits, ReadError, Refusal, Workbook, encoding};

use crate::claim::{Form, form};
use crate::config::{Config, REPAIR};
use crate::single::{Part, parts};
use crate::{page, samples};

/// Reads the configuration as one sheet and the samples of a single file as another.
///
/// # Errors
/// [`Refusal::Unsupported`] for data without a configuration, [`Refusal::Damaged`] where lines or samples are missing or make no sense,
/// [`Refusal::TooLarge`] over a limit.
pub(crate) fn read(input: &Input<'_>, limits: &Limits) -> Result<Workbook, ReadError> {
    match form(input.name, input.bytes, input.bytes.len()) {
        Some(Form::Single) => single(input.bytes, limits),
        Some(Form::Configuration) => {
            let decoded = encoding::decode(input.bytes);
            let config = Config::of(&decoded.text, 1)?;
            let sheet = page::sheet(&config, limits, &mut Budget::new(limits))?;
            let apart = "the samples lie in a file of their own (.dat), which is not read; to read them, let the program that wrote the \
                         record save it as a single file (.cff)";
            Ok(Workbook { sheets: vec![sheet], notes: decoded.note().into_iter().chain([apart.to_owned()]).collect() })
        }
        Some(Form::Data) => {
            let found = "it holds the samples of a transient record (.dat) without the configuration (.cfg) that tells what they are";
            let advice = "let the program that wrote the record save it as a single file (.cff), and import that";
            Err(ReadError::new(Refusal::Unsupported, found, advice))
        }
        None => Err(ReadError::new(Refusal::Damaged, "it is no part of a transient record", REPAIR)),
    }
}

fn single(bytes: &[u8], limits: &Limits) -> Result<Workbook, ReadError> {
    let parts = parts(bytes);
    let of = |kind: &str| parts.iter().find(|part| part.section.kind == kind);
    let no_part = |what: &str| ReadError::new(Refusal::Damaged, format!("the file has no {what}"), REPAIR);
    let configuration = of("CFG").ok_or_else(|| no_part("configuration"))?;
    let data = of("DAT").ok_or_else(|| no_part("data"))?;
    let mut budget = Budget::new(limits);
    let decoded = encoding::decode(configuration.content);
    let config = Config::of(&decoded.text, configuration.line)?;
    let content = match data.section.bytes.filter(|_| data.section.is_binary) {
        Some(told) => data.content.get(..told).ok_or_else(|| {
            let found = format!("the data are told to have {told} bytes, and {} are there", data.content.len());
            ReadError::new(Refusal::Damaged, found, REPAIR)
        })?,
        None => data.content,
    };
    let mut sheets = vec![page::sheet(&config, limits, &mut budget)?];
    let (grid, notes) = samples::sheet(&config, (content, data.line), limits, &mut budget)?;
    sheets.push(grid);
    for (kind, name) in [("HDR", "header"), ("INF", "information")] {
        if let Some(grid) = of(kind).map(|part| text_sheet(part, name, &mut budget)).transpose()? {
            sheets.push(grid);
        }
    }
    sheets.retain(|grid| !grid.cells.is_empty());
    Ok(Workbook { sheets, notes: decoded.note().into_iter().chain(notes).collect() })
}

/// The sheet of a part that is text for people: a row a line.
fn text_sheet(part: &Part<'_>, name: &str, budget: &mut Budget) -> Result<Grid, ReadError> {
    let decoded = encoding::decode(part.content);
    let mut grid = Grid { name: Some(name.to_owned()), ..Grid::default() };
    for (row, line) in (0_u32..).zip(decoded.text.lines()) {
        if !line.trim().is_empty() {
            let cell = Cell::text(row, 0, line.trim_end()).at(format!("{}:1", part.line + row as usize));
            budget.take(&cell)?;
            grid.cells.push(cell);
        }
    }
    grid.finish();
    Ok(grid)
}
