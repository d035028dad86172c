//! `score`: how much of a corpus with known truth an import gets right. Counts like the script that scores a stored fleet, but
//! from rows in memory, so that it runs in seconds.

#[cfg(test)]
mod agreement;
mod bars;
pub(crate) mod compare;
mod count;
mod machines;
mod place;
mod strays;
pub(crate) mod truth;

use anyhow::{Context, bail};
pub(crate) use count::{Machines, Score};
use std::path::Path;
use windrow_importer::{Hands, Intake};
use windrow_model::settings::Settings;
use windrow_pipeline::{rows_of, understand_all};
use windrow_source::Limits;

/// Imports `corpus/files` and prints the score; fails when anything is silently wrong.
pub(crate) fn run(corpus: &Path, options: &[&str]) -> anyhow::Result<()> {
    let (mut show, mut json, mut least) = (15, None, None);
    let mut options = options.iter();
    while let Some(option) = options.next() {
        let value = options.next().with_context(|| format!("{option} needs a value"))?;
        match *option {
            "--show" => show = value.parse()?,
            "--json" => json = Some(*value),
            "--least" => least = Some(value.parse()?),
            other => bail!("unknown option {other}"),
        }
    }
    let truth = truth::read(corpus)?;
    let score = import(&corpus.join("files"), &truth, Machines::ByGroup)?;
    score.print(show);
    if let Some(file) = json {
        std::fs::write(file, serde_json::to_string_pretty(&score.as_json())?)?;
    }
    if let Some(least) = least {
        bars::check(&score, least)?;
    }
    verdict(&score)
}

/// Imports a folder in memory and counts.
pub(crate) fn import(files: &Path, truth: &truth::Truth, machines: Machines) -> anyhow::Result<Score> {
    let registry = windrow_plugins::registry()?;
    let (settings, limits) = (Settings::default(), Limits::default());
    let intake =
        Intake { registry: &registry, settings: &settings, limits: &limits, hands: Hands::Threads(2), recall: None };
    let started = std::time::Instant::now();
    let sources = understand_all(&[files.to_owned()], intake, &mut |_| {});
    let rows = rows_of(sources, &settings, &[]);
    println!("imported in {:.1} s", started.elapsed().as_secs_f64());
    let told: std::collections::BTreeSet<&str> = truth.readings.iter().map(|reading| reading.file.as_str()).collect();
    for source in rows.sources.iter().filter(|source| told.contains(source.source_file.as_str())) {
        if source.status == "refused" {
            println!("refused: {}: {}", source.source_file, source.reason.as_deref().unwrap_or_default());
        }
    }
    Ok(count::count(truth, &rows, machines))
}

/// Fails when anything is silently wrong.
pub(crate) fn verdict(score: &Score) -> anyhow::Result<()> {
    match score.total("silently_wrong") {
        0 => Ok(()),
        wrong => bail!("{wrong} readings are silently wrong"),
    }
}
