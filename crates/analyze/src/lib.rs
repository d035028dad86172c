//! Test summaries, trends and findings over the tables of a fleet.
//!
//! This crate must **not** know files, importers or pages: it is given tables as lazy frames and gives rows.
//!
//! Features are computed by polars in one pass over the readings (module `features`); limits come from `windrow-criteria`; each
//! rule in module `rules` is one file with its level, its basis and the test that would settle it.

pub mod cohorts;
mod context;
mod coverage;
mod features;
mod finding;
mod fleet;
mod frames;
mod judge;
pub mod lifecycle;
pub mod nameplate;
pub mod plan;
mod printed;
mod records;
mod resistance;
mod rules;
mod series;
mod summary;

pub use fleet::{Ranked, Reviewed};
pub use frames::Frames;

use jiff::civil::Date;
use windrow_model::settings::Settings;
use windrow_model::{Coverage, Finding, TestSummary};

/// What an analysis gives.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Analysis {
    /// One row per test, sorted by machine, date and id.
    pub summaries: Vec<TestSummary>,
    /// Findings, sorted by id.
    pub findings: Vec<Finding>,
    /// What tests proved of the insulation of each machine that was tested, one row a part.
    pub coverage: Vec<Coverage>,
    /// All machines that were tested, the most conspicuous first.
    pub ranking: Vec<Ranked>,
    /// How the fleet model judged each review, machine by machine in the order of their ids, oldest first.
    pub reviewed: Vec<Reviewed>,
}

/// Why an analysis could not be made.
#[derive(Debug, thiserror::Error)]
#[error("the tables could not be analyzed")]
pub struct AnalyzeError(#[from] polars::error::PolarsError);

/// Judges every test and every machine of `frames`. Same rows, same findings, whatever their order.
///
/// # Errors
/// When the frames cannot be read or lack a column of the schema.
pub fn analyze(frames: &Frames, settings: &Settings) -> Result<Analysis, AnalyzeError> {
    analyze_as_known(frames, settings, None)
}

/// [`analyze`], with the day `known_on` on which the records were known: tests dated later are told as such.
///
/// # Errors
/// As [`analyze`].
pub fn analyze_as_known(
    frames: &Frames,
    settings: &Settings,
    known_on: Option<Date>,
) -> Result<Analysis, AnalyzeError> {
    let (stored, frames) = (frames.readings.clone(), &frames.with_numbers_only());
    let features = features::test_features(frames)?;
    let times = features::circuit_times(frames.readings.clone())?;
    let figures = features::figures(frames.readings.clone())?;
    let reported = features::figures(frames.reported_figures.clone())?;
    let applied = features::applied(frames.readings.clone())?;
    let beside = judge::Beside { times: &times, figures: &figures, reported: &reported };
    let judged = judge::all(&features, beside, settings);
    let summaries = judged.iter().map(summary::row).collect();
    let histories = series::by_machine(&judged);
    let waves = features::waves(frames.waveforms.clone(), frames.tests.clone())?;
    let context = context::Context { settings, applied: &applied, waves: &waves };
    let mut findings = rules::of_fleet(&histories, &context);
    findings.extend(rules::of_store(stored)?);
    let model = fleet::model(&histories, &settings.judging);
    findings.extend(rules::beside_the_fleet(&model, &histories));
    findings.extend(records::find(frames, settings, known_on)?);
    findings.sort_by(|a, b| a.finding_id.cmp(&b.finding_id));
    let coverage = histories.iter().flat_map(|history| coverage::of_machine(history, &applied)).collect();
    let (ranking, reviewed) = (model.ranking(&histories), model.reviewed());
    Ok(Analysis { summaries, findings, coverage, ranking, reviewed })
}

#[cfg(test)]
mod tests;
