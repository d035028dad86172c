//! A person's ruling comes before what the sheet tells, settles what it leaves open, and is told in the derivation.

use crate::grid::{Read, grid, reading};
use windrow_model::raw::{Understood, Via};
use windrow_model::settings::Settings;
use windrow_model::{Decision, Disposition, Question};

fn read(rows: &[&str], rulings: &[(Question, &str, &str)]) -> Understood {
    let ruling = |(question, answer, cells): &(Question, &str, &str)| Decision {
        question: *question,
        answer: (*answer).to_owned(),
        file: Some("folder/file.xlsx".to_owned()),
        sheet: Some("Tests".to_owned()),
        cells: Some((*cells).to_owned()),
        text: None,
        by: Some("an engineer".to_owned()),
        on: None,
        why: None,
    };
    let settings = Settings { decisions: rulings.iter().map(ruling).collect(), ..Settings::default() };
    Read::under(grid(rows), &settings).0
}

const BARE: [&str; 5] = [
    "Insulation resistance of windings",
    "",
    "Machine|Date|Reading|Winding °C",
    "P-101|1994-03-04|850|21",
    "P-102|1994-03-05|OL|23",
];

#[test]
fn what_is_open_is_asked_and_a_ruling_settles_it() {
    let asked = read(&BARE, &[]);
    assert!(reading(&asked, "C4").is_none());
    assert!(asked.holds.iter().any(|hold| hold.question == Question::Unit && hold.choices.contains(&"MΩ".to_owned())));

    let ruled = read(&BARE, &[(Question::Unit, "GΩ", "C4:C9"), (Question::MissingCeiling, "2000 MΩ", "C5")]);
    let first = reading(&ruled, "C4").unwrap();
    assert_eq!((first.unit.value.ucum, first.unit.via), ("GOhm", Via::Decision));
    assert!(first.unit.text.contains("an engineer"));
    let second = reading(&ruled, "C5").unwrap();
    assert_eq!((second.number, second.bound), (2000.0, windrow_model::Bound::AtLeast));
    assert!(second.steps.iter().any(|step| step.step == "decision"));
    assert!(ruled.holds.is_empty(), "{:?}", ruled.holds);
}

/// Volts typed under a heading in kilovolts; no machine is tested at 8300 kV (common practice, no source).
#[test]
fn a_voltage_that_no_winding_is_tested_with_is_asked_about_and_a_ruling_settles_it() {
    let rows = [
        "AC withstand test",
        "",
        "Machine|Date|Circuit|AC test voltage (kV)|Current (mA)|Result",
        "P-1|2026-06-02|U-E|8300|412|withstood",
        "P-1|2026-06-02|V-E|8.3|409|withstood",
    ];
    let asked = read(&rows, &[]);
    assert!(reading(&asked, "E4").is_none() && reading(&asked, "E5").is_some(), "{:?}", asked.holds);
    let hold = asked.holds.iter().find(|hold| hold.question == Question::Voltage).expect("asked");
    assert!(hold.choices == ["8300 V"] && hold.context.contains("8300"), "{hold:?}");
    assert_eq!(asked.holds.len(), 1, "asked once: {:?}", asked.holds);
    let ruled = read(&rows, &[(Question::Voltage, "8300 V", "E4")]);
    let volts = reading(&ruled, "E4").and_then(|reading| reading.applied_voltage_v.as_ref()).map(|told| told.value);
    assert_eq!(volts, Some(8300.0));
    assert!(ruled.holds.is_empty(), "{:?}", ruled.holds);

    let bare = [
        "High voltage withstand tests after rewind",
        "Machine|Rated V|Test|kV applied|Duration|Leakage µA|Result|Date",
        "BFP-2|6600|DC 1 min|24.0|1 min|12.5|Withstood|2008-09-02",
        "BFP-2|6600|AC 1 min|14.2|60 s||OK|2008-09-03",
        "PA-2A|6600|AC 1 min|8300|60 s||OK|2008-09-09",
    ];
    let asked = read(&bare, &[]);
    assert!(reading(&asked, "D4").is_some() && reading(&asked, "D5").is_none(), "{:?}", asked.holds);
    let ruled = read(&bare, &[(Question::Voltage, "8300 V", "D5")]);
    assert_eq!(reading(&ruled, "D5").map(|reading| (reading.number, reading.unit.value.ucum)), Some((8300.0, "V")));
}

#[test]
fn a_ruling_beats_what_the_sheet_tells_and_no_further_than_its_cells() {
    let rows = ["Machine|Date|IR MΩ|", "P-101|1994-03-04|850", "P-102|1994-03-05|910"];
    let ruled = read(&rows, &[(Question::Machine, "P-110", "C2"), (Question::Date, "1995-03-04", "C2")]);
    let test = |cell: &str| {
        ruled.tests.iter().find(|test| test.readings.iter().any(|reading| reading.place.cell == cell)).unwrap()
    };
    let tag = |cell: &str| test(cell).machine.tag.clone().unwrap().value;
    assert_eq!((tag("C2").as_str(), tag("C3").as_str()), ("P-110", "P-102"));
    assert_eq!(test("C2").performed.as_ref().unwrap().value.first.year(), 1995);
}

#[test]
fn a_cell_ruled_to_be_no_reading_is_none_and_stays_counted() {
    let rows = ["Machine|Date|IR MΩ|", "P-101|1994-03-04|850", "P-102|1994-03-05|910"];
    let ruled = read(&rows, &[(Question::IllegibleValue, "no reading", "C3")]);
    assert!(reading(&ruled, "C2").is_some() && reading(&ruled, "C3").is_none());
    let mark = ruled.cells.iter().find(|mark| mark.place.cell == "C3").unwrap();
    assert_eq!(mark.disposition, Disposition::Label);
    assert!(mark.reason.as_deref().unwrap_or_default().contains("an engineer"));
}

#[test]
fn terminals_told_in_two_columns_are_one_circuit() {
    let rows = [
        "Machine|Date|Phase|Against|Insulation resistance MΩ",
        "P-101|1994-03-04|U|earth|850",
        "P-101|1994-03-04|V|earth|860",
        "P-101|1994-03-04|W|earth|840",
        "P-101|1994-03-04|U|V|1200",
    ];
    let read = read(&rows, &[]);
    let circuit = |cell: &str| reading(&read, cell).unwrap().circuit.as_ref().unwrap().value.code();
    assert_eq!([circuit("E2"), circuit("E4"), circuit("E5")], ["U-E", "W-E", "U-V"]);
}

/// What a nearer text denies is asked once, and answered stays answered. All sheets are invented.
#[test]
fn a_ruling_settles_what_a_nearer_text_denies() {
    let remark = [
        "Register of insulation, megohms to earth, 500 V, 1 min",
        "Date|Machine|Reading|Remarks",
        "07.01.1994|FW-1|38|",
        "22.04.1994|FW-1|1.2|GΩ, just rewound",
    ];
    let pair = ["Motor|Fecha|R-T (MΩ)|S-T (MΩ)|°C", "M-1|22.07.2018|340|350|36", "M-2|23.07.2018|34|35|36"];
    let day = ["21.10.2019", "Begun|03.10.2019", "Machine|MΩ at 500 V", "FW-1|340", "FW-2|295"];
    for (rows, asked, answers, cells) in [
        (&remark[..], Question::UnitConflict, &[("GΩ", "C4")][..], &["C4"][..]),
        (&pair[..], Question::Circuit, &[("U-E", "C2:C3"), ("V-E", "D2:D3")][..], &["C2", "D3"][..]),
        (&day[..], Question::Date, &[("2019-10-03", "B4:B5")][..], &["B4", "B5"][..]),
    ] {
        let open = read(rows, &[]);
        assert!(open.holds.iter().any(|hold| hold.question == asked), "{rows:?}: {:?}", open.holds);
        assert!(cells.iter().all(|cell| reading(&open, cell).is_none()), "{rows:?}");
        let answers: Vec<(Question, &str, &str)> = answers.iter().map(|(answer, at)| (asked, *answer, *at)).collect();
        let ruled = read(rows, &answers);
        assert!(cells.iter().all(|cell| reading(&ruled, cell).is_some()), "{rows:?}: {:?}", ruled.holds);
        assert!(ruled.holds.iter().all(|hold| hold.question != asked), "{rows:?}: {:?}", ruled.holds);
    }
}
