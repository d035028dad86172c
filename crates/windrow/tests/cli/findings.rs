//! Findings over time: opened, changed, acknowledged, cleared, explained, and judged as of a day. All records are invented.

use crate::pump::{DRIED, GOOD, LOW, LOWER, keep};
use crate::{ask, commits, count, demo, folder, on};
use std::fs;
use std::path::Path;

/// State, level and days of the finding on the minimum.
fn low(fleet: &Path) -> Vec<String> {
    ask(fleet, "SELECT state, level, first_seen, last_seen FROM findings WHERE rule = 'ir_minimum'")
}

fn id(fleet: &Path) -> String {
    let ids = ask(fleet, "SELECT finding_id FROM findings WHERE rule = 'ir_minimum'");
    assert_eq!(ids.len(), 1, "one finding, whatever the number of tests");
    ids[0].clone()
}

#[test]
fn a_finding_is_opened_changed_and_cleared_by_tests_and_keeps_its_id() {
    let folder = folder();
    assert!(low(&keep(folder.path(), &[GOOD])).is_empty());
    let fleet = keep(folder.path(), &[GOOD, LOW]);
    let first = id(&fleet);
    assert!(low(&fleet)[0].starts_with("open,plan,2003-02-03"), "{:?}", low(&fleet));
    let before = commits(&fleet);
    on(&fleet, "analyze", &[]);
    assert_eq!(commits(&fleet), before, "the same data again stores nothing");
    keep(folder.path(), &[GOOD, LOW, LOWER]);
    assert!(
        low(&fleet)[0].starts_with("changed,act,2003-02-03") && low(&fleet)[0].contains("2005-02-03"),
        "{:?}",
        low(&fleet)
    );
    keep(folder.path(), &[GOOD, LOW, LOWER, DRIED]);
    assert!(low(&fleet)[0].starts_with("cleared,act"), "{:?}", low(&fleet));
    assert_eq!(id(&fleet), first);
    let told = on(&fleet, "explain", &[&first[..8]]).out;
    for change in ["opened at plan", "plan became act", "cleared: newer tests (insulation resistance of 2006-02-03)"] {
        assert!(told.contains(change), "{change} is not in\n{told}");
    }
}

#[test]
fn a_person_closes_a_finding_with_a_reason_and_can_take_that_back() {
    let folder = folder();
    let fleet = keep(folder.path(), &[GOOD, LOW]);
    let id = id(&fleet);
    let said = on(&fleet, "acknowledge", &[&id, "--reason", "rewind ordered", "--by", "an engineer"]);
    assert_eq!(said.status, Some(0), "{}", said.err);
    assert!(low(&fleet)[0].starts_with("acknowledged,plan"), "{:?}", low(&fleet));
    let file = fs::read_to_string(fleet.join("decisions.toml")).unwrap();
    assert!(file.contains("[[acknowledgement]]") && file.contains("rewind ordered"), "{file}");
    let said = on(&fleet, "acknowledge", &[&id, "--reason", "again"]);
    assert_eq!(said.status, Some(2), "already");
    keep(folder.path(), &[GOOD, LOW]);
    assert!(low(&fleet)[0].starts_with("acknowledged"), "another import changes nothing");
    assert_eq!(on(&fleet, "acknowledge", &[&id, "--undo", "--reason", "cancelled"]).status, Some(0));
    assert!(low(&fleet)[0].starts_with("open,plan"), "{:?}", low(&fleet));
    on(&fleet, "acknowledge", &[&id, "--reason", "rewind ordered"]);
    keep(folder.path(), &[GOOD, LOW, LOWER]);
    assert!(low(&fleet)[0].starts_with("changed,act"), "graver than what was acknowledged: {:?}", low(&fleet));
    let again = folder.path().join("again");
    on(&again, "run", &[folder.path().join("records").to_str().unwrap()]);
    let open = "SELECT finding_id, level FROM findings WHERE state IN ('open', 'changed') ORDER BY finding_id";
    assert_eq!(ask(&again, open), ask(&fleet, open), "a fleet made anew has the same ones open");
}

#[test]
fn a_day_is_judged_with_what_was_known_then_and_nothing_is_stored() {
    let folder = folder();
    let fleet = keep(folder.path(), &[GOOD, LOW, LOWER, DRIED]);
    let (before, stored) = (commits(&fleet), ask(&fleet, "SELECT * FROM findings"));
    let at = |day: &str| on(&fleet, "analyze", &["--as-of", day, "--format", "csv"]);
    let rules = |day: &str| {
        at(day).out.lines().filter(|line| line.contains("\"ir_minimum\"")).map(str::to_owned).collect::<Vec<_>>()
    };
    assert!(rules("2003-02-02").is_empty(), "a day before the test");
    assert!(rules("2003-02-03")[0].contains("\"plan\""), "{:?}", at("2003-02-03").out);
    assert!(rules("2005-12-31")[0].contains("\"act\""));
    assert!(rules("2006-12-31").is_empty());
    assert_eq!((commits(&fleet), ask(&fleet, "SELECT * FROM findings")), (before, stored));
    let json = on(&fleet, "analyze", &["--as-of", "2005-12-31", "--format", "json"]).out;
    assert!(
        serde_json::from_str::<serde_json::Value>(&json)
            .is_ok_and(|rows| rows.as_array().is_some_and(|rows| !rows.is_empty()))
    );
    let said = on(&fleet, "analyze", &["--as-of", "1990-01-01"]);
    assert!(said.status == Some(0) && said.err.contains("0 findings by 0 tests"), "{}", said.err);
    assert_eq!(on(&fleet, "analyze", &["--as-of", "soon"]).status, Some(2));
}

#[test]
fn every_finding_of_the_demo_is_explained_down_to_its_cells() {
    let (fleet, _) = demo();
    for id in ask(fleet, "SELECT finding_id FROM findings") {
        let said = on(fleet, "explain", &[&id]);
        assert_eq!(said.status, Some(0), "{id}: {}", said.err);
        for heading in ["Machine", "Data", "Basis", "Would settle it", "What became of it", "Cautions"] {
            assert!(said.out.lines().any(|line| line == heading), "{heading} is not in\n{}", said.out);
        }
        assert!(!said.out.to_lowercase().contains(" safe"), "nothing is ever called that");
    }
    let act = ask(fleet, "SELECT finding_id FROM findings WHERE rule = 'ir_minimum'");
    let said = on(fleet, "explain", &[&act[0][..8]]);
    let cells = ask(
        fleet,
        "SELECT r.source_cell FROM readings r JOIN findings f ON f.test_id = r.test_id WHERE f.rule = 'ir_minimum' ORDER BY r.source_cell",
    );
    assert!(!cells.is_empty() && cells.iter().all(|cell| said.out.contains(cell.as_str())), "{cells:?}\n{}", said.out);
}

#[test]
fn an_id_that_names_no_finding_or_several_is_told_with_what_to_do() {
    let (fleet, _) = demo();
    for command in ["explain", "acknowledge"] {
        let reason: &[&str] = if command == "acknowledge" { &["--reason", "x"] } else { &[] };
        let said = on(fleet, command, &[&["ffffffff-0"], reason].concat());
        assert_eq!(said.status, Some(2), "{command}");
        assert!(
            said.err.contains("no finding has an id that begins with") && said.err.contains("windrow query"),
            "{}",
            said.err
        );
        let said = on(fleet, command, &[&["a"], reason].concat());
        assert!(said.status == Some(2) && said.err.contains("too short"), "{}", said.err);
    }
    assert_eq!(count(fleet, "SELECT count(*) FROM findings WHERE state = 'acknowledged'"), 0);
    let folder = folder();
    let empty = folder.path().join("fleet");
    assert_eq!(on(&empty, "explain", &["ffffffff"]).status, Some(3), "no fleet");
    fs::create_dir(&empty).unwrap();
    fs::write(empty.join("windrow.toml"), "").unwrap();
    let said = on(&empty, "explain", &["ffffffff"]);
    assert!(said.status == Some(2) && said.err.contains("windrow analyze"), "{}", said.err);
    assert_eq!(on(&empty, "analyze", &[]).status, Some(3));
}
