//! Finding the files below the paths of an import: sorted, links not followed, nothing dropped without a word.

use serde::{Deserialize, Serialize};
use std::fs::{self, Metadata};
use std::path::{Path, PathBuf};

mod passed;

pub(crate) use passed::{no_folder_of_records, no_record};

/// Folders deeper than this are reported, not entered.
const DEEPEST: usize = 64;
/// Files beyond this many are not looked for, and that is reported.
const MOST: usize = 1_000_000;

/// Why a file found is not opened, with what to do.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum Obstacle {
    /// It is no record: a lock file, what a file manager keeps, a fleet folder of this program.
    Passed(String),
    /// It may be one and cannot be read.
    Barred(String),
}

impl std::fmt::Display for Obstacle {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let (Self::Passed(reason) | Self::Barred(reason)) = self;
        f.write_str(reason)
    }
}

/// A file met, or a place that could not be looked at.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Found {
    /// Path below the imported folder, with `/`.
    pub source_file: String,
    /// Folder or file that the import was given.
    pub origin: PathBuf,
    /// Where it lies.
    pub path: PathBuf,
    /// Why it is not opened, if so.
    pub obstacle: Option<Obstacle>,
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
        let mut walk = Walk { origin, found: &mut found, most: MOST };
        walk.enter(origin, &name, 0);
    }
    found.sort_by(|a, b| (&a.source_file, &a.origin, &a.path).cmp(&(&b.source_file, &b.origin, &b.path)));
    found.dedup_by(|a, b| a.path == b.path);
    found
}

struct Walk<'a> {
    origin: &'a Path,
    found: &'a mut Vec<Found>,
    most: usize,
}

impl Walk<'_> {
    fn add(&mut self, path: &Path, name: &str, obstacle: Option<Obstacle>) {
        self.found.push(Found {
            source_file: name.to_owned(),
            origin: self.origin.to_path_buf(),
            path: path.to_path_buf(),
            obstacle,
        });
    }

    fn enter(&mut self, path: &Path, name: &str, depth: usize) {
        // What was named on the command line may be a link; what lies below it may not lead elsewhere.
        let metadata = if depth == 0 { fs::metadata(path) } else { fs::symlink_metadata(path) };
        let metadata = match metadata {
            Ok(metadata) => metadata,
            Err(error) => {
                let reason = format!("it cannot be looked at ({error}); check the path and the permissions");
                return self.add(path, name, Some(Obstacle::Barred(reason)));
            }
        };
        // What a person names is meant, whatever it is called.
        let passed = if depth == 0 { None } else { passed::by_name(name, &metadata) };
        match passed.or_else(|| barred(&metadata, depth)).or_else(|| passed::fleet(path, &metadata)) {
            Some(obstacle) => self.add(path, name, Some(obstacle)),
            None if metadata.is_file() => self.add(path, name, None),
            None => self.folder(path, name, depth),
        }
    }

    fn folder(&mut self, path: &Path, name: &str, depth: usize) {
        match children(path) {
            Err(error) => {
                let reason = format!("the folder cannot be read ({error}); check the permissions");
                self.add(path, name, Some(Obstacle::Barred(reason)));
            }
            Ok(children) => {
                for (child, child_path) in children {
                    if self.found.len() >= self.most {
                        let reason = format!(
                            "this folder has more than the {} files that one import takes; import its folders one by one",
                            self.most
                        );
                        return self.add(path, name, Some(Obstacle::Barred(reason)));
                    }
                    let below = if name.is_empty() { child } else { format!("{name}/{child}") };
                    self.enter(&child_path, &below, depth + 1);
                }
            }
        }
    }
}

fn barred(metadata: &Metadata, depth: usize) -> Option<Obstacle> {
    let reason = if metadata.is_symlink() {
        "it is a link, and links are not followed; import its target".to_owned()
    } else if !metadata.is_file() && !metadata.is_dir() {
        "it is no regular file; import a copy of what it holds".to_owned()
    } else if metadata.is_dir() && depth >= DEEPEST {
        format!("it lies more than {DEEPEST} folders deep; import it by itself")
    } else {
        return None;
    };
    Some(Obstacle::Barred(reason))
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
mod tests;
