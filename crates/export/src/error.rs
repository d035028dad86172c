//! Why nothing was handed out.

use std::io;
use std::path::Path;

/// Why an export failed; what stood at its place stays.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// The path or the settings are at fault.
    #[error("{0}")]
    Usage(String),
    /// The disk refused.
    #[error("could not {action} {path}; check the disk and the permissions (nothing is half written)")]
    Disk {
        /// Completes "could not …".
        action: &'static str,
        /// The file or folder.
        path: String,
        /// What the system says.
        source: io::Error,
    },
    /// A table.
    #[error(
        "the table {table} has other columns than this version of the program knows; import into a new fleet folder"
    )]
    Columns {
        /// Its name.
        table: &'static str,
    },
    /// The store.
    #[error(transparent)]
    Store(#[from] windrow_store::Error),
    /// The database library.
    #[error("the SQLite database could not be written; check the disk (nothing is half written)")]
    Sqlite(#[from] rusqlite::Error),
    /// The workbook library.
    #[error("the workbook could not be written; please report this")]
    Workbook(#[from] rust_xlsxwriter::XlsxError),
}

impl Error {
    /// An operation of the file system on `path`.
    pub(crate) fn disk(action: &'static str, path: &Path, source: impl Into<io::Error>) -> Self {
        Self::Disk { action, path: path.display().to_string(), source: source.into() }
    }

    /// Whether what was asked is at fault, not the disk.
    #[must_use]
    pub const fn is_usage(&self) -> bool {
        matches!(self, Self::Usage(_))
    }
}

/// Result of an export.
pub type Result<T> = std::result::Result<T, Error>;
