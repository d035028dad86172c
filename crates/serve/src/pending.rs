//! Whether answers wait to be applied: rulings, settings and layouts other than those of the newest import.

use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};
use std::time::SystemTime;
use windrow_store::Fleet;

/// Size and time of each file that decides how records are read.
type Stamps = Vec<(PathBuf, u64, Option<SystemTime>)>;

/// The hash of what decides, kept as long as no file of it changes.
#[derive(Debug, Default)]
pub(crate) struct Pending(Mutex<Option<(Stamps, String)>>);

impl Pending {
    /// Whether the tables were read with other rulings, settings or layouts than those that stand now; `imported` is the hash of the
    /// newest import. What cannot be read now is told by the pages that need it.
    pub(crate) fn since(&self, fleet: &Fleet, imported: &str) -> bool {
        let stamps = stamps(fleet);
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((seen, hash)) = kept.as_ref()
            && *seen == stamps
        {
            return hash != imported;
        }
        let Ok(hash) = fleet.settings_hash() else { return true };
        let is_pending = hash != imported;
        *kept = Some((stamps, hash));
        is_pending
    }
}

fn stamps(fleet: &Fleet) -> Stamps {
    let layouts = std::fs::read_dir(fleet.layouts_dir()).into_iter().flatten().flatten().map(|entry| entry.path());
    let mut paths: Vec<PathBuf> = layouts.collect();
    paths.extend([fleet.decisions_path(), fleet.dir().join("windrow.toml")]);
    paths.sort();
    paths.into_iter().map(stamp).collect()
}

fn stamp(path: PathBuf) -> (PathBuf, u64, Option<SystemTime>) {
    let told = |path: &Path| path.metadata().ok();
    let (length, modified) = told(&path).map_or((0, None), |metadata| (metadata.len(), metadata.modified().ok()));
    (path, length, modified)
}
