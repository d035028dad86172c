//! Reads a source whole.

use windrow_source::spreadsheet::budget::Budget;
use windrow_source::{Cell, Grid, Input, Limits, ReadError, Refusal, Workbook, encoding};

use crate::claim::{Form, form};
use crate::config::{Config, REPAIR};
use crate::samples::{self, Parts};
use crate::single::{Part, parts};
use crate::{page, record};

/// What the cells of a configuration are.
const TOLD: &str = "it tells what the samples are";

/// Reads a single file, a configuration, or the samples that the configuration beside them tells of.
///
/// # Errors
/// [`Refusal::Unsupported`] for data without a configuration, [`Refusal::Damaged`] where lines or samples are missing or make no sense,
/// [`Refusal::TooLarge`] over a limit.
pub(crate) fn read(input: &Input<'_>, limits: &Limits) -> Result<Workbook, ReadError> {
    match form(input.name, input.bytes, input.bytes.len(), input.companion) {
        Some(Form::Single) => single(input.bytes, limits),
        Some(Form::Configuration) => configuration(input, limits),
        Some(Form::Data) => samples_of(input, limits),
        None => Err(ReadError::new(Refusal::Damaged, "it is no part of a transient record", REPAIR)),
    }
}

/// A configuration in a file of its own. Its samples are a source of their own; here it is told whether they could be read with it.
fn configuration(input: &Input<'_>, limits: &Limits) -> Result<Workbook, ReadError> {
    let decoded = encoding::decode(input.bytes);
    let config = Config::of(&decoded.text, 1)?;
    let mut sheet = page::sheet(&config, limits, &mut Budget::new(limits))?;
    let note = match input.companion {
        None => "there is no file of samples (.dat) of the same name beside it, so that nothing was recorded by it; import the folder that holds \
                 both"
            .to_owned(),
        Some(beside) => {
            let parts = Parts { config: &config, file: Some(input.name), data: beside.bytes, first: 1 };
            match samples::read(parts, limits, &mut Budget::new(limits)) {
                Ok(samples) => {
                    sheet.told = Some(format!("it tells what the samples of {} are", beside.name));
                    let own = format!("it was read together with {}, which holds its samples", beside.name);
                    samples.notes.into_iter().fold(own, |all, note| format!("{all}; {note}"))
                }
                Err(error) => format!("the samples in {} beside it are not read: {error}", beside.name),
            }
        }
    };
    let notes = decoded.note().into_iter().chain([note]).collect();
    Ok(Workbook { sheets: vec![sheet], notes, ..Workbook::default() })
}

/// Samples, with the configuration beside them.
fn samples_of(input: &Input<'_>, limits: &Limits) -> Result<Workbook, ReadError> {
    let found = "it holds the samples of a transient record (.dat), and no configuration (.cfg) of the same name beside it tells what they are";
    let advice =
        "import the folder that holds both, or let the program that wrote the record save it as a single file (.cff)";
    let beside = input.companion.ok_or_else(|| ReadError::new(Refusal::Unsupported, found, advice))?;
    let within = |error: ReadError| ReadError { found: format!("{} beside it: {}", beside.name, error.found), ..error };
    let config = Config::of(&encoding::decode(beside.bytes).text, 1).map_err(within)?;
    let parts = Parts { config: &config, file: Some(beside.name), data: input.bytes, first: 1 };
    let mut samples = samples::read(parts, limits, &mut Budget::new(limits))?;
    let own = format!("it was read together with {}, which tells what its samples are", beside.name);
    let notes = [own, SCALED.to_owned()].into_iter().chain(std::mem::take(&mut samples.notes)).collect();
    let sheets = vec![std::mem::take(&mut samples.grid)];
    Ok(Workbook { sheets, notes, record: Some(Box::new(record::of(&parts, samples))) })
}

const SCALED: &str = "values of analog channels are a·x + b of the stored x, in the unit and on the side (primary or secondary) that the \
                      configuration tells";

fn single(bytes: &[u8], limits: &Limits) -> Result<Workbook, ReadError> {
    let parts = parts(bytes);
    let of = |kind: &str| parts.iter().find(|part| part.section.kind == kind);
    let no_part = |what: &str| ReadError::new(Refusal::Damaged, format!("the file has no {what}"), REPAIR);
    let configuration = of("CFG").ok_or_else(|| no_part("configuration"))?;
    let data = of("DAT").ok_or_else(|| no_part("data"))?;
    let mut budget = Budget::new(limits);
    let decoded = encoding::decode(configuration.content);
    let config = Config::of(&decoded.text, configuration.line)?;
    let told = data.section.bytes.filter(|_| data.section.is_binary).unwrap_or(data.content.len());
    let content = data.content.get(..told).unwrap_or(data.content);
    let mut notes: Vec<String> = decoded.note().into_iter().chain([SCALED.to_owned()]).collect();
    if told > content.len() {
        notes.push(format!("the data are told to have {told} bytes, and {} are there", content.len()));
    }
    let place = Parts { config: &config, file: None, data: content, first: data.line };
    let mut page = page::sheet(&config, limits, &mut budget)?;
    page.told = Some(TOLD.to_owned());
    let mut samples = samples::read(place, limits, &mut budget)?;
    notes.append(&mut samples.notes);
    let mut sheets = vec![page, std::mem::take(&mut samples.grid)];
    for (kind, name) in [("HDR", "header"), ("INF", "information")] {
        if let Some(grid) = of(kind).map(|part| text_sheet(part, name, &mut budget)).transpose()? {
            sheets.push(grid);
        }
    }
    sheets.retain(|grid| !grid.cells.is_empty());
    Ok(Workbook { sheets, notes, record: Some(Box::new(record::of(&place, samples))) })
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
