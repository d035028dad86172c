//! The form of what is remembered.
#![expect(clippy::too_many_lines, reason = "one test names every field")]

use super::{FORMAT, codes, fits};
use crate::import::work::Answer;
use windrow_model::kind::{Outcome, TemperatureBasis};
use windrow_model::raw::{
    CellMark, Exported, Mention, PlateField, PlateValue, RawHold, RawReading, RawTest, RawWaveform, RegionReport,
    Renumbered, SourceStatus, Target, Told, Understood, Via,
};
use windrow_model::{
    Bound, Circuit, Disposition, Flag, PartialDate, Place, Quantity, Question, Reported, Stage, Step, TestKind, Text,
    Unit,
};

/// Older answers are taken for files that are gone. If this fails, the form in which answers are written has changed: raise
/// `FORMAT` in `memory.rs` and put the new hash here, so that an old answer is never read as a new one.
#[test]
fn the_form_of_what_is_remembered_has_its_number() {
    let told = || Told::at(1.5, Via::Row, "1,5", Place::new(Some("S"), "B2"));
    let text = || Told::without_place(Text::new("P-1"), Via::Sheet, "P-1");
    let mention = Mention {
        tag: Some(text()),
        other_tags: vec![text()],
        serial: Some(text()),
        description: Some(text()),
        site: Some(text()),
        area: Some(text()),
        renumbered: Some(Renumbered { on: Some(told().map(|_| PartialDate::day(2001, 2, 3).unwrap())) }),
        list_key: Some(text()),
        location: Some(text()),
        parent: Some(text()),
        plate: vec![
            (PlateField::MadeYear, told().map(PlateValue::Number)),
            (PlateField::Model, text().map(|text| PlateValue::Text(text.into()))),
        ],
    };
    let reading = RawReading {
        quantity: told().map(|_| Quantity::InsulationResistance),
        circuit: Some(told().map(|_| Circuit::ALL[0])),
        elapsed_s: Some(told()),
        applied_voltage_v: Some(told()),
        number: 2.5,
        unit: told().map(|_| Unit::ONE),
        bound: Bound::AtLeast,
        as_reported: Reported::AsRead,
        reported_reference_c: Some(40.0),
        outcome: Some(Outcome::ALL[0]),
        raw_text: ">2,5".into(),
        place: Place::new(None, "C3".to_owned()),
        steps: vec![Step::new("unit", "from the cell")],
        flags: vec![Flag::ALL[0]],
    };
    let test = RawTest {
        machine: mention.clone(),
        kind: TestKind::ALL[0],
        performed: Some(told().map(|_| PartialDate::day(2001, 2, 3).unwrap())),
        stage: Some(told().map(|_| Stage::ALL[0])),
        winding_temperature_c: Some(told()),
        winding_temperature_basis: TemperatureBasis::ALL[0],
        ambient_temperature_c: Some(told()),
        relative_humidity_pct: Some(told()),
        dew_point_c: Some(told()),
        test_voltage_v: Some(told()),
        instrument: Some(text()),
        tester: Some(text()),
        remarks: vec![text()],
        work_order: Some(text()),
        reported_outcome: Some(text()),
        place: Place::new(None, "A3".to_owned()),
        readings: vec![reading.clone()],
        derived: vec![reading],
        flags: vec![Flag::ALL[0]],
        exported: Some(Exported { test_id: "e".into(), copy_of: Some("f".into()) }),
    };
    let mark = |target: Target| CellMark {
        place: Place::new(None, "C3".to_owned()),
        raw_text: "x".into(),
        disposition: Disposition::Value,
        target: Some(target),
        reason: Some("why".into()),
    };
    let column = || Text::new("value");
    let understood = Understood {
        source_file: "a".to_owned(),
        blake3: "b".to_owned(),
        bytes: 3,
        companion_blake3: Some("c".to_owned()),
        media_type: "m".to_owned(),
        status: SourceStatus::PartlyRead,
        reason: Some("r".to_owned()),
        reader: Some("x".to_owned()),
        regions: vec![RegionReport {
            place: Place::new(None, "A1:C3".to_owned()),
            importer: Some("i".to_owned()),
            importer_version: Some("1".to_owned()),
            layout: "l".to_owned(),
            confidence: 0.5,
            reasons: vec!["because".to_owned()],
            runners_up: vec![("j".to_owned(), 0.25)],
            columns: vec![("date".to_owned(), "A".to_owned())],
        }],
        tests: vec![test],
        waveforms: vec![RawWaveform {
            test: 0,
            channel: "U".to_owned(),
            circuit: Some(told().map(|_| Circuit::ALL[0])),
            unit: Some(told().map(|_| Unit::ONE)),
            unit_text: "A".to_owned(),
            started: Some("d".to_owned()),
            start_s: 0.5,
            interval_s: 0.25,
            samples: vec![Some(1.5)],
            place: Place::new(None, "C1:C2".to_owned()),
            steps: vec![Step::new("unit", "u")],
            flags: vec![Flag::ALL[0]],
        }],
        machines: vec![mention],
        cells: vec![
            mark(Target::Reading { test: 1, reading: 2, column: column() }),
            mark(Target::Test { test: 1, column: column() }),
            mark(Target::Asset { mention: 1, column: column() }),
            mark(Target::Waveform { waveform: 1 }),
        ],
        holds: vec![RawHold {
            place: Place::new(None, "C3".to_owned()),
            raw_text: "x".into(),
            question: Question::ALL[0],
            choices: vec!["y".to_owned()],
            context: "c".to_owned(),
            cause: "d".to_owned(),
        }],
        notes: vec!["n".to_owned()],
    };
    let pools = windrow_sheet::Pools {
        sites: ["s".to_owned()].into(),
        tags: ["t".to_owned()].into(),
        ..windrow_sheet::Pools::default()
    };
    let answers = (Answer::Understood(Box::new(understood)), Answer::Evidence(pools));
    let hash = blake3::hash(&postcard::to_stdvec(&answers).unwrap()).to_hex();
    assert_eq!((FORMAT, &hash.as_str()[..16]), ("5", "274ef53b61b0551b"));
}

#[test]
fn codes_may_be_added_at_the_end_and_nowhere_else() {
    let now = codes();
    assert!(fits(&now) && now.len() > 10);
    let older: Vec<(u32, String)> = now.iter().map(|(count, _)| (count - 1, String::new())).collect();
    assert!(!fits(&older), "another order of codes is another form");
    let mut later = now.clone();
    later[0].0 += 1;
    assert!(!fits(&later), "a code that is not known here");
}
