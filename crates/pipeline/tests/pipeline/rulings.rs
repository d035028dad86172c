//! Nameplates and sheets that a person must rule upon: asked, unchanged until then, and read as ruled afterwards. All records are
//! invented; 4.16 V for 4160 V and the phase voltage 277 V of a 480 V machine are circuit geometry and common practice, no source.

use crate::fleet::{Records, Shelf, answer, asked};
use std::fmt::Write;
use windrow_model::{Asset, Decision, Question, Reading};
use windrow_pipeline::{Missing, Rows};

fn import(files: &[(&str, &str)], decisions: &[Decision]) -> Rows {
    let records = Records::of(files);
    let mut shelf = Shelf::default();
    shelf.settings.decisions = decisions.to_vec();
    shelf.import(&records.paths(&["."]), Missing::Keep, 1).unwrap().rows
}

fn asset<'r>(rows: &'r Rows, tag: &str) -> &'r Asset {
    rows.assets.iter().find(|asset| asset.tag == tag).unwrap()
}

const PLATES: &str = "Motor,Rated voltage V,Winding,Date,Test,Test voltage kV,Leakage uA\n\
    K-1,4.16,form,2011-05-03,DC hipot,9,3\nK-2,277,random,2011-05-03,DC hipot,1.5,3\nK-3,480,random,2011-05-03,DC hipot,1.5,3\n\
    K-4,0,random,2011-05-03,DC hipot,1.5,3\nK-5,,random,2011-05-03,DC hipot,1.5,3\n";

#[test]
fn a_rated_voltage_that_cannot_be_what_it_seems_is_asked_and_stays_until_it_is_ruled() {
    let files = [("plates.csv", PLATES)];
    let rows = import(&files, &[]);
    let volts = |rows: &Rows, tag: &str| asset(rows, tag).rated_voltage_v;
    assert_eq!((volts(&rows, "K-1"), volts(&rows, "K-2"), volts(&rows, "K-5")), (Some(4.16), Some(277.0), None));
    let holds = asked(&rows, Question::Nameplate);
    let of = |cell: &str| holds.iter().find(|hold| hold.source_cell.as_deref() == Some(cell));
    assert_eq!(of("B2").unwrap().choices, ["4160 V", "not known"]);
    assert_eq!(of("B3").unwrap().choices, ["480 V", "277 V", "not known"]);
    assert_eq!(of("B5").unwrap().choices, ["not known"]);
    assert!(of("A6").unwrap().context.contains("tell no rated voltage"), "a missing one, where the machine is named");
    assert_eq!(holds.len(), 4, "480 V is no question: {holds:?}");
    assert!(holds.iter().all(|hold| hold.context.contains("no level stands")));

    let rulings = [("B2", "4160 V"), ("B3", "277 V"), ("B5", "not known"), ("A6", "480 V")];
    let decisions: Vec<Decision> = rulings.iter().map(|(cell, told)| answer(of(cell).unwrap(), told)).collect();
    let ruled = import(&files, &decisions);
    assert!(asked(&ruled, Question::Nameplate).is_empty());
    assert_eq!((volts(&ruled, "K-1"), volts(&ruled, "K-2")), (Some(4160.0), Some(277.0)));
    assert_eq!((volts(&ruled, "K-4"), volts(&ruled, "K-5")), (None, Some(480.0)));
    let basis = |tag: &str| asset(&ruled, tag).rated_voltage_basis.clone().unwrap_or_default();
    assert_eq!([basis("K-1"), basis("K-2"), basis("K-3"), basis("K-4")], ["ruled", "ruled", "recorded", ""]);
    let kept = &asset(&ruled, "K-1").nameplate_conflicts[0].detail;
    assert!(kept.contains("4.16 V (1 source: plates.csv B2)") && kept.contains("a person ruled so"), "{kept}");
    let undone = import(&files, &decisions[1..]);
    assert_eq!(volts(&undone, "K-1"), Some(4.16), "a ruling is taken back by deleting it");
}

/// Minima, levels and coverage go by the rated voltage (IEEE 43-2013 Tables 1 and 3, IEC 60034-1 Table 16); limits of winding resistance
/// do not (ANSI/EASA AR100-2020 clause 4.3.1).
#[test]
fn a_missing_rated_voltage_is_asked_once_a_machine_wherever_a_limit_a_level_or_coverage_goes_by_it() {
    let log = "Motor,Date,IR MOhm\nP-1,2001-02-03,910\nP-1,2002-02-03,900\nP-2,2001-02-03,70\n";
    let rows = import(&[("log.csv", log)], &[]);
    let holds = asked(&rows, Question::Nameplate);
    let cells: Vec<&str> = holds.iter().filter_map(|hold| hold.source_cell.as_deref()).collect();
    assert_eq!(cells, ["A2", "A4"], "{holds:?}");
    assert!(holds.iter().all(|hold| hold.context.contains("tell no rated voltage")));
    let told = import(&[("log.csv", log)], &[answer(holds[0], "480 V"), answer(holds[1], "not known")]);
    assert!(told.holds.is_empty(), "{:?}", told.holds);
    assert_eq!((asset(&told, "P-1").rated_voltage_v, asset(&told, "P-2").rated_voltage_v), (Some(480.0), None));
    // A line was put above: what stands in the cell of P-1 is P-0 now, and nothing was ruled of that.
    let moved = log.replacen("P-1", "P-0,2000-02-03,930\nP-1", 1);
    let rows = import(&[("log.csv", &moved)], &[answer(holds[0], "480 V"), answer(holds[1], "6600 V")]);
    assert!(rows.assets.iter().all(|asset| asset.rated_voltage_v.is_none()), "{:?}", rows.assets);
    assert_eq!(asked(&rows, Question::Nameplate).len(), 3, "asked again");
    let bridge = "Motor,Date,Winding temp C,Resistance U-V ohm\nP-1,2001-02-03,21,0.51\n";
    let rows = import(&[("bridge.csv", bridge)], &[]);
    assert!((rows.readings.len(), rows.holds.len()) == (1, 0), "nothing of it goes by voltage: {:?}", rows.holds);
}

#[test]
fn a_rated_voltage_without_a_unit_is_not_silently_kilovolts() {
    let rows = import(
        &[("log.csv", "Motor,Rated voltage,Date,IR MOhm\nP-1,4.16,2001-02-03,910\nP-2,48,2001-02-03,90\n")],
        &[],
    );
    assert_eq!((asset(&rows, "P-1").rated_voltage_v, asset(&rows, "P-2").rated_voltage_v), (Some(4.16), Some(48.0)));
    let holds = asked(&rows, Question::Nameplate);
    assert_eq!(holds.len(), 1);
    assert!(holds[0].choices.contains(&"4160 V".to_owned()), "{:?}", holds[0].choices);
}

/// Readings of four machines over the seasons, as read or as somebody had brought them to 40 °C (halving rule, IEEE 43, from memory).
fn seasons(corrected: bool, years: u16) -> String {
    let mut text = "Motor,Rated voltage V,Made,Date,Winding temp C,Test voltage V,IR 1 min MOhm\n".to_owned();
    for year in 0..years {
        for motor in 0..4_u16 {
            let temperature = 15 + (year * 7 + motor * 3) % 25;
            let scatter = [1.05, 0.93, 1.0, 1.1, 0.96, 1.02, 0.9, 1.07][usize::from(year + motor) % 8];
            let at_40c = 150.0 * f64::from(motor + 1) * scatter;
            let factor = 2_f64.powf((40.0 - f64::from(temperature)) / 10.0);
            let told = if corrected { at_40c } else { at_40c * factor };
            writeln!(text, "S-{motor},6600,1960,{}-03-04,{temperature},2500,{told:.0}", 1975 + year).unwrap();
        }
    }
    text
}

fn resistances(rows: &Rows) -> Vec<&Reading> {
    rows.readings.iter().filter(|reading| reading.quantity == "insulation_resistance").collect()
}

#[test]
fn a_column_that_looks_corrected_is_asked_about_and_read_as_ruled() {
    let text = seasons(true, 8);
    let files = [("seasons.csv", text.as_str())];
    let rows = import(&files, &[]);
    let holds = asked(&rows, Question::Corrected);
    assert_eq!(holds.len(), 1, "{holds:?}");
    assert_eq!(holds[0].source_cell.as_deref(), Some("G2:G33"));
    assert_eq!(holds[0].choices, ["as read", "corrected to 40 °C"]);
    assert!(resistances(&rows).iter().all(|reading| reading.as_reported == "as_read" && reading.value_ref.is_some()));

    let ruling = answer(holds[0], "corrected to 40 °C");
    let ruled = import(&files, std::slice::from_ref(&ruling));
    assert!(asked(&ruled, Question::Corrected).is_empty());
    for reading in resistances(&ruled) {
        assert_eq!((reading.as_reported.as_str(), reading.value_ref), ("corrected", Some(reading.value)));
        assert!(reading.derivation.iter().any(|step| step.step == "decision"), "{:?}", reading.derivation);
    }
    let longer = seasons(true, 10);
    let grown = import(&[("seasons.csv", longer.as_str())], &[ruling]);
    assert!(
        resistances(&grown).iter().all(|reading| reading.as_reported == "corrected"),
        "what is written below later too"
    );

    let as_read = import(&files, &[answer(holds[0], "as read")]);
    assert!(asked(&as_read, Question::Corrected).is_empty());
    let values = |rows: &Rows| resistances(rows).iter().map(|reading| reading.value_ref).collect::<Vec<_>>();
    assert_eq!(values(&as_read), values(&rows), "nothing changes");
}

#[test]
fn values_as_read_are_no_question() {
    let text = seasons(false, 8);
    assert!(asked(&import(&[("seasons.csv", text.as_str())], &[]), Question::Corrected).is_empty());
}

#[test]
fn a_register_of_one_line_and_a_card_tell_the_nameplate_of_their_machine() {
    let rows = import(
        &[
            (
                "one.csv",
                "Tag,Serial number,Rated voltage V,Rated power kW,Maker\nPU-5,88-44117,6600,450,Northmill Works\n",
            ),
            ("card.csv", "Motor nameplate,\nTag,PU-6\nRated voltage V,3300\nRated power kW,200\n"),
            ("log.csv", "Motor,Date,IR MOhm\nPU-5,2001-02-03,910\nPU-6,2001-02-03,900\n"),
        ],
        &[],
    );
    assert_eq!(rows.assets.len(), 2, "{:?}", rows.assets);
    assert_eq!(
        (asset(&rows, "PU-5").rated_voltage_v, asset(&rows, "PU-6").rated_voltage_v),
        (Some(6600.0), Some(3300.0))
    );
    assert_eq!(asset(&rows, "PU-5").serial_number.as_deref(), Some("88-44117"));
}

#[test]
fn outcomes_are_those_of_each_circuit_and_figures_name_the_row_they_became() {
    let rows = import(
        &[
            (
                "hv.csv",
                "Motor,Date,Circuit,DC test voltage kV,Leakage uA,Result\nH-1,2001-02-03,U-E,20,3.1,withstood\n\
                        H-1,2001-02-03,V-E,20,3.3,broke down\nH-1,2001-02-03,W-E,15,3.0,stopped\nH-1,2001-02-04,U-E,20,3.1,\n",
            ),
            (
                "ratios.csv",
                "Motor,Date,Winding temp C,IR 1 min MOhm,IR 10 min MOhm,PI\nR-1,2011-05-03,20,620,2480,4.0\n",
            ),
        ],
        &[],
    );
    let outcome = |cell: &str| {
        let reading =
            rows.readings.iter().find(|reading| reading.source_file == "hv.csv" && reading.source_cell == cell);
        reading.unwrap().outcome.as_deref().unwrap_or_default().to_owned()
    };
    assert_eq!(
        [outcome("E2"), outcome("E3"), outcome("E4"), outcome("E5")],
        ["withstood", "broke_down", "stopped", ""]
    );
    let ratio = rows.cells.iter().find(|cell| cell.source_file == "ratios.csv" && cell.source_cell == "F2").unwrap();
    let figure = &rows.reported_figures[0];
    assert_eq!(ratio.disposition, "derived");
    assert_eq!(ratio.target.as_deref(), Some(format!("reported_figures/{}/value", figure.test_id).as_str()));
}
