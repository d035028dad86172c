//! A fleet is a function of its sources: however its imports were cut, ordered and spread over threads, and whatever a cache has lost,
//! the rows are those of one import of everything. What this checks against is that one import.

use crate::fleet::{Records, Shelf};
use proptest::prelude::*;
use std::path::PathBuf;
use windrow_model::{Decision, Question};
use windrow_pipeline::{Missing, Refused};

/// Paths that overlap, name single files and share a name below two folders.
const PATHS: [&str; 6] = ["north", "north/pumps", "south/log.csv", "south/round.csv", "south/more.zip", "east"];

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn cut_and_ordered_anyhow_the_rows_are_those_of_one_import(
        order in Just(PATHS.to_vec()).prop_shuffle(),
        cuts in prop::collection::vec(any::<bool>(), PATHS.len() - 1),
        threads in 1_usize..4,
        forgets in prop::collection::vec(0_u8..100, 0..4),
    ) {
        let records = Records::scattered();
        let once = Shelf::default().import(&records.paths(&PATHS), Missing::Keep, 1).unwrap();
        let mut shelf = Shelf::default();
        let mut group = Vec::new();
        for (index, path) in order.iter().enumerate() {
            group.push(*path);
            if index + 1 == order.len() || cuts[index] {
                shelf.import(&records.paths(&group), Missing::Keep, threads).unwrap();
                for part in &forgets {
                    shelf.forget(*part);
                }
                group.clear();
            }
        }
        prop_assert_eq!(&shelf.rows, &once.rows);
    }
}

#[test]
fn the_same_again_asks_nothing_and_changes_nothing() {
    let records = Records::scattered();
    let mut shelf = Shelf::default();
    let first = shelf.import(&records.paths(&PATHS), Missing::Keep, 2).unwrap();
    assert!(first.news.new.len() == 8 && first.news.unchanged == 0, "{:?}", first.news);
    let asked = shelf.memory.puts();
    let second = shelf.import(&records.paths(&["north", "east"]), Missing::Keep, 2).unwrap();
    assert_eq!(shelf.memory.puts(), asked, "nothing was opened to be read");
    assert_eq!(second.rows, first.rows);
    assert_eq!((second.news.new.len(), second.news.unchanged, second.news.elsewhere), (0, 4, 4));
}

#[test]
fn what_one_file_proves_settles_another_that_was_imported_before() {
    let records = Records::scattered();
    let mut shelf = Shelf::default();
    let alone = shelf.import(&records.paths(&["south/round.csv"]), Missing::Keep, 1).unwrap();
    assert!(
        alone.rows.tests.iter().all(|test| test.performed_precision != "day"),
        "03/04/2001 can be read in two ways"
    );
    let both = shelf.import(&records.paths(&["south/log.csv"]), Missing::Keep, 1).unwrap();
    let settled = both.rows.tests.iter().find(|test| test.source_file == "round.csv").unwrap();
    assert_eq!(
        settled.performed_on.unwrap().to_string(),
        "2001-04-03",
        "25/03/2001 in the same folder proves day first"
    );
}

#[test]
fn a_changed_file_replaces_what_it_told_before() {
    let records = Records::scattered();
    let mut shelf = Shelf::default();
    shelf.import(&records.paths(&["north", "east"]), Missing::Keep, 1).unwrap();
    records.write("east/log.csv", "Motor,Date,IR MOhm\nE-9,2003-05-06,777\n");
    let changed = shelf.import(&records.paths(&["east"]), Missing::Keep, 1).unwrap();
    assert_eq!((changed.news.changed.len(), changed.news.elsewhere), (1, 3), "{:?}", changed.news);
    let once = Shelf::default().import(&records.paths(&["north", "east"]), Missing::Keep, 1).unwrap();
    assert_eq!(changed.rows, once.rows);
    assert!(changed.rows.readings.iter().any(|reading| reading.raw_text == "777"));
}

#[test]
fn a_missing_file_is_reported_and_kept_until_it_is_to_be_forgotten() {
    let records = Records::scattered();
    let mut shelf = Shelf::default();
    let before = shelf.import(&records.paths(&["north"]), Missing::Keep, 1).unwrap();
    records.remove("north/pumps/old.csv");
    let kept = shelf.import(&records.paths(&["north"]), Missing::Keep, 1).unwrap();
    assert_eq!(kept.news.missing, ["pumps/old.csv"]);
    assert_eq!(kept.rows, before.rows);
    let elsewhere = shelf.import(&records.paths(&["east"]), Missing::Keep, 1).unwrap();
    assert!(elsewhere.news.missing.is_empty(), "only what was looked at can be missing");
    assert!(elsewhere.rows.tests.iter().any(|test| test.source_file == "pumps/old.csv"));
    let forgotten = shelf.import(&records.paths(&["north"]), Missing::Forget, 1).unwrap();
    assert_eq!(forgotten.news.forgotten, ["pumps/old.csv"]);
    let once = Shelf::default().import(&records.paths(&["north", "east"]), Missing::Keep, 1).unwrap();
    assert_eq!(forgotten.rows, once.rows);
}

#[test]
fn a_file_that_is_gone_and_forgotten_stops_the_import_instead_of_its_rows() {
    let records = Records::scattered();
    let mut shelf = Shelf::default();
    let before = shelf.import(&records.paths(&["north"]), Missing::Keep, 1).unwrap();
    records.remove("north/pumps/old.csv");
    shelf.memory.clear();
    let error = shelf.import(&records.paths(&["east"]), Missing::Keep, 1).unwrap_err();
    assert!(matches!(&error, Refused::Lost(files) if files.len() == 1 && files[0].contains("old.csv")), "{error}");
    assert!(error.to_string().contains("--forget-missing"), "says what to do: {error}");
    assert_eq!(shelf.rows, before.rows);
    assert!(shelf.import(&records.paths(&["north"]), Missing::Forget, 1).is_ok());
}

#[test]
fn what_a_file_that_is_gone_told_outlives_the_program_that_read_it() {
    let records = Records::scattered();
    let mut shelf = Shelf::default();
    let before = shelf.import(&records.paths(&["north"]), Missing::Keep, 1).unwrap();
    records.remove("north/pumps/old.csv");
    shelf.program = "another build".to_owned();
    let after = shelf.import(&records.paths(&["north"]), Missing::Keep, 1).unwrap();
    assert_eq!(after.rows.readings, before.rows.readings);
    let source = after.rows.sources.iter().find(|source| source.source_file == "pumps/old.csv").unwrap();
    assert!(source.reason.as_ref().unwrap().contains("can no longer be read"), "and its row says so");
}

#[test]
fn a_folder_that_was_moved_is_the_same_folder() {
    let records = Records::scattered();
    let mut shelf = Shelf::default();
    let before = shelf.import(&records.paths(&["north"]), Missing::Keep, 1).unwrap();
    records.rename("north", "archive");
    let after = shelf.import(&records.paths(&["archive"]), Missing::Keep, 1).unwrap();
    assert_eq!((&after.rows.tests, &after.rows.readings), (&before.rows.tests, &before.rows.readings));
    assert_eq!(after.rows.sources.len(), before.rows.sources.len());
    assert!(after.rows.sources.iter().all(|source| source.origin.ends_with("archive")));
}

#[test]
fn files_of_one_name_below_two_folders_stay_two() {
    let records = Records::scattered();
    let mut shelf = Shelf::default();
    let one = shelf.import(&records.paths(&["east"]), Missing::Keep, 1).unwrap();
    assert_eq!(one.rows.sources[0].source_file, "log.csv");
    let both = shelf.import(&records.paths(&["south/log.csv"]), Missing::Keep, 1).unwrap();
    let names: Vec<&str> = both.rows.sources.iter().map(|source| source.source_file.as_str()).collect();
    assert_eq!(names, ["east/log.csv", "south/log.csv"]);
    let mut ids: Vec<&str> = both.rows.tests.iter().map(|test| test.test_id.as_str()).collect();
    let tests = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), tests, "no two tests share an id");
}

#[test]
fn a_ruling_is_about_the_file_that_it_names_and_costs_the_others_nothing() {
    let records = Records::scattered();
    let mut shelf = Shelf::default();
    records.write("south/log.csv", "Motor,Date,IR MOhm\nS-1,03/04/2001,510\n");
    records.write("east/log.csv", "Motor,Date,IR MOhm\nE-9,03/04/2001,600\n");
    let paths = records.paths(&["south/log.csv", "east/log.csv"]);
    let held = shelf.import(&paths, Missing::Keep, 1).unwrap();
    assert!(held.rows.tests.iter().all(|test| test.performed_precision != "day"), "both can be read in two ways");
    let asked = shelf.memory.puts();
    shelf.settings.decisions = vec![Decision {
        question: Question::DateOrder,
        answer: "day-first".to_owned(),
        file: Some("east/log.csv".to_owned()),
        sheet: None,
        cells: Some("B2".to_owned()),
        text: None,
        by: None,
        on: None,
        why: None,
    }];
    let ruled = shelf.import(&paths, Missing::Keep, 1).unwrap();
    let precision = |file: &str| {
        let test = ruled.rows.tests.iter().find(|test| test.source_file == file).unwrap();
        test.performed_precision.clone()
    };
    assert_eq!((precision("east/log.csv"), precision("south/log.csv")), ("day".into(), "year".into()));
    assert_eq!(shelf.memory.puts(), asked + 2, "read and noted: the one that was ruled on");
}

#[test]
fn a_path_that_is_not_there_stops_the_import() {
    let records = Records::scattered();
    let mut shelf = Shelf::default();
    let error = shelf.import(&records.paths(&["east", "nort"]), Missing::Keep, 1).unwrap_err();
    assert!(matches!(&error, Refused::Path { path, .. } if path.ends_with("nort")), "{error}");
    let empty: PathBuf = records.folder("nothing");
    assert!(matches!(shelf.import(&[empty], Missing::Keep, 1).unwrap_err(), Refused::Nothing(_)));
}
