//! One tag in two folders that tell neither site nor nameplate: their series decide, or a person. All plants are invented; that nobody
//! tests a machine twice a day, again and again, with results that have nothing in common is common practice, no source.

use crate::fleet::{Records, Shelf, answer, asked};
use std::collections::BTreeSet;
use windrow_model::{Decision, Question};
use windrow_pipeline::{Missing, Rows};

const NORTH: &str =
    "Motor,Date,IR MOhm\nP-1,2001-02-03,910\nP-1,2002-02-03,905\nP-1,2003-02-03,880\nP-2,2001-02-03,400\n";
const SOUTH: &str = "Motor,Date,IR MOhm\nP-1,2001-02-03,41\nP-1,2002-02-03,39\nP-1,2004-02-03,40\nP-3,2001-02-03,77\n";

/// Both folders, each imported by itself.
fn import(files: &[(&str, &str)], roots: &[&str], decisions: &[Decision]) -> Rows {
    let records = Records::of(files);
    let mut shelf = Shelf::default();
    shelf.settings.decisions = decisions.to_vec();
    for root in roots {
        shelf.import(&records.paths(&[root]), Missing::Keep, 1).unwrap();
    }
    shelf.rows
}

fn machines(rows: &Rows, tag: &str) -> BTreeSet<String> {
    rows.assets.iter().filter(|asset| asset.tag == tag).map(|asset| asset.asset_id.clone()).collect()
}

#[test]
fn series_that_contradict_are_kept_apart_and_asked_about() {
    let files = [("north/log.csv", NORTH), ("south/log.csv", SOUTH)];
    for roots in [&["north", "south"][..], &["south", "north"], &["."]] {
        let rows = import(&files, roots, &[]);
        assert_eq!(machines(&rows, "P-1").len(), 2, "{roots:?}");
        assert_eq!((machines(&rows, "P-2").len(), machines(&rows, "P-3").len()), (1, 1));
        assert!(rows.tests.iter().all(|test| test.asset_id.is_some() && test.duplicate_of.is_none()));
        let holds = asked(&rows, Question::SameMachine);
        assert_eq!(holds.len(), 1, "{holds:?}");
        for told in ["P-1 [north]", "P-1 [south]", "2001-02-03", "without a number in common"] {
            assert!(holds[0].context.contains(told), "{told} is not in: {}", holds[0].context);
        }
        for (choice, count) in [(0, 1), (1, 2)] {
            let ruled = import(&files, roots, &[answer(holds[0], &holds[0].choices[choice])]);
            assert_eq!(machines(&ruled, "P-1").len(), count, "{}", holds[0].choices[choice]);
            assert!(asked(&ruled, Question::SameMachine).is_empty());
        }
    }
}

#[test]
fn the_name_of_a_machine_does_not_depend_on_where_the_folders_lie() {
    let files = [("north/log.csv", NORTH), ("south/log.csv", SOUTH)];
    let [one, other] = [(); 2].map(|()| import(&files, &["north", "south"], &[]));
    assert_eq!(machines(&one, "P-1"), machines(&other, "P-1"));
}

#[test]
fn what_is_one_is_not_split() {
    let later = "Motor,Date,IR MOhm\nP-1,2005-02-03,870\nP-1,2006-02-03,860\n";
    // A copy with another year, a day in common with one other result, and a test before and after cleaning.
    let copy = "Motor,Date,IR MOhm\nP-1,2001-02-03,910\nP-1,2002-02-03,300\nP-1,2003-02-03,310\n";
    let once = "Motor,Date,IR MOhm\nP-1,2001-02-03,300\nP-1,2009-02-03,850\n";
    let cleaned = "Motor,Date,Stage,IR MOhm\nP-1,2001-02-03,after cleaning,41\nP-1,2002-02-03,after cleaning,39\n";
    for other in [later, copy, once, cleaned] {
        let rows = import(&[("north/log.csv", NORTH), ("office/log.csv", other)], &["north", "office"], &[]);
        assert_eq!(machines(&rows, "P-1").len(), 1, "{other}");
        assert!(asked(&rows, Question::SameMachine).is_empty(), "{other}");
    }
}

#[test]
fn a_folder_that_could_be_either_is_asked_about() {
    let between = "Motor,Date,IR MOhm\nP-1,2010-02-03,300\n";
    let files = [("north/log.csv", NORTH), ("south/log.csv", SOUTH), ("office/log.csv", between)];
    let rows = import(&files, &["north", "south", "office"], &[]);
    let open: Vec<&str> =
        rows.tests.iter().filter(|test| test.asset_id.is_none()).map(|test| test.source_file.as_str()).collect();
    assert_eq!(open, ["office/log.csv"]);
    let holds = asked(&rows, Question::Machine);
    assert_eq!(holds[0].choices, ["P-1 [north]", "P-1 [south]"]);
    let ruled = import(&files, &["north", "south", "office"], &[answer(holds[0], "P-1 [south]")]);
    assert_eq!(machines(&ruled, "P-1").len(), 2);
    assert!(ruled.tests.iter().all(|test| test.asset_id.is_some()));
}

/// A ruling on a file, on a sheet or on a range of rows, though nameplates agree.
#[test]
fn a_person_can_tell_apart_what_no_evidence_does() {
    let plate = |value: u32, year: u32| {
        format!(
            "Motor,kW,Volts,Date,IR MOhm\nP-1,450,6600,{year}-02-03,{value}\nP-1,450,6600,{}-02-03,{value}\n",
            year + 1
        )
    };
    let (one, other) = (plate(910, 2001), plate(870, 2011));
    let files = [("a.csv", one.as_str()), ("b.csv", other.as_str())];
    let ruling = |answer: &str, question: Question, cells: Option<&str>| Decision {
        question,
        answer: answer.to_owned(),
        file: Some("b.csv".to_owned()),
        sheet: None,
        cells: cells.map(str::to_owned),
        text: None,
        by: None,
        on: None,
        why: None,
    };
    let of = |rows: &Rows, file: &str| -> BTreeSet<Option<String>> {
        let tests = rows.tests.iter().filter(|test| test.source_file == file);
        tests.map(|test| test.asset_id.as_deref().map(str::to_owned)).collect()
    };
    let rows = import(&files, &["."], &[]);
    assert_eq!(of(&rows, "a.csv"), of(&rows, "b.csv"), "one machine until somebody knows better");
    for decision in [
        ruling("different from P-1", Question::SameMachine, None),
        ruling("P-1 [old pump house]", Question::Machine, None),
    ] {
        let parted = import(&files, &["."], std::slice::from_ref(&decision));
        assert_eq!((of(&parted, "a.csv").len(), of(&parted, "b.csv").len()), (1, 1), "{decision:?}");
        assert!(of(&parted, "a.csv").is_disjoint(&of(&parted, "b.csv")), "{decision:?}");
        assert!(!of(&parted, "b.csv").contains(&None), "{decision:?}");
        assert!(asked(&parted, Question::SameMachine).is_empty() && asked(&parted, Question::Machine).is_empty());
    }
    let row = import(&files, &["."], &[ruling("different from P-1", Question::SameMachine, Some("A3"))]);
    assert_eq!(of(&row, "b.csv").len(), 2, "one row alone");
}

/// Two shafts of one group on two sheets, each with pumps of the same names, all years across: one year after another no number in common.
#[test]
fn sheets_of_one_file_whose_series_contradict_are_two_plants() {
    let sheet = |name: &str, numbers: [u32; 5]| {
        let cell = |value: String| format!("<Cell><Data ss:Type=\"String\">{value}</Data></Cell>");
        let row = |cells: Vec<String>| format!("<Row>{}</Row>", cells.into_iter().map(cell).collect::<String>());
        let head =
            row(["Motor"].into_iter().map(str::to_owned).chain((2009..2014).map(|year| year.to_string())).collect());
        let line = |tag: &str, plus: u32| {
            row(std::iter::once(tag.to_owned()).chain(numbers.map(|number| (number + plus).to_string())).collect())
        };
        let title = row(vec!["Tarn Mine Group, insulation, 2500 V, 1 minute, Mohm".to_owned()]);
        let (one, two) = (line("Dewater 1", 0), line("Dewater 2", 700));
        format!("<Worksheet ss:Name=\"{name}\"><Table>{title}{head}{one}{two}</Table></Worksheet>")
    };
    let book = |sheets: &str| {
        format!(
            "<?xml version=\"1.0\"?><Workbook xmlns=\"urn:schemas-microsoft-com:office:spreadsheet\" \
             xmlns:ss=\"urn:schemas-microsoft-com:office:spreadsheet\">{sheets}</Workbook>"
        )
    };
    let two = book(&(sheet("Shaft 2", [450, 440, 390, 370, 400]) + &sheet("Shaft 5", [1800, 1250, 1300, 1500, 1100])));
    let rows = import(&[("mine/log.xml", &two)], &["mine"], &[]);
    assert_eq!((machines(&rows, "Dewater 1").len(), machines(&rows, "Dewater 2").len()), (2, 2));
    assert_eq!(asked(&rows, Question::SameMachine).len(), 2);
    let same = book(&(sheet("Log", [450, 440, 390, 370, 400]) + &sheet("Copy", [450, 440, 390, 371, 400])));
    let rows = import(&[("mine/log.xml", &same)], &["mine"], &[]);
    assert_eq!(machines(&rows, "Dewater 1").len(), 1);
}
