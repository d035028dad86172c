//! What stands inside an archive or compound file, by name, and what a file that nobody reads is.

use crate::error::{ReadError, Refusal};
use crate::reader::Probe;
use std::borrow::Cow;
use std::io::Cursor;

/// Member names of a ZIP archive; empty if `bytes` are none. Nothing is inflated.
#[must_use]
pub fn of_zip(bytes: &[u8]) -> Vec<String> {
    if !bytes.starts_with(b"PK") {
        return Vec::new();
    }
    zip::ZipArchive::new(Cursor::new(bytes))
        .map(|archive| archive.file_names().filter_map(Result::ok).map(Cow::into_owned).collect())
        .unwrap_or_default()
}

/// Stream paths of a compound file (OLE); empty if `bytes` are none.
#[must_use]
pub fn of_compound_file(bytes: &[u8]) -> Vec<String> {
    if !bytes.starts_with(&[0xd0, 0xcf, 0x11, 0xe0]) {
        return Vec::new();
    }
    cfb::CompoundFile::open(Cursor::new(bytes))
        .map(|file| file.walk().filter(cfb::Entry::is_stream).map(|entry| entry.path().display().to_string()).collect())
        .unwrap_or_default()
}

/// First bytes of formats that are known and not read: mark, what it is, what to try.
const KNOWN: &[(&[u8], &str, &str)] = &[
    (b"%PDF", "a PDF document", "export its tables as a workbook or as delimited text"),
    (b"\x89PNG", "a PNG picture", "type its figures into a workbook"),
    (b"\xff\xd8\xff", "a JPEG picture", "type its figures into a workbook"),
    (b"GIF8", "a GIF picture", "type its figures into a workbook"),
    (b"{\\rtf", "an RTF document", "save it as docx or as delimited text"),
    (b"7z\xbc\xaf", "a 7z archive", "unpack it and import the folder"),
    (b"Rar!", "a RAR archive", "unpack it and import the folder"),
    (b"\x1f\x8b", "a gzip archive", "unpack it and import the folder"),
    (b"SQLite format 3", "an SQLite database", "export its tables as delimited text"),
    (b"\x00\x01\x00\x00Standard", "a desktop database", "export its tables as delimited text"),
];

/// Why nobody reads a source, told by its first bytes.
#[must_use]
pub fn refusal_by_name(probe: &Probe<'_>) -> ReadError {
    if probe.ole_streams.iter().any(|stream| stream.ends_with("EncryptedPackage")) {
        return ReadError::new(
            Refusal::Encrypted,
            "it is password-protected",
            "save a copy without the password and import that",
        );
    }
    if let Some((_, what, advice)) = KNOWN.iter().find(|(mark, _, _)| probe.head.starts_with(mark)) {
        return ReadError::new(Refusal::Unsupported, format!("it is {what}, which is not read"), *advice);
    }
    if probe.head.starts_with(b"PK") && probe.zip_members.is_empty() {
        return ReadError::new(
            Refusal::Damaged,
            "it begins like a workbook or archive and is cut short or damaged",
            "look for another copy of it",
        );
    }
    if probe.head.starts_with(&[0xd0, 0xcf, 0x11, 0xe0]) && probe.ole_streams.is_empty() {
        return ReadError::new(
            Refusal::Damaged,
            "it begins like an old workbook and is cut short or damaged",
            "look for another copy of it",
        );
    }
    ReadError::new(
        Refusal::Alien,
        "no reader knows this kind of file, or it holds no table",
        "if it holds test records, save them as a workbook or as delimited text",
    )
}
