//! A folder of files of one CloudEvent a line.

use super::{Rendered, Sink, Verdict, file_name};
use crate::config::SinkConfig;
use crate::outbox::Stored;
use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use windrow_store::durable::{self, Place};

const BATCH: usize = 1000;
const MOST_FILES: usize = 10_000;

/// A folder that is emptied by the other side.
pub(super) struct Folder {
    path: PathBuf,
    most: usize,
    most_files: usize,
}

impl Folder {
    pub(super) fn of(config: &SinkConfig, fleet: &Path) -> Self {
        Self {
            path: fleet.join(config.path.clone().unwrap_or_default()),
            most: config.batch.unwrap_or(BATCH).max(1),
            most_files: config.most_files.unwrap_or(MOST_FILES),
        }
    }

    /// Puts `rendered` there, whole or not at all.
    pub(super) fn put(&self, rendered: &Rendered) -> Verdict {
        // The same batch again is the same file again.
        let path = self.path.join(&rendered.name);
        if !path.exists() && self.files() >= self.most_files {
            return Verdict::Later(
                format!(
                    "{} holds {} files already: let the other side take them away, or raise most_files",
                    self.path.display(),
                    self.most_files
                ),
                None,
            );
        }
        match durable::write(&path, [rendered.body.as_slice()], Place::Replace) {
            Ok(()) => Verdict::Taken,
            Err(error) => {
                Verdict::Later(format!("could not write {}: {error}{}", path.display(), advice(error.kind())), None)
            }
        }
    }

    fn files(&self) -> usize {
        fs::read_dir(&self.path).map_or(0, Iterator::count)
    }
}

fn advice(kind: ErrorKind) -> &'static str {
    match kind {
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => "; make room and feed again",
        ErrorKind::PermissionDenied => "; give this user permission to write there",
        ErrorKind::NotADirectory | ErrorKind::AlreadyExists => "; a file stands where a folder is needed",
        _ => "",
    }
}

impl Sink for Folder {
    fn most(&self) -> usize {
        self.most
    }

    fn render(&self, batch: &[Stored]) -> Result<Rendered, String> {
        let mut body = Vec::new();
        for event in batch {
            body.extend_from_slice(event.body.as_bytes());
            body.push(b'\n');
        }
        Ok(Rendered { name: file_name(batch, "ndjson"), body })
    }

    fn send(&mut self, batch: &[Stored]) -> Verdict {
        self.render(batch).map_or_else(Verdict::Refused, |rendered| self.put(&rendered))
    }
}
