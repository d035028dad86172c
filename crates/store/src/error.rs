//! What can go wrong with a fleet folder, with the chain of causes.

use std::error::Error as StdError;
use std::fmt;
use std::io;
use std::path::Path;

/// Why a fleet could not be opened, read or written. The message names the file and what to do; causes are in
/// [`source`](StdError::source).
#[derive(Debug)]
pub struct Error {
    message: String,
    kind: Kind,
    source: Option<Box<dyn StdError + Send + Sync>>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    /// The files, the disk, another program.
    Store,
    /// The SQL that was asked.
    Query,
    /// `windrow.toml`.
    Settings,
}

impl Error {
    pub(crate) fn new(message: impl Into<String>) -> Self {
        Self { message: message.into(), kind: Kind::Store, source: None }
    }

    pub(crate) fn query(message: impl Into<String>) -> Self {
        Self { message: message.into(), kind: Kind::Query, source: None }
    }

    pub(crate) fn settings(message: impl Into<String>) -> Self {
        Self { message: message.into(), kind: Kind::Settings, source: None }
    }

    /// An operation of the file system on `path` that failed; `action` completes "could not …".
    pub(crate) fn io(action: &str, path: &Path, source: io::Error) -> Self {
        let advice = match source.kind() {
            io::ErrorKind::PermissionDenied => "; give this user permission to write there, or name another folder",
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => {
                "; the disk is full: make room and run the command again (nothing is half stored)"
            }
            io::ErrorKind::ReadOnlyFilesystem => "; the disk is read-only: name a folder on another one",
            io::ErrorKind::NotADirectory | io::ErrorKind::AlreadyExists => "; a file stands where a folder is needed",
            _ => "",
        };
        Self::new(format!("could not {action} {}{advice}", path.display())).caused_by(source)
    }

    pub(crate) fn caused_by(mut self, source: impl Into<Box<dyn StdError + Send + Sync>>) -> Self {
        self.source = Some(source.into());
        self
    }

    /// Whether the SQL that was asked is at fault, not the fleet.
    #[must_use]
    pub fn is_query(&self) -> bool {
        self.kind == Kind::Query
    }

    /// Whether `windrow.toml` is at fault.
    #[must_use]
    pub fn is_settings(&self) -> bool {
        self.kind == Kind::Settings
    }
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl StdError for Error {
    fn source(&self) -> Option<&(dyn StdError + 'static)> {
        self.source.as_deref().map(|source| source as &(dyn StdError + 'static))
    }
}

/// Result of the store.
pub type Result<T> = std::result::Result<T, Error>;
