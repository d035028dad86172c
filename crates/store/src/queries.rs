//! `queries/NAME.sql`: SQL that people saved, a file a query, readable by any program.

use crate::durable::{self, Place};
use crate::error::{Error, Result};
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

const EXTENSION: &str = "sql";
/// Longest name, in characters: file systems take 255 bytes.
const LONGEST_NAME: usize = 60;

/// Names and statements, by name; a missing folder means none. Files with other names than a query can have are passed over.
pub(crate) fn load(folder: &Path) -> Result<Vec<(String, String)>> {
    let entries = match fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(error) => return Err(Error::io("list", folder, error)),
    };
    let mut queries = Vec::new();
    for entry in entries {
        let path = entry.map_err(|error| Error::io("list", folder, error))?.path();
        let is_query = path.extension().is_some_and(|extension| extension == EXTENSION) && path.is_file();
        let name = path.file_stem().and_then(|stem| stem.to_str()).filter(|name| is_query && is_name(name));
        if let Some(name) = name {
            let text = fs::read_to_string(&path).map_err(|error| Error::io("read", &path, error))?;
            queries.push((name.to_owned(), text));
        }
    }
    queries.sort();
    Ok(queries)
}

pub(crate) fn save(folder: &Path, name: &str, statement: &str) -> Result<()> {
    let path = path_of(folder, name)?;
    let text = format!("{}\n", statement.trim());
    durable::write(&path, [text.as_bytes()], Place::Replace).map_err(|error| Error::io("write", &path, error))
}

pub(crate) fn forget(folder: &Path, name: &str) -> Result<bool> {
    let path = path_of(folder, name)?;
    match fs::remove_file(&path) {
        Ok(()) => Ok(true),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(false),
        Err(error) => Err(Error::io("remove", &path, error)),
    }
}

fn path_of(folder: &Path, name: &str) -> Result<PathBuf> {
    if is_name(name) {
        return Ok(folder.join(name).with_added_extension(EXTENSION));
    }
    Err(Error::query(format!(
        "{name:?} is no name for a saved query: use letters, digits, blanks, - and _, {LONGEST_NAME} at most, the first a letter or digit"
    )))
}

/// Whether a name stays within the folder on every file system.
fn is_name(name: &str) -> bool {
    let is_plain = |letter: char| letter.is_ascii_alphanumeric() || matches!(letter, ' ' | '-' | '_');
    name.len() <= LONGEST_NAME
        && name.starts_with(|letter: char| letter.is_ascii_alphanumeric())
        && !name.ends_with(' ')
        && name.chars().all(is_plain)
}

#[cfg(test)]
mod tests {
    use super::{forget, load, save};
    use std::fs;

    #[test]
    fn what_is_saved_is_found_again_by_name_until_it_is_forgotten() {
        let folder = tempfile::tempdir().unwrap();
        let queries = folder.path().join("queries");
        assert_eq!(load(&queries).unwrap(), []);
        save(&queries, "open findings", "SELECT 1").unwrap();
        save(&queries, "open findings", " SELECT 2 ").unwrap();
        assert_eq!(load(&queries).unwrap(), [("open findings".to_owned(), "SELECT 2\n".to_owned())]);
        assert!(forget(&queries, "open findings").unwrap());
        assert!(!forget(&queries, "open findings").unwrap());
    }

    #[test]
    fn no_name_leads_out_of_the_folder() {
        let folder = tempfile::tempdir().unwrap();
        for name in ["../decisions", "a/b", "a\\b", "", ".hidden", "a.b", " a", "a ", "nul\0", &"x".repeat(61)] {
            assert!(save(&folder.path().join("queries"), name, "SELECT 1").is_err(), "{name:?}");
        }
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0);
    }
}
