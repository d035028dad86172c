//! Names that are no name of one machine, through the whole way from files to rows. All plants are invented. What counts as one machine
//! is common practice, no source: a tag is a plant's own, and nameplates of one machine do not contradict each other.

use crate::fleet::{Records, Shelf, answer, asked};
use std::collections::BTreeSet;
use std::fmt::Write;
use windrow_model::{Decision, Question, Test};
use windrow_pipeline::{Missing, Rows};

/// A log with a nameplate: two machines of one tag differ in all that it tells.
const LARGE: &str = "Motor,kW,Volts,Date,IR MOhm\nP-1,450,6600,2001-02-03,910\nP-1,450,6600,2003-02-03,880\n";
const SMALL: &str = "Motor,kW,Volts,Date,IR MOhm\nP-1,22,400,2001-05-06,120\n";

fn import(files: &[(&str, &str)], decisions: Vec<Decision>) -> Rows {
    let records = Records::of(files);
    let mut shelf = Shelf::default();
    shelf.settings.decisions = decisions;
    shelf.import(&records.paths(&["."]), Missing::Keep, 1).unwrap().rows
}

fn machines<'r>(rows: &'r Rows, file: &str) -> BTreeSet<Option<&'r str>> {
    let of_file = |test: &&Test| test.source_file == file;
    let tests: Vec<&Test> = rows.tests.iter().filter(of_file).collect();
    assert!(!tests.is_empty(), "no test of {file}");
    tests.into_iter().map(|test| test.asset_id.as_deref()).collect()
}

#[test]
fn one_tag_of_two_plants_is_two_machines_when_the_nameplates_contradict() {
    let rows = import(&[("north/log.csv", LARGE), ("south/log.csv", SMALL)], Vec::new());
    let (north, south) = (machines(&rows, "north/log.csv"), machines(&rows, "south/log.csv"));
    assert_eq!((north.len(), south.len()), (1, 1));
    assert!(north.is_disjoint(&south), "thrown together");
    assert!(!north.contains(&None) && !south.contains(&None), "each has its own plate: {:?}", rows.holds);
    let volts: BTreeSet<Option<u64>> =
        rows.assets.iter().map(|asset| asset.rated_voltage_v.map(f64::to_bits)).collect();
    assert_eq!(volts, BTreeSet::from([Some(400.0_f64.to_bits()), Some(6600.0_f64.to_bits())]));
}

#[test]
fn records_without_a_nameplate_follow_their_folder_and_are_asked_about_elsewhere() {
    let plain = "Motor,Date,IR MOhm\nP-1,2010-02-03,700\n";
    let files = [
        ("north/log.csv", LARGE),
        ("south/log.csv", SMALL),
        ("south/later.csv", plain),
        ("office/copy.csv", "Motor,Date,IR MOhm\nP-1,2011-02-03,600\n"),
    ];
    let rows = import(&files, Vec::new());
    assert_eq!(machines(&rows, "south/later.csv"), machines(&rows, "south/log.csv"));
    assert_eq!(machines(&rows, "office/copy.csv"), BTreeSet::from([None]), "either could be meant");
    let holds = asked(&rows, Question::Machine);
    assert_eq!(holds.len(), 1);
    assert_eq!(holds[0].choices, ["P-1 [400 V, 22 kW]", "P-1 [6600 V, 450 kW]"]);
    let answered = import(&files, vec![answer(holds[0], "P-1 [6600 V, 450 kW]")]);
    assert_eq!(machines(&answered, "office/copy.csv"), machines(&answered, "north/log.csv"));
    assert!(asked(&answered, Question::Machine).is_empty());
}

#[test]
fn a_single_contradiction_is_asked_about_with_both_sides_and_can_be_ruled() {
    let other = "Motor,kW,Volts,Date,IR MOhm\nP-1,450,6000,2001-05-06,120\n";
    let files = [("north/log.csv", LARGE), ("south/log.csv", other)];
    let rows = import(&files, Vec::new());
    assert!(machines(&rows, "north/log.csv").is_disjoint(&machines(&rows, "south/log.csv")));
    let holds = asked(&rows, Question::SameMachine);
    assert_eq!(holds.len(), 1, "{holds:?}");
    for side in ["6600", "6000", "same rated power", "north/log.csv", "south/log.csv"] {
        assert!(holds[0].context.contains(side), "{side} is not in: {}", holds[0].context);
    }
    for (ruling, together) in [(&holds[0].choices[0], true), (&holds[0].choices[1], false)] {
        let ruled = import(&files, vec![answer(holds[0], ruling)]);
        let one = machines(&ruled, "north/log.csv") == machines(&ruled, "south/log.csv");
        assert_eq!(one, together, "{ruling}");
        assert!(asked(&ruled, Question::SameMachine).is_empty(), "{ruling}");
    }
}

#[test]
fn folders_named_by_plants_tell_whose_tag_it_is() {
    let log = |value: u32| format!("Motor,Date,IR MOhm\nP-1,2001-02-03,{value}\nP-2,2001-02-03,{}\n", value + 7);
    let rows = import(&[("Oak Mill/log.csv", &log(500)), ("Elm Mill/1998/log.csv", &log(80))], Vec::new());
    assert_eq!(rows.assets.len(), 4, "{:?}", rows.assets);
    let sites: BTreeSet<Option<&str>> = rows.assets.iter().map(|asset| asset.site.as_deref()).collect();
    assert_eq!(sites, BTreeSet::from([Some("Elm Mill"), Some("Oak Mill")]));
}

#[test]
fn a_told_site_keeps_two_plants_apart_and_a_record_without_one_is_asked_about() {
    let rows = import(
        &[
            ("a.csv", "Site,Motor,Date,IR MOhm\nOak Mill,P-1,2001-02-03,910\nElm Mill,P-1,2001-02-03,120\n"),
            ("b.csv", "Motor,Date,IR MOhm\nP-1,2004-02-03,500\n"),
        ],
        Vec::new(),
    );
    assert_eq!(machines(&rows, "a.csv").len(), 2);
    assert_eq!(machines(&rows, "b.csv"), BTreeSet::from([None]));
    let holds = asked(&rows, Question::Machine);
    assert!(holds[0].context.contains("Oak Mill") && holds[0].context.contains("Elm Mill"), "{}", holds[0].context);
}

#[test]
fn a_serial_number_typed_as_a_tag_finds_its_machine_and_makes_none() {
    let rows = import(
        &[
            ("register.csv", "Tag,Serial No.,kW,Volts\nP-1,58554-5801,450,6600\nP-2,58554-5802,450,6600\n"),
            ("log.csv", "Motor,Date,IR MOhm\nP-1,2001-02-03,910\n58554-5801,2002-02-03,905\n"),
        ],
        Vec::new(),
    );
    assert_eq!(machines(&rows, "log.csv").len(), 1);
    assert_eq!(rows.assets.len(), 2);
    assert!(rows.assets.iter().all(|asset| asset.tag.starts_with("P-")), "{:?}", rows.assets);
}

#[test]
fn a_serial_number_of_two_makers_is_two_machines() {
    let rows = import(
        &[(
            "register.csv",
            "Tag,Station,Serial No.,kW,Volts,Year\nP-1,Oak Mill,58554-5801,450,6600,1958\nC-7,Elm Mill,58554-5801,22,400,1994\n",
        )],
        Vec::new(),
    );
    assert_eq!(rows.assets.len(), 2, "{:?}", rows.assets);
}

#[test]
fn records_without_a_tag_are_of_no_machine_and_say_so() {
    let rows = import(&[("log.csv", "Motor,Date,IR MOhm\n,2001-02-03,910\nP-2,2001-02-03,905\n")], Vec::new());
    let unnamed: Vec<&Test> = rows.tests.iter().filter(|test| test.asset_id.is_none()).collect();
    let told = rows.readings.len() + rows.cells.iter().filter(|cell| cell.disposition == "held").count();
    assert!(told >= 2, "neither value is lost");
    assert!(rows.assets.iter().all(|asset| asset.tag == "P-2"));
    assert!(unnamed.is_empty() || !asked(&rows, Question::Machine).is_empty());
    assert!(!rows.holds.is_empty());
}

#[test]
fn thousands_of_spares_stay_apart_and_are_one_question() {
    let mut text = "Motor,Date,IR MOhm\n".to_owned();
    for row in 0..3000_u32 {
        writeln!(text, "SPARE,{}-02-03,{}", 1980 + row % 40, 100 + row).unwrap();
    }
    let rows = import(&[("stores/log.csv", &text)], Vec::new());
    assert_eq!(rows.tests.len(), 3000);
    assert!(rows.tests.iter().all(|test| test.asset_id.is_none() && test.duplicate_of.is_none()));
    assert!(rows.assets.is_empty());
    let holds = asked(&rows, Question::Machine);
    let causes: BTreeSet<&str> = holds.iter().map(|hold| hold.cause.as_str()).collect();
    assert_eq!((holds.len(), causes.len()), (3000, 1));
    assert!(holds.iter().all(|hold| hold.context.contains("SPARE")));
}

#[test]
fn a_word_that_stands_for_any_motor_names_none() {
    let mut text = "Motor,kW,Volts,rpm,Date,IR MOhm\n".to_owned();
    for row in 0..40_u32 {
        writeln!(text, "M-1,{},{},{},2001-02-03,{}", 10 + 15 * row, 400 + 100 * row, 600 + 50 * row, 100 + row)
            .unwrap();
    }
    let rows = import(&[("log.csv", &text)], Vec::new());
    let together = rows.tests.iter().filter(|test| test.asset_id.is_some());
    let of: BTreeSet<Option<&str>> = together.clone().map(|test| test.asset_id.as_deref()).collect();
    assert_eq!(together.count(), of.len(), "no two plates are one machine");
    assert!(!asked(&rows, Question::Machine).is_empty());
}
