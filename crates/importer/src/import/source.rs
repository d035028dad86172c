//! What an import knows of a source before it is opened.

use serde::{Deserialize, Serialize};
use std::ffi::OsString;
use std::fs::File;
use std::io::{BufReader, Read};
use std::path::{Path, PathBuf};
use windrow_model::raw::{SourceStatus, Understood};
use windrow_source::archive::{self, Member};
use windrow_source::find::{Found, Obstacle};
use windrow_source::{Limits, ReadError, Refusal};

use crate::engine::{refused, too_large};

/// Where the bytes of a source are.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) enum Lies {
    /// A file of its own.
    File(OsString),
    /// A file within an archive, by number.
    Member(OsString, usize),
}

impl Lies {
    /// Opens the source once and reads it whole, within the limits.
    pub(super) fn bytes(&self, limits: &Limits) -> Result<Vec<u8>, ReadError> {
        match self {
            Self::File(path) => {
                let (file, size) = open(path)?;
                if size > limits.file_bytes {
                    return Err(too_large(size, limits));
                }
                // It may have grown since.
                let mut bytes = Vec::with_capacity(usize::try_from(size).unwrap_or(0));
                let most = limits.file_bytes.saturating_add(1);
                file.take(most).read_to_end(&mut bytes).map_err(|error| unreadable(&error))?;
                Ok(bytes)
            }
            Self::Member(path, index) => {
                let (file, size) = open(path)?;
                archive::member(BufReader::new(file), size, *index, limits)
            }
        }
    }
}

fn open(path: &OsString) -> Result<(File, u64), ReadError> {
    let file = File::open(Path::new(path)).map_err(|error| unreadable(&error))?;
    let size = file.metadata().map_err(|error| unreadable(&error))?.len();
    Ok((file, size))
}

fn unreadable(error: &std::io::Error) -> ReadError {
    let found = format!("it cannot be read ({error})");
    ReadError::new(Refusal::Unreadable, found, "check the permissions and the disk")
}

/// A source of an import.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Listed {
    /// Path below the imported folder, with `/`.
    pub(super) source_file: String,
    /// Folder or file that the import was given.
    pub(super) origin: PathBuf,
    /// Where its bytes are.
    pub(super) lies: Lies,
    /// Why it is not opened, if so.
    pub(super) obstacle: Option<Obstacle>,
    /// How looking at it failed, if so.
    pub(super) failed: Option<ReadError>,
    /// Whether it has been looked at.
    pub(super) looked_at: bool,
}

impl Listed {
    pub(super) fn of_file(found: Found) -> Self {
        Self {
            source_file: found.source_file,
            origin: found.origin,
            lies: Lies::File(found.path.into_os_string()),
            obstacle: found.obstacle,
            failed: None,
            looked_at: false,
        }
    }

    /// A file of this archive.
    pub(super) fn member(&self, member: Member) -> Self {
        let (Lies::File(archive) | Lies::Member(archive, _)) = self.lies.clone();
        Self {
            source_file: format!("{}/{}", self.source_file, member.name),
            origin: self.origin.clone(),
            lies: Lies::Member(archive, member.index),
            obstacle: member.obstacle,
            failed: None,
            looked_at: false,
        }
    }

    /// Whether it can be asked about.
    pub(super) fn is_open(&self) -> bool {
        self.obstacle.is_none() && self.failed.is_none()
    }

    /// Whether it has yet to be looked at.
    pub(super) fn is_pending(&self) -> bool {
        self.is_open() && !self.looked_at
    }

    /// Folder part of its path; an archive is a folder.
    pub(super) fn folder(&self) -> &str {
        self.source_file.rsplit_once('/').map_or("", |(folder, _)| folder)
    }

    /// The source as one that could not be opened, whatever is known of it. It is listed with its reason like any other.
    pub(super) fn failed_with(&self, error: &ReadError) -> Understood {
        let refused = refused(&self.source_file, SourceStatus::Refused, error.to_string());
        let (bytes, blake3) = self.fingerprint().unwrap_or_default();
        Understood { bytes, blake3, ..refused }
    }

    /// The source that was not asked about.
    pub(super) fn not_asked(&self) -> Understood {
        match (&self.obstacle, &self.failed) {
            (Some(Obstacle::Passed(reason)), _) => refused(&self.source_file, SourceStatus::Skipped, reason.clone()),
            (Some(Obstacle::Barred(reason)), _) => refused(&self.source_file, SourceStatus::Refused, reason.clone()),
            (None, Some(error)) => self.failed_with(error),
            (None, None) => self.failed_with(&super::mixed_up()),
        }
    }

    /// Size and hash of a file of its own, read piece by piece.
    fn fingerprint(&self) -> Option<(u64, String)> {
        let Lies::File(path) = &self.lies else { return None };
        let (file, size) = open(path).ok()?;
        let mut hasher = blake3::Hasher::new();
        hasher.update_reader(file).ok()?;
        Some((size, hasher.finalize().to_hex().to_string()))
    }
}
