//! What lies between records and is none: told by name, listed with the reason, never opened.

use super::Obstacle;
use std::fs::Metadata;
use std::path::Path;

/// Beginnings, ends and whole names, lower case, and what such a file is. A file of these names holds no records of its own.
const FILES: &[(&str, &str, &str)] = &[
    ("~$", "", "a lock file of an open workbook"),
    (".~lock.", "", "a lock file of an open workbook"),
    ("~wrl", ".tmp", "a scratch file of a word processor"),
    ("._", "", "a file manager's note on another file"),
    (".ds_store", "", "a file manager's note on a folder"),
    ("thumbs.db", "", "a file manager's small pictures"),
    ("desktop.ini", "", "a file manager's note on a folder"),
];

/// Folders, lower case, that programs keep for themselves.
const FOLDERS: &[(&str, &str)] = &[
    (".git", "a folder of a version control system"),
    (".svn", "a folder of a version control system"),
    (".hg", "a folder of a version control system"),
    ("__macosx", "a file manager's notes on other files"),
    ("$recycle.bin", "a folder of deleted files"),
];

/// What the last part of `source_file` tells.
pub(super) fn by_name(source_file: &str, metadata: &Metadata) -> Option<Obstacle> {
    if metadata.is_dir() { no_folder_of_records(source_file) } else { no_record(source_file) }
}

/// A file that holds no records, told by its name; also for members of archives.
pub(crate) fn no_record(source_file: &str) -> Option<Obstacle> {
    let name = last(source_file);
    let (.., what) = FILES.iter().find(|(begins, ends, _)| name.starts_with(begins) && name.ends_with(ends))?;
    Some(Obstacle::Passed(format!("it is {what}; nothing to do")))
}

/// A folder that holds no records, told by its name; also for members of archives.
pub(crate) fn no_folder_of_records(source_file: &str) -> Option<Obstacle> {
    let name = last(source_file);
    let (_, what) = FOLDERS.iter().find(|(folder, _)| name == *folder)?;
    Some(Obstacle::Passed(format!("it is {what}; nothing to do")))
}

/// A fleet folder, whose tables were made from records and are none.
pub(super) fn fleet(path: &Path, metadata: &Metadata) -> Option<Obstacle> {
    let is_fleet = metadata.is_dir() && path.join("windrow.toml").is_file() && path.join("store").is_dir();
    is_fleet.then(|| Obstacle::Passed("it is a fleet folder, which imports write; nothing to do".to_owned()))
}

fn last(source_file: &str) -> String {
    source_file.rsplit('/').next().unwrap_or(source_file).to_lowercase()
}
