//! All sources of an import in memory.

use std::path::PathBuf;
use windrow_importer::{Intake, Progress, import};
use windrow_model::raw::Understood;
use windrow_source::find::below;

/// Understands everything below `paths`; `progress` is told of each source as it is done. The result is sorted by path, each with
/// the folder or file it came from.
#[must_use]
pub fn understand_all(
    paths: &[PathBuf],
    intake: Intake<'_>,
    progress: &mut dyn FnMut(Progress<'_>),
) -> Vec<(String, Understood)> {
    let mut sources = Vec::new();
    import(below(paths), intake, progress, &mut |taken| sources.push((taken.origin, taken.understood)));
    sources
}
