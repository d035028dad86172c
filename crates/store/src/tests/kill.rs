//! A program that is killed between any two steps leaves the old tables or the new ones, and the next import succeeds.

use super::{analysis, commit, contents, files, finding, import, new_fleet, tables};
use crate::commits::History;
use crate::steps::Steps;
use crate::{Fleet, Outcome, Result, Writer};
use windrow_model::table::TABLES;

/// Stops `change` after each of its steps in turn, until it gets through; returns how often it was stopped.
fn stop_everywhere(fleet: &Fleet, change: impl Fn(&mut Writer<'_>, usize) -> Result<Outcome>) -> usize {
    for stop in 1.. {
        let before = contents(&fleet.snapshot().unwrap());
        let mut writer = fleet.writer_with(Steps::stopping_after(stop)).unwrap();
        let result = change(&mut writer, stop);
        let done = result.is_ok();
        drop(writer);
        let after = contents(&Fleet::open(fleet.dir()).unwrap().snapshot().unwrap());
        if done {
            assert_ne!(after, before);
            return stop - 1;
        }
        let pointed = History::load(fleet.delta()).unwrap().0.last();
        if after == before {
            roll_back_and_check(fleet);
            assert_eq!(contents(&fleet.snapshot().unwrap()), before);
        } else {
            // Only the step after the pointer has moved may show the new tables: all of them then.
            assert_eq!(after, expected_after(fleet, stop), "a mixture after step {stop}, commit {pointed}");
        }
    }
    unreachable!("the numbers do not end")
}

/// The tables as a program sees them that was never stopped.
fn expected_after(stopped: &Fleet, stop: usize) -> Vec<String> {
    let (_folder, fleet) = new_fleet();
    let ids: Vec<String> = stopped
        .snapshot()
        .unwrap()
        .rows::<windrow_model::ImportRow>()
        .unwrap()
        .into_iter()
        .map(|row| row.import_id)
        .collect();
    for id in ids {
        commit(&fleet, &id, id.parse().unwrap_or(stop));
    }
    contents(&fleet.snapshot().unwrap())
}

/// The next writer gives every table back what the newest commit names, for readers that do not know of it.
fn roll_back_and_check(fleet: &Fleet) {
    let writer = fleet.writer().unwrap();
    for info in TABLES {
        let newest = fleet.delta().newest(info.name).unwrap();
        let names: Vec<String> =
            newest.map(|open| open.files().unwrap().into_iter().map(|file| file.name).collect()).unwrap_or_default();
        let committed = writer.snapshot().row(info.name).and_then(|row| row.file.clone());
        assert_eq!(names, committed.into_iter().collect::<Vec<_>>(), "{}", info.name);
    }
}

#[test]
fn a_first_import_is_there_whole_or_not_at_all() {
    let (_folder, fleet) = new_fleet();
    let stops = stop_everywhere(&fleet, |writer, stop| {
        let id = (stop + 1).to_string();
        writer.commit_import(&import(&id), tables(&id, stop + 1))
    });
    // Nine files, nine commits, the file of the pointer; the step after it is the new state.
    assert_eq!(stops, 20);
}

#[test]
fn a_later_import_leaves_the_earlier_one_until_it_is_whole() {
    let (_folder, fleet) = new_fleet();
    commit(&fleet, "100", 100);
    let stops = stop_everywhere(&fleet, |writer, stop| {
        let id = (stop + 1).to_string();
        writer.commit_import(&import(&id), tables(&id, stop + 1))
    });
    assert_eq!(stops, 20);
    commit(&fleet, "3", 3);
    assert_eq!(fleet.snapshot().unwrap().import_id(), Some("3"));
}

#[test]
fn an_analysis_is_there_whole_or_not_at_all() {
    let (_folder, fleet) = new_fleet();
    commit(&fleet, "1", 1);
    // Three files, three commits, the file of the pointer.
    for stop in 1..=7 {
        let mut writer = fleet.writer_with(Steps::stopping_after(stop)).unwrap();
        writer.commit_analysis(analysis(vec![finding("f")])).unwrap_err();
        drop(writer);
        let findings = fleet.snapshot().unwrap().rows::<windrow_model::Finding>().unwrap();
        assert_eq!(findings, [], "step {stop}");
    }
    let mut writer = fleet.writer_with(Steps::stopping_after(8)).unwrap();
    writer.commit_analysis(analysis(vec![finding("f")])).unwrap_err();
    drop(writer);
    assert_eq!(fleet.snapshot().unwrap().rows::<windrow_model::Finding>().unwrap(), [finding("f")]);
}

#[test]
fn a_log_without_its_first_entry_is_no_table_yet() {
    let (_folder, fleet) = new_fleet();
    for table in ["tests", "commits"] {
        std::fs::create_dir_all(fleet.delta().folder_of(table).join("_delta_log")).unwrap();
    }
    assert_eq!(fleet.snapshot().unwrap().commit(), 0);
    commit(&fleet, "one", 2);
    assert_eq!(fleet.snapshot().unwrap().commit(), 1);
}

#[test]
fn a_file_that_was_half_written_is_never_read() {
    let (_folder, fleet) = new_fleet();
    commit(&fleet, "one", 2);
    let before = contents(&fleet.snapshot().unwrap());
    let readings = fleet.delta().folder_of("readings");
    std::fs::write(readings.join("part-0.parquet.1-1.unfinished"), b"PAR1").unwrap();
    std::fs::write(readings.join("part-1.parquet"), b"PAR1").unwrap();
    std::fs::write(readings.join("_delta_log/00000000000000000009.json.1-2.unfinished"), b"{\"ad").unwrap();
    assert_eq!(contents(&fleet.snapshot().unwrap()), before);
    commit(&fleet, "two", 2);
    assert_eq!(fleet.snapshot().unwrap().import_id(), Some("two"));
    assert!(files(fleet.dir()).keys().any(|name| name.ends_with("part-1.parquet")), "nothing young is removed");
}
