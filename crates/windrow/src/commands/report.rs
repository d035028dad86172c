//! `windrow report`: the fleet as one page.

use super::assets;
use crate::args::ReportArgs;
use crate::{Ending, output};
use anyhow::Context;
use std::path::{Path, PathBuf};
use windrow_model::Asset;
use windrow_report::{ReportData, render};
use windrow_store::Fleet;
use windrow_tasks::positions::Names;
use windrow_tasks::report::{Own, of_machine};

pub(crate) fn run(args: &ReportArgs) -> anyhow::Result<Ending> {
    let path = match (&args.machine, &args.out) {
        (Some(name), Some(out)) => one(&args.fleet.fleet, name, out)?,
        _ => write(&args.fleet.fleet, args.out.as_deref())?,
    };
    output::line(&format!("wrote {}", path.display()));
    Ok(Ending::Clean)
}

/// Writes the page and says where.
pub(crate) fn write(fleet_dir: &Path, out: Option<&Path>) -> anyhow::Result<PathBuf> {
    let _entered = tracing::info_span!("reporting").entered();
    let fleet = Fleet::open(fleet_dir)?;
    let data = windrow_tasks::report::data(&fleet, &fleet.snapshot()?)?;
    put(&data, out.map_or_else(|| fleet_dir.join("report.html"), Path::to_path_buf))
}

/// Writes the page of one machine and says where.
fn one(fleet_dir: &Path, name: &str, out: &Path) -> anyhow::Result<PathBuf> {
    let fleet = Fleet::open(fleet_dir)?;
    let snapshot = fleet.snapshot()?;
    let assets: Vec<Asset> = snapshot.rows()?;
    let asset = assets::find(&assets, name)?;
    let beside = Names::of(&assets).beside(asset, &assets);
    let own = Own::read(&snapshot, asset, &beside)?;
    put(&of_machine(&fleet, &snapshot, (asset, own), &beside)?, out.to_path_buf())
}

fn put(data: &ReportData, path: PathBuf) -> anyhow::Result<PathBuf> {
    std::fs::write(&path, render(data)).with_context(|| {
        format!("the report {} cannot be written; check the disk and the permissions", path.display())
    })?;
    Ok(path)
}
