//! `windrow run`: import, analyze, report.

use crate::args::RunArgs;
use crate::commands::{import, report};
use crate::{Ending, Workers, output, summary};

pub(crate) fn run(args: &RunArgs, workers: &Workers) -> anyhow::Result<Ending> {
    let fleet = &args.import.fleet.fleet;
    let imported = import::import(&args.import, workers)?;
    let judgement = windrow_tasks::judge::judge(fleet)?;
    let page = report::write(fleet, args.out.as_deref())?;
    output::line(&summary::of_import(&imported));
    output::line(&summary::of_judgement(&judgement));
    output::line(&summary::of_report(&page));
    output::line(&summary::after_run(&imported.totals, fleet, &page));
    Ok(summary::ending(&imported.totals))
}
