//! `random-layouts`: files in layouts drawn at random, imported and compared with what is true of them.
//!
//! A file is drawn in four steps: a hand ([`habits`]), what was measured ([`study`]), where each attribute is told ([`layout`]); then
//! [`drawing`] writes cells and their truth on pages, and [`mod@write`] makes a file of them.

pub(crate) mod container;
mod corpus;
mod drawing;
mod habits;
mod layout;
pub(crate) mod page;
mod records;
mod study;
#[cfg(test)]
mod tests;
pub(crate) mod words;
pub(crate) mod write;

use crate::score::{self, Machines};
use anyhow::{Context, bail, ensure};
use std::path::PathBuf;
use std::time::{SystemTime, UNIX_EPOCH};

/// Draws, imports and scores; fails when anything is silently wrong.
pub(crate) fn run(options: &[&str]) -> anyhow::Result<()> {
    let (mut files, mut seed, mut keep, mut only, mut show) = (175, None, None, None, 10);
    let mut options = options.iter();
    while let Some(option) = options.next() {
        let value = options.next().with_context(|| format!("{option} needs a value"))?;
        match *option {
            "--files" => files = value.parse()?,
            "--seed" => seed = Some(value.parse()?),
            "--keep" => keep = Some(PathBuf::from(value)),
            "--family" => only = Some(*value),
            "--show" => show = value.parse()?,
            other => bail!("unknown option {other}"),
        }
    }
    let families: Vec<&str> = layout::FAMILIES
        .iter()
        .map(|(name, _)| *name)
        .chain(records::RECORDS.iter().map(|record| record.name))
        .collect();
    if let Some(family) = only.filter(|family| !families.contains(family)) {
        bail!("there is no family {family}; there are {}", families.join(", "));
    }
    let seed = seed.unwrap_or_else(fresh);
    println!("seed {seed}");
    let scratch = tempfile::tempdir()?;
    let folder = keep.as_deref().unwrap_or(scratch.path());
    let truth = corpus::write(folder, seed, files, only)?;
    let score = score::import(&folder.join("files"), &truth, Machines::ByTag)?;
    score.print(show);
    std::fs::write(folder.join("score.json"), serde_json::to_string_pretty(&score.as_json())?)?;
    println!("again: cargo xtask random-layouts --files {files} --seed {seed}");
    score::verdict(&score)?;
    // The records are drawn with all their truth: a reading that is not in it is a number that is none.
    let invented = score.total("false_readings");
    ensure!(invented == 0, "{invented} numbers that are no readings became some");
    Ok(())
}

/// A seed that was never used, for all that matters.
fn fresh() -> u64 {
    SystemTime::now().duration_since(UNIX_EPOCH).map_or(1, |since| since.as_secs() % 1_000_000_000)
}
