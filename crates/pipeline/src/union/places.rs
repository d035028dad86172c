//! Where sources lie, and how the table `sources` tells it.

use std::path::{Path, PathBuf};
use windrow_importer::Kept;
use windrow_importer::names::{above, below};
use windrow_model::SourceRow;
use windrow_model::raw::{SourceStatus, Understood};

/// A path without links and dots, the same from wherever it is named; one that does not exist is only made absolute.
pub(super) fn absolute(path: &Path) -> PathBuf {
    std::fs::canonicalize(path).or_else(|_| std::path::absolute(path)).unwrap_or_else(|_| path.to_path_buf())
}

/// The source of a row, as an import takes it that does not look at it.
pub(super) fn kept(row: &SourceRow) -> Kept {
    let path = Path::new(&row.path);
    let name = below(path, Path::new(&row.origin));
    let member = member(row, &name);
    let source_file = member.as_ref().map_or_else(|| name.clone(), |member| format!("{name}/{member}"));
    Kept {
        bare: (row.cells_total == 0).then(|| bare(row, &source_file)),
        source_file,
        origin: PathBuf::from(&row.origin),
        path: path.to_path_buf(),
        member,
        blake3: row.blake3.clone(),
    }
}

/// The path within the archive `name`, for a row that is named below it, however many folders stand before that.
fn member(row: &SourceRow, name: &str) -> Option<String> {
    let mut before = String::new();
    let above = above(Path::new(&row.path), name);
    for folder in std::iter::once(None).chain(above.iter().map(Some)) {
        if let Some(folder) = folder {
            before = format!("{folder}/{before}");
        }
        match row.source_file.strip_prefix(&format!("{before}{name}")) {
            Some("") => return None,
            Some(rest) if rest.starts_with('/') => return Some(rest.trim_start_matches('/').to_owned()),
            _ => {}
        }
    }
    None
}

/// A source from which nothing was read, as its row tells it.
fn bare(row: &SourceRow, source_file: &str) -> Understood {
    let status = SourceStatus::from_code(&row.status).unwrap_or(SourceStatus::Refused);
    Understood {
        blake3: row.blake3.clone(),
        bytes: u64::try_from(row.bytes).unwrap_or(0),
        media_type: row.media_type.clone(),
        reason: row.reason.clone(),
        reader: row.reader.clone(),
        ..Understood::blank(source_file, status)
    }
}
