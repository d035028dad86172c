//! The ZIP package: opened under limits, parts found by name.

use std::collections::BTreeMap;
use std::io::{BufReader, Cursor};

use windrow_source::spreadsheet::{REPAIR, SPLIT};
use windrow_source::{Limits, ReadError, Refusal};
use zip::ZipArchive;
use zip::read::ZipFile;
use zip::result::ZipError;

use crate::claim::folded;
use crate::read::encrypted;
use crate::xml::Xml;

/// Inflated bytes up to which no ratio is too large.
const RATIO_FREE: u64 = 50 << 20;
/// Unpacked bytes buffered at a time.
const BUFFER: usize = 64 << 10;

/// An opened part.
pub(crate) type Part<'p, 'b> = BufReader<ZipFile<'p, Cursor<&'b [u8]>>>;

/// A package whose declared sizes are within the limits.
#[derive(Debug)]
pub(crate) struct Package<'b> {
    archive: ZipArchive<Cursor<&'b [u8]>>,
    /// Folded names.
    parts: BTreeMap<String, usize>,
}

impl<'b> Package<'b> {
    /// Opens the package without unpacking anything.
    pub(crate) fn open(bytes: &'b [u8], limits: &Limits) -> Result<Self, ReadError> {
        let archive = ZipArchive::new(Cursor::new(bytes)).map_err(|error| {
            let found = format!("the package cannot be opened: {error}; it is cut short or damaged");
            ReadError::new(Refusal::Damaged, found, REPAIR)
        })?;
        let mut package = Self { archive, parts: BTreeMap::new() };
        package.check_sizes(bytes.len(), limits)?;
        Ok(package)
    }

    /// Sums the declared sizes; no member can inflate past its own, which the unpacker checks.
    fn check_sizes(&mut self, packed: usize, limits: &Limits) -> Result<(), ReadError> {
        let too_large = |found: String| Err(ReadError::new(Refusal::TooLarge, found, SPLIT));
        if self.archive.len() > limits.members {
            return too_large(format!(
                "the package has {} members, the limit is {}",
                self.archive.len(),
                limits.members
            ));
        }
        let mut sum = 0_u64;
        for index in 0..self.archive.len() {
            let (name, size) = self.member(index)?;
            if size > limits.member_bytes {
                return too_large(format!("part {name} unpacks to {size} bytes, the limit is {}", limits.member_bytes));
            }
            sum = sum.saturating_add(size);
            self.parts.insert(folded(&name), index);
        }
        if sum > limits.inflated_bytes {
            return too_large(format!("the package unpacks to {sum} bytes, the limit is {}", limits.inflated_bytes));
        }
        if sum > RATIO_FREE && sum / (packed as u64).max(1) > limits.inflation_ratio {
            return too_large(format!(
                "the package unpacks to {sum} bytes from {packed}, more than {} times as many",
                limits.inflation_ratio
            ));
        }
        Ok(())
    }

    fn member(&self, index: usize) -> Result<(String, u64), ReadError> {
        let entry = self.archive.by_index_data(index).map_err(|error| unusable(&format!("number {index}"), &error))?;
        if entry.encrypted() {
            return Err(encrypted());
        }
        Ok((String::from_utf8_lossy(entry.name_raw()).into_owned(), entry.size()))
    }

    /// Whether the package has a part of this name.
    pub(crate) fn has(&self, part: &str) -> bool {
        self.parts.contains_key(&folded(part))
    }

    /// Opens a part; one that is not there is damage.
    pub(crate) fn part(&mut self, part: &str) -> Result<Part<'_, 'b>, ReadError> {
        let Some(index) = self.parts.get(&folded(part)).copied() else {
            let found = format!("part {part} is missing from the package");
            return Err(ReadError::new(Refusal::Damaged, found, REPAIR));
        };
        let file = self.archive.by_index(index).map_err(|error| unusable(part, &error))?;
        Ok(BufReader::with_capacity(BUFFER, file))
    }

    /// Opens a part as XML.
    pub(crate) fn xml(&mut self, part: &str) -> Result<Xml<Part<'_, 'b>>, ReadError> {
        Ok(Xml::new(part, self.part(part)?))
    }
}

fn unusable(part: &str, error: &ZipError) -> ReadError {
    ReadError::new(Refusal::Damaged, format!("part {part} cannot be unpacked: {error}"), REPAIR)
}
