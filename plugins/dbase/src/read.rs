//! Reads a table whole.

use windrow_model::place::a1;
use windrow_source::encoding::{Encoding, by_code_page};
use windrow_source::spreadsheet::budget::Budget;
use windrow_source::{Cell, Grid, Input, Limits, ReadError, Refusal, Workbook};

use crate::field::{Field, Kind};
use crate::header::{Header, damaged};
use crate::language;
use crate::remarks::Remarks;
use crate::value::{Value, value};

/// Mark of a deleted record, of one that is not, and of the end of the file.
const DELETED: u8 = b'*';
const KEPT: u8 = b' ';
/// Letters looked at for the encoding, bytes.
const SAMPLE: usize = 256 << 10;

/// Reads a table whole.
///
/// The first row of the grid holds the names of the fields, as names of the container. Records follow without gaps; their cells
/// have addresses of their own: the letters of the field and the number of the record, deleted ones being counted.
pub(crate) fn read(input: &Input<'_>, limits: &Limits) -> Result<Workbook, ReadError> {
    if input.bytes.is_empty() {
        return Err(ReadError::new(Refusal::Empty, "the file has no bytes", "restore it from where it was copied"));
    }
    let header = Header::of(input.bytes)?;
    check_columns(&header, limits)?;
    let mut remarks = Remarks::default();
    let records = records(&header, input.bytes, &mut remarks)?;
    let page = language::code_page(header.language);
    let (encoding, note) = by_code_page(&letters(&header, records), page);
    if let Some(note) = note {
        remarks.plain(note);
    }
    let mut table = Table { header: &header, encoding, grid: Grid::default(), budget: Budget::new(limits), remarks };
    table.names();
    for (index, record) in records.chunks_exact(header.width).enumerate() {
        table.record(index + 1, record)?;
    }
    table.grid.finish();
    Ok(Workbook { sheets: vec![table.grid], notes: table.remarks.into_lines(), ..Workbook::default() })
}

fn check_columns(header: &Header, limits: &Limits) -> Result<(), ReadError> {
    let (count, limit) = (header.fields.len(), limits.columns);
    if u32::try_from(count).is_ok_and(|count| count <= limit) {
        return Ok(());
    }
    let found = format!("the table has {count} fields, the limit is {limit}");
    Err(ReadError::new(Refusal::TooLarge, found, "export the fields that tell tests"))
}

/// The bytes of all records.
fn records<'a>(header: &Header, bytes: &'a [u8], remarks: &mut Remarks) -> Result<&'a [u8], ReadError> {
    let rest = bytes.get(header.start..).unwrap_or_default();
    let told = header.records.checked_mul(header.width).and_then(|size| rest.get(..size));
    let Some(told) = told else {
        let (there, told) = (rest.len() / header.width.max(1), header.records);
        return Err(damaged(format!("the header tells {told} records, and the file holds {there}")));
    };
    // A program that crashed had no time to count.
    let behind = rest.get(told.len()..).unwrap_or_default();
    let is_record = |record: &&[u8]| matches!(record.first(), Some(&(KEPT | DELETED)));
    let more = behind.chunks_exact(header.width).take_while(is_record).count();
    if more > 0 {
        remarks
            .plain(format!("the header tells {} records, {more} more stand behind them and were read", header.records));
    }
    Ok(rest.get(..told.len() + more * header.width).unwrap_or(told))
}

/// Letters of the texts that are not plain ASCII.
fn letters(header: &Header, records: &[u8]) -> Vec<u8> {
    let mut sample: Vec<u8> = header.fields.iter().flat_map(|field| [field.name.as_slice(), b"\n"].concat()).collect();
    for record in records.chunks_exact(header.width) {
        for (field, bytes) in parts(&header.fields, record) {
            let is_text = matches!(field.kind, Kind::Text | Kind::VariableText);
            if is_text && !bytes.is_ascii() && sample.len() < SAMPLE {
                sample.extend(bytes.trim_ascii());
                sample.push(b'\n');
            }
        }
    }
    sample
}

/// Fields with their bytes in a record.
fn parts<'a>(fields: &'a [Field], record: &'a [u8]) -> impl Iterator<Item = (&'a Field, &'a [u8])> {
    let mut rest = record.get(1..).unwrap_or_default();
    fields.iter().map(move |field| {
        let (bytes, behind) = rest.split_at_checked(field.width).unwrap_or((rest, &[]));
        rest = behind;
        (field, bytes)
    })
}

/// A table being read.
struct Table<'h> {
    header: &'h Header,
    encoding: Encoding,
    grid: Grid,
    budget: Budget,
    remarks: Remarks,
}

impl Table<'_> {
    fn name(&self, field: &Field) -> String {
        self.encoding.decode(&field.name).into_owned()
    }

    /// Fields that people see, with their columns.
    fn columns(&self) -> impl Iterator<Item = (u32, &Field)> {
        (0..).zip(&self.header.fields).filter(|(_, field)| field.kind != Kind::Nulls)
    }

    fn names(&mut self) {
        let names: Vec<Cell> = self
            .columns()
            .map(|(column, field)| {
                let name = self.name(field);
                Cell::name(0, column, name.as_str()).at(format!("field:{name}"))
            })
            .collect();
        self.grid.cells.extend(names);
    }

    /// Takes in the record with a number from 1.
    fn record(&mut self, number: usize, record: &[u8]) -> Result<(), ReadError> {
        match record.first() {
            Some(&KEPT) => {}
            Some(&DELETED) => {
                self.remarks.record("a record marked as deleted was passed over", number);
                return Ok(());
            }
            _ => return Err(damaged(format!("record {number} has no mark of a record before its fields"))),
        }
        let header = self.header;
        let row = self.grid.cells.last().map_or(0, |cell| cell.row) + 1;
        let place_row = u32::try_from(number - 1).unwrap_or(u32::MAX);
        let flags = flags(&header.fields, record);
        for ((column, (field, bytes)), flags) in (0..).zip(parts(&header.fields, record)).zip(flags) {
            let cell = match value(field, flags.filled(bytes), self.encoding) {
                Value::Empty => continue,
                _ if flags.is_null => continue,
                Value::Cell(cell) => cell,
                Value::Odd(cell, wanted) => {
                    self.remarks.record(&format!("field {} holds a text and not {wanted}", self.name(field)), number);
                    cell
                }
                Value::NotRead => {
                    self.remarks.record(&not_read(field, &self.name(field)), number);
                    continue;
                }
            };
            let cell = Cell { row, column, ..cell }.at(a1(place_row, column));
            self.budget.take(&cell)?;
            self.grid.cells.push(cell);
        }
        Ok(())
    }
}

fn not_read(field: &Field, name: &str) -> String {
    match field.kind {
        Kind::Memo => format!("the memo {name} stands in a file of its own, which is not read"),
        Kind::Other(kind) => format!("field {name} of the type {kind} is not read"),
        _ => format!("field {name} holds nothing that can be read"),
    }
}

/// What the bits of a record tell of a field (Visual FoxPro).
#[derive(Debug, Clone, Copy)]
struct Flags {
    /// It is empty, whatever its bytes.
    is_null: bool,
    /// It is not full, and its last byte tells how many others count.
    is_short: bool,
}

impl Flags {
    /// The bytes of the field that count.
    fn filled(self, bytes: &[u8]) -> &[u8] {
        match bytes.split_last() {
            Some((count, rest)) if self.is_short => rest.get(..usize::from(*count)).unwrap_or(bytes),
            _ => bytes,
        }
    }
}

/// The flags of all fields: one bit for a variable length, one for being empty, for the fields that can be that.
fn flags(fields: &[Field], record: &[u8]) -> Vec<Flags> {
    let bits =
        parts(fields, record).find(|(field, _)| field.kind == Kind::Nulls).map_or(&[] as &[u8], |(_, bits)| bits);
    let mut next = 0_usize;
    let mut bit = || {
        let set = bits.get(next / 8).is_some_and(|byte| byte >> (next % 8) & 1 == 1);
        next += 1;
        set
    };
    let mut flags = Vec::with_capacity(fields.len());
    for field in fields {
        let is_short = field.kind == Kind::VariableText && bit();
        flags.push(Flags { is_null: field.nullable && bit(), is_short });
    }
    flags
}
