//! Reading and understanding files side by side.

use std::path::PathBuf;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use windrow_importer::{Registry, Source, understand_source};
use windrow_model::raw::{SourceStatus, Understood};
use windrow_model::settings::Settings;
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
    let next = AtomicUsize::new(0);
    let results: Mutex<Vec<(usize, Understood)>> = Mutex::new(Vec::with_capacity(found.len()));
    std::thread::scope(|scope| {
        for _ in 0..intake.threads.max(1) {
            scope.spawn(|| {
                while let Some((index, file)) = take(&found, &next) {
                    let understood = one(file, intake);
                    done(&file.source_file, found.len());
                    if let Ok(mut results) = results.lock() {
                        results.push((index, understood));
                    }
                }
            });
        }
    });
    let mut results = results.into_inner().unwrap_or_default();
    results.sort_by_key(|(index, _)| *index);
    results
        .into_iter()
        .filter_map(|(index, understood)| Some((found.get(index)?.origin.display().to_string(), understood)))
        .collect()
}

fn take<'a>(found: &'a [Found], next: &AtomicUsize) -> Option<(usize, &'a Found)> {
    let index = next.fetch_add(1, Ordering::Relaxed);
    found.get(index).map(|file| (index, file))
}

fn one(file: &Found, intake: Intake<'_>) -> Understood {
    let obstacle = match &file.obstacle {
        Some(obstacle) => obstacle.clone(),
        None => match std::fs::read(&file.path) {
            Ok(bytes) => {
                let source = Source { source_file: &file.source_file, bytes: &bytes };
                return understand_source(source, intake.registry, intake.settings, intake.limits);
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
