//! ZIP archives: their declared sizes are checked before anything is inflated, and a plain archive of records is opened in place,
//! one level deep. Nothing is ever written to disk.

use crate::error::{ReadError, Refusal};
use crate::find::{self, Obstacle};
use crate::limits::Limits;
use crate::reader::Probe;
use crate::sniff;
use serde::{Deserialize, Serialize};
use std::borrow::Cow;
use std::io::{Cursor, Read, Seek};
use zip::ZipArchive;
use zip::result::ZipError;

/// Inflated bytes up to which no ratio is too large.
const RATIO_FREE: u64 = 50 << 20;

/// A file within an archive.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Member {
    /// Number within the archive.
    pub index: usize,
    /// Path within the archive, with `/`.
    pub name: String,
    /// Why it is not opened, if so.
    pub obstacle: Option<Obstacle>,
}

/// Whether a source that no reader claims is an archive of files, not a package that is one document.
#[must_use]
pub fn is_plain(probe: &Probe<'_>) -> bool {
    !probe.zip_members.is_empty() && sniff::kind(probe).is_none()
}

/// The files of an archive, sorted by name.
///
/// # Errors
/// When it is damaged, over a limit, or has two files of one name.
pub fn members<R: Read + Seek>(archive: R, packed: u64, limits: &Limits) -> Result<Vec<Member>, ReadError> {
    let archive = opened(archive)?;
    check_sizes(&archive, packed, limits)?;
    if archive.has_duplicate_names() {
        let found = "the archive has two files of one name, of which one would be lost";
        return Err(ReadError::new(Refusal::Damaged, found, "unpack it and import the folder"));
    }
    let mut members = Vec::new();
    for (index, name) in names(&archive).into_iter().enumerate() {
        if name.ends_with(['/', '\\']) {
            continue;
        }
        let is_locked = archive.by_index_data(index).map_err(|error| broken(&name, &error))?.encrypted();
        let obstacle = leads_out(&name).or_else(|| passed(&name)).or_else(|| locked(is_locked));
        members.push(Member { index, name: name.replace('\\', "/"), obstacle });
    }
    members.sort_by(|a, b| (&a.name, a.index).cmp(&(&b.name, b.index)));
    Ok(members)
}

/// The bytes of one file of an archive.
///
/// # Errors
/// When it cannot be unpacked.
pub fn member<R: Read + Seek>(archive: R, packed: u64, index: usize, limits: &Limits) -> Result<Vec<u8>, ReadError> {
    let mut archive = opened(archive)?;
    check_sizes(&archive, packed, limits)?;
    inflated(&mut archive, index, limits)
}

/// Hands the bytes of every file of an archive to `each` with its number; what cannot be unpacked is left out.
///
/// # Errors
/// When the archive is damaged or over a limit.
pub fn unpack<R: Read + Seek>(
    archive: R,
    packed: u64,
    limits: &Limits,
    each: &mut dyn FnMut(usize, &[u8]),
) -> Result<(), ReadError> {
    let mut archive = opened(archive)?;
    check_sizes(&archive, packed, limits)?;
    for index in 0..archive.len() {
        if let Ok(bytes) = inflated(&mut archive, index, limits) {
            each(index, &bytes);
        }
    }
    Ok(())
}

fn inflated<R: Read + Seek>(archive: &mut ZipArchive<R>, index: usize, limits: &Limits) -> Result<Vec<u8>, ReadError> {
    let mut file = archive.by_index(index).map_err(|error| broken(&index.to_string(), &error))?;
    // Grows with what comes: the declared size is only a claim.
    let mut bytes = Vec::new();
    let read = file.by_ref().take(limits.member_bytes.saturating_add(1)).read_to_end(&mut bytes);
    read.map_err(|error| broken(&index.to_string(), &ZipError::Io(error)))?;
    if bytes.len() as u64 > limits.member_bytes {
        let found = format!("it unpacks to more than the limit of {} bytes", limits.member_bytes);
        return Err(ReadError::new(Refusal::TooLarge, found, SPLIT));
    }
    Ok(bytes)
}

const SPLIT: &str = "unpack it and import what it holds bit by bit";

fn opened<R: Read + Seek>(archive: R) -> Result<ZipArchive<R>, ReadError> {
    ZipArchive::new(archive).map_err(|error| {
        let found = format!("the archive cannot be opened ({error}): it is cut short or damaged");
        ReadError::new(Refusal::Damaged, found, "look for another copy of it")
    })
}

/// Names as the archive writes them; unreadable letters are replaced.
pub(crate) fn names<R: Read + Seek>(archive: &ZipArchive<R>) -> Vec<String> {
    let lossy = |raw: &[u8]| String::from_utf8_lossy(raw).into_owned();
    let decoded = archive.file_names().map(|name| name.ok().map(Cow::into_owned));
    decoded.zip(archive.file_names_raw()).map(|(name, raw)| name.unwrap_or_else(|| lossy(raw))).collect()
}

/// Checks the declared sizes of a source that is a ZIP archive; anything else passes.
///
/// # Errors
/// [`Refusal::TooLarge`] with the limit that is met.
pub fn check(bytes: &[u8], limits: &Limits) -> Result<(), ReadError> {
    if !bytes.starts_with(b"PK") {
        return Ok(());
    }
    ZipArchive::new(Cursor::new(bytes)).map_or(Ok(()), |archive| check_sizes(&archive, bytes.len() as u64, limits))
}

/// Sums the declared sizes of all members. No member can inflate past its own, which the unpacker checks, so the sum is a bound.
fn check_sizes<R: Read + Seek>(archive: &ZipArchive<R>, packed: u64, limits: &Limits) -> Result<(), ReadError> {
    let too_large = |found: String| Err(ReadError::new(Refusal::TooLarge, found, SPLIT));
    if archive.len() > limits.members {
        return too_large(format!("it has {} members, the limit is {}", archive.len(), limits.members));
    }
    let mut sum = 0_u64;
    for index in 0..archive.len() {
        let entry = archive.by_index_data(index).map_err(|error| broken(&index.to_string(), &error))?;
        let size = entry.size();
        if size > limits.member_bytes {
            let name = String::from_utf8_lossy(entry.name_raw()).into_owned();
            return too_large(format!(
                "its member {name} unpacks to {size} bytes, the limit is {}",
                limits.member_bytes
            ));
        }
        sum = sum.saturating_add(size);
    }
    if sum > limits.inflated_bytes {
        return too_large(format!("it unpacks to {sum} bytes, the limit is {}", limits.inflated_bytes));
    }
    if sum > RATIO_FREE && sum / packed.max(1) > limits.inflation_ratio {
        let most = limits.inflation_ratio;
        return too_large(format!("it unpacks to {sum} bytes from {packed}, more than {most} times as many"));
    }
    Ok(())
}

fn broken(name: &str, error: &ZipError) -> ReadError {
    let found = format!("member {name} of the archive cannot be unpacked ({error})");
    ReadError::new(Refusal::Damaged, found, "look for another copy of it")
}

/// Names that would lead out of the folder that an archive is unpacked into.
fn leads_out(name: &str) -> Option<Obstacle> {
    let name = name.replace('\\', "/");
    let is_drive = name.as_bytes().get(1) == Some(&b':');
    let is_out = name.starts_with('/') || is_drive || name.contains('\0') || name.split('/').any(|part| part == "..");
    let reason = "its path leads out of the archive, as no honest one does; look where the archive comes from";
    is_out.then(|| Obstacle::Barred(reason.to_owned()))
}

fn passed(name: &str) -> Option<Obstacle> {
    let mut folders = name.split(['/', '\\']).rev().skip(1);
    find::no_record(name).or_else(|| folders.find_map(find::no_folder_of_records))
}

fn locked(is_encrypted: bool) -> Option<Obstacle> {
    is_encrypted.then(|| Obstacle::Barred("it is password-protected; unpack it and import the folder".to_owned()))
}

#[cfg(test)]
mod tests;
