//! The workbook stream: a file of its own, or in a compound file.

use std::borrow::Cow;
use std::io::{Cursor, Read};

use windrow_source::spreadsheet::REPAIR;
use windrow_source::{Input, ReadError, Refusal};

/// First bytes of a compound file.
const COMPOUND: &[u8] = &[0xD0, 0xCF, 0x11, 0xE0, 0xA1, 0xB1, 0x1A, 0xE1];
/// Names of the stream, the newest format first: some files hold the same workbook twice, for two releases.
const NAMES: [&str; 2] = ["Workbook", "Book"];

/// The workbook stream of a source.
pub(crate) fn find<'a>(input: &Input<'a>) -> Result<Cow<'a, [u8]>, ReadError> {
    if !input.bytes.starts_with(COMPOUND) {
        return Ok(Cow::Borrowed(input.bytes));
    }
    let broken = |error: std::io::Error| {
        ReadError::new(Refusal::Damaged, format!("the compound file around the workbook is broken: {error}"), REPAIR)
    };
    let mut file = cfb::CompoundFile::open(Cursor::new(input.bytes)).map_err(broken)?;
    let path = NAMES.iter().find_map(|name| {
        let is_it = |entry: &cfb::Entry| entry.is_stream() && entry.name().eq_ignore_ascii_case(name);
        file.read_root_storage().find(is_it).map(|entry| entry.path().to_path_buf())
    });
    let Some(path) = path else {
        let advice = "leave the choice of the reader to the program, or look for another copy of it";
        return Err(ReadError::new(Refusal::Alien, "it is a compound file without a workbook stream", advice));
    };
    let mut stream = Vec::new();
    // No stream is longer than the file that holds it.
    file.open_stream(path).map_err(broken)?.take(input.bytes.len() as u64).read_to_end(&mut stream).map_err(broken)?;
    Ok(Cow::Owned(stream))
}
