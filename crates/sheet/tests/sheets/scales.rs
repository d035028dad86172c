//! What multiplies a number or changes its unit beside its own cell: factors in headings, dials with multipliers, marks that stand for
//! a unit, flags of over-range. Common practice, no source.

use crate::grid::Read;
use windrow_model::Bound;

/// The value of a reading in its stored unit.
fn stored(read: &Read, cell: &str) -> Option<f64> {
    read.reading(cell).map(|reading| reading.unit.value.to_stored(reading.number))
}

fn bound(read: &Read, cell: &str) -> Option<Bound> {
    read.reading(cell).map(|reading| reading.bound)
}

#[test]
fn a_factor_in_the_heading_multiplies_what_stands_below() {
    for (heading, ohms) in [
        ("MΩ x 10", 4.5e8),
        ("MOhm (x1000)", 4.5e10),
        ("Megohms (hundreds)", 4.5e9),
        ("Riso [10⁹ Ω]", 4.5e10),
        ("thousands of megohms", 4.5e10),
        ("IR in 100 MΩ", 4.5e9),
    ] {
        let read = Read::texts(
            &["Motor|Date", "P-101|12.03.2014", "P-102|13.03.2014"]
                .map(str::to_owned)
                .iter()
                .enumerate()
                .map(|(at, row)| format!("{row}|{}", if at == 0 { heading } else { "45" }))
                .collect::<Vec<_>>()
                .iter()
                .map(String::as_str)
                .collect::<Vec<_>>(),
        );
        assert_eq!(stored(&read, "C2"), Some(ohms), "{heading}");
    }
    let odd = Read::texts(&["Motor|Date|MΩ x 5", "P-101|12.03.2014|45", "P-102|13.03.2014|60"]);
    assert_eq!(stored(&odd, "C2"), None, "five is no power of ten: a person is asked");
    let divided = Read::texts(&["Motor|Date|IR, MΩ/10", "P-101|12.03.2014|45", "P-102|13.03.2014|60"]);
    assert_eq!(stored(&divided, "C2"), None, "which of both was divided is not told");
    let stacked = Read::texts(&["Motor|Date|IR", "||MΩ", "||×10", "P-101|12.03.2014|45", "P-102|13.03.2014|60"]);
    assert!(matches!(stored(&stacked, "C4"), None | Some(4.5e8)), "{:?}", stored(&stacked, "C4"));
    let titled = Read::texts(&[
        "Insulation resistance in MΩ",
        "",
        "Motor|Date|×10",
        "P-101|12.03.2014|45",
        "P-102|13.03.2014|60",
    ]);
    assert!(matches!(stored(&titled, "C4"), None | Some(4.5e8)), "{:?}", stored(&titled, "C4"));
}

#[test]
fn a_dial_is_multiplied_by_its_own_column() {
    let read = Read::texts(&[
        "Megohms = dial reading times multiplier, 500 V set",
        "",
        "Motor|Date|Dial|Mult.|Remarks",
        "Drum 1|12.03.1958|4.5|10|",
        "Drum 2|12.03.1958|6|1|wet floor",
        "Drum 3|13.03.1958|2|x100|",
        "Lime pump|13.03.1958|3.5||not written",
    ]);
    assert_eq!((stored(&read, "C4"), stored(&read, "C5"), stored(&read, "C6")), (Some(4.5e7), Some(6e6), Some(2e8)));
    assert!(read.is_held("C7"), "a multiplier that is not written may be any");
    assert_eq!(read.quantity("D4"), None, "the multiplier is no reading");
}

#[test]
fn factors_that_are_no_powers_of_ten_correct_a_temperature() {
    let read = Read::texts(&[
        "Motor|Date|IR (MΩ)|Factor|Wdg °C",
        "P-101|12.03.2014|450|0.7|32",
        "P-102|12.03.2014|380|1.4|48",
        "P-103|12.03.2014|90|1|40",
    ]);
    assert_eq!(stored(&read, "C3"), Some(3.8e8));
}

#[test]
fn powers_of_ten_under_a_heading_that_is_not_understood_are_asked() {
    let read = Read::texts(&[
        "Motor|Date|IR (MΩ)|Qx",
        "P-101|12.03.2014|4.5|10",
        "P-102|12.03.2014|3.8|100",
        "P-103|12.03.2014|9|1",
    ]);
    assert!(read.is_held("C2") && read.is_held("C3"));
}

#[test]
fn flags_of_over_range_bound_their_readings() {
    let read = Read::texts(&[
        "UNITNO|DATE|LEAD|MEGOHM|OVR|KVDC",
        "U-7A|1994-10-03|A-G|455.5|F|1.00",
        "U-7A|1994-10-03|B-G|2000|T|1.00",
        "U-7B|1994-10-03|C-G|900|?|1.00",
    ]);
    assert_eq!((bound(&read, "D2"), bound(&read, "D3")), (Some(Bound::Exact), Some(Bound::AtLeast)));
    assert!(read.is_held("D4"), "a flag that says neither");
}

#[test]
fn marks_behind_numbers_change_their_unit_where_a_note_says_so() {
    let starred = Read::texts(&[
        "Isolationswiderstände (1 min, 1000 V)|||Stand: KW 48",
        "",
        "AKZ|gemessen am|Riso|Bemerkung",
        "3-M-0412|27.11.2017|640|",
        "3-M-0413|27.11.2017|1,8*|neu gewickelt 2015",
        "3-M-0421|28.11.2017|75|",
        "",
        "Werte in MΩ; * = Wert in GΩ",
    ]);
    assert_eq!((stored(&starred, "C4"), stored(&starred, "C5")), (Some(6.4e8), Some(1.8e9)));
    let lettered = Read::texts(&[
        "ALL READINGS AT 2500 V D.C., IN THOUSANDS OF MEGOHMS UNLESS MARKED M",
        "",
        "DATE|1 MIN|10 MIN|WDG C",
        "14 MAR 1977|1.25|3.9|18",
        "22 MAR 1978|640M|1.7|31",
    ]);
    assert_eq!(
        (stored(&lettered, "B4"), stored(&lettered, "B5"), stored(&lettered, "C5")),
        (Some(1.25e9), Some(6.4e8), Some(1.7e9))
    );
}

#[test]
fn phases_beside_and_above_are_a_matrix() {
    let read = Read::texts(&[
        "Insulation between phases and to earth, bridges removed. GΩ, 1 min",
        "",
        "Extruder 1|21-01-2019|1000 V",
        "|U|V|W|Earth",
        "U|x|1.8|1.7|0.9",
        "V||x|1.9|0.95",
        "W|||x|0.92",
    ]);
    let circuits = ["C5", "D5", "D6", "E5", "E7"].map(|cell| read.circuit(cell));
    assert_eq!(circuits, [Some("U-V"), Some("W-U"), Some("V-W"), Some("U-E"), Some("W-E")]);
}

#[test]
fn a_factor_in_a_title_is_that_of_its_ratio() {
    let read = Read::texts(&[
        "Generator - tg δ (×10⁻⁴) et capacité, phase contre masse, 50 Hz",
        "",
        "Phase|U kV|tg δ|C nF",
        "U|2|78|182,1",
        "V|2|75|181,6",
        "W|2|80|182,9",
    ]);
    assert_eq!(stored(&read, "C4"), Some(0.0078));
    assert_eq!(stored(&read, "D4"), Some(1.821e-7));
}

#[test]
fn a_text_between_the_lines_turns_the_unit_from_there_on() {
    let read = Read::texts(&[
        "Copy of the test book; Riso in MOhm; 1000 V; 60 s",
        "Date|Pump|U-E|V-E|W-E",
        "12.10.2001|PW-1|480|470|495",
        "30.10.2002|PW-1|510|505|520",
        "--- new instrument: from here all in GOhm ---",
        "28.10.2003|PW-1|0,52|0,51|0,53",
        "26.10.2004|PW-2|2,3|2,2|2,4",
    ]);
    assert_eq!(
        (stored(&read, "C3"), stored(&read, "C6"), stored(&read, "E7")),
        (Some(4.8e8), Some(5.2e8), Some(2.4e9))
    );
}

#[test]
fn factors_that_say_so_themselves_need_no_heading() {
    let read = Read::texts(&[
        "Readings by hand set: dial (megohms) x range switch. 500 V, one minute, windings to frame",
        "",
        "Item|When|Dial|Range|Amb °C",
        "WX-11|1974-05-08|4.5|x100|15",
        "WX-12|1974-05-08|2.8|x10|15",
        "WX-13|1974-05-09|7.2|x1|16",
    ]);
    assert!(matches!(stored(&read, "C4"), None | Some(4.5e8)), "{:?}", stored(&read, "C4"));
    assert!(matches!(stored(&read, "C5"), None | Some(2.8e7)), "{:?}", stored(&read, "C5"));
}

#[test]
fn a_note_between_the_lines_says_nothing_of_those_above_it() {
    let read = Read::texts(&[
        "Aislamiento fases unidas a tierra, MΩ, 500 V",
        "",
        "Fecha|Motor|Lectura|Ensayó",
        "18.04.2011|Grúa 1 giro|440|N.P.",
        "23.04.2012|Grúa 1 giro|410|N.P.",
        "A partir de aquí las lecturas están en GΩ (aparato nuevo)",
        "16.04.2013|Grúa 1 giro|0,39|A.F.",
        "29.04.2014|Grúa 1 giro|0,42|A.F.",
    ]);
    assert_eq!((stored(&read, "C5"), stored(&read, "C7")), (Some(4.1e8), Some(3.9e8)));
}

#[test]
fn multipliers_and_flags_that_may_speak_of_several_readings_are_asked_about() {
    let both = Read::texts(&[
        "Motor|Date|Mult.|1 min MΩ|10 min MΩ",
        "P-101|12.03.2014|10|4.5|9.1",
        "P-102|12.03.2014|100|3.2|6.0",
    ]);
    assert_eq!((stored(&both, "D2"), stored(&both, "E2")), (Some(4.5e7), Some(9.1e7)));
    let apart = Read::texts(&[
        "Motor|Date|IR (MΩ)|Remarks|Mult.",
        "P-101|12.03.2014|4.5|ok|10",
        "P-102|12.03.2014|3.2|wet|100",
    ]);
    assert_eq!(stored(&apart, "C2"), None, "whose multiplier it is is not told");
    let phases = Read::texts(&[
        "Motor|Date|U MΩ|V MΩ|W MΩ|OVR",
        "P-101|12.03.2014|450|460|2000|1",
        "P-102|12.03.2014|450|460|470|0",
    ]);
    assert_eq!(
        (bound(&phases, "C2"), bound(&phases, "C3")),
        (None, Some(Bound::Exact)),
        "which of three went over is not told"
    );
}

#[test]
fn a_note_between_the_lines_is_of_its_own_table_and_quantity() {
    let unsaid = Read::texts(&[
        "Fecha|Motor|Aislamiento",
        "18.04.2011|Grúa 1 giro|440",
        "23.04.2012|Grúa 1 giro|410",
        "Aparato nuevo, lecturas en GΩ",
        "16.04.2013|Grúa 1 giro|0,39",
        "29.04.2014|Grúa 1 giro|0,42",
    ]);
    assert_eq!(stored(&unsaid, "C2"), None, "the note speaks of the lines below it");
}

#[test]
fn a_unit_that_is_explained_in_brackets_is_multiplied_once() {
    let read = Read::texts(&[
        "INSULATION VALUES IN K MEG (THOUSANDS OF MEGOHM)",
        "",
        "DATE|MOTOR|1 MIN|10 MIN",
        "25/3/88|HL 1|1.9|6.1",
        "14/4/89|HL 1|1.7|5.2",
    ]);
    assert_eq!((stored(&read, "C4"), stored(&read, "D5")), (Some(1.9e9), Some(5.2e9)));
}
