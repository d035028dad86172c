//! `windrow import`: everything below the paths into the fleet folder, visible whole or not at all.

use crate::args::ImportArgs;
use crate::progress::Progress;
use crate::{Ending, output, summary};
use anyhow::Context;
use std::sync::Mutex;
use windrow_pipeline::{Intake, Rows, rows_of, understand_all};
use windrow_source::Limits;
use windrow_store::{Fleet, Import, ImportTables, Outcome};

pub(crate) fn run(args: &ImportArgs) -> anyhow::Result<Ending> {
    let rows = import(args)?;
    output::line(&summary::of_import(&rows));
    Ok(summary::ending(&rows))
}

/// Imports and commits; the rows are what the fleet then holds.
pub(crate) fn import(args: &ImportArgs) -> anyhow::Result<Rows> {
    let started_at = jiff::Timestamp::now().to_string();
    let fleet = Fleet::open_or_create(&args.fleet.fleet)?;
    let settings = fleet.settings()?;
    let settings_hash = fleet.settings_hash()?;
    let rows = understood_rows(args, &settings, &settings_hash)?;
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
    settings: &windrow_model::settings::Settings,
    settings_hash: &str,
) -> anyhow::Result<Rows> {
    let registry = windrow_plugins::registry()?;
    let threads = args.threads.map_or_else(|| std::thread::available_parallelism().map_or(1, usize::from), usize::from);
    let limits = Limits::default();
    let intake = Intake { registry: &registry, settings, limits: &limits, threads };
    let progress: Mutex<Option<Progress>> = Mutex::new(None);
    let sources = understand_all(&args.paths, intake, &|name, total| {
        if let Ok(mut progress) = progress.lock() {
            progress.get_or_insert_with(|| Progress::begin(total)).file_done(name);
        }
    });
    if let Some(progress) = progress.into_inner().ok().flatten() {
        progress.end();
    }
    let first = args.paths.first().context("no path to import")?;
    if sources.is_empty() {
        anyhow::bail!("there is no file below {}; check the path", first.display());
    }
    Ok(rows_of(&sources, settings, &[env!("CARGO_PKG_VERSION"), settings_hash]))
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
