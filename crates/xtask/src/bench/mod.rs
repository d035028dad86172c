//! Import against merely reading: what a full import costs beside passing over every cell of the same files with calamine.
//!
//! Every row of the table is a process of its own, so that CPU, wall time and peak memory are the operating system's own
//! account of it.

mod baseline;
pub(crate) mod feed;
mod generate;
pub(crate) mod identity;
mod measure;
pub(crate) mod serve;

pub(crate) use measure::measured_child;

use anyhow::{Context, bail};
use measure::Cost;
use std::path::{Path, PathBuf};
use std::process::Command;

/// One thing that is measured.
struct Candidate {
    name: &'static str,
    command: Vec<String>,
}

/// What is imported.
struct Input<'a> {
    title: &'static str,
    folder: &'a Path,
    /// Readings that an import must find there.
    readings: usize,
}

/// Generates the input, builds the program for release, measures and prints the table.
pub(crate) fn run(root: &Path) -> anyhow::Result<()> {
    let program = release_program(root)?;
    let folder = tempfile::tempdir()?;
    let many = folder.path().join("many");
    let large = folder.path().join("large");
    println!("generating 200 workbooks with 50,000 tests, and one workbook of 1,000,000 cells");
    generate::many_workbooks(&many, 200, 250)?;
    generate::large_workbook(&large, 100_000)?;
    let inputs = [
        Input { title: "200 workbooks, 50,000 tests", folder: &many, readings: 200_000 },
        Input { title: "one workbook, 1,000,000 cells", folder: &large, readings: 400_000 },
    ];
    for input in &inputs {
        table(input, &program, folder.path())?;
    }
    Ok(())
}

/// Reads every cell of every workbook below a folder; run in a process of its own.
pub(crate) fn read_all(pass: &str, folder: &Path) -> anyhow::Result<()> {
    baseline::read_all(pass, folder)
}

fn release_program(root: &Path) -> anyhow::Result<PathBuf> {
    let status = Command::new("cargo")
        .args(["build", "--release", "--package", "windrow", "--package", "xtask"])
        .current_dir(root)
        .status()?;
    if !status.success() {
        bail!("the release build did not succeed");
    }
    let target = std::env::var_os("CARGO_TARGET_DIR").map_or_else(|| root.join("target"), PathBuf::from);
    Ok(target.join("release"))
}

fn table(input: &Input<'_>, programs: &Path, scratch: &Path) -> anyhow::Result<()> {
    let title = input.title;
    let own = programs.join("xtask").display().to_string();
    let windrow = programs.join("windrow").display().to_string();
    let input_text = input.folder.display().to_string();
    let fleet = scratch.join(format!("fleet-{}", title.len())).display().to_string();
    let read = |pass: &str| vec![own.clone(), "bench-read".into(), pass.into(), input_text.clone()];
    let candidates = [
        Candidate { name: "calamine: values", command: read("values") },
        Candidate { name: "calamine: values, styles, formulas, merges", command: read("full") },
        Candidate {
            name: "windrow import",
            command: vec![windrow.clone(), "import".into(), input_text.clone(), "--fleet".into(), fleet.clone()],
        },
    ];
    println!("\n{title}");
    println!("{:<46} {:>9} {:>9} {:>9} {:>12}", "", "CPU s", "wall s", "ratio", "peak MiB");
    let mut reference: Option<Cost> = None;
    for candidate in &candidates {
        let cost = measure::of(&own, &candidate.command).with_context(|| format!("measuring {}", candidate.name))?;
        let ratio = reference.map_or(1.0, |base| cost.cpu_s / base.cpu_s);
        println!(
            "{:<46} {:>9.2} {:>9.2} {:>9.2} {:>12.0}",
            candidate.name, cost.cpu_s, cost.wall_s, ratio, cost.peak_mib
        );
        // The aim is stated against the second pass: values with styles, formulas and merges.
        if candidate.name.contains("styles") {
            reference = Some(cost);
        }
    }
    check_count(&windrow, &fleet, input.readings)
}

/// A refused file costs next to nothing: figures count only when everything was stored.
fn check_count(windrow: &str, fleet: &str, readings: usize) -> anyhow::Result<()> {
    let sql = "SELECT count(*) AS n FROM readings";
    let output = Command::new(windrow).args(["query", sql, "--fleet", fleet, "--format", "csv"]).output()?;
    let stored = String::from_utf8_lossy(&output.stdout).lines().nth(1).and_then(|line| line.trim().parse().ok());
    if stored != Some(readings) {
        bail!("the import stored {} readings of {readings}", stored.unwrap_or(0));
    }
    Ok(())
}
