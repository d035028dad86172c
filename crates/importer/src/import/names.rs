//! Names of sources: the path below the imported folder, and where two folders hold files of one such path, as many names of the
//! folders above as tell them apart. The same set of sources gets the same names, in whatever order it was imported.
//!
//! How a file is read depends on its own path only; its name is what rows and rulings call it.

use super::source::Listed;
use super::work::Work;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use windrow_model::settings::{PlanSettings, Settings};

/// The path of `file` below `origin`, with `/`; a file that is the origin itself is called by its name.
#[must_use]
pub fn below(file: &Path, origin: &Path) -> String {
    let parts = match file.strip_prefix(origin) {
        Ok(rest) if rest.components().next().is_some() => rest.to_path_buf(),
        _ => file.file_name().map(PathBuf::from).unwrap_or_default(),
    };
    let parts: Vec<_> = parts.components().map(|part| part.as_os_str().to_string_lossy()).collect();
    parts.join("/")
}

/// Names of the folders above the one that a file is called `name` below, nearest first.
#[must_use]
pub fn above(file: &Path, name: &str) -> Vec<String> {
    let folders = file.ancestors().skip(name.split('/').count());
    folders.filter_map(|folder| folder.file_name().map(|part| part.to_string_lossy().into_owned())).collect()
}

/// Gives every source a name of its own.
pub(super) fn tell_apart(sources: &mut [Listed]) {
    let folders: Vec<Vec<String>> =
        sources.iter().map(|source| above(&source.path, &below(&source.path, &source.origin))).collect();
    let mut depths = vec![0; sources.len()];
    loop {
        for ((source, folders), depth) in sources.iter_mut().zip(&folders).zip(&depths) {
            source.name = name(source, folders, *depth);
        }
        let shared = shared(sources);
        let mut is_done = true;
        for ((source, folders), depth) in sources.iter().zip(&folders).zip(&mut depths) {
            if shared.contains(&source.name) && *depth < folders.len() {
                *depth += 1;
                is_done = false;
            }
        }
        if is_done {
            return;
        }
    }
}

/// Names that more than one file has.
fn shared(sources: &[Listed]) -> BTreeSet<String> {
    let mut called: BTreeMap<&str, BTreeSet<&Path>> = BTreeMap::new();
    for source in sources {
        called.entry(&source.name).or_default().insert(&source.path);
    }
    called.into_iter().filter(|(_, files)| files.len() > 1).map(|(name, _)| name.to_owned()).collect()
}

fn name(source: &Listed, above: &[String], depth: usize) -> String {
    let mut parts: Vec<&str> = above.iter().take(depth).map(String::as_str).rev().collect();
    parts.push(&source.source_file);
    parts.join("/")
}

/// The settings as they concern some work on one source: without the rulings on others, without any where nothing is ruled on, and
/// without what is planned.
/// Rulings call it by its name; it is read by its path.
pub(super) fn settings_of(source: &Listed, work: &Work, settings: &Settings) -> Settings {
    let settings = Settings { plan: PlanSettings::default(), ..settings.clone() };
    if *work == Work::Look {
        return Settings { decisions: Vec::new(), ..settings };
    }
    let concerned =
        settings.decisions.iter().filter(|ruling| ruling.file.as_ref().is_none_or(|file| *file == source.name));
    let decisions: Vec<_> = concerned
        .cloned()
        .map(|mut ruling| {
            if let Some(file) = &mut ruling.file {
                file.clone_from(&source.source_file);
            }
            ruling
        })
        .collect();
    Settings { decisions, ..settings }
}
