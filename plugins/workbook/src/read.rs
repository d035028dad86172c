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
        return Err(encrypted());
    }
    let mut package = Package::open(input.bytes, limits)?;
    if ods::is_one(&package) { ods::read(&mut package, limits) } else { xlsx::read(&mut package, limits) }
}

/// The refusal of what a password protects.
pub(crate) fn encrypted() -> ReadError {
    ReadError::new(
        Refusal::Encrypted,
        "the workbook is password-protected",
        "open it with its password, remove the protection under file information, save it and import the copy",
    )
}
