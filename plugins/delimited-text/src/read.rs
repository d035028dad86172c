//! Text to one sheet.

use windrow_source::shape::{self, Shape};
use windrow_source::{Cell, FEWER_CELLS, Grid, Input, Limits, ReadError, Refusal, Workbook, encoding};

use crate::dialect::{self, Delimiter};
use crate::quotes;
use crate::records::{self, Record};

/// Reads delimited text as one sheet without a name: a row a physical record, a column a field.
pub(crate) fn read(input: &Input<'_>, limits: &Limits) -> Result<Workbook, ReadError> {
    let decoded = encoding::decode(input.bytes);
    let declared = dialect::declared(&decoded.text);
    let delimiter = declared.or_else(|| dialect::choose(&decoded.text).map(|fit| fit.delimiter)).ok_or_else(|| {
        ReadError::new(Refusal::Alien, "no delimiter cuts its lines into fields", "check that it is a table")
    })?;
    let mut records = records::all(&decoded.text, delimiter);
    if declared.is_some() {
        records.retain(|record| record.number > 0);
    }
    refuse_split_numbers(&records, delimiter)?;
    let mut notes: Vec<String> = decoded.note().into_iter().collect();
    notes.push(format!("fields are delimited by {}", delimiter.name()));
    notes.extend(quote_note(&decoded.text, delimiter));
    Ok(Workbook { sheets: vec![grid(records, limits)?], notes, ..Workbook::default() })
}

fn grid(records: Vec<Record>, limits: &Limits) -> Result<Grid, ReadError> {
    let mut grid = Grid::default();
    for Record { number, fields } in records {
        for (column, text) in (0_u32..).zip(fields) {
            if text.is_empty() {
                continue;
            }
            if column >= limits.columns {
                let found = format!("line {} has more than {} fields", number + 1, limits.columns);
                return Err(ReadError::new(Refusal::TooLarge, found, "split it"));
            }
            if text.len() > limits.cell_text_bytes {
                let found = format!("a field of record {} is {} bytes long", number + 1, text.len());
                return Err(ReadError::new(Refusal::TooLarge, found, "look for a quotation mark that is not closed"));
            }
            if grid.cells.len() >= limits.cells {
                let found = format!("it has more than {} cells", limits.cells);
                return Err(ReadError::new(Refusal::TooLarge, found, FEWER_CELLS));
            }
            grid.cells.push(Cell::text(number, column, text));
        }
    }
    Ok(grid)
}

fn quote_note(text: &str, delimiter: Delimiter) -> Option<String> {
    match quotes::mend(text, delimiter).unclosed {
        0 => None,
        n => Some(format!("{n} quotation marks are not closed and were taken for characters")),
    }
}

/// Where commas delimit fields and mark decimals too, numbers fall apart into columns that are not theirs: nothing that comes out
/// could be trusted.
fn refuse_split_numbers(records: &[Record], delimiter: Delimiter) -> Result<(), ReadError> {
    // A mark inside numbers would give the header another count of fields than its rows.
    if delimiter != Delimiter(b',') || records::evenness(records) >= records::EVEN {
        return Ok(());
    }
    let is_header = |record: &&Record| {
        let typed = record.fields.iter().filter(|field| shape::of(field).is_typed()).count();
        record.filled() >= 3 && typed * 4 <= record.filled()
    };
    // Titles above the header have fewer fields than it.
    let heads = records.iter().skip_while(|record| !is_header(record));
    let heads = heads.take_while(|record| record.filled() < 3 || is_header(record));
    let Some(header) = heads.max_by_key(|record| record.filled()) else { return Ok(()) };
    let body: Vec<&Record> = records.iter().filter(|record| record.number > header.number).collect();
    let over = body.iter().filter(|record| record.filled() > header.filled() && has_split_number(record)).count();
    if over * 3 < body.len() || over == 0 {
        return Ok(());
    }
    let found = format!(
        "commas delimit its fields and mark decimals too: {over} of {} lines have more fields than the {} of line {}",
        body.len(),
        header.filled(),
        header.number + 1
    );
    Err(ReadError::new(Refusal::Damaged, found, "export it again with semicolons or tabs between the fields"))
}

/// Whether two neighbouring fields could be the halves of `48,9`.
fn has_split_number(record: &Record) -> bool {
    record.fields.windows(2).any(|pair| match pair {
        [whole, part] => {
            shape::of(whole) == Shape::Number
                && !part.is_empty()
                && part.bytes().all(|byte| byte.is_ascii_digit())
                && whole.bytes().all(|byte| byte.is_ascii_digit() || byte == b'-')
        }
        _ => false,
    })
}
