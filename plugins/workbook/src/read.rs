//! Finds out which kind of package it is and has it read.

use windrow_source::{Input, Limits, ReadError, Refusal, Workbook};

use crate::package::Package;
use crate::{ods, xlsx};

/// First bytes of a compound file.
const COMPOUND: &[u8] = &[0xD0, 0xCF, 0x11, 0xE0, 0xA1, 0xB1, 0x1A, 0xE1];

/// Reads a workbook whole.
pub(crate) fn read(input: &Input<'_>, limits: &Limits) -> Result<Workbook, ReadError> {
    if input.bytes.is_empty() {
        return Err(ReadError::new(Refusal::Empty, "the file has no bytes", "restore it from where it was copied"));
    }
    if input.bytes.starts_with(COMPOUND) {
        return Err(if holds_encrypted_package(input.bytes) { encrypted() } else { other_compound() });
    }
    let mut package = Package::open(input.bytes, limits)?;
    if ods::is_one(&package) { ods::read(&mut package, limits) } else { xlsx::read(&mut package, limits) }
}

/// Whether a compound file names the stream that holds an encrypted package.
fn holds_encrypted_package(bytes: &[u8]) -> bool {
    let name: Vec<u8> = "EncryptedPackage".encode_utf16().flat_map(u16::to_le_bytes).collect();
    bytes.windows(name.len()).any(|part| part == name)
}

fn other_compound() -> ReadError {
    let advice = "leave the choice of the reader to the program, or save it as .xlsx";
    ReadError::new(Refusal::Alien, "it is a compound file and no package of a workbook", advice)
}

/// The refusal of what a password protects.
pub(crate) fn encrypted() -> ReadError {
    ReadError::new(
        Refusal::Encrypted,
        "the workbook is password-protected",
        "open it with its password, remove the protection under file information, save it and import the copy",
    )
}
