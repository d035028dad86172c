//! What is known of the demo records from `samples/README.md` and from counting them by hand.

use crate::{SAMPLES, TABLES, ask, commits, count, demo, everything, folder, on};

#[test]
fn the_demo_is_read_as_its_readme_says() {
    let (fleet, said) = demo();
    assert_eq!(said.status, Some(1), "some of it is held or unread: {}", said.err);
    assert_eq!(count(fleet, "SELECT count(*) FROM assets"), 12, "twelve motors");
    assert_eq!(ask(fleet, "SELECT DISTINCT site FROM assets ORDER BY site").len(), 2, "a mill and a works");
    assert_eq!(count(fleet, "SELECT count(*) FROM sources"), 27);
    assert_eq!(
        ask(fleet, "SELECT status, count(*) FROM sources GROUP BY status ORDER BY status"),
        ["partly read,1", "read,21", "refused,5"]
    );
    let years = ask(fleet, "SELECT min(performed_on) AS first, max(performed_on) AS last FROM tests");
    assert!(years[0].starts_with("1979-") && years[0].contains(",2024-"), "1979 to 2024: {}", years[0]);
    assert_eq!(ask(fleet, "SELECT DISTINCT source_file FROM holds"), ["store_room/round_without_unit.xlsx"]);
}

#[test]
fn what_cannot_be_read_is_listed_with_its_reason() {
    let (fleet, said) = demo();
    for (file, why) in [
        ("README.md", "no reader knows"),
        ("unclaimed/memo.txt", "no reader knows"),
        ("unclaimed/cut_short.xlsx", "cut short or damaged"),
        ("unclaimed/nothing.xlsx", "empty"),
        ("unclaimed/protected.xlsx", "password"),
    ] {
        let reason = ask(fleet, &format!("SELECT reason FROM sources WHERE source_file = '{file}'"));
        assert!(reason[0].contains(why), "{file}: {reason:?}");
        assert!(said.out.lines().any(|line| line.contains(file) && line.contains(why)), "{file} in the summary");
        assert!(!said.err.contains(file), "and no alarm besides: {}", said.err);
    }
}

#[test]
fn every_cell_has_one_disposition_and_the_summary_adds_up() {
    let (fleet, said) = demo();
    let cells = count(fleet, "SELECT count(*) FROM cells");
    assert_eq!(cells, 3_558);
    assert_eq!(cells, count(fleet, "SELECT sum(cells_total) FROM sources"));
    let line = said.out.lines().find(|line| line.starts_with("cells")).unwrap();
    let numbers: Vec<i64> = line.split(' ').filter_map(|word| word.parse().ok()).collect();
    assert_eq!(numbers[0], cells, "{line}");
    assert_eq!(numbers[1..].iter().sum::<i64>(), cells, "{line}");
}

#[test]
fn what_is_hidden_in_the_demo_is_found() {
    let (fleet, said) = demo();
    let findings = ask(fleet, "SELECT level, count(*) FROM findings GROUP BY level ORDER BY level");
    assert_eq!(findings, ["act,3", "note,3", "plan,3", "watch,3"]);
    assert!(said.out.contains("3 act, 3 plan, 3 watch, 3 note"), "{}", said.out);
    let act = ask(
        fleet,
        "SELECT a.tag, f.rule FROM findings f JOIN assets a ON a.asset_id = f.asset_id WHERE f.level = 'act' ORDER BY f.rule",
    );
    let hidden = ["FB-PM-12,fleet_conductor", "LQ-VP-311,fleet_ground_wall", "LQ-VP-311,ir_minimum"];
    assert_eq!(act, hidden, "pump motor 12 has a joint that goes, vacuum pump 311 runs down");
    let falls = ask(
        fleet,
        "SELECT a.tag, f.level FROM findings f JOIN assets a ON a.asset_id = f.asset_id WHERE f.rule = 'falling_trend'",
    );
    assert_eq!(falls, ["LQ-VP-311,watch"], "its level held until 2004 and fell by four decades since");
    let notes = ask(
        fleet,
        "SELECT f.rule, a.tag FROM findings f JOIN assets a ON a.asset_id = f.asset_id WHERE f.level = 'note' ORDER BY a.tag",
    );
    let untrue = ["unit_slip,FB-CP-07", "before_manufacture,LQ-FN-115", "before_manufacture,LQ-FN-116"];
    assert_eq!(notes, untrue, "a slip of a thousand; made 1984, tested since 1979");
    assert_eq!(count(fleet, "SELECT count(*) FROM findings WHERE basis = ''"), 0, "each cites its basis");
    assert_eq!(count(fleet, "SELECT count(*) FROM findings WHERE cautions = ''"), 0, "each has its cautions");
}

#[test]
fn step_by_step_gives_what_run_gives() {
    let (demo, _) = demo();
    let folder = folder();
    let fleet = folder.path().join("steps");
    let imported = on(&fleet, "import", &[SAMPLES, "--workers", "1"]);
    assert_eq!(imported.status, Some(1), "{}", imported.err);
    assert!(imported.out.contains("windrow analyze --fleet"), "says what comes next: {}", imported.out);
    assert_eq!(count(&fleet, "SELECT count(*) FROM findings"), 0, "nothing is judged yet");
    assert_eq!(on(&fleet, "analyze", &[]).status, Some(0));
    assert_eq!(on(&fleet, "report", &[]).status, Some(0));
    for ((table, stepped), (_, run)) in everything(&fleet).into_iter().zip(everything(demo)) {
        assert_eq!(stepped, run, "{table}");
    }
    assert_eq!(TABLES.len(), everything(demo).len());
    assert_eq!(commits(&fleet), commits(demo));
}
