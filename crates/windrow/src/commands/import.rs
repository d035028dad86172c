//! `windrow import`: everything below the paths into the fleet folder, visible whole or not at all.

use crate::args::ImportArgs;
use crate::progress::Progress;
use crate::{Ending, Workers, output, summary};
use windrow_pipeline::Missing;
use windrow_tasks::import::{Imported, Task};

pub(crate) fn run(args: &ImportArgs, workers: &Workers) -> anyhow::Result<Ending> {
    let imported = import(args, workers)?;
    output::line(&summary::of_import(&imported));
    output::line(&summary::after_import(&imported.totals, &args.fleet.fleet));
    Ok(summary::ending(&imported.totals))
}

/// Imports and commits, with a bar.
pub(crate) fn import(args: &ImportArgs, workers: &Workers) -> anyhow::Result<Imported> {
    let missing = if args.forget_missing { Missing::Forget } else { Missing::Keep };
    let task = Task { fleet: &args.fleet.fleet, paths: &args.paths, missing };
    let mut bar = Progress::default();
    let imported = windrow_tasks::import::import(task, &workers.readers(args.workers)?, &mut |told| bar.tell(told));
    bar.end();
    imported
}
