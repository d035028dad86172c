//! `windrow import`: everything below the paths into the fleet folder, visible whole or not at all.

use super::decide;
use crate::args::ImportArgs;
use crate::progress::Progress;
use crate::{Ending, Workers, output, summary};
use anyhow::Context;
use windrow_importer::{Hands, Intake};
use windrow_model::settings::Settings;
use windrow_pipeline::{Rows, rows_of, understand_all};
use windrow_source::Limits;
use windrow_source::worker::{Pool, Terms};
use windrow_store::{Fleet, Import, ImportTables, Outcome};

pub(crate) fn run(args: &ImportArgs, workers: &Workers) -> anyhow::Result<Ending> {
    let rows = import(args, workers)?;
    output::line(&summary::of_import(&rows));
    Ok(summary::ending(&rows))
}

/// Imports and commits; the rows are what the fleet then holds.
pub(crate) fn import(args: &ImportArgs, workers: &Workers) -> anyhow::Result<Rows> {
    let started_at = jiff::Timestamp::now().to_string();
    let fleet = Fleet::open_or_create(&args.fleet.fleet)?;
    let settings = fleet.settings()?;
    decide::check(&settings)?;
    let settings_hash = fleet.settings_hash()?;
    let rows = understood_rows(args, workers, &settings, &settings_hash)?;
    let import = Import {
        import_id: rows.import_id.clone(),
        started_at,
        tool_version: env!("CARGO_PKG_VERSION").to_owned(),
        settings_hash,
    };
    let outcome = fleet.writer()?.commit_import(&import, tables(rows.clone()))?;
    if outcome == Outcome::Unchanged {
        output::note("nothing changed since the last import");
    }
    Ok(rows)
}

fn understood_rows(
    args: &ImportArgs,
    workers: &Workers,
    settings: &Settings,
    settings_hash: &str,
) -> anyhow::Result<Rows> {
    let registry = windrow_plugins::registry()?;
    let limits = Limits::default();
    let pool = pool(workers, args.workers, &limits);
    let intake = Intake { registry: &registry, settings, limits: &limits, hands: Hands::Workers(&pool) };
    let mut bar = Progress::default();
    let sources = understand_all(&args.paths, intake, &mut |progress| bar.tell(progress));
    bar.end();
    let first = args.paths.first().context("no path to import")?;
    if sources.is_empty() {
        anyhow::bail!("there is no file below {}; check the path", first.display());
    }
    Ok(rows_of(&sources, settings, &[env!("CARGO_PKG_VERSION"), settings_hash]))
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
        waveforms: Vec::new(),
        cells: rows.cells,
        holds: rows.holds,
        sources: rows.sources,
    }
}
