//! The test of a sender that is killed, at full size; and what a feed costs when nobody kills it: time and memory, by sink and by size.

use super::measure;
use crate::application;
use anyhow::{Context, bail, ensure};
use std::fmt::Write as _;
use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::process::Command;

/// Machines of the test, each with seven tests and one that comes due: 10,008 events.
const MACHINES: u32 = 1112;
/// Events a machine.
const EVENTS: u32 = 9;
/// A day on which no further test comes due.
const DAY: &str = "2007-01-01";

/// Sends 10,000 events to a receiver that fails, with 100 kills of the sender; then tells what sending them costs. `--program PATH
/// [MACHINES]…` tells the costs alone, of that program.
pub(crate) fn run(root: &Path, options: &[&str]) -> anyhow::Result<()> {
    match options {
        [] => {
            survives(root)?;
            println!("what it costs a development build:");
            costs(&application::program(root)?, MACHINES)
        }
        ["--program", program, machines @ ..] => {
            let program = PathBuf::from(program).canonicalize().with_context(|| (*program).to_owned())?;
            let machines = machines.iter().map(|text| text.parse().with_context(|| format!("{text:?} is no number")));
            let machines = machines.collect::<anyhow::Result<Vec<u32>>>()?;
            let usual = [MACHINES];
            let machines = if machines.is_empty() { usual.as_slice() } else { &machines };
            machines.iter().try_for_each(|machines| costs(&program, *machines))
        }
        other => bail!("{:?} is no option; --program PATH [MACHINES]… is", other.join(" ")),
    }
}

fn survives(root: &Path) -> anyhow::Result<()> {
    let test = "feed::killed::every_event_arrives_once_in_content_and_in_order_whatever_happens";
    let mut cargo = Command::new(env!("CARGO"));
    // Another choice of packages would build every dependency in another way again.
    cargo.args(["test", "--quiet", "--workspace", "--test", "cli", test, "--", "--exact", "--nocapture"]);
    cargo.env("WINDROW_FEED_MACHINES", MACHINES.to_string()).env("WINDROW_FEED_KILLS", "100");
    let status = cargo.current_dir(root).status().context("cargo could not be run")?;
    ensure!(status.success(), "an event was lost, repeated otherwise, or out of order");
    Ok(())
}

/// What feeds of a fleet of `machines` cost: the first, by each kind of sink, and one with nothing new.
fn costs(program: &Path, machines: u32) -> anyhow::Result<()> {
    let folder = tempfile::tempdir()?;
    let (records, fleet) = (folder.path().join("records"), folder.path().join("fleet"));
    fs::create_dir_all(&records)?;
    fs::write(records.join("log.csv"), log(machines))?;
    application::import(program, &records, &fleet)?;
    let events = machines * EVENTS;
    println!("{events} events of {machines} machines");
    let out = folder.path().join("out");
    let feed = [program, Path::new("feed"), Path::new("--on"), Path::new(DAY), Path::new("--fleet"), &fleet];
    let feed: Vec<String> = feed.iter().map(|word| word.display().to_string()).collect();
    let into = [feed.clone(), vec!["--into".to_owned(), out.display().to_string()]].concat();
    told("first feed, into a folder", events, &into)?;
    told("nothing new", 0, &into)?;
    let lines: usize = fs::read_dir(&out)?
        .map(|file| Ok(fs::read_to_string(file?.path())?.lines().count()))
        .sum::<anyhow::Result<_>>()?;
    ensure!(u32::try_from(lines) == Ok(events), "{lines} events arrived, and {events} were to");
    let url = receiver()?;
    let sinks = fleet.join("feed/sinks.toml");
    for (what, sink) in [
        ("by the XML template", "to = \"file\"\npath = \"xml\"\ntemplate = \"notifications.xml\"\n".to_owned()),
        ("over HTTP, 100 a request", format!("to = \"http\"\nurl = \"{url}\"\nmode = \"batched\"\n")),
        ("over HTTP, one a request", format!("to = \"http\"\nurl = \"{url}\"\n")),
    ] {
        fs::write(&sinks, format!("[[sink]]\nname = \"{what}\"\n{sink}"))?;
        told(what, events, &feed)?;
    }
    Ok(())
}

/// Runs `command`, which tells `events`, and tells what it cost.
fn told(what: &str, events: u32, command: &[String]) -> anyhow::Result<()> {
    let cost = measure::apart(std::env::current_exe()?, command)?;
    let rate = f64::from(events) / cost.wall_s;
    let rate = if events > 0 { format!(", {rate:.0} events a second") } else { String::new() };
    println!(
        "  {what}: {:.2} s, {:.2} s of processors, {:.0} MiB at most{rate}",
        cost.wall_s, cost.cpu_s, cost.peak_mib
    );
    Ok(())
}

/// A receiver on this machine that takes everything, for as long as this program runs; gives its address.
fn receiver() -> anyhow::Result<String> {
    let listener = TcpListener::bind("127.0.0.1:0")?;
    let url = format!("http://{}/events", listener.local_addr()?);
    std::thread::spawn(move || {
        for stream in listener.incoming().flatten() {
            std::thread::spawn(move || take(&stream));
        }
    });
    Ok(url)
}

/// Takes the requests of one connection; `None` when it ends.
fn take(stream: &TcpStream) -> Option<()> {
    let mut reader = BufReader::new(stream);
    loop {
        let length = length_of_body(&mut reader)?;
        std::io::copy(&mut reader.by_ref().take(length), &mut std::io::sink()).ok()?;
        (&mut &*stream).write_all(b"HTTP/1.1 204 No Content\r\n\r\n").ok()?;
    }
}

/// Reads the head of a request.
fn length_of_body(reader: &mut impl BufRead) -> Option<u64> {
    let mut length = 0;
    for line in reader.lines() {
        let line = line.ok()?.to_lowercase();
        if line.is_empty() {
            return Some(length);
        }
        if let Some(("content-length", value)) = line.split_once(": ") {
            length = value.parse().ok()?;
        }
    }
    None
}

/// Seven tests of each machine, all without a finding.
fn log(machines: u32) -> String {
    let mut log = "Motor,Date,IR 1 min MOhm\n".to_owned();
    for machine in 1..=machines {
        for year in 2000..2007 {
            let _ = writeln!(log, "M-{machine},{year}-05-{:02},{}", 1 + machine % 28, 900 + machine % 90 + year % 7);
        }
    }
    log
}
