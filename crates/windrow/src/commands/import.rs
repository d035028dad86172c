//! `windrow import`: everything below the paths into the fleet folder, visible whole or not at all.

use super::decide;
use crate::args::ImportArgs;
use crate::memory::Remembered;
use crate::progress::Progress;
use crate::totals::Totals;
use crate::{Ending, Workers, output, summary};
use windrow_importer::{Hands, Intake, Recall};
use windrow_model::SourceRow;
use windrow_pipeline::{Missing, News, Order, Rows, Union, rows_of, take_in};
use windrow_source::Limits;
use windrow_source::worker::{Pool, Terms};
use windrow_store::{Fleet, Import, ImportTables, Outcome};

pub(crate) fn run(args: &ImportArgs, workers: &Workers) -> anyhow::Result<Ending> {
    let imported = import(args, workers)?;
    output::line(&summary::of_import(&imported));
    output::line(&summary::after_import(&imported.totals, &args.fleet.fleet));
    Ok(summary::ending(&imported.totals))
}

/// What an import did.
pub(crate) struct Imported {
    /// How much the fleet holds now.
    pub(crate) totals: Totals,
    /// What was different from before.
    pub(crate) news: News,
    /// Whether the tables changed.
    pub(crate) outcome: Outcome,
}

/// Imports and commits.
pub(crate) fn import(args: &ImportArgs, workers: &Workers) -> anyhow::Result<Imported> {
    let started_at = jiff::Timestamp::now().to_string();
    let fleet = Fleet::open_or_create(&args.fleet.fleet)?;
    decide::check(&fleet.settings()?)?;
    let memory = Remembered::new(fleet.cache());
    let before = fleet.snapshot()?;
    let mut union = take_all_in(args, workers, &fleet, &memory, &before.rows()?)?;
    let mut writer = fleet.writer()?;
    if writer.snapshot().commit() != before.commit() {
        // Another import came between, and its sources belong to the fleet too; ours are remembered by now.
        let earlier = writer.snapshot().rows()?;
        union = take_all_in(args, workers, &fleet, &memory, &earlier)?;
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
    memory.forget_the_rest();
    Ok(Imported { totals, news, outcome })
}

/// What lies below the paths, together with what `earlier` imports read.
fn take_all_in(
    args: &ImportArgs,
    workers: &Workers,
    fleet: &Fleet,
    memory: &Remembered,
    earlier: &[SourceRow],
) -> anyhow::Result<Union> {
    let registry = windrow_plugins::registry()?;
    let settings = fleet.settings()?;
    let limits = Limits::of(settings.opening);
    let pool = pool(workers, args.workers, &limits);
    let program = program();
    let intake = Intake {
        registry: &registry,
        settings: &settings,
        limits: &limits,
        hands: Hands::Workers(&pool),
        recall: Some(Recall { memory, program: &program }),
    };
    let missing = if args.forget_missing { Missing::Forget } else { Missing::Keep };
    let order = Order { paths: &args.paths, earlier, missing };
    let mut bar = Progress::default();
    let union = take_in(order, intake, &mut |progress| bar.tell(progress));
    bar.end();
    Ok(union?)
}

/// What tells this build from every other: what one understood is no answer of another.
fn program() -> String {
    let built = || {
        let metadata = std::env::current_exe().ok()?.metadata().ok()?;
        let since = metadata.modified().ok()?.duration_since(std::time::UNIX_EPOCH).ok()?;
        Some(format!("{} {}", metadata.len(), since.as_nanos()))
    };
    format!("{} {}", env!("CARGO_PKG_VERSION"), built().unwrap_or_default())
}

/// Worker processes, as many as asked for or one a core.
pub(crate) fn pool(workers: &Workers, count: Option<u16>, limits: &Limits) -> Pool {
    let count = count.map_or_else(|| std::thread::available_parallelism().map_or(1, usize::from), usize::from);
    let log = workers.log.clone();
    Pool::new(&workers.program, Terms::new(count, limits), move |line| log.pass_on(line))
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
