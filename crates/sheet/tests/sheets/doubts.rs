//! Words and columns that may mean two things: voltages of machines or of tests, "Masa", limits and earlier values. Common practice,
//! no source; all sheets are invented.

use crate::grid::{Read, text_grid};
use windrow_model::Disposition;

fn disposition(read: &Read, cell: &str) -> Option<Disposition> {
    read.0.cells.iter().find(|mark| mark.place.cell == cell).map(|mark| mark.disposition)
}

#[test]
fn the_voltage_of_machines_in_a_title_is_no_test_voltage() {
    for title in [
        "Motor 11 kV insulation resistance report",
        "Insulation resistance, motors rated 400 V",
        "Insulation resistance, pumps fed from 3.3 kV board",
        "Insulation test 2.5 kV switchgear room",
        "Insulation resistance 6.6 kV",
        "Isolationswiderstand der 6 kV Motoren",
        "Résistance d'isolement, moteurs 5,5 kV",
        "Resistencia de aislamiento, motores de 4,16 kV",
    ] {
        let read = Read::texts(&[title, "", "Motor|Date|IR MΩ", "P-101|2019-03-14|120", "P-102|2019-03-15|130"]);
        assert_eq!(read.quantity("C4"), Some("insulation_resistance"), "{title}");
        assert_eq!(read.volts("C4"), None, "{title}");
    }
    for (title, volts) in [
        ("Insulation resistance of 6.6 kV motors at 5 kV", 5000.0),
        ("Insulation resistance 1000 V", 1000.0),
        ("Isolationswiderstand, Prüfspannung 600 V", 600.0),
        ("Résistance d'isolement sous 500 V, moteurs 5,5 kV", 500.0),
    ] {
        let read = Read::texts(&[title, "", "Motor|Date|IR MΩ", "P-101|2019-03-14|120", "P-102|2019-03-15|130"]);
        assert_eq!(read.volts("C4"), Some(volts), "{title}");
    }
}

#[test]
fn a_bare_voltage_beside_a_current_of_no_told_unit_is_asked_about() {
    let open =
        Read::texts(&["Motor|Datum|U (kV)|I|Riso MOhm", "P-101|14.03.2019|6|120|500", "P-102|15.03.2019|6|130|600"]);
    assert!(open.is_held("C2"));
    assert_eq!((open.quantity("E2"), open.volts("E2")), (Some("insulation_resistance"), None));
    let mixed = Read::texts(&["Motor|Datum|U (V)|Riso MOhm", "P-101|14.03.2019|500|500", "P-102|15.03.2019|690|600"]);
    assert!(mixed.is_held("C2") && mixed.volts("D2").is_none());
    let steps = Read::texts(&["Motor|Datum|U (kV)|Riso MOhm", "P-101|14.03.2019|5|500", "P-102|15.03.2019|2,5|600"]);
    assert_eq!((steps.volts("D2"), steps.volts("D3")), (Some(5000.0), Some(2500.0)));
    let leakage =
        Read::texts(&["Motor|Datum|U (kV)|I (µA)|Riso MOhm", "P-101|14.03.2019|6|12|500", "P-102|15.03.2019|6|10|600"]);
    assert_eq!(leakage.volts("D2"), Some(6000.0));
}

#[test]
fn a_word_for_earth_that_is_one_for_masses_too_is_asked_about() {
    let open = Read::texts(&[
        "Resistencia de aislamiento MOhm",
        "Motor|Fecha|U|V|W|Masa",
        "P-101|14/03/2019|120|130|140|850",
        "P-102|15/03/2019|220|230|240|1200",
    ]);
    assert!(open.is_held("F3") && open.is_held("F4"));
    assert_eq!(open.circuit("C3"), Some("U-E"));
    let told = Read::texts(&[
        "Aislamiento entre fases y a masa, MOhm",
        "Motor|Fecha|U|V|W|Masa",
        "P-101|14/03/2019|120|130|140|850",
        "P-102|15/03/2019|220|230|240|1200",
    ]);
    assert!(!told.is_held("F3"));
    assert_eq!(told.quantity("F3"), Some("insulation_resistance"));
    let matrix = Read::texts(&[
        "Mesures d'isolement, MΩ",
        "Moteur|P-101|Date|14/03/2019",
        "|Masse|Phase U|Phase V|Phase W",
        "Phase U|3,1||6,4|6,2",
        "Phase V|3,2|||6,0",
        "Phase W|3,3|||",
    ]);
    assert_eq!(matrix.circuit("B5"), Some("V-E"));
}

#[test]
fn limits_and_earlier_values_are_no_readings_of_this_test() {
    for head in ["Min megohm", "MINMEGOHM", "Min. Isolationswert MΩ", "Isolement mini MΩ"] {
        let read = Read::texts(&[&format!("Tag|Date|{head}"), "P-101|2019-03-14|5", "P-102|2019-03-15|6"]);
        assert!(read.reading("C2").is_none(), "{head}");
        let beside = read_beside(head);
        assert_eq!(beside.quantity("C2"), Some("insulation_resistance"), "{head}");
        assert_eq!(disposition(&beside, "D2"), Some(Disposition::Label), "{head}");
    }
    for head in ["LASTMEGOHM", "Prev megohm", "Old MΩ", "Letzter Wert MΩ", "MΩ précédent", "MΩ anterior"] {
        let read = read_beside(head);
        assert_eq!(read.quantity("C2"), Some("insulation_resistance"), "{head}");
        assert_ne!(read.day("D2").as_deref(), Some("2019-03-14"), "{head}");
    }
    let turned = Read::texts(&["TAG|MDATE|LASTMEGOHM", "P-101|2019-03-14|5", "P-102|2019-03-15|6"]);
    assert_ne!(turned.day("C2").as_deref(), Some("2019-03-14"));
    let minutes =
        Read::texts(&["Tag|Date|IR 1 min MΩ|IR 10 Min. MΩ", "P-101|2019-03-14|50|90", "P-102|2019-03-15|60|99"]);
    assert_eq!((minutes.seconds("C2"), minutes.seconds("D3")), (Some(60.0), Some(600.0)));
}

fn read_beside(head: &str) -> Read {
    Read::texts(&[&format!("Tag|Date|IR MΩ|{head}"), "P-101|2019-03-14|50|5", "P-102|2019-03-15|60|6"])
}

#[test]
fn a_terminal_with_a_word_for_earth_is_no_machine() {
    let read = Read::texts(&[
        "Resistencia de aislamiento (Mohm), 1 min",
        "N° motor|M0520|M0520|P0521",
        "Fecha de ensayo|09/03/2013|26/07/2015|18/11/2018",
        "U1-tierra|2780|503|319",
        "V1-tierra|2910|525|333",
        "W1-tierra|3030|547|347",
    ]);
    assert_eq!((read.tag("D5"), read.circuit("D5")), (Some("P0521"), Some("V-E")));
    let named = Read::of(text_grid(&["Motor|Date|IR MΩ", "U1-PUMP|14.03.2013|120", "V1-PUMP|15.03.2013|130"]));
    assert_eq!(named.tag("C2"), Some("U1-PUMP"));
}

#[test]
fn the_volts_of_one_winding_are_not_the_other_ones() {
    let read = Read::of(text_grid(&[
        "Motor|Date|Stator MΩ|Rotor MΩ|Rotor volts|Stator volts",
        "P-7|1971-01-12|100|20|250|1000",
        "P-8|1971-01-12|200|30|250|1000",
    ]));
    assert_eq!((read.volts("C2"), read.volts("D2")), (None, None));
    assert!(read.is_held("F2"));
}
