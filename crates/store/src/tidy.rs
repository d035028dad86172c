//! Removing files that no snapshot needs any more, a week after they were last needed.
//!
//! The week is the Delta default: a reader that took a snapshot, of ours or of another program, may still be at work.

use crate::commits::{self, History};
use crate::delta::Delta;
use crate::durable::UNFINISHED;
use jiff::{SignedDuration, Timestamp};
use std::collections::BTreeSet;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use windrow_model::table::TABLES;

/// How long files stay that no current table needs.
const RETENTION: SignedDuration = SignedDuration::from_hours(7 * 24);

/// The moment before which things may go.
pub(crate) fn cutoff(now: Timestamp) -> Timestamp {
    now.checked_sub(RETENTION).unwrap_or(Timestamp::MIN)
}

/// Whether `path` was being written before `cutoff`, by a program that must have ended.
pub(crate) fn is_leftover(path: &Path, cutoff: Timestamp) -> bool {
    has_ending(path, UNFINISHED) && modified(path).is_some_and(|time| time < cutoff)
}

/// Removes data files that no commit since `cutoff` needed, and leftovers; returns how many. `history` holds the commits
/// since `cutoff` and the one before. The caller holds the lock.
pub(crate) fn run(delta: &Delta, history: &History, cutoff: Timestamp) -> io::Result<usize> {
    let mut removed = 0;
    for info in TABLES {
        let rows = history.rows.iter().filter(|row| row.table_name == info.name);
        let needed: BTreeSet<&str> = rows.filter_map(|row| row.file.as_deref()).collect();
        let files = data_files(&delta.folder_of(info.name))?;
        let unneeded = files.iter().filter(|file| !needed.contains(file.name.as_str()) && file.modified < cutoff);
        removed += remove(unneeded.map(|file| &file.path))?;
    }
    removed += remove(&replaced_pointers(delta, cutoff)?)?;
    for table in TABLES.iter().map(|info| info.name).chain([commits::INFO.name]) {
        let folder = delta.folder_of(table);
        for folder in [folder.join("_delta_log"), folder] {
            let leftovers = list(&folder)?.into_iter().filter(|path| is_leftover(path, cutoff)).collect::<Vec<_>>();
            removed += remove(&leftovers)?;
        }
    }
    Ok(removed)
}

/// Files of the table of commits that were replaced before `cutoff`: each is replaced when the next is written.
fn replaced_pointers(delta: &Delta, cutoff: Timestamp) -> io::Result<Vec<PathBuf>> {
    let mut files = data_files(&delta.folder_of(commits::INFO.name))?;
    files.sort_by(|a, b| (a.modified, &a.name).cmp(&(b.modified, &b.name)));
    let replaced = files.iter().zip(files.iter().skip(1)).filter(|(_, next)| next.modified < cutoff);
    Ok(replaced.map(|(file, _)| file.path.clone()).collect())
}

struct Found {
    name: String,
    path: PathBuf,
    modified: Timestamp,
}

/// Data files in the folder of a table.
fn data_files(folder: &Path) -> io::Result<Vec<Found>> {
    let found = list(folder)?.into_iter().filter(|path| has_ending(path, "parquet")).filter_map(|path| {
        let name = path.file_name()?.to_str()?.to_owned();
        Some(Found { name, modified: modified(&path)?, path })
    });
    Ok(found.collect())
}

fn list(folder: &Path) -> io::Result<Vec<PathBuf>> {
    match fs::read_dir(folder) {
        Ok(entries) => entries.map(|entry| Ok(entry?.path())).collect(),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(Vec::new()),
        Err(error) => Err(error),
    }
}

fn remove<'a>(paths: impl IntoIterator<Item = &'a PathBuf>) -> io::Result<usize> {
    let mut removed = 0;
    for path in paths {
        fs::remove_file(path)?;
        removed += 1;
    }
    Ok(removed)
}

fn modified(path: &Path) -> Option<Timestamp> {
    path.metadata().and_then(|metadata| metadata.modified()).ok().and_then(|time| Timestamp::try_from(time).ok())
}

fn has_ending(path: &Path, ending: &str) -> bool {
    path.extension().is_some_and(|found| found == ending)
}

#[cfg(test)]
mod tests {
    use super::{cutoff, is_leftover, run};
    use crate::commits::History;
    use crate::tests::{commit, contents, files, new_fleet};
    use jiff::{SignedDuration, Timestamp};
    use std::fs;

    #[test]
    fn only_what_was_replaced_long_ago_is_removed_and_nothing_that_is_read() {
        let (_folder, fleet) = new_fleet();
        for (id, count) in [("one", 1), ("two", 2), ("three", 3)] {
            commit(&fleet, id, count);
        }
        let orphan = fleet.delta().folder_of("tests").join("part-orphan.parquet");
        let leftover = fleet.delta().folder_of("tests").join("_delta_log/9.json.1-1.unfinished");
        fs::write(&orphan, b"").unwrap();
        fs::write(&leftover, b"").unwrap();
        let before = contents(&fleet.snapshot().unwrap());
        let (history, _) = History::load(fleet.delta()).unwrap();
        let all = files(fleet.dir());
        let now = Timestamp::now();
        assert_eq!(run(fleet.delta(), &history.since(cutoff(now)), cutoff(now)).unwrap(), 0);
        assert_eq!(files(fleet.dir()), all, "a week has not passed");

        let later = cutoff(now.checked_add(SignedDuration::from_hours(8 * 24)).unwrap());
        let removed = run(fleet.delta(), &history.since(later), later).unwrap();
        assert_eq!(contents(&fleet.snapshot().unwrap()), before);
        assert!(!orphan.exists() && !leftover.exists());
        // Two older files each of tests, readings, cells, holds, imports and commits; orphan and leftover.
        assert_eq!(removed, 2 * 6 + 2);
        assert_eq!(files(fleet.dir()).len(), all.len() - removed);
        commit(&fleet, "four", 4);
        assert_eq!(fleet.snapshot().unwrap().import_id(), Some("four"));
    }

    #[test]
    fn a_file_being_written_now_is_no_leftover() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("x.bin.1-1.unfinished");
        fs::write(&path, b"").unwrap();
        let now = Timestamp::now();
        assert!(!is_leftover(&path, cutoff(now)));
        assert!(is_leftover(&path, now.checked_add(SignedDuration::from_hours(1)).unwrap()));
        assert!(!is_leftover(folder.path(), now.checked_add(SignedDuration::from_hours(1)).unwrap()));
    }
}
