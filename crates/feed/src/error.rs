//! Why a feed could not run at all. What goes wrong at one sink is told in its report, and the others go on.

use std::path::Path;

/// Why a feed could not run.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// What was asked, or `sinks.toml`.
    #[error("{0}")]
    Usage(String),
    /// The outbox.
    #[error(
        "the outbox {path} could not be used; check the disk, and that one program feeds at a time (nothing is lost or half sent)"
    )]
    Outbox {
        /// The database.
        path: String,
        /// What the library says.
        source: rusqlite::Error,
    },
    /// The disk.
    #[error("could not {action} {path}; check the disk and the permissions")]
    Disk {
        /// Completes "could not …".
        action: &'static str,
        /// The file or folder.
        path: String,
        /// What the system says.
        source: std::io::Error,
    },
    /// The fleet.
    #[error(transparent)]
    Store(#[from] windrow_store::Error),
    /// The tables.
    #[error(transparent)]
    Export(#[from] windrow_export::Error),
}

impl Error {
    /// An operation of the file system on `path`.
    pub(crate) fn disk(action: &'static str, path: &Path, source: std::io::Error) -> Self {
        Self::Disk { action, path: path.display().to_string(), source }
    }

    /// Whether what was asked is at fault.
    #[must_use]
    pub const fn is_usage(&self) -> bool {
        matches!(self, Self::Usage(_))
    }
}

/// Result of a feed.
pub type Result<T> = std::result::Result<T, Error>;
