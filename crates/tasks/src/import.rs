//! Everything below the paths into the fleet folder, visible whole or not at all.

use crate::memory::Remembered;
use crate::{Totals, decide, program};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use windrow_importer::{Hands, Intake, Progress, Recall, Registry};
use windrow_model::SourceRow;
use windrow_pipeline::{Missing, News, Order, Rows, Union, rows_of, take_in};
use windrow_source::Limits;
use windrow_source::worker::{Pool, Program, Terms};
use windrow_store::{Fleet, Import, ImportTables, Outcome};

/// What reads: plugins, and what starts the processes that open files.
#[derive(Clone)]
pub struct Readers {
    /// The plugins.
    pub registry: Arc<Registry>,
    /// This program, as it is started again.
    pub program: Program,
    /// Where lines go that the processes log.
    pub log: Arc<dyn Fn(&str) + Send + Sync>,
    /// Number of processes; one a core without it.
    pub count: Option<u16>,
}

impl std::fmt::Debug for Readers {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Readers").field("program", &self.program).field("count", &self.count).finish_non_exhaustive()
    }
}

/// What to import.
#[derive(Debug, Clone, Copy)]
pub struct Task<'a> {
    /// The fleet folder; made when missing.
    pub fleet: &'a Path,
    /// Files and folders, read with all that is below them.
    pub paths: &'a [PathBuf],
    /// What to do with sources that are gone.
    pub missing: Missing,
}

/// What an import did.
#[derive(Debug)]
pub struct Imported {
    /// How much the fleet holds now.
    pub totals: Totals,
    /// What was different from before.
    pub news: News,
    /// Whether the tables changed.
    pub outcome: Outcome,
}

/// Imports and commits; `progress` is told of each source as it is done.
pub fn import(task: Task<'_>, readers: &Readers, progress: &mut dyn FnMut(Progress<'_>)) -> anyhow::Result<Imported> {
    let started_at = jiff::Timestamp::now().to_string();
    let fleet = Fleet::open_or_create(task.fleet)?;
    decide::check(&fleet.settings()?)?;
    let memory = Remembered::new(fleet.cache());
    let program = program::told();
    let recall = program.as_deref().map(|program| Recall { memory: &memory, program });
    let before = fleet.snapshot()?;
    let mut union = take_all_in(task, readers, (&fleet, recall), &before.rows()?, progress)?;
    let mut writer = fleet.writer()?;
    if writer.snapshot().commit() != before.commit() {
        // Another import came between, and its sources belong to the fleet too; ours are remembered by now.
        let earlier = writer.snapshot().rows()?;
        union = take_all_in(task, readers, (&fleet, recall), &earlier, progress)?;
    }
    let (settings, settings_hash) = (fleet.settings()?, fleet.settings_hash()?);
    let Union { sources, news } = union;
    let rows = tracing::info_span!("normalizing", sources = sources.len())
        .in_scope(|| rows_of(sources, &settings, &[env!("CARGO_PKG_VERSION"), &settings_hash]));
    let totals = Totals::of(&rows);
    let import = Import {
        import_id: rows.import_id.to_string(),
        started_at,
        tool_version: env!("CARGO_PKG_VERSION").to_owned(),
        settings_hash,
    };
    let committing = tracing::info_span!("committing", import_id = import.import_id);
    let outcome = committing.in_scope(|| writer.commit_import(&import, tables(rows)))?;
    // An import that recalled nothing does not know what the next one can use.
    if recall.is_some() {
        memory.forget_the_rest();
    }
    Ok(Imported { totals, news, outcome })
}

/// What lies below the paths, together with what `earlier` imports read.
fn take_all_in(
    task: Task<'_>,
    readers: &Readers,
    (fleet, recall): (&Fleet, Option<Recall<'_>>),
    earlier: &[SourceRow],
    progress: &mut dyn FnMut(Progress<'_>),
) -> anyhow::Result<Union> {
    let settings = fleet.settings()?;
    let limits = Limits::of(settings.opening);
    let pool = pool(readers, &limits);
    let intake = Intake {
        registry: &readers.registry,
        settings: &settings,
        limits: &limits,
        hands: Hands::Workers(&pool),
        recall,
    };
    let order = Order { paths: task.paths, earlier, missing: task.missing };
    Ok(take_in(order, intake, progress)?)
}

/// Worker processes, as many as asked for or one a core.
#[must_use]
pub fn pool(readers: &Readers, limits: &Limits) -> Pool {
    let one_a_core = || std::thread::available_parallelism().map_or(1, usize::from);
    let count = readers.count.map_or_else(one_a_core, usize::from);
    let log = Arc::clone(&readers.log);
    Pool::new(&readers.program, Terms::new(count, limits), move |line| log(line))
}

fn tables(rows: Rows) -> ImportTables {
    ImportTables {
        assets: rows.assets,
        tests: rows.tests,
        readings: rows.readings,
        waveforms: rows.waveforms,
        reported_figures: rows.reported_figures,
        cells: rows.cells,
        holds: rows.holds,
        sources: rows.sources,
    }
}
