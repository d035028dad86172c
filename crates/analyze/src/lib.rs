//! Test summaries, trends and findings over the tables of a fleet.
//!
//! This crate must **not** know files, importers or pages: it is given tables as lazy frames and gives rows.
//!
//! The tables are read once into compact rows (module `loaded`), and features are worked out test by test (`features`), some hundred machines
//! at a time (`parts`); limits come from `windrow-criteria`; each rule in module `rules` is one file with its level, its basis and the test
//! that would settle it.

mod asked;
pub mod cohorts;
mod context;
mod coverage;
mod features;
mod finding;
mod fleet;
mod foresight;
mod frames;
mod judge;
mod kept;
pub mod lifecycle;
mod loaded;
pub mod nameplate;
mod parts;
pub mod plan;
mod printed;
mod ratios;
mod records;
mod resistance;
mod rules;
mod series;
mod summary;

pub use fleet::{Ranked, Reviewed};
pub use frames::Frames;
pub use kept::Memory;
pub use parts::{Looks, Rows};

use context::Forecasts;
use jiff::civil::Date;
use rayon::prelude::*;
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
    /// How many machines were looked at.
    pub looks: Looks,
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
    collected(frames, (settings, known_on, Forecasts::Made), parts::MACHINES)
}

/// [`analyze`], with so many machines in each part of the work; which number it is does not matter to the result.
///
/// # Errors
/// As [`analyze`].
pub fn analyze_in_parts(frames: &Frames, settings: &Settings, machines: usize) -> Result<Analysis, AnalyzeError> {
    collected(frames, (settings, None, Forecasts::Made), machines)
}

/// [`analyze_into`] but for the forecasts, to measure what the rest takes: nothing is told that only a forecast can tell. Not for judging a
/// fleet.
///
/// # Errors
/// As [`analyze`].
pub fn analyze_without_forecasts(
    frames: &Frames,
    settings: &Settings,
    take: &mut dyn FnMut(Rows),
) -> Result<Analysis, AnalyzeError> {
    in_parts(frames, (settings, None, Forecasts::LeftOut), (parts::MACHINES, None), take)
}

/// Settings, the day on which the records were known, and what is done of forecasts.
type Judging<'a> = (&'a Settings, Option<Date>, Forecasts);

fn collected(frames: &Frames, judging: Judging<'_>, machines: usize) -> Result<Analysis, AnalyzeError> {
    let (mut summaries, mut coverage) = (Vec::new(), Vec::new());
    let analysis = in_parts(frames, judging, (machines, None), &mut |rows| {
        summaries.extend(rows.summaries);
        coverage.extend(rows.coverage);
    })?;
    Ok(Analysis { summaries, coverage, ..analysis })
}

/// [`analyze_as_known`] for fleets whose rows would take too much memory at once: they are handed to `take` part by part, in order, and the
/// analysis that comes back holds none. With a memory, only machines of which something changed since are worked out again, and of the others
/// `take` is told that their rows are those that the analysis before gave ([`Rows::as_before`]); the result is the same.
///
/// # Errors
/// As [`analyze`].
pub fn analyze_into(
    frames: &Frames,
    (settings, known_on): (&Settings, Option<Date>),
    memory: Option<&mut dyn Memory>,
    take: &mut dyn FnMut(Rows),
) -> Result<Analysis, AnalyzeError> {
    in_parts(frames, (settings, known_on, Forecasts::Made), (parts::MACHINES, memory), take)
}

fn in_parts(
    frames: &Frames,
    (settings, known_on, forecasts): Judging<'_>,
    (machines, memory): (usize, Option<&mut dyn Memory>),
    take: &mut dyn FnMut(Rows),
) -> Result<Analysis, AnalyzeError> {
    let loaded = loaded::Loaded::of(frames)?;
    let waves = features::waves(frames.waveforms.clone(), frames.tests.clone())?;
    let context = context::Context { settings, waves: &waves, forecasts };
    let whole = parts::Whole { loaded: &loaded, context, codes: fleet::codes::Codes::of(&loaded) };
    let mut recall = memory.map(kept::Recall::of);
    let parts::Mapped { machines, columns, keys, mut looks } = whole.map(machines, &mut recall, take);
    let names: Vec<&str> = machines.iter().filter_map(|machine| whole.name(machine)).collect();
    let model = fleet::model(columns, keys, &whole.codes, &settings.judging);
    let (ranking, reviewed) = (model.ranking(&names), model.reviewed());
    let foresight = foresight::Foresight::of(recall.as_mut().map(kept::Recall::forecasts).unwrap_or_default());
    let (mut findings, doubts) =
        rayon::join(|| whole.reduce(machines, &model, &foresight), || records::find(&loaded, settings, known_on));
    let foresight::Asked { made, anew } = foresight.asked();
    (looks.forecasts, looks.forecasts_anew) = (made.len(), anew);
    if let Some(recall) = recall {
        recall.memory.keep(kept::forecasts(&made));
    }
    findings.extend(rules::not_numbers(&loaded));
    findings.extend(doubts);
    let findings = sorted_by_id(findings);
    Ok(Analysis { summaries: Vec::new(), findings, coverage: Vec::new(), ranking, reviewed, looks })
}

/// Findings by id; those of one id stay in their order. They are moved once: rows of half a kilobyte would be moved again and again while they
/// are sorted.
fn sorted_by_id(findings: Vec<Finding>) -> Vec<Finding> {
    let ids = findings.iter().map(|finding| finding.finding_id.as_str()).zip(0_u32..);
    let mut order: Vec<(u64, &str, u32)> = ids.map(|(id, place)| (loaded::beginning(id), id, place)).collect();
    order.par_sort_unstable();
    let places: Vec<u32> = order.into_iter().map(|(.., place)| place).collect();
    let mut findings: Vec<Option<Finding>> = findings.into_iter().map(Some).collect();
    places.into_iter().filter_map(|place| findings.get_mut(place as usize)?.take()).collect()
}

#[cfg(test)]
mod tests;
