//! `windrow run`: import, analyze, report.

use crate::args::RunArgs;
use crate::commands::{analyze, import, report};
use crate::{Ending, Workers, output, summary};

pub(crate) fn run(args: &RunArgs, workers: &Workers) -> anyhow::Result<Ending> {
    let rows = import::import(&args.import, workers)?;
    let analysis = analyze::judge(&args.import.fleet.fleet)?;
    let page = report::write(&args.import.fleet.fleet, args.out.as_deref())?;
    output::line(&summary::of_import(&rows));
    output::line(&summary::of_findings(&analysis.findings));
    output::line(&format!("report     {}", page.display()));
    output::line(&summary::next(&rows, &args.import.fleet.fleet));
    Ok(summary::ending(&rows))
}
