//! What an import knows of a source before it is opened.

use serde::{Deserialize, Serialize};
use std::ffi::OsString;
use std::fs::File;
use std::io::{BufReader, Read};
use std::path::{Path, PathBuf};
use windrow_model::raw::{SourceStatus, Understood};
use windrow_source::archive;
use windrow_source::find::{Found, Obstacle};
use windrow_source::{Limits, ReadError, Refusal};

use super::work::Packed;
use crate::engine::{refused, too_large};

/// Where the bytes of a source are.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) enum Location {
    /// A file of its own.
    File(OsString),
    /// A file within an archive, by number.
    Member(OsString, usize),
    /// A file within an archive, by the name that an earlier import listed it under.
    Named(OsString, String),
}

impl Location {
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
            Self::Named(path, name) => {
                let (file, size) = open(path)?;
                let members = archive::members(BufReader::new(file), size, limits)?;
                let mut named = members.iter().filter(|member| member.name == *name);
                let (Some(member), None) = (named.next(), named.next()) else {
                    let found = "it is no longer in its archive";
                    return Err(ReadError::new(Refusal::Unreadable, found, "look for an older copy of the archive"));
                };
                let (file, size) = open(path)?;
                archive::member(BufReader::new(file), size, member.index, limits)
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

/// A source of an earlier import that this one was not asked to look at.
#[derive(Debug, Clone, PartialEq)]
pub struct Kept {
    /// Path below the folder that it was imported with, with `/`; for a file of an archive with its path there.
    pub source_file: String,
    /// Folder or file that its import was given.
    pub origin: PathBuf,
    /// The file that it lies in.
    pub path: PathBuf,
    /// Path within that file, when it is an archive.
    pub member: Option<String>,
    /// BLAKE3 hash of its bytes, hexadecimal.
    pub blake3: String,
    /// All that is known of it, when nothing was read from it; it is handed over as it is.
    pub bare: Option<Understood>,
}

/// A source of an import.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Listed {
    /// Path below the imported folder, with `/`.
    pub(super) source_file: String,
    /// What rows call it: that path, and what tells it from another of the same.
    pub(super) name: String,
    /// Folder or file that the import was given.
    pub(super) origin: PathBuf,
    /// The file that it lies in.
    pub(super) path: PathBuf,
    /// Path within that file, when it is an archive.
    pub(super) member: Option<String>,
    /// Where its bytes are.
    pub(super) location: Location,
    /// BLAKE3 hash of its bytes, hexadecimal, where it is known beforehand.
    pub(super) content: Option<String>,
    /// Why it is not opened, if so.
    pub(super) obstacle: Option<Obstacle>,
    /// How looking at it failed, if so.
    pub(super) failed: Option<ReadError>,
    /// Whether it has been looked at.
    pub(super) looked_at: bool,
    /// The key of what was seen then, where it is remembered.
    pub(super) looked_by: Option<String>,
    /// Whether an earlier import found it and this one was not asked to look there.
    pub(super) is_kept: bool,
    /// All that is known of it, when nothing is to be read from it.
    pub(super) bare: Option<Understood>,
    /// The file beside it that it is read together with.
    pub(super) companion: Option<Companion>,
}

/// A file that another is read together with.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Companion {
    /// File name without folders.
    pub(super) name: String,
    /// Where its bytes are.
    pub(super) location: Location,
    /// BLAKE3 hash of its bytes, hexadecimal, where it is known beforehand.
    pub(super) content: Option<String>,
}

impl Listed {
    pub(super) fn of_file(found: Found) -> Self {
        Self {
            name: found.source_file.clone(),
            source_file: found.source_file,
            origin: found.origin,
            location: Location::File(found.path.clone().into_os_string()),
            path: found.path,
            member: None,
            content: None,
            obstacle: found.obstacle,
            failed: None,
            looked_at: false,
            looked_by: None,
            is_kept: false,
            bare: None,
            companion: None,
        }
    }

    pub(super) fn of_kept(kept: Kept) -> Self {
        let file = kept.path.clone().into_os_string();
        let location = match &kept.member {
            Some(member) => Location::Named(file, member.clone()),
            None => Location::File(file),
        };
        Self {
            name: kept.source_file.clone(),
            source_file: kept.source_file,
            origin: kept.origin,
            path: kept.path,
            member: kept.member,
            location,
            content: Some(kept.blake3).filter(|hash| !hash.is_empty()),
            obstacle: None,
            failed: None,
            looked_at: false,
            looked_by: None,
            is_kept: true,
            bare: kept.bare,
            companion: None,
        }
    }

    /// A file of this archive.
    pub(super) fn member(&self, (member, content): Packed) -> Self {
        Self {
            source_file: format!("{}/{}", self.source_file, member.name),
            location: Location::Member(self.path.clone().into_os_string(), member.index),
            member: Some(member.name),
            content,
            obstacle: member.obstacle,
            looked_by: None,
            ..self.clone()
        }
    }

    /// Whether it can be asked about.
    pub(super) fn is_open(&self) -> bool {
        self.obstacle.is_none() && self.failed.is_none() && self.bare.is_none()
    }

    /// Whether it has yet to be looked at.
    pub(super) fn is_pending(&self) -> bool {
        self.is_open() && !self.looked_at
    }

    /// Name without folders.
    pub(super) fn file_name(&self) -> String {
        self.source_file.rsplit('/').next().unwrap_or(&self.source_file).to_owned()
    }

    /// The folder that it lies in, wherever the import began; an archive is a folder.
    pub(super) fn folder(&self) -> String {
        let path = self.path.to_string_lossy().replace(std::path::MAIN_SEPARATOR, "/");
        let whole = self.member.as_ref().map_or_else(|| path.clone(), |member| format!("{path}/{member}"));
        whole.rsplit_once('/').map_or_else(String::new, |(folder, _)| folder.to_owned())
    }

    /// The source as one that could not be opened, whatever is known of it. It is listed with its reason like any other.
    pub(super) fn failed_with(&self, error: &ReadError) -> Understood {
        let refused = refused(&self.source_file, SourceStatus::Refused, error.to_string());
        let (bytes, blake3) = self.fingerprint().unwrap_or_default();
        Understood { bytes, blake3, ..refused }
    }

    /// The source that was not asked about, or why a kept one is lost.
    pub(super) fn not_asked(&self) -> Result<Understood, ReadError> {
        match (&self.bare, &self.obstacle, &self.failed) {
            (Some(bare), ..) => Ok(bare.clone()),
            (_, Some(Obstacle::Passed(reason)), _) => {
                Ok(refused(&self.source_file, SourceStatus::Skipped, reason.clone()))
            }
            (_, Some(Obstacle::Barred(reason)), _) => {
                Ok(refused(&self.source_file, SourceStatus::Refused, reason.clone()))
            }
            (.., Some(error)) => Err(error.clone()),
            (None, None, None) => Err(super::mixed_up()),
        }
    }

    /// Size and hash of a file of its own, read piece by piece.
    pub(super) fn fingerprint(&self) -> Option<(u64, String)> {
        let Location::File(path) = &self.location else { return None };
        let (file, size) = open(path).ok()?;
        let mut hasher = blake3::Hasher::new();
        hasher.update_reader(file).ok()?;
        Some((size, hasher.finalize().to_hex().to_string()))
    }
}
