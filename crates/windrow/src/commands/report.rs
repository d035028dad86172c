//! `windrow report`: the fleet as one page.

use crate::args::ReportArgs;
use crate::{Ending, output};
use anyhow::Context;
use std::path::{Path, PathBuf};
use windrow_report::render;
use windrow_store::Fleet;

pub(crate) fn run(args: &ReportArgs) -> anyhow::Result<Ending> {
    let path = write(&args.fleet.fleet, args.out.as_deref())?;
    output::line(&format!("wrote {}", path.display()));
    Ok(Ending::Clean)
}

/// Writes the page and says where.
pub(crate) fn write(fleet_dir: &Path, out: Option<&Path>) -> anyhow::Result<PathBuf> {
    let _entered = tracing::info_span!("reporting").entered();
    let fleet = Fleet::open(fleet_dir)?;
    let data = windrow_tasks::report::data(&fleet, &fleet.snapshot()?)?;
    let path = out.map_or_else(|| fleet_dir.join("report.html"), Path::to_path_buf);
    std::fs::write(&path, render(&data)).with_context(|| {
        format!("the report {} cannot be written; check the disk and the permissions", path.display())
    })?;
    Ok(path)
}
