//! `hands`: corpora written by hand, each with the share of its readings that must come out right.

use crate::score::{Machines, import, truth, verdict};
use anyhow::{Context, ensure};
use std::path::{Path, PathBuf};

/// Where they lie.
const FOLDER: &str = "tests/corpus/hands";

/// Imports each corpus; fails when a reading is silently wrong, when more were put to a machine of another name than its `misput` says (none
/// where it has no such file), or fewer are right than its `share` says, in percent.
pub(crate) fn run(root: &Path) -> anyhow::Result<()> {
    let folder = root.join(FOLDER);
    let entries = std::fs::read_dir(&folder).with_context(|| format!("{} cannot be read", folder.display()))?;
    let paths: std::io::Result<Vec<PathBuf>> = entries.map(|entry| Ok(entry?.path())).collect();
    let paths = paths.with_context(|| format!("{} cannot be read", folder.display()))?;
    let mut corpora: Vec<PathBuf> = paths.into_iter().filter(|path| path.is_dir()).collect();
    corpora.sort();
    ensure!(!corpora.is_empty(), "{} holds no corpus", folder.display());
    for corpus in corpora {
        one(&corpus).with_context(|| format!("{}; see it with cargo xtask score {0}", corpus.display()))?;
    }
    Ok(())
}

/// Kinds of numbers that the truth names as no readings.
const NO_READINGS: [&str; 3] = ["false_derived", "false_label", "false_decor"];

fn one(corpus: &Path) -> anyhow::Result<()> {
    let least = number(&corpus.join("share"))?;
    let file = corpus.join("misput");
    let most = if file.exists() { number(&file)? } else { 0 };
    let file = corpus.join("false");
    let most_false = if file.exists() { number(&file)? } else { 0 };
    let truth = truth::read(corpus)?;
    let score = import(&corpus.join("files"), &truth, Machines::ByGroup)?;
    let right = score.total("right") + score.total("right_flagged") + score.total("held_as_expected");
    let all = truth.readings.len();
    let misput = score.total("misnamed");
    let false_ones: usize = NO_READINGS.iter().map(|kind| score.total(kind)).sum();
    println!(
        "{}: {right} of {all} right or rightly asked about, {misput} put to another machine, {false_ones} that are no readings",
        corpus.display()
    );
    verdict(&score)?;
    ensure!(misput <= most, "{misput} readings were put to a machine of another name, {most} at most are expected");
    ensure!(
        false_ones <= most_false,
        "{false_ones} numbers became readings that are none, {most_false} at most are expected"
    );
    ensure!(right * 100 >= least * all, "{right} of {all} are right, {least} % are expected");
    Ok(())
}

/// The whole number that a file holds.
fn number(file: &Path) -> anyhow::Result<usize> {
    std::fs::read_to_string(file)
        .with_context(|| format!("{} cannot be read", file.display()))?
        .trim()
        .parse()
        .with_context(|| format!("{}: a whole number is expected", file.display()))
}
