//! Reading and understanding files side by side.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use windrow_importer::{Registry, Source, evidence_of, understand_in_folder};
use windrow_model::raw::{SourceStatus, Understood};
use windrow_model::settings::Settings;
use windrow_sheet::Pools;
use windrow_source::Limits;
use windrow_source::find::{Found, below};

/// What an intake works with.
#[derive(Debug, Clone, Copy)]
pub struct Intake<'a> {
    /// All plugins.
    pub registry: &'a Registry,
    /// Settings of the fleet.
    pub settings: &'a Settings,
    /// Limits of one source.
    pub limits: &'a Limits,
    /// Threads; at least one is used.
    pub threads: usize,
}

/// Understands everything below `paths`; `done` is told each file's name as it ends, with the number of all files. The result
/// is sorted by path, each with the folder or file it came from.
#[must_use]
pub fn understand_all(
    paths: &[PathBuf],
    intake: Intake<'_>,
    done: &(dyn Fn(&str, usize) + Sync),
) -> Vec<(String, Understood)> {
    let found = below(paths);
    // What one file leaves open another of its folder may settle, so that the order of import never matters.
    let mut folders: BTreeMap<&str, Pools> = BTreeMap::new();
    for (file, pools) in found.iter().zip(side_by_side(&found, intake.threads, |file| evidence(file, intake))) {
        folders.entry(folder(&file.source_file)).or_default().merge(&pools);
    }
    let understood = side_by_side(&found, intake.threads, |file| {
        let understood = one(file, folders.get(folder(&file.source_file)), intake);
        done(&file.source_file, found.len());
        understood
    });
    found.iter().map(|file| file.origin.display().to_string()).zip(understood).collect()
}

/// Folder part of a path below the imported folder.
fn folder(source_file: &str) -> &str {
    source_file.rsplit_once('/').map_or("", |(folder, _)| folder)
}

/// Does `work` for every file in as many threads; results in the order of the files.
fn side_by_side<T: Send>(found: &[Found], threads: usize, work: impl Fn(&Found) -> T + Sync) -> Vec<T> {
    let next = AtomicUsize::new(0);
    let results: Mutex<Vec<(usize, T)>> = Mutex::new(Vec::with_capacity(found.len()));
    std::thread::scope(|scope| {
        for _ in 0..threads.max(1) {
            scope.spawn(|| {
                while let Some((index, file)) = take(found, &next) {
                    let result = work(file);
                    if let Ok(mut results) = results.lock() {
                        results.push((index, result));
                    }
                }
            });
        }
    });
    let mut results = results.into_inner().unwrap_or_default();
    results.sort_by_key(|(index, _)| *index);
    results.into_iter().map(|(_, result)| result).collect()
}

fn evidence(file: &Found, intake: Intake<'_>) -> Pools {
    let bytes = if file.obstacle.is_none() { std::fs::read(&file.path).unwrap_or_default() } else { Vec::new() };
    evidence_of(Source { source_file: &file.source_file, bytes: &bytes }, intake.registry, intake.limits)
}

fn take<'a>(found: &'a [Found], next: &AtomicUsize) -> Option<(usize, &'a Found)> {
    let index = next.fetch_add(1, Ordering::Relaxed);
    found.get(index).map(|file| (index, file))
}

fn one(file: &Found, folder: Option<&Pools>, intake: Intake<'_>) -> Understood {
    let obstacle = match &file.obstacle {
        Some(obstacle) => obstacle.clone(),
        None => match std::fs::read(&file.path) {
            Ok(bytes) => {
                let source = Source { source_file: &file.source_file, bytes: &bytes };
                return understand_in_folder(source, folder, intake.registry, intake.settings, intake.limits);
            }
            Err(error) => format!("it cannot be read ({error}); check the permissions and the disk"),
        },
    };
    refused(&file.source_file, obstacle)
}

/// A source that could not even be opened: it is listed with its reason like any other.
fn refused(source_file: &str, reason: String) -> Understood {
    Understood {
        source_file: source_file.to_owned(),
        blake3: String::new(),
        bytes: 0,
        media_type: String::new(),
        status: SourceStatus::Refused,
        reason: Some(reason),
        reader: None,
        regions: Vec::new(),
        tests: Vec::new(),
        machines: Vec::new(),
        cells: Vec::new(),
        holds: Vec::new(),
        notes: Vec::new(),
    }
}
