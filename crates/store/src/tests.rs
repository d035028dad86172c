//! The fleet folder as a whole.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // a test fails by panicking

use crate::{Fleet, Import, ImportTables, Outcome};
use windrow_model::Hold;

fn import(id: &str) -> Import {
    Import {
        import_id: id.into(),
        started_at: "2026-11-25T08:00:00Z".into(),
        tool_version: "0.1.0".into(),
        settings_hash: "s".into(),
    }
}

fn hold(cell: &str) -> Hold {
    Hold {
        hold_id: format!("h-{cell}"),
        import_id: "i".into(),
        source_file: "a/b \u{fc}.xlsx".into(),
        source_sheet: None,
        source_cell: Some(cell.into()),
        raw_text: "\u{221e}, \"quoted\"\nnext".into(),
        question: "missing_ceiling".into(),
        choices: vec!["1000 M\u{3a9}".into(), String::new()],
        context: String::new(),
        cause: "c".into(),
        resolved_by: None,
    }
}

#[test]
fn first() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path().join("Fleet \u{fc} 1");
    let fleet = Fleet::open_or_create(&dir).unwrap();
    let tables = ImportTables { holds: vec![hold("B10"), hold("B9")], ..ImportTables::default() };
    let start = std::time::Instant::now();
    let mut writer = fleet.writer().unwrap();
    println!("{:?}", start.elapsed());
    assert_eq!(writer.commit_import(&import("1"), tables).unwrap(), Outcome::Committed);
    println!("{:?}", start.elapsed());
    drop(writer);
    let fleet = Fleet::open(&dir).unwrap();
    let start = std::time::Instant::now();
    let snapshot = fleet.snapshot().unwrap();
    println!("{:?}", start.elapsed());
    assert_eq!(snapshot.rows::<Hold>().unwrap(), [hold("B9"), hold("B10")]);
    let answer = snapshot.query("select count(*) as n from holds").unwrap();
    println!("{:?}", start.elapsed());
    assert_eq!(answer.height(), 1);
    for i in 0..25 {
        fleet.writer().unwrap().commit_import(&import(&format!("x{i}")), ImportTables::default()).unwrap();
    }
    println!("{:?}", start.elapsed());
    std::process::Command::new("find").arg(&dir).status().unwrap();
}
