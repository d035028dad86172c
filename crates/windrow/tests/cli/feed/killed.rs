//! A sender that is killed again and again, and a receiver that fails: every event arrives, each id has one content, and the order of each
//! machine holds.
//!
//! `cargo xtask bench feed` runs it with 10,000 events and 100 kills.

use super::server::{Mood, Server};
use super::{DAY, configure, events, feed};
use crate::{folder, on, program};
use std::collections::BTreeMap;
use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use windrow_dice::Dice;

/// A number from the environment, or `usual`.
fn asked(name: &str, usual: u32) -> u32 {
    std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(usual)
}

/// A fleet of `machines`, each with seven tests: nine events a machine, for one kind of test was never made and comes due.
fn fleet_of(machines: u32, folder: &Path) -> PathBuf {
    let (records, fleet) = (folder.join("records"), folder.join("fleet"));
    fs::create_dir_all(&records).unwrap();
    let mut log = "Motor,Date,IR 1 min MOhm,Rated voltage V\n".to_owned();
    for machine in 1..=machines {
        for year in 2000..2007 {
            let _ =
                writeln!(log, "M-{machine},{year}-05-{:02},{},480", 1 + machine % 28, 900 + machine % 90 + year % 7);
        }
    }
    fs::write(records.join("log.csv"), log).unwrap();
    let said = on(&fleet, "run", &[records.to_str().unwrap()]);
    assert_eq!(said.status, Some(0), "{}{}", said.out, said.err);
    fleet
}

fn sender(fleet: &Path) -> Command {
    let mut command = program();
    command.args(["feed", "--on", DAY, "--fleet", fleet.to_str().unwrap()]).stdout(Stdio::null()).stderr(Stdio::null());
    command
}

#[test]
fn every_event_arrives_once_in_content_and_in_order_whatever_happens() {
    let folder = folder();
    let fleet = fleet_of(asked("WINDROW_FEED_MACHINES", 60), folder.path());
    let kills = asked("WINDROW_FEED_KILLS", 10);
    let server = Server::start(Mood::Moody(7));
    let sink = format!(
        "[[sink]]\nname = \"moody\"\nto = \"http\"\nurl = \"{}\"\nmode = \"batched\"\nbatch = 20\nattempts = 3\ntimeout_s = 1\npause_ms = 1\n",
        server.url
    );
    configure(&fleet, &sink);
    let mut dice = Dice::new(11, 2);
    for kill in 0..kills {
        let mut child = sender(&fleet).spawn().unwrap();
        // The first are killed before anything is sent: while the outbox is being filled.
        let enough = if kill < 3 { 0 } else { server.held(|held| held.requests) + dice.between(1, 6) as usize };
        let outbox = fleet.join("feed/outbox.sqlite");
        server.wait_for(if kill < 3 { usize::MAX } else { enough }, || {
            let ended = child.try_wait().unwrap().is_some();
            ended || (kill < 3 && outbox.exists())
        });
        // SIGKILL: nothing of the sender runs any more.
        let _ = child.kill();
        child.wait().unwrap();
        if server.held(|held| held.requests) > 0 && dice.chance(0.2) {
            let _ = feed(&fleet, &["--replay", "moody"]);
        }
    }
    let mut rounds = 0;
    loop {
        let said = feed(&fleet, &[]);
        assert!(matches!(said.status, Some(0 | 1 | 3)), "{}", said.err);
        if said.status == Some(0) {
            break;
        }
        feed(&fleet, &["--replay", "moody"]);
        rounds += 1;
        assert!(rounds < 500, "it never ends");
    }
    let out = folder.path().join("all");
    feed(&fleet, &["--into", out.to_str().unwrap()]);
    let all: BTreeMap<String, String> =
        events(&out).iter().map(|event| (event["id"].as_str().unwrap().to_owned(), event.to_string())).collect();
    server.held(|held| {
        assert!(held.wrong.is_empty(), "{:?}", held.wrong);
        assert_eq!(held.bodies, all, "every event arrived as it stands in the outbox");
        eprintln!("{} events, {} requests, {} repeated, {kills} kills", all.len(), held.requests, held.repeated);
    });
}
