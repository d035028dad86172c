//! All sources of an import in memory.

use std::path::{Path, PathBuf};
use windrow_importer::{Intake, Progress, Taken, import};
use windrow_model::raw::Understood;
use windrow_source::find::below;

/// A source as it was understood, and where it lies.
#[derive(Debug, Clone, PartialEq)]
pub struct Source {
    /// Folder or file that its import was given.
    pub origin: String,
    /// The file; for a file of an archive, the archive.
    pub path: String,
    /// What it tells.
    pub understood: Understood,
}

impl Source {
    /// The folder that its import was given, or that of the file that it was given.
    pub(crate) fn folder(&self) -> &str {
        let is_file = self.origin == self.path;
        let parent = Path::new(&self.origin).parent().filter(|_| is_file);
        parent.and_then(Path::to_str).unwrap_or(&self.origin)
    }
}

impl From<Taken> for Source {
    fn from(taken: Taken) -> Self {
        let text = |path: PathBuf| path.to_string_lossy().into_owned();
        Self { origin: text(taken.origin), path: text(taken.path), understood: taken.understood }
    }
}

/// Understands everything below `paths`, and nothing else; `progress` is told of each source as it is done. The result is sorted
/// by path.
#[must_use]
pub fn understand_all(paths: &[PathBuf], intake: Intake<'_>, progress: &mut dyn FnMut(Progress<'_>)) -> Vec<Source> {
    let mut sources = Vec::new();
    import(below(paths), Vec::new(), intake, progress, &mut |taken| sources.push(taken.into()));
    sources
}
