//! The sources of a fleet: what an import is told to read, together with what earlier imports read elsewhere.
//!
//! A source is known by where it lies. What lies below the paths of this import is looked at again, and replaces what was there
//! before; everything else is kept as it was, from the memory of the intake. What can neither be read nor remembered ends the
//! import, since its rows would be lost.

mod places;

use crate::intake::Source;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use windrow_importer::{Intake, Kept, Progress, Taken, import, names};
use windrow_model::SourceRow;
use windrow_model::raw::SourceStatus;
use windrow_source::find::{Found, Obstacle, below};

/// What to do with sources that are gone from where they were.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Missing {
    /// Keep what was read from them.
    Keep,
    /// Drop it, for those that lay below the paths of this import.
    Forget,
}

/// What an import is to read.
#[derive(Debug, Clone, Copy)]
pub struct Order<'a> {
    /// Files and folders, read with all that is below them.
    pub paths: &'a [PathBuf],
    /// What earlier imports found: the table `sources`.
    pub earlier: &'a [SourceRow],
    /// What to do with sources that are gone.
    pub missing: Missing,
}

/// All sources of a fleet, sorted by the names they are stored under.
#[derive(Debug, Clone, PartialEq)]
pub struct Union {
    /// The sources.
    pub sources: Vec<Source>,
    /// What is different from before.
    pub news: News,
}

/// What an import found in comparison with earlier ones; names as in `sources`.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct News {
    /// Met for the first time.
    pub new: Vec<String>,
    /// With other bytes than before.
    pub changed: Vec<String>,
    /// As before.
    pub unchanged: usize,
    /// No longer where they were; what was read from them is kept.
    pub missing: Vec<String>,
    /// No longer where they were, and dropped because the import was told to.
    pub forgotten: Vec<String>,
    /// From earlier imports of other paths, not looked at.
    pub elsewhere: usize,
}

/// Why nothing was imported.
#[derive(Debug, thiserror::Error)]
pub enum Refused {
    /// A path that cannot be looked at, and why.
    #[error("{}: {why}", path.display())]
    Path {
        /// The path as it was given.
        path: PathBuf,
        /// What is wrong and what to do.
        why: String,
    },
    /// There is no file.
    #[error("there is no file below {}; check the path", .0.display())]
    Nothing(PathBuf),
    /// Sources that can neither be read again nor remembered.
    #[error(
        "nothing was changed, because what earlier imports read from these files would be lost: the files are gone or cannot be \
         read, and the cache of the fleet no longer holds what they told. Put them back where they were, or import the folder that \
         they were in with --forget-missing to drop what they told:\n  {}",
        .0.join("\n  ")
    )]
    Lost(Vec<String>),
}

/// Understands what `order` names and recalls the rest; `progress` is told of each source as it is done.
///
/// # Errors
/// When a path cannot be looked at, when there is no file, and when sources of earlier imports would be lost.
pub fn take_in(order: Order<'_>, intake: Intake<'_>, progress: &mut dyn FnMut(Progress<'_>)) -> Result<Union, Refused> {
    let paths: Vec<PathBuf> = order.paths.iter().map(|path| places::absolute(path)).collect();
    let found = found(order, &paths)?;
    let mut kept = Keeping::of(order, &paths, &found);
    let mut taken = Vec::new();
    import(found, std::mem::take(&mut kept.sources), intake, progress, &mut |source| taken.push(source));
    let lost: Vec<String> = taken.iter().filter_map(lost).collect();
    if !lost.is_empty() {
        return Err(Refused::Lost(lost));
    }
    let news = kept.news(&taken, order.earlier);
    let mut sources: Vec<Source> = taken.into_iter().map(Source::from).collect();
    sources.sort_by(|a, b| a.understood.source_file.cmp(&b.understood.source_file).then_with(|| a.path.cmp(&b.path)));
    Ok(Union { sources, news })
}

/// Everything below the paths, each file once, under the widest folder that any import was given.
fn found(order: Order<'_>, paths: &[PathBuf]) -> Result<Vec<Found>, Refused> {
    let mut all = below(paths);
    for (given, path) in order.paths.iter().zip(paths) {
        let barred = all.iter().find(|found| found.path == *path).and_then(|found| found.obstacle.as_ref());
        if let Some(Obstacle::Barred(why)) = barred {
            return Err(Refused::Path { path: given.clone(), why: why.clone() });
        }
    }
    if all.is_empty() {
        return Err(Refused::Nothing(order.paths.first().cloned().unwrap_or_default()));
    }
    let known = order.earlier.iter().map(|row| PathBuf::from(&row.origin));
    let origins: BTreeSet<PathBuf> = known.chain(paths.iter().cloned()).collect();
    for found in &mut all {
        if let Some(origin) = found.path.ancestors().filter(|folder| origins.contains(*folder)).last() {
            found.source_file = names::below(&found.path, origin);
            found.origin = origin.to_path_buf();
        }
    }
    // A file that a person names is meant, even where a folder's walk would pass it over.
    all.sort_by(|a, b| (&a.path, a.obstacle.is_some()).cmp(&(&b.path, b.obstacle.is_some())));
    all.dedup_by(|a, b| a.path == b.path);
    Ok(all)
}

/// A file, and the path within it when it is an archive.
type FileKey = (String, Option<String>);

/// What is kept of earlier imports.
struct Keeping {
    sources: Vec<Kept>,
    missing: BTreeSet<FileKey>,
    forgotten: Vec<String>,
}

impl Keeping {
    fn of(order: Order<'_>, paths: &[PathBuf], found: &[Found]) -> Self {
        let found: BTreeSet<String> = found.iter().map(|found| found.path.to_string_lossy().into_owned()).collect();
        let mut keeping = Self { sources: Vec::new(), missing: BTreeSet::new(), forgotten: Vec::new() };
        for row in order.earlier.iter().filter(|row| !found.contains(&row.path)) {
            let kept = places::kept(row);
            let is_missing = paths.iter().any(|path| Path::new(&row.path).starts_with(path));
            if is_missing && row.cells_total == 0 {
                tracing::info!(file = row.source_file, "gone, and nothing was read from it: no longer listed");
            } else if is_missing && order.missing == Missing::Forget {
                keeping.forgotten.push(row.source_file.clone());
            } else {
                if is_missing {
                    keeping.missing.insert((row.path.clone(), kept.member.clone()));
                }
                keeping.sources.push(kept);
            }
        }
        keeping
    }

    fn news(self, taken: &[Taken], earlier: &[SourceRow]) -> News {
        let before: BTreeMap<FileKey, &SourceRow> =
            earlier.iter().map(|row| ((row.path.clone(), places::kept(row).member), row)).collect();
        let mut news = News { forgotten: self.forgotten, ..News::default() };
        for source in taken.iter().filter(|source| source.understood.status != SourceStatus::Skipped) {
            let name = source.understood.source_file.clone();
            let lies = (source.path.to_string_lossy().into_owned(), source.member.clone());
            match before.get(&lies) {
                None => news.new.push(name),
                Some(row) if row.blake3 != source.understood.blake3 => news.changed.push(name),
                Some(_) if self.missing.contains(&lies) => news.missing.push(name),
                Some(_) if source.is_kept => news.elsewhere += 1,
                Some(_) => news.unchanged += 1,
            }
        }
        news
    }
}

fn lost(source: &Taken) -> Option<String> {
    let error = source.lost.as_ref()?;
    let member = source.member.as_ref().map_or_else(String::new, |member| format!("/{member}"));
    Some(format!("{}{member}: {error}", source.path.display()))
}
