//! Invented machines of two invented mills.

use crate::{MentionIn, Resolved, resolve};
use jiff::civil::{Date, date};
use proptest::prelude::*;
use windrow_model::place::Place;
use windrow_model::raw::{Mention, PlateField, PlateValue, Told, Via};
use windrow_model::{Decision, Question};

/// A record: what it says, and its year.
type Record = (Mention, Option<i16>);

fn mention(tag: &str, site: &str, serial: &str) -> Mention {
    let told = |text: &str| (!text.is_empty()).then(|| Told::without_place(text.into(), Via::Row, text));
    Mention { tag: told(tag), site: told(site), serial: told(serial), ..Mention::default() }
}

fn record(tag: &str, site: &str, serial: &str) -> Record {
    (mention(tag, site, serial), None)
}

/// Records of one sheet, each tag in a row of column A.
fn ruled(records: &[Record], decisions: &[Decision]) -> Resolved {
    let mut records = records.to_vec();
    let places: Vec<Place> = (1..=records.len()).map(|row| Place::new(Some("Log"), format!("A{row}"))).collect();
    for ((mention, _), place) in records.iter_mut().zip(&places) {
        for told in mention.tag.iter_mut().chain(&mut mention.serial) {
            told.place = Some(place.clone());
        }
    }
    let day = |year: &i16| -> Date { date(*year, 6, 1) };
    let inputs: Vec<MentionIn<'_>> = records
        .iter()
        .zip(&places)
        .map(|((mention, year), place)| MentionIn {
            source_file: "f",
            mention,
            on: year.as_ref().map(day),
            test: Some(place),
            origin: "",
            record: None,
        })
        .collect();
    resolve(&inputs, decisions)
}

fn ids(records: &[Record]) -> Vec<Option<String>> {
    ruled(records, &[]).asset_of
}

fn ruling(question: Question, cell: &str, answer: &str) -> Decision {
    Decision {
        question,
        answer: answer.to_owned(),
        file: Some("f".to_owned()),
        sheet: Some("Log".to_owned()),
        cells: Some(cell.to_owned()),
        text: None,
        by: None,
        on: None,
        why: None,
    }
}

fn questions(resolved: &Resolved) -> Vec<(&str, Option<&str>)> {
    let mut asked: Vec<_> =
        resolved.holds.iter().map(|hold| (hold.question.as_str(), hold.source_cell.as_deref())).collect();
    asked.sort_unstable();
    asked
}

#[test]
fn spellings_of_one_tag_at_one_site_are_one_machine() {
    let found = ids(&[
        record("P-101A", "Oak Mill", ""),
        record("p 101 a", "OAK MILL", ""),
        record("P-0101A", "Oak Mill", ""),
        record("P-101A", "Elm Mill", ""),
    ]);
    assert_eq!((&found[0], &found[0]), (&found[1], &found[2]));
    assert_ne!(found[0], found[3], "short tags recur from site to site");
}

#[test]
fn a_tag_without_a_site_joins_only_if_one_site_has_it_and_is_asked_about_otherwise() {
    let found = ruled(
        &[
            record("P-7", "Oak Mill", ""),
            record("P-8", "Oak Mill", ""),
            record("P-8", "Elm Mill", ""),
            record("P-7", "", ""),
            record("P-8", "", ""),
        ],
        &[],
    );
    assert_eq!(found.asset_of[3], found.asset_of[0]);
    assert_eq!(found.asset_of[4], None, "two machines answer to P-8");
    assert_eq!(questions(&found), [("machine", Some("A5"))]);
    assert_eq!(found.holds[0].choices, ["P-8, Elm Mill", "P-8, Oak Mill"]);
}

#[test]
fn the_answer_to_which_machine_is_taken_and_taken_back() {
    let records = [record("P-8", "Oak Mill", ""), record("P-8", "Elm Mill", ""), record("P-8", "", "")];
    let answered = ruled(&records, &[ruling(Question::Machine, "A3", "P-8, Elm Mill")]);
    assert_eq!(answered.asset_of[2], answered.asset_of[1]);
    assert!(answered.holds.is_empty());
    assert_eq!(ruled(&records, &[]).asset_of[2], None);
}

#[test]
fn a_serial_number_finds_the_machine_of_the_register() {
    let found = ids(&[
        record("P-7", "Oak Mill", "58554-5801"),
        record("", "", "58554 58O1"),
        record("", "", "11111-2222"),
        record("", "", ""),
        record("58554-5801", "Oak Mill", ""),
    ]);
    assert_eq!(found[1], found[0], "and O is read as 0 in a serial number");
    assert!(found[2].is_some() && found[2] != found[0]);
    assert_eq!(found[3], None, "nobody named");
    assert_eq!(found[4], found[0], "the serial number stood where the tag should");
}

#[test]
fn a_sites_code_before_the_tag_is_learned_from_the_records() {
    let found = ids(&[
        record("OAK-P-1", "Oak Mill", ""),
        record("OAK-F-2", "Oak Mill", ""),
        record("OAK-C-3", "Oak Mill", ""),
        record("P-1", "Oak Mill", ""),
        record("oak/P1", "", ""),
    ]);
    assert_eq!((&found[3], &found[4]), (&found[0], &found[0]));
}

#[test]
fn an_earlier_tag_is_the_same_position() {
    let found = ids(&[
        record("P-7 (formerly P-3)", "Oak Mill", ""),
        record("P-3", "Oak Mill", ""),
        record("P-7", "Oak Mill", ""),
        record("P-3", "Elm Mill", ""),
    ]);
    assert_eq!((&found[1], &found[2]), (&found[0], &found[0]));
    assert_ne!(found[3], found[0]);
}

#[test]
fn spares_are_never_thrown_together() {
    let spares: Vec<Record> = (0..50).map(|_| record("SPARE", "Oak Mill", "")).collect();
    let mut records = spares.clone();
    records.push(record("SPARE", "Oak Mill", "58554-5801"));
    let found = ruled(&records, &[]);
    assert!(found.asset_of[..50].iter().all(Option::is_none));
    assert!(found.asset_of[50].is_some(), "a serial number names it");
    assert_eq!(found.holds.len(), 50);
    assert!(found.holds.iter().all(|hold| hold.context.contains("SPARE")));
}

#[test]
fn an_o_between_digits_is_a_slip_and_at_the_end_a_question() {
    let found = ruled(
        &[
            record("P-101A", "Oak Mill", ""),
            record("P-1O1A", "Oak Mill", ""),
            record("F-20", "Oak Mill", ""),
            record("F-2O", "Oak Mill", ""),
        ],
        &[],
    );
    assert_eq!(found.asset_of[1], found.asset_of[0]);
    assert_ne!(found.asset_of[3], found.asset_of[2]);
    assert_eq!(questions(&found).len(), 1);
}

#[test]
fn a_word_is_read_as_letters_once_two_positions_say_so() {
    let one = [record("P-101", "Oak Mill", ""), record("Pump 101", "Oak Mill", "")];
    let found = ruled(&one, &[]);
    assert_ne!(found.asset_of[0], found.asset_of[1]);
    assert_eq!(questions(&found), [("same_machine", Some("A2"))]);
    let mut two = one.to_vec();
    two.extend([record("P-102", "Elm Mill", ""), record("Pump 102", "Elm Mill", "")]);
    let found = ruled(&two, &[]);
    assert_eq!((&found.asset_of[1], &found.asset_of[3]), (&found.asset_of[0], &found.asset_of[2]));
    assert!(found.holds.is_empty());
    let volts = |record: &mut Record, volts: f64| {
        let told = Told::without_place(PlateValue::Number(volts), Via::Row, "");
        record.0.plate.push((PlateField::RatedVoltage, told));
    };
    volts(&mut two[0], 400.0);
    volts(&mut two[1], 6600.0);
    assert_ne!(ids(&two)[0], ids(&two)[1], "a rated voltage speaks against it");
}

#[test]
fn people_rule_same_different_renamed_and_moved() {
    let records = [
        (mention("P-101", "Oak Mill", ""), Some(2000)),
        (mention("Pump 101", "Oak Mill", ""), Some(2001)),
        (mention("P-101", "Oak Mill", ""), Some(2012)),
        (mention("Pump 101", "Oak Mill", ""), Some(2013)),
    ];
    let by = |answer: &str| ruled(&records, &[ruling(Question::SameMachine, "A2", answer)]);
    let same = by("same as P-101, Oak Mill");
    assert!(same.asset_of.iter().all(|id| *id == same.asset_of[0]) && same.holds.is_empty());
    assert_eq!(by("renamed from P-101, Oak Mill").asset_of, same.asset_of);
    let apart = by("different from P-101, Oak Mill");
    assert!(apart.asset_of[0] != apart.asset_of[1] && apart.holds.is_empty());
    let moved = by("moved from P-101, Oak Mill on 2010-01-01").asset_of;
    assert_eq!(moved[3], moved[0], "it took its history along");
    assert!(moved[2] != moved[0], "another machine stands at the old position");
    assert!(moved[1] != moved[0] && moved[1] != moved[2], "and another stood at the new one");
}

#[test]
fn a_moved_motor_keeps_its_history() {
    let found = ids(&[
        (mention("P-1", "Oak Mill", "58554-5801"), Some(2000)),
        (mention("P-7", "Oak Mill", "58554-5801"), Some(2010)),
        (mention("P-7", "Oak Mill", ""), Some(2015)),
        (mention("P-1", "Oak Mill", "43909-6102"), Some(2011)),
        (mention("P-1", "Oak Mill", ""), Some(2012)),
        (mention("P-1", "Oak Mill", ""), Some(2005)),
    ]);
    assert_eq!((&found[1], &found[2]), (&found[0], &found[0]));
    assert_eq!(found[4], found[3]);
    assert_eq!(found[5], None, "it had moved at some day between");
}

fn some_records() -> impl Strategy<Value = Vec<Record>> {
    let one = (0_usize..9, 0_usize..3, 0_usize..5, 0_usize..3).prop_map(|(tag, site, serial, year)| {
        let tags = ["P-1", "p1", "F-2", "", "SPARE", "P-1O1", "P-101", "Pump 101", "F-2 (ex P-1)"];
        let serials = ["S-10001", "", "", "S-10002", "S-10012"];
        (mention(tags[tag], ["Oak Mill", "Elm Mill", ""][site], serials[serial]), [None, Some(1990), Some(2005)][year])
    });
    proptest::collection::vec(one, 1..12)
}

proptest! {
    #[test]
    fn order_changes_nothing((records, order) in some_records().prop_flat_map(|records| {
        let order: Vec<usize> = (0..records.len()).collect();
        (Just(records), Just(order).prop_shuffle())
    })) {
        let forward = ruled(&records, &[]);
        let shuffled: Vec<Record> = order.iter().map(|index| records[*index].clone()).collect();
        let backward = ruled(&shuffled, &[]);
        let expected: Vec<Option<String>> = order.iter().map(|index| forward.asset_of[*index].clone()).collect();
        prop_assert_eq!(expected, backward.asset_of);
        prop_assert_eq!(forward.assets, backward.assets);
    }

    #[test]
    fn serial_numbers_that_differ_are_never_one_machine(records in some_records()) {
        let found = ruled(&records, &[]);
        for ((a, _), one) in records.iter().zip(&found.asset_of) {
            for ((b, _), other) in records.iter().zip(&found.asset_of) {
                let differ = matches!((&a.serial, &b.serial), (Some(a), Some(b)) if a.value != b.value);
                prop_assert!(!(differ && one == other));
            }
        }
    }
}
