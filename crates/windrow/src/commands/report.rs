//! `windrow report`: the fleet as one page.

use crate::args::ReportArgs;
use crate::{Ending, ladder, output};
use anyhow::Context;
use std::path::{Path, PathBuf};
use windrow_report::{ReportData, render};
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
    let snapshot = fleet.snapshot()?;
    let imports: Vec<windrow_model::ImportRow> = snapshot.rows()?;
    let assets: Vec<windrow_model::Asset> = snapshot.rows()?;
    let judging = fleet.settings()?.judging;
    let data = ReportData {
        title: title(fleet_dir),
        cautions: windrow_criteria::cautions::GENERAL.iter().map(|text| (*text).to_owned()).collect(),
        levels: assets.iter().flat_map(|asset| ladder::levels_beside(asset, &judging)).collect(),
        assets,
        tests: snapshot.rows()?,
        readings: snapshot.rows()?,
        summaries: snapshot.rows()?,
        findings: snapshot.rows()?,
        coverage: snapshot.rows()?,
        holds: snapshot.rows()?,
        sources: snapshot.rows()?,
        import: imports.into_iter().max_by(|a, b| a.started_at.cmp(&b.started_at)),
    };
    let path = out.map_or_else(|| fleet_dir.join("report.html"), Path::to_path_buf);
    std::fs::write(&path, render(&data)).with_context(|| {
        format!("the report {} cannot be written; check the disk and the permissions", path.display())
    })?;
    Ok(path)
}

fn title(fleet: &Path) -> String {
    let name = fleet.file_name().map_or_else(|| "fleet".to_owned(), |name| name.to_string_lossy().into_owned());
    format!("Fleet {name}")
}
