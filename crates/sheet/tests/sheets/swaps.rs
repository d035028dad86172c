//! Notes that say that something is swapped, ranges that multiply, headings within a table. Common practice, no source.

use crate::grid::{Read, text_grid};

#[test]
fn where_a_note_says_that_something_is_swapped_a_person_is_asked() {
    for note in [
        "Note: the headings of the columns are swapped",
        "Die Spalten sind vertauscht",
        "ATTENTION : lignes 3 et 4 inversées par erreur",
        "Nota: los cables R y T están cruzados",
    ] {
        let read = Read::texts(&[
            "Motor|Date|IR 1 min MΩ|IR 10 min MΩ",
            "P-101|12.03.2014|450|130",
            "P-102|13.03.2014|600|170",
            "",
            note,
        ]);
        assert!(read.is_held("C2") && read.is_held("D3"), "{note}");
    }
    let bearing = Read::texts(&[
        "Motor|Date|IR 1 min MΩ",
        "P-101|12.03.2014|450",
        "P-102|13.03.2014|600",
        "",
        "Bearing swapped in March",
    ]);
    assert!(bearing.reading("C2").is_some());
}

#[test]
fn a_range_beside_a_dial_multiplies_it_or_is_asked_about() {
    let read = Read::texts(&[
        "Riso in MΩ = Ablesung × Bereich",
        "Motor|Datum|Klemme|Ablesung|Bereich",
        "Presse|22.10.1974|U|6.5|10",
        "Presse|22.10.1974|V|7|10",
        "Becher|22.10.1974|U|3.2|100",
        "Becher|22.10.1974|V|3.4|100",
        "Mischer|22.10.1974|U|5|?",
    ]);
    for cell in ["D3", "D5", "D7"] {
        let ohms = read.reading(cell).map(|reading| reading.unit.value.to_stored(reading.number));
        assert!(matches!((cell, ohms), (_, None) | ("D3", Some(6.5e7)) | ("D5", Some(3.2e8))), "{cell}: {ohms:?}");
    }
}

#[test]
fn terminals_named_within_a_table_head_what_stands_below() {
    let read = Read::texts(&[
        "Machine: P-101|Date: 29 June 2003",
        "",
        "Test|U-V|V-W|W-U|Unit",
        "Winding resistance|1.216|1.219|1.221|ohm",
        "Surge peak voltage|2020|2025|2020|V",
        "|U|V|W|",
        "Insulation to earth 1 min|6.4|6.1|6.6|GΩ",
    ]);
    assert_eq!(read.circuit("B4"), Some("U-V"));
    assert!(matches!(read.circuit("B7"), None | Some("U-E")), "{:?}", read.circuit("B7"));
}

#[test]
fn a_ratio_of_two_times_in_a_column_of_times_is_no_resistance() {
    let read = Read::texts(&[
        "Motor: LQ-201|Date: 23.02.2013|5000 V DC",
        "",
        "Time|U - E, MΩ|V - E, MΩ",
        "15 s|310|290",
        "1 min|420|400",
        "10 min|1300|1490",
        "10 min / 1 min|3.09|3.73",
    ]);
    assert_eq!(read.seconds("B6"), Some(600.0));
    assert_ne!(read.quantity("B7"), Some("insulation_resistance"));
    assert_ne!(read.quantity("C7"), Some("insulation_resistance"));
}

#[test]
fn a_remark_on_one_line_holds_its_own_test_only() {
    for remark in [
        "U and V mixed up",
        "V/W wrong way round",
        "labels interchanged",
        "Anschlüsse vertauscht",
        "étiquettes inversées",
        "etiquetas al revés",
    ] {
        let read = Read::texts(&[
            "Motor|Date|U-E MΩ|V-E MΩ|W-E MΩ|Remarks",
            &format!("P-101|14.03.2019|120|130|140|{remark}"),
            "||125|135|145|",
            "P-102|15.03.2019|220|230|240|",
        ]);
        assert!(read.is_held("C2") && read.is_held("E3"), "{remark}");
        assert_eq!((read.tag("C4"), read.circuit("C4")), (Some("P-102"), Some("U-E")), "{remark}");
    }
    let fine = Read::texts(&[
        "Motor|Date|U-E MΩ|V-E MΩ|W-E MΩ|Remarks",
        "P-101|14.03.2019|120|130|140|rotation reversed, all values fine",
        "P-102|15.03.2019|220|230|240|swapped motor for spare; cable reconnected to line 3",
    ]);
    assert!(fine.reading("C2").is_some() && fine.reading("E3").is_some());
}

#[test]
fn a_remark_in_a_table_of_one_machine_holds_all_of_it() {
    let read =
        Read::texts(&["Motor P-101 14.03.2019", "Phase|IR MΩ|Remarks", "U|120|U and V mixed up", "V|130|", "W|140|"]);
    assert!(["B3", "B4", "B5"].iter().all(|cell| read.is_held(cell)));
}

#[test]
fn a_comment_on_a_heading_holds_the_table_and_one_on_a_number_its_test() {
    let rows = ["Motor|Date|U-E MΩ|V-E MΩ", "P-101|14.03.2019|120|130", "P-102|15.03.2019|220|230"];
    let with = |place: &str| {
        let mut grid = text_grid(&rows);
        for cell in grid.cells.iter_mut().filter(|cell| cell.place() == place) {
            cell.note = Some("header and labels swapped".into());
        }
        Read::of(grid)
    };
    let head = with("D1");
    assert!(["C2", "D2", "C3", "D3"].iter().all(|cell| head.is_held(cell)));
    let own = with("C2");
    assert!(own.is_held("C2") && own.is_held("D2") && own.reading("C3").is_some());
}
