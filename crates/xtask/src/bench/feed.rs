//! The test of a sender that is killed, at full size; and what a feed of that size costs when nobody kills it.

use super::measure;
use crate::application;
use anyhow::{Context, ensure};
use std::fmt::Write;
use std::fs;
use std::path::Path;
use std::process::Command;

/// Machines, each with seven tests and one that comes due: 10,008 events.
const MACHINES: u32 = 1112;
const EVENTS: u32 = MACHINES * 9;

/// Sends 10,000 events to a receiver that fails, with 100 kills of the sender; then tells what sending them to a folder costs.
pub(crate) fn run(root: &Path) -> anyhow::Result<()> {
    let test = "feed::killed::every_event_arrives_once_in_content_and_in_order_whatever_happens";
    let mut cargo = Command::new(env!("CARGO"));
    // Another choice of packages would build every dependency in another way again.
    cargo.args(["test", "--quiet", "--workspace", "--test", "cli", test, "--", "--exact", "--nocapture"]);
    cargo.env("WINDROW_FEED_MACHINES", MACHINES.to_string()).env("WINDROW_FEED_KILLS", "100");
    let status = cargo.current_dir(root).status().context("cargo could not be run")?;
    ensure!(status.success(), "an event was lost, repeated otherwise, or out of order");
    costs(&application::program(root)?)
}

/// What a first feed of that fleet costs, and one with nothing new.
fn costs(program: &Path) -> anyhow::Result<()> {
    let folder = tempfile::tempdir()?;
    let (records, fleet) = (folder.path().join("records"), folder.path().join("fleet"));
    fs::create_dir_all(&records)?;
    fs::write(records.join("log.csv"), log())?;
    application::import(program, &records, &fleet)?;
    let out = folder.path().join("out");
    let paths = [program, fleet.as_path(), out.as_path()].map(|path| path.display().to_string());
    let [program, fleet, out] = paths;
    let day = "2007-01-01";
    let command = [program.as_str(), "feed", "--on", day, "--fleet", &fleet, "--into", &out].map(str::to_owned);
    let first = told("all of them, new", &command)?;
    println!("{:.0} events a second into a folder, by a development build", f64::from(EVENTS) / first);
    told("nothing new", &command)?;
    let lines: usize = fs::read_dir(&out)?
        .map(|file| Ok(fs::read_to_string(file?.path())?.lines().count()))
        .sum::<anyhow::Result<_>>()?;
    ensure!(u32::try_from(lines) == Ok(EVENTS), "{lines} events arrived, and {EVENTS} were to");
    Ok(())
}

/// Runs `command`, tells what it cost, and gives its seconds.
fn told(what: &str, command: &[String]) -> anyhow::Result<f64> {
    let cost = measure::apart(std::env::current_exe()?, command)?;
    println!("{what}: {:.2} s, {:.2} s of processors, {:.0} MiB at most", cost.wall_s, cost.cpu_s, cost.peak_mib);
    Ok(cost.wall_s)
}

/// Seven tests of each machine, all without a finding.
fn log() -> String {
    let mut log = "Motor,Date,IR 1 min MOhm\n".to_owned();
    for machine in 1..=MACHINES {
        for year in 2000..2007 {
            let _ = writeln!(log, "M-{machine},{year}-05-{:02},{}", 1 + machine % 28, 900 + machine % 90 + year % 7);
        }
    }
    log
}
