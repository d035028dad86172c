//! How long the analysis takes for more and more machines, from frames in memory and from a fleet on the disk.

use crate::draw::world;
use crate::habits::A;
use crate::tables::{Rows, frames, rows};
use anyhow::{Context, bail};
use std::path::Path;
use std::process::Command;
use std::time::Instant;
use windrow_analyze::{Frames, analyze};
use windrow_model::settings::Settings;
use windrow_store::{Fleet, Import, ImportTables};

const SIZES: [u32; 3] = [1_000, 10_000, 100_000];
const SEED: u64 = 5;

/// Prints seconds for each number of machines with about six reviews, and how they grow: `log(time ratio)/log(size ratio)`. With
/// `store` before the numbers, each fleet is written to the disk with about a hundred readings a machine, and analyzed from there by a
/// process of its own.
pub(crate) fn run(options: &[&str]) -> anyhow::Result<()> {
    let (from_store, sizes) = match options {
        ["store", sizes @ ..] => (true, sizes),
        sizes => (false, sizes),
    };
    let given: Result<Vec<u32>, _> = sizes.iter().map(|size| size.parse()).collect();
    let given = given.context("expected numbers of machines, such as 1000 10000")?;
    let sizes = match (given.is_empty(), from_store) {
        (false, _) => given,
        (true, false) => SIZES.to_vec(),
        (true, true) => vec![100_000],
    };
    println!("{:>9} {:>9} {:>10} {:>8} {:>9} {:>9}", "machines", "reviews", "findings", "s", "exponent", "peak MiB");
    let mut before: Option<(f64, f64)> = None;
    for machines in sizes {
        if from_store {
            stored(machines)?;
            continue;
        }
        let frames = frames(rows(&world(A, machines, SEED), 0))?;
        let seconds = timed(&frames, machines, before)?;
        before = Some((f64::from(machines), seconds));
    }
    Ok(())
}

/// Analyzes the fleet in `folder` and prints its line; run in a process of its own, so that the peak of memory is its own.
pub(crate) fn of_store(folder: &Path) -> anyhow::Result<()> {
    let fleet = Fleet::open(folder)?;
    let snapshot = fleet.snapshot()?;
    let frames = Frames {
        assets: snapshot.scan("assets")?,
        tests: snapshot.scan("tests")?,
        readings: snapshot.scan("readings")?,
        reported_figures: snapshot.scan("reported_figures")?,
        waveforms: snapshot.scan("waveforms")?,
    };
    let machines = snapshot.query("SELECT assets FROM imports")?;
    let machines = machines.column("assets")?.i64()?.get(0).unwrap_or(0);
    timed(&frames, u32::try_from(machines)?, None)?;
    Ok(())
}

fn timed(frames: &Frames, machines: u32, before: Option<(f64, f64)>) -> anyhow::Result<f64> {
    let started = Instant::now();
    let analysis = analyze(frames, &Settings::default())?;
    let seconds = started.elapsed().as_secs_f64();
    let exponent = before.map_or_else(String::new, |(fewer, shorter)| {
        format!("{:.2}", (seconds / shorter).ln() / (f64::from(machines) / fewer).ln())
    });
    let peak = peak_mib().map_or_else(String::new, |mib| mib.to_string());
    let (reviews, findings) = (analysis.reviewed.len(), analysis.findings.len());
    println!("{machines:>9} {reviews:>9} {findings:>10} {seconds:>8.2} {exponent:>9} {peak:>9}");
    Ok(seconds)
}

/// Most memory that this process has held, MiB, as Linux tells it (proc(5), status).
fn peak_mib() -> Option<u64> {
    let text = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = text.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    let kib: u64 = line.split_whitespace().next()?.parse().ok()?;
    Some(kib / 1024)
}

/// Writes a drawn fleet of so many machines into `folder`, judged.
pub(crate) fn write(machines: &str, folder: &Path) -> anyhow::Result<()> {
    commit(machines.parse().context("expected a number of machines")?, folder)?;
    windrow_tasks::judge::judge(folder).map(drop)
}

fn stored(machines: u32) -> anyhow::Result<()> {
    let folder = tempfile::tempdir()?;
    commit(machines, folder.path())?;
    let status = Command::new(std::env::current_exe()?).arg("bench-of").arg(folder.path()).status()?;
    if !status.success() {
        bail!("the analysis of {} did not end well", folder.path().display());
    }
    Ok(())
}

/// Draws a fleet and commits its rows.
fn commit(machines: u32, folder: &Path) -> anyhow::Result<()> {
    /// Timed readings of each test of resistance, which make about a hundred readings a machine.
    const TIMED: u32 = 10;
    let fleet = Fleet::open_or_create(folder)?;
    let Rows { assets, tests, readings } = rows(&world(A, machines, SEED), TIMED);
    println!("{} readings", readings.len());
    let import = Import {
        import_id: "bench".into(),
        started_at: "2026-01-01T00:00:00Z".into(),
        tool_version: env!("CARGO_PKG_VERSION").into(),
        settings_hash: fleet.settings_hash()?,
    };
    fleet.writer()?.commit_import(&import, ImportTables { assets, tests, readings, ..ImportTables::default() })?;
    Ok(())
}
