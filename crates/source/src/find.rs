//! Finding the files below the paths of an import: sorted, links not followed, nothing dropped without a word.

use std::fs;
use std::path::{Path, PathBuf};

/// Folders deeper than this are reported, not entered.
const DEEPEST: usize = 64;

/// A file met, or a place that could not be looked at.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Found {
    /// Path below the imported folder, with `/`.
    pub source_file: String,
    /// Folder or file that the import was given.
    pub origin: PathBuf,
    /// Where it lies.
    pub path: PathBuf,
    /// Why it cannot be read, if so, with what to do.
    pub obstacle: Option<String>,
}

/// Everything below `paths`, sorted by path. A path that does not exist is found with its obstacle.
#[must_use]
pub fn below(paths: &[PathBuf]) -> Vec<Found> {
    let mut found = Vec::new();
    for origin in paths {
        let is_folder = fs::metadata(origin).is_ok_and(|metadata| metadata.is_dir());
        let name = if is_folder {
            String::new()
        } else {
            origin.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default()
        };
        walk(origin, origin, &name, 0, &mut found);
    }
    found.sort_by(|a, b| (&a.source_file, &a.origin).cmp(&(&b.source_file, &b.origin)));
    found.dedup_by(|a, b| a.path == b.path);
    found
}

fn walk(origin: &Path, path: &Path, name: &str, depth: usize, found: &mut Vec<Found>) {
    let mut add = |obstacle: Option<String>| {
        found.push(Found {
            source_file: name.to_owned(),
            origin: origin.to_path_buf(),
            path: path.to_path_buf(),
            obstacle,
        });
    };
    // What was named on the command line may be a link; what lies below it may not lead elsewhere.
    let metadata = if depth == 0 { fs::metadata(path) } else { fs::symlink_metadata(path) };
    let metadata = match metadata {
        Ok(metadata) => metadata,
        Err(error) => {
            return add(Some(format!("it cannot be looked at ({error}); check the path and the permissions")));
        }
    };
    if metadata.is_symlink() {
        return add(Some("it is a link, and links are not followed; import its target".to_owned()));
    }
    if metadata.is_file() {
        return add(None);
    }
    if !metadata.is_dir() {
        return add(Some("it is no regular file; import a copy of what it holds".to_owned()));
    }
    if depth >= DEEPEST {
        return add(Some(format!("it lies more than {DEEPEST} folders deep; import it by itself")));
    }
    match children(path) {
        Err(error) => add(Some(format!("the folder cannot be read ({error}); check the permissions"))),
        Ok(children) => {
            for (child, child_path) in children {
                let below = if name.is_empty() { child } else { format!("{name}/{child}") };
                walk(origin, &child_path, &below, depth + 1, found);
            }
        }
    }
}

fn children(folder: &Path) -> std::io::Result<Vec<(String, PathBuf)>> {
    let mut children = Vec::new();
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        children.push((entry.file_name().to_string_lossy().into_owned(), entry.path()));
    }
    children.sort();
    Ok(children)
}

#[cfg(test)]
mod tests {
    use super::below;
    use std::fs;

    #[test]
    fn files_are_found_in_order_and_links_are_not_followed() {
        let folder = tempfile::tempdir().unwrap();
        fs::create_dir(folder.path().join("b")).unwrap();
        fs::write(folder.path().join("b/2.csv"), "x").unwrap();
        fs::write(folder.path().join("a.csv"), "x").unwrap();
        #[cfg(unix)]
        std::os::unix::fs::symlink(folder.path(), folder.path().join("loop")).unwrap();
        let found = below(&[folder.path().to_path_buf()]);
        let names: Vec<&str> =
            found.iter().filter(|file| file.obstacle.is_none()).map(|file| file.source_file.as_str()).collect();
        assert_eq!(names, ["a.csv", "b/2.csv"]);
        #[cfg(unix)]
        assert!(found.iter().any(|file| file.source_file == "loop" && file.obstacle.is_some()));
    }

    #[test]
    fn what_is_not_there_is_said() {
        let found = below(&["/no/such/folder".into()]);
        assert!(found[0].obstacle.as_ref().unwrap().contains("check the path"));
    }

    #[test]
    fn a_file_by_itself_goes_by_its_name() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("one.csv");
        fs::write(&file, "x").unwrap();
        assert_eq!(below(&[file])[0].source_file, "one.csv");
    }
}
