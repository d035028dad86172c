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
        Self::new(format!("could not {action} {}{}", path.display(), advice(source.kind()))).caused_by(source)
    }

    /// A change of the table in `folder` that its log refused.
    pub(crate) fn refused(folder: &Path, source: impl StdError + Send + Sync + 'static) -> Self {
        let why = match io_kind(&source) {
            Some(kind) if !advice(kind).is_empty() => advice(kind),
            _ => {
                "; if another program writes there, wait for its end and run the command again (nothing is half stored)"
            }
        };
        Self::new(format!("could not change the table in {}{why}", folder.display())).caused_by(source)
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

/// What to do about a failure of the file system.
fn advice(kind: io::ErrorKind) -> &'static str {
    match kind {
        io::ErrorKind::PermissionDenied => "; give this user permission to write there, or name another folder",
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => {
            "; the disk is full: make room and run the command again (nothing is half stored)"
        }
        io::ErrorKind::ReadOnlyFilesystem => "; the disk is read-only: name a folder on another one",
        io::ErrorKind::NotADirectory | io::ErrorKind::AlreadyExists => "; a file stands where a folder is needed",
        _ => "",
    }
}

/// The failure of the file system beneath `error`, if that is what it is.
pub(crate) fn io_kind(error: &(dyn StdError + 'static)) -> Option<io::ErrorKind> {
    let causes = std::iter::successors(Some(error), |error| (*error).source());
    causes.filter_map(|cause| cause.downcast_ref::<io::Error>()).map(io::Error::kind).last()
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

#[cfg(test)]
mod tests {
    use super::Error;
    use std::error::Error as _;
    use std::io;
    use std::path::Path;

    #[test]
    fn a_failure_of_the_disk_is_told_with_the_file_and_what_to_do() {
        let full = || io::Error::from(io::ErrorKind::StorageFull);
        let direct = Error::io("write", Path::new("plant/store/x"), full());
        assert!(direct.to_string().starts_with("could not write plant/store/x; the disk is full"), "{direct}");
        let below = object_store::Error::Generic { store: "disk", source: Box::new(full()) };
        let refused = Error::refused(Path::new("plant/store/tests"), below);
        assert!(refused.to_string().contains("plant/store/tests; the disk is full"), "{refused}");
        assert!(refused.source().is_some(), "the cause is kept");
    }

    #[test]
    fn a_refusal_without_a_failure_of_the_disk_points_to_another_program() {
        let conflict = Error::refused(Path::new("t"), io::Error::other("version exists"));
        assert!(conflict.to_string().contains("another program"), "{conflict}");
    }
}
