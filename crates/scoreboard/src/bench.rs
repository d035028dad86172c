//! How long the analysis takes for more and more machines, from frames in memory and from a fleet on the disk.

use crate::direct;
use crate::draw::world;
use crate::habits::A;
use crate::tables::{Rows, frames, rows};
use anyhow::{Context, bail};
use polars::prelude::DataType;
use std::path::Path;
use std::process::Command;
use std::time::Instant;
use windrow_analyze::{Analysis, Frames, Rows as Parted, analyze_into, analyze_without_forecasts};
use windrow_model::Reading;
use windrow_model::settings::Settings;
use windrow_store::{Fleet, Import, ImportTables};

const SIZES: [u32; 3] = [1_000, 10_000, 100_000];
const SEED: u64 = 5;

/// Machines with their newest review only.
const NEWEST_SIZES: [u32; 4] = [1_000, 10_000, 100_000, 1_000_000];

/// Machines of the model alone.
const MODEL_SIZES: [u32; 4] = [1_000, 10_000, 100_000, 1_000_000];

/// Prints seconds of wall time and of processor time for each number of machines with about six reviews, and how the latter grows:
/// `log(time ratio)/log(size ratio)`. With `store` before the numbers, each fleet is written to the disk with about a hundred readings a
/// machine, and analyzed from there by a process of its own; with `again` also once more after one more
/// resistance was imported; with `model`, only what the whole fleet says is worked out, from columns; with `rest`,
/// all but the forecasts; with `newest`, from the disk and up to a million machines, of each its newest review only.
pub(crate) fn run(options: &[&str]) -> anyhow::Result<()> {
    let (from, sizes) = match options {
        [from @ ("store" | "again" | "model" | "rest" | "newest"), sizes @ ..] => (*from, sizes),
        sizes => ("", sizes),
    };
    let given: Result<Vec<u32>, _> = sizes.iter().map(|size| size.parse()).collect();
    let given = given.context("expected numbers of machines, such as 1000 10000")?;
    let sizes = match (given.is_empty(), from) {
        (false, _) => given,
        (true, "store" | "again") => vec![100_000],
        (true, "model") => MODEL_SIZES.to_vec(),
        (true, "newest") => NEWEST_SIZES.to_vec(),
        (true, _) => SIZES.to_vec(),
    };
    println!(
        "{:>9} {:>9} {:>10} {:>8} {:>8} {:>9} {:>9}",
        "machines", "reviews", "findings", "wall s", "cpu s", "exponent", "peak MiB"
    );
    let mut before: Option<(f64, f64)> = None;
    for machines in sizes {
        let seconds = match from {
            "store" => {
                stored(drawn(machines))?;
                continue;
            }
            "newest" => {
                stored(newest(machines))?;
                continue;
            }
            "again" => {
                again(machines)?;
                continue;
            }
            "model" => {
                let columns = direct::columns(&world(A, machines, SEED));
                let reviews = columns.reviews.time_a.len();
                timed((machines, before), || Ok(windrow_fleet::score(&columns)), |_| (reviews, 0))?
            }
            _ => {
                let frames = frames(rows(&world(A, machines, SEED), 0))?;
                timed(
                    (machines, before),
                    || analyzed(&frames, from),
                    |(analysis, _)| (analysis.reviewed.len(), analysis.findings.len()),
                )?
            }
        };
        before = Some((f64::from(machines), seconds));
    }
    Ok(())
}

/// Analyzes the fleet in `folder` as `windrow analyze` does and prints its line; run in a process of its own, so that the peak of memory is
/// its own.
pub(crate) fn of_store(folder: &Path) -> anyhow::Result<()> {
    let snapshot = Fleet::open(folder)?.snapshot()?;
    let count = |of: &str| -> anyhow::Result<i64> {
        let rows = snapshot.query(&format!("SELECT count(*) AS rows FROM {of}"))?;
        Ok(rows.column("rows")?.cast(&DataType::Int64)?.i64()?.get(0).unwrap_or(0))
    };
    let machines = u32::try_from(count("assets")?)?;
    let reviews = usize::try_from(count("(SELECT DISTINCT asset_id, performed_on FROM tests)")?)?;
    timed((machines, None), || windrow_tasks::judge::judge(folder), |judged| (reviews, judged.found.all))?;
    Ok(())
}

/// An analysis from memory, and its rows as they came; of all, or of all but the forecasts.
fn analyzed(frames: &Frames, from: &str) -> anyhow::Result<(Analysis, Vec<Parted>)> {
    let (settings, mut rows) = (Settings::default(), Vec::new());
    let mut take = |some: Parted| rows.push(some);
    let analysis = match from {
        "rest" => analyze_without_forecasts(frames, &settings, &mut take)?,
        _ => analyze_into(frames, (&settings, None), None, &mut take)?,
    };
    Ok((analysis, rows))
}

/// Prints a line, and gives the processor time. `count` tells reviews and findings of what the work gave; letting go of it is not counted.
fn timed<T>(
    (machines, before): (u32, Option<(f64, f64)>),
    work: impl FnOnce() -> anyhow::Result<T>,
    count: impl FnOnce(&T) -> (usize, usize),
) -> anyhow::Result<f64> {
    let (started, cpu_before) = (Instant::now(), cpu_seconds().unwrap_or(0.0));
    let given = work()?;
    let (wall, cpu) = (started.elapsed().as_secs_f64(), cpu_seconds().unwrap_or(0.0) - cpu_before);
    let (reviews, findings) = count(&given);
    let exponent = before.map_or_else(String::new, |(fewer, shorter)| {
        format!("{:.2}", (cpu / shorter).ln() / (f64::from(machines) / fewer).ln())
    });
    let peak = peak_mib().map_or_else(String::new, |mib| mib.to_string());
    println!("{machines:>9} {reviews:>9} {findings:>10} {wall:>8.2} {cpu:>8.2} {exponent:>9} {peak:>9}");
    Ok(cpu)
}

/// Processor time of this process so far, as Linux tells it in hundredths of a second (proc(5), stat).
fn cpu_seconds() -> Option<f64> {
    let text = std::fs::read_to_string("/proc/self/stat").ok()?;
    let (_, fields) = text.rsplit_once(')')?;
    let ticks: Vec<f64> = fields.split_whitespace().skip(11).take(2).filter_map(|field| field.parse().ok()).collect();
    Some(ticks.iter().sum::<f64>() / 100.0)
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
    import(drawn(machines.parse().context("expected a number of machines")?), "bench", folder)?;
    windrow_tasks::judge::judge(folder).map(drop)
}

fn stored(rows: Rows) -> anyhow::Result<()> {
    let folder = tempfile::tempdir()?;
    import(rows, "bench", folder.path())?;
    apart(folder.path())
}

/// Analyzes a fleet, and once more after an import that brought the newest resistance of one machine, which has others before it: that moves the
/// scatter of the fleet.
fn again(machines: u32) -> anyhow::Result<()> {
    let folder = tempfile::tempdir()?;
    let mut rows = drawn(machines);
    let newest = rows.tests.iter().rposition(|test| test.kind == "insulation_resistance");
    let newest = rows.tests.remove(newest.context("a fleet without resistances")?);
    let (own, others): (Vec<Reading>, Vec<Reading>) =
        std::mem::take(&mut rows.readings).into_iter().partition(|reading| reading.test_id == newest.test_id);
    rows.readings = others;
    import(rows.clone(), "before", folder.path())?;
    apart(folder.path())?;
    rows.tests.push(newest);
    rows.readings.extend(own);
    import(rows, "after", folder.path())?;
    apart(folder.path())
}

/// Analyzes in a process of its own.
fn apart(folder: &Path) -> anyhow::Result<()> {
    let status = Command::new(std::env::current_exe()?).arg("bench-of").arg(folder).status()?;
    if !status.success() {
        bail!("the analysis of {} did not end well", folder.display());
    }
    Ok(())
}

fn drawn(machines: u32) -> Rows {
    /// Timed readings of each test of resistance, which make about a hundred readings a machine.
    const TIMED: u32 = 10;
    rows(&world(A, machines, SEED), TIMED)
}

/// The newest review of each machine.
fn newest(machines: u32) -> Rows {
    let mut world = world(A, machines, SEED);
    for machine in &mut world.machines {
        machine.visits.drain(..machine.visits.len().saturating_sub(1));
    }
    rows(&world, 0)
}

fn import(rows: Rows, name: &str, folder: &Path) -> anyhow::Result<()> {
    let fleet = Fleet::open_or_create(folder)?;
    let Rows { assets, tests, readings } = rows;
    println!("{} readings", readings.len());
    let import = Import {
        import_id: name.into(),
        started_at: "2026-01-01T00:00:00Z".into(),
        tool_version: env!("CARGO_PKG_VERSION").into(),
        settings_hash: fleet.settings_hash()?,
    };
    fleet.writer()?.commit_import(&import, ImportTables { assets, tests, readings, ..ImportTables::default() })?;
    Ok(())
}
