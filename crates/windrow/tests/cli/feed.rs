//! Events for maintenance systems: what is told when, what goes where, and what comes back. All records are invented.

mod kept;
mod killed;
mod server;
mod sinks;

use crate::pump::{DRIED, GOOD, LOW, LOWER, keep};
use crate::{Said, ask, folder, on};
use serde_json::Value;
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// A day on which nothing new comes due.
const DAY: &str = "2007-01-01";

/// Feeds `fleet` with the sinks of `sinks.toml`.
fn feed(fleet: &Path, options: &[&str]) -> Said {
    on(fleet, "feed", &[&["--on", DAY], options].concat())
}

fn configure(fleet: &Path, sinks: &str) {
    let folder = fleet.join("feed");
    fs::create_dir_all(&folder).unwrap();
    fs::write(folder.join("sinks.toml"), sinks).unwrap();
}

/// Events of a folder of files, oldest first.
fn events(folder: &Path) -> Vec<Value> {
    let mut files: Vec<PathBuf> = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.sort();
    let lines = files.iter().map(|file| fs::read_to_string(file).unwrap());
    lines
        .flat_map(|text| text.lines().map(|line| serde_json::from_str(line).unwrap()).collect::<Vec<Value>>())
        .collect()
}

fn kinds(events: &[Value]) -> Vec<&str> {
    events.iter().map(|event| event["type"].as_str().unwrap().trim_start_matches("windrow.")).collect()
}

/// What a feed adds to the folder.
fn news(fleet: &Path, out: &Path) -> Vec<Value> {
    let before = if out.exists() { events(out).len() } else { 0 };
    let said = feed(fleet, &["--into", out.to_str().unwrap()]);
    assert_eq!(said.status, Some(0), "{}", said.err);
    events(out).split_off(before)
}

fn finding(fleet: &Path) -> String {
    ask(fleet, "SELECT finding_id FROM findings WHERE rule = 'ir_minimum'").remove(0)
}

#[test]
fn first_everything_then_what_changed_and_nothing_twice() {
    let folder = folder();
    let out = folder.path().join("out");
    let fleet = keep(folder.path(), &[GOOD, LOW]);
    let first = news(&fleet, &out);
    let told = kinds(&first);
    assert_eq!(told[..3], ["asset.added", "test.recorded", "test.recorded"], "{told:?}");
    assert!(told.contains(&"finding.opened") && told.contains(&"test.due"), "{told:?}");
    assert!(news(&fleet, &out).is_empty(), "nothing changed");

    keep(folder.path(), &[GOOD, LOW, LOWER]);
    let second = news(&fleet, &out);
    assert!(
        kinds(&second).contains(&"test.recorded") && kinds(&second).contains(&"finding.changed"),
        "{:?}",
        kinds(&second)
    );
    assert!(!kinds(&second).contains(&"asset.added"));

    keep(folder.path(), &[GOOD, LOW, LOWER, DRIED]);
    let third = news(&fleet, &out);
    assert!(kinds(&third).contains(&"finding.cleared"), "{:?}", kinds(&third));

    keep(folder.path(), &["P-1,400,1995,2001-02-03,40,911\n", LOW, LOWER, DRIED]);
    let fourth = news(&fleet, &out);
    assert!(kinds(&fourth).contains(&"test.corrected"), "{:?}", kinds(&fourth));

    let all = events(&out);
    let mut sequences: BTreeMap<&str, Vec<i64>> = BTreeMap::new();
    let ids: std::collections::BTreeSet<&str> = all.iter().map(|event| event["id"].as_str().unwrap()).collect();
    assert_eq!(ids.len(), all.len(), "each id once");
    for event in &all {
        let sequence = event["sequence"].as_str().unwrap().parse().unwrap();
        sequences.entry(event["partitionkey"].as_str().unwrap()).or_default().push(sequence);
    }
    for (asset, sequence) in sequences {
        let expected: Vec<i64> = (1..).take(sequence.len()).collect();
        assert_eq!(sequence, expected, "{asset}");
    }
}

#[test]
fn a_machine_that_turns_out_to_be_another_is_merged_and_one_that_is_gone_withdrawn() {
    let folder = folder();
    let out = folder.path().join("out");
    let fleet = keep(folder.path(), &[GOOD, LOW]);
    news(&fleet, &out);
    let renamed = |row: &str| row.replace("P-1,", "PUMP-7,");
    keep(folder.path(), &[&renamed(GOOD), &renamed(LOW)]);
    let second = news(&fleet, &out);
    let merged = second.iter().find(|event| event["type"] == "windrow.asset.merged").unwrap();
    assert_eq!((&merged["data"]["tag"], &merged["data"]["into_tag"]), (&"P-1".into(), &"PUMP-7".into()));
    fs::remove_file(folder.path().join("records/log.csv")).unwrap();
    fs::write(folder.path().join("records/other.csv"), "Motor,Date,IR MOhm\nF-2,2001-02-03,9\n").unwrap();
    on(&fleet, "run", &[folder.path().join("records").to_str().unwrap(), "--forget-missing"]);
    let third = news(&fleet, &out);
    assert!(
        kinds(&third).contains(&"asset.withdrawn") && kinds(&third).contains(&"test.withdrawn"),
        "{:?}",
        kinds(&third)
    );
}

#[test]
fn a_dry_run_shows_exactly_what_goes_then_and_changes_nothing() {
    let folder = folder();
    let out = folder.path().join("out");
    let fleet = keep(folder.path(), &[GOOD, LOW]);
    let options = ["--into", out.to_str().unwrap()];
    let shown = feed(&fleet, &[&options[..], &["--dry-run"]].concat());
    assert_eq!(shown.status, Some(0), "{}", shown.err);
    assert!(!out.exists() && !fleet.join("feed").exists(), "nothing is written, no settings either");
    let without = feed(&fleet, &["--dry-run"]);
    assert!(without.status == Some(2) && without.err.contains("no sink is set up"), "{}", without.err);
    assert!(!fleet.join("feed").exists());
    feed(&fleet, &options);
    let sent: String =
        fs::read_dir(&out).unwrap().map(|entry| fs::read_to_string(entry.unwrap().path()).unwrap()).collect();
    assert_eq!(shown.out, sent);
    keep(folder.path(), &[GOOD, LOW, LOWER]);
    let files = |folder: &Path| {
        let mut names: Vec<_> = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name()).collect();
        names.sort();
        names
    };
    let before = files(&fleet.join("feed"));
    let again = feed(&fleet, &[&options[..], &["--dry-run"]].concat());
    assert_eq!(files(&fleet.join("feed")), before);
    assert!(again.out.contains("finding.changed") && !again.out.contains("asset.added"), "{}", again.out);
    assert_eq!(news(&fleet, &out).len(), again.out.lines().count());
}

#[test]
fn what_people_found_closes_the_finding_and_counts_for_its_rule() {
    let folder = folder();
    let out = folder.path().join("out");
    let fleet = keep(folder.path(), &[GOOD, LOW]);
    news(&fleet, &out);
    let answers = folder.path().join("answers.csv");
    let id = finding(&fleet);
    let lines = [
        "finding_id,outcome,work_order,failure_mode,by,on,reason,plant".to_owned(),
        format!("{id},confirmed,WO-7,pde,R. Doe,2003-03-01,\"wet, dried\",x"),
        "0000000000,confirmed,,,,,,".to_owned(),
        format!("{id},perhaps,,,,,,"),
        format!("{id},repaired,,ZZZ,,,,"),
        format!("{id},repaired,,,,3.4.2003,,"),
        format!("{id},repaired,1,2,3,4,5,6,7,8"),
    ];
    fs::write(&answers, lines.join("\r\n")).unwrap();
    let said = on(&fleet, "feed", &["--receive", answers.to_str().unwrap()]);
    assert_eq!(said.status, Some(1), "{}", said.err);
    for wrong in [
        "line 3, column 1 (finding_id): no finding has an id that begins with \"0000000000\"",
        "line 4, column 2 (outcome)",
        "line 5, column 4 (failure_mode)",
        "line 6, column 6 (on)",
        "line 7: it has 10 fields under 8 headings",
        "columns not used: plant",
    ] {
        assert!(said.err.contains(wrong), "{wrong} is not in {}", said.err);
    }
    assert!(
        said.out.contains("1 answers taken") && said.out.contains("ir_minimum  1         1          100 %"),
        "{}",
        said.out
    );
    assert_eq!(ask(&fleet, "SELECT state FROM findings WHERE rule = 'ir_minimum'"), ["acknowledged"]);
    let told = news(&fleet, &out);
    assert_eq!(kinds(&told), ["finding.changed"]);
    let changes = told[0]["data"]["changes"].to_string();
    assert!(changes.contains("confirmed (PDE), work order WO-7: wet, dried"), "{changes}");
    let said = on(&fleet, "feed", &["--receive", answers.to_str().unwrap()]);
    assert!(said.out.contains("0 answers taken") && said.out.contains("1 known already"), "{}", said.out);

    fs::write(&answers, format!("finding_id;outcome\n{id};nothing found\n")).unwrap();
    assert_eq!(on(&fleet, "feed", &["--receive", answers.to_str().unwrap()]).status, Some(0));
    let shares = on(&fleet, "feed", &["--outcomes"]).out;
    assert!(shares.contains("ir_minimum  1         0          0 %"), "the last word counts: {shares}");
    fs::write(&answers, "machine,outcome\nP-1,confirmed\n").unwrap();
    let said = on(&fleet, "feed", &["--receive", answers.to_str().unwrap()]);
    assert!(said.status == Some(2) && said.err.contains("finding_id"), "{}", said.err);
}

#[test]
fn answers_that_cannot_be_read_say_where_and_the_others_count() {
    let folder = folder();
    let fleet = keep(folder.path(), &[GOOD, LOW]);
    let id = finding(&fleet);
    let receive = |name: &str, bytes: &[u8]| {
        let file = folder.path().join(name);
        fs::write(&file, bytes).unwrap();
        let said = on(&fleet, "feed", &["--receive", file.to_str().unwrap()]);
        assert!(said.err.contains(name), "the file is named: {}", said.err);
        said
    };
    for (bytes, what) in [
        (&b""[..], "no column is called finding_id"),
        (b"\xff\xfef\0i\0n\0d\0i\0n\0g\0\n\0", "save it as CSV in UTF-8"),
        (b"PK\x03\x04 a workbook\n", "no column is called finding_id"),
        (b"finding_id,outcome,outcome\n", "column 3: \"outcome\" stands twice"),
    ] {
        let said = receive("wrong.csv", bytes);
        assert!(said.status == Some(2) && said.err.contains(what), "{what} is not in {}", said.err);
    }
    let said = on(&fleet, "feed", &["--receive", folder.path().join("nonesuch.csv").to_str().unwrap()]);
    assert!(said.status == Some(2) && said.err.contains("nonesuch.csv cannot be read"), "{}", said.err);
    assert_eq!(ask(&fleet, "SELECT state FROM findings WHERE rule = 'ir_minimum'"), ["open"], "nothing half taken");

    // A quotation mark that is never closed takes no answers with it unsaid.
    let lines = format!("finding_id\toutcome\treason\n{id}\tconfirmed\tseen\n{id}\trepaired\t\"dry\nx\trepaired\t\n");
    let said = receive("open.tsv", lines.as_bytes());
    assert_eq!(said.status, Some(1), "{}", said.err);
    assert!(said.out.contains("1 answers taken"), "{}", said.out);
    assert!(said.err.contains("line 3: a text in quotation marks takes in 1 of the lines below"), "{}", said.err);
}
