//! What explanations elsewhere make of numbers: legends of codes, footnotes, comments on headings, remarks on all values. Common
//! practice, no source.

use crate::grid::{Read, grid, text_grid};
use windrow_model::settings::Settings;
use windrow_model::{Bound, Reported};
use windrow_source::{Grid, Workbook};

/// A workbook of a sheet of tests and one that explains codes.
fn with_key(rows: &[&str], key: &[&str]) -> Read {
    let key = Grid { name: Some("Codes".to_owned()), ..grid(key) };
    Read::of_book(&Workbook { sheets: vec![grid(rows), key], ..Workbook::default() }, &Settings::default())
}

fn stored(read: &Read, cell: &str) -> Option<f64> {
    read.reading(cell).map(|reading| reading.unit.value.to_stored(reading.number))
}

fn bound(read: &Read, cell: &str) -> Option<Bound> {
    read.reading(cell).map(|reading| reading.bound)
}

#[test]
fn a_column_of_codes_means_what_the_legend_says() {
    let read = with_key(
        &[
            "Equipement|Date|Isolement|Unité|Etat",
            "VP-1|2018-02-05|100|GΩ|S",
            "VP-2|2018-02-05|3.4|GΩ|V",
            "VP-3|2018-02-06|0.1|MΩ|I",
            "VP-4|2018-02-06|48|GΩ|N",
        ],
        &[
            "Code|Signification",
            "V|valeur lue",
            "S|supérieur : l'appareil était en butée",
            "I|inférieur au minimum lisible",
            "N|non mesuré",
        ],
    );
    assert_eq!(
        ["C2", "C3", "C4"].map(|cell| bound(&read, cell)),
        [Some(Bound::AtLeast), Some(Bound::Exact), Some(Bound::AtMost)]
    );
    assert!(read.is_held("C5"), "a value that the code says was not measured is asked about");
}

#[test]
fn units_by_letters_are_those_of_the_legend_and_never_another_lines() {
    let rows = |last: &'static str| {
        [
            "MASCHINE|DATUM|WERT|EINHEIT|PRUEFSPANNUNG V",
            "WS 1|21.04.1997|20|G|1000",
            "WS 2|21.04.1997|35|M|500",
            "RG 12|22.04.1997|850|K|500",
            "",
            last,
        ]
    };
    let told = Read::texts(&rows("EINHEIT: K=KILOOHM M=MEGOHM G=GIGAOHM"));
    assert_eq!(["C2", "C3", "C4"].map(|cell| stored(&told, cell)), [Some(2e10), Some(3.5e7), Some(8.5e5)]);
    let strange =
        Read::texts(&["MASCHINE|DATUM|WERT MOhm|EINHEIT", "WS 1|21.04.1997|20|MOhm", "WS 2|21.04.1997|35|Blob"]);
    assert_eq!(stored(&strange, "C2"), Some(2e7));
    assert_eq!(stored(&strange, "C3"), None, "a unit that is not understood is no other place's unit");
}

#[test]
fn a_number_that_the_file_explains_as_a_sign_is_no_reading() {
    let read = with_key(
        &["Motor|Fecha|Aisl. U (MΩ)|Aisl. V (MΩ)", "M 1|2019-07-08|9999|8450", "M 2|2019-07-08|-1|640"],
        &["9999|mayor que el alcance del aparato", "-1|no medido"],
    );
    assert!(read.is_held("C2") && read.reading("C3").is_none());
    assert_eq!(stored(&read, "D2"), Some(8.45e9));
}

#[test]
fn codes_that_tell_nothing_of_readings_stay_what_they_are() {
    let read = with_key(
        &["Motor|Date|IR MΩ|Shift", "P-101|12.03.2014|45|A", "P-102|13.03.2014|60|B"],
        &["A|early shift", "B|late shift"],
    );
    assert_eq!((stored(&read, "C2"), bound(&read, "C3")), (Some(4.5e7), Some(Bound::Exact)));
}

#[test]
fn a_footnote_changes_the_unit_and_the_voltage_of_the_numbers_that_bear_its_sign() {
    let read = Read::texts(&[
        "R iso nach 1 min in MΩ bei 2500 V",
        "",
        "Motor|Tag|U-PE",
        "Rohmühle|06.02.2006|1900",
        "Kohlemühle|07.02.2006|640 ¹)",
        "Ofen|08.02.2006|3,2 ²)",
        "Kühler|09.02.2006|12 *",
        "",
        "¹) nur mit 1000 V gemessen",
        "²) Angabe in GΩ",
        "*|kilohms, pit was flooded",
    ]);
    assert_eq!((stored(&read, "C4"), read.volts("C4")), (Some(1.9e9), Some(2500.0)));
    assert_eq!((stored(&read, "C5"), read.volts("C5")), (Some(6.4e8), Some(1000.0)));
    assert_eq!(stored(&read, "C6"), Some(3.2e9));
    assert_eq!(stored(&read, "C7"), Some(1.2e4), "the sign stands in a cell of its own before its note");
}

#[test]
fn a_comment_on_a_heading_that_names_another_unit_is_asked_about() {
    let mut sheet = text_grid(&["IR in MΩ at 1 min", "", "Fan|Oct 2012|Nov 2016", "JF-1|1850|1.64", "JF-2|2240|2.05"]);
    for cell in sheet.cells.iter_mut().filter(|cell| (cell.row, cell.column) == (2, 2)) {
        cell.note = Some("New tester: the column is in GΩ, not MΩ".into());
    }
    let read = Read::of(sheet);
    assert_eq!(stored(&read, "B4"), Some(1.85e9));
    assert!(read.is_held("C4") && read.is_held("C5"));
}

#[test]
fn an_exponent_beside_its_mantissa_raises_ten() {
    let read = Read::texts(&[
        "Motor|Date|IR 1 min mantissa|exp10|unit",
        "FM-3|2021-03-02|3.41|9|ohm",
        "FM-4|2021-03-02|7.7|8|ohm",
        "FM-5|2021-03-02|7.7|high|ohm",
    ]);
    assert!(matches!(stored(&read, "C2"), None | Some(3.41e9)), "{:?}", stored(&read, "C2"));
    let whole = Read::of(text_grid(&[
        "Motor|Date|IR 1 min mantissa|exp10|unit",
        "FM-3|2021-03-02|3.41|9|ohm",
        "FM-4|2021-03-02|7.7|8|ohm",
    ]));
    assert_eq!((stored(&whole, "C2"), stored(&whole, "C3")), (Some(3.41e9), Some(7.7e8)));
}

#[test]
fn a_remark_that_all_values_are_corrected_speaks_of_all() {
    let read = Read::texts(&[
        "Aislamiento en MΩ, 500 V, un minuto",
        "Nota: todos los valores están ya corregidos a 40 °C. La temperatura del devanado se da en °F.",
        "",
        "Motor|Fecha|U-masa|Devanado",
        "Molinete|20/02/2003|24|77 °F",
        "Cabrestante|20/02/2003|18|77 °F",
    ]);
    let reported = |cell: &str| read.reading(cell).map(|reading| (reading.as_reported, reading.reported_reference_c));
    assert_eq!(reported("C5"), Some((Reported::Corrected, Some(40.0))));
}

#[test]
fn kilovolts_behind_a_word_for_machines_are_theirs() {
    let rated = Read::texts(&[
        "Alternateurs de propulsion 6,6 kV – décharges partielles",
        "",
        "Machine|Date|Phase|Qm (pC)",
        "ALT 1|23/02/2016|U|1850",
        "ALT 2|24/02/2016|V|3900",
    ]);
    assert_eq!(rated.volts("D4"), None);
    let applied = Read::texts(&[
        "Motors tested at 5 kV",
        "",
        "Motor|Date|IR MΩ",
        "P-101|23/02/2016|1850",
        "P-102|24/02/2016|3900",
    ]);
    assert_eq!(applied.volts("C4"), Some(5000.0));
}

#[test]
fn a_voltage_cell_that_is_not_understood_is_no_titles_voltage() {
    let read = Read::texts(&[
        "Isolement sous 5000 V",
        "",
        "Date|Moteur|Stator-masse MΩ|Rotor-masse MΩ|U essai",
        "20.06.2002|M 1|1800|95|2500/500",
        "26.06.2003|M 1|1650|80|2500/500",
    ]);
    assert_eq!((read.volts("C4"), read.volts("D4")), (None, None));
}

#[test]
fn a_line_that_lists_its_connections_names_them_column_by_column() {
    let read = Read::texts(&[
        "Machine : MP-3|Date : 12/03/2008",
        "",
        "Essai|Phase U|Phase V|Phase W|Unité",
        "Isolement / masse|5,1|5,3|5,0|GΩ",
        "Résistance entre bornes (U-V, V-W, W-U)|35,62|35,66|35,60|mΩ",
    ]);
    assert_eq!(["B5", "C5", "D5"].map(|cell| read.circuit(cell)), [Some("U-V"), Some("V-W"), Some("W-U")]);
}

#[test]
fn the_head_of_a_page_is_no_heading_and_two_days_are_asked_about() {
    let page = Read::texts(&[
        "LISTADO DE ENSAYOS|||LACTEOS S.A.||FECHA LISTADO 10-01-2002|PAG 1",
        "EQUIPO|FECHA|U ENSAYO V|R1 MOHM|R10 MOHM|RFASE U-V OHM|T DEV C",
        "HOMOG-1|25-11-2001|500|420|1310|0,862|17",
        "HOMOG-2|25-11-2001|500|365|1002|0,455|18",
    ]);
    assert_eq!(page.day("F3"), Some("2001-11-25".to_owned()));
    let days = Read::texts(&["Motor|Date|IR MΩ 12.03.2014|IR MΩ", "P-101|25.04.2015|45|50", "P-102|26.04.2015|60|70"]);
    assert_eq!(days.day("D2"), Some("2015-04-25".to_owned()));
    assert!(days.reading("C2").is_none(), "its line says one day, its heading another");
}

#[test]
fn what_a_line_with_a_colon_tells_holds_below_it() {
    let read = Read::texts(&[
        "Relevé du 23 mai 1996 (1000 V, 1 min, M-ohms)",
        "",
        "stator V1 / masse|1250",
        "stator V2 / masse|1190",
        "",
        "Rotors, même jour, 500 V :",
        "rotor V1|85",
        "rotor V2|80",
    ]);
    assert!(matches!(read.volts("B3"), None | Some(1000.0)), "{:?}", read.volts("B3"));
    assert!(matches!(read.volts("B7"), None | Some(500.0)), "{:?}", read.volts("B7"));
}

#[test]
fn a_legend_says_nothing_of_a_column_that_is_there_for_something_else() {
    let machines = with_key(
        &["Motor|Date|IR MΩ", "K1|12.03.2014|45", "K2|13.03.2014|60"],
        &["K1|Cooling pump 6 kV", "K2|Cooling fan 400 V"],
    );
    assert_eq!((stored(&machines, "C2"), machines.volts("C2")), (Some(4.5e7), None));
    let shifts = with_key(
        &[
            "Motor|Date|IR MΩ|Poles|Status",
            "P-101|12.03.2014|45|2|0",
            "P-102|13.03.2014|60|2|0",
            "P-103|13.03.2014|70|4|2",
        ],
        &["0|valid", "2|over range"],
    );
    assert_ne!(bound(&shifts, "C2"), Some(Bound::AtLeast), "the number of poles is no state");
}

#[test]
fn a_text_that_gives_quantities_their_values_is_no_legend() {
    let read = Read::texts(&[
        "Isolationswerte in MΩ, U = 1000 V, T = 20 °C",
        "",
        "Motor|Datum|U-PE|V-PE",
        "K 1|12.03.2014|45|46",
        "K 2|13.03.2014|60|61",
    ]);
    assert_eq!((stored(&read, "C4"), read.volts("C4")), (Some(4.5e7), Some(1000.0)));
}

#[test]
fn a_number_of_nines_and_a_single_explained_sign_are_no_readings() {
    let plain = Read::texts(&[
        "Motor|Date|IR MΩ",
        "P-101|12.03.2014|9999",
        "P-102|13.03.2014|60",
        "P-103|13.03.2014|-1",
        "-1 = not measured",
    ]);
    assert!(plain.is_held("C2") && plain.reading("C4").is_none());
    assert_eq!(stored(&plain, "C3"), Some(6e7));
}

#[test]
fn a_unit_beside_a_number_that_is_not_its_headings_is_asked_about() {
    let differs = Read::texts(&["Motor|Date|IR (GΩ)|Unit", "P-101|12.03.2014|45|M", "P-102|13.03.2014|60|M"]);
    assert!(differs.is_held("C2") && differs.is_held("C3"));
    let agrees = Read::texts(&["Motor|Date|IR (MΩ)|Unit", "P-101|12.03.2014|45|MΩ", "P-102|13.03.2014|60|MΩ"]);
    assert_eq!(stored(&agrees, "C2"), Some(4.5e7));
}

#[test]
fn a_correction_that_was_not_made_is_none() {
    for note in [
        "Values not corrected to 40 °C",
        "Werte müssen noch auf 40 °C umgerechnet werden",
        "valores sin corregir a 40 °C",
    ] {
        let read = Read::texts(&[note, "", "Motor|Date|IR MΩ", "P-101|12.03.2014|45", "P-102|13.03.2014|60"]);
        assert_eq!(read.reading("C4").map(|reading| reading.as_reported), Some(Reported::AsRead), "{note}");
    }
    let made = Read::texts(&[
        "Values corrected to 40 °C",
        "",
        "Motor|Date|IR MΩ",
        "P-101|12.03.2014|45",
        "P-102|13.03.2014|60",
    ]);
    assert_eq!(made.reading("C4").map(|reading| reading.as_reported), Some(Reported::Corrected));
}

#[test]
fn exp_may_be_an_exponent_only_beside_bare_ohms() {
    let open = Read::texts(&["Motor|Date|IR MΩ|Exp", "FM-3|2021-03-02|3.41|2", "FM-4|2021-03-02|7.7|3"]);
    assert!(stored(&open, "C2").is_none(), "{:?}", stored(&open, "C2"));
    let bare = Read::texts(&["Motor|Date|IR Ω|Exp", "FM-3|2021-03-02|3.41|9", "FM-4|2021-03-02|7.7|8"]);
    assert_eq!(stored(&bare, "C2"), Some(3.41e9));
}

#[test]
fn two_letters_in_a_cell_may_be_a_voltage_and_a_reading() {
    let read = Read::texts(&[
        "Motor|Date|IR MΩ",
        "P-1|12.03.2014|U=500 W=120",
        "P-2|12.03.2014|R=120 T=25",
        "P-3|12.03.2014|U=120 V=130 W=110",
    ]);
    assert!(read.is_held("C2") && read.is_held("C3"));
    assert_eq!(read.circuit("C4"), Some("U-E"));
}

#[test]
fn an_approximate_value_says_so() {
    let read = Read::texts(&["Motor|Date|IR MΩ", "P-1|12.03.2014|~450", "P-2|12.03.2014|460"]);
    let flags =
        |cell: &str| read.reading(cell).map(|reading| reading.flags.contains(&windrow_model::Flag::Approximate));
    assert_eq!((flags("C2"), flags("C3")), (Some(true), Some(false)));
}

/// tan δ = pf / √(1 − pf²), by the definitions of both.
#[test]
fn a_power_factor_of_the_insulation_is_stored_as_tan_delta() {
    let beside = Read::texts(&[
        "Generator|Date|Test kV|Capacitance nF|Power factor %",
        "G1|12.03.2014|2|410|9.95037",
        "G1|12.03.2014|4|411|9.95037",
    ]);
    assert!(stored(&beside, "E2").is_some_and(|tangent| (tangent - 0.1).abs() < 1e-6), "{:?}", stored(&beside, "E2"));
    let both = Read::texts(&[
        "Generator|Date|Test kV|Tan delta / power factor of insulation %",
        "G1|12.03.2014|2|9.95",
        "G1|12.03.2014|4|9.96",
    ]);
    assert!(stored(&both, "D2").is_none(), "{:?}", stored(&both, "D2"));
    let motor = Read::texts(&["Motor|Date|Power factor|IR MΩ", "P-1|12.03.2014|0.86|450", "P-2|12.03.2014|0.84|460"]);
    assert_eq!((stored(&motor, "C2"), stored(&motor, "D2")), (None, Some(4.5e8)));
}

#[test]
fn a_footnote_tells_the_day_of_the_values_that_bear_its_sign() {
    let read = |note: &str| {
        Read::texts(&[
            "Isolement UVW / masse en MΩ",
            "",
            "Moteur|Date|MΩ",
            "BR-1|14/11/2002|220",
            "BR-2|14/11/2002|54 (4)",
            "",
            note,
        ])
    };
    assert_eq!(read("(4) relevé le 15/11/2002").day("C5").as_deref(), Some("2002-11-15"));
    assert!(read("(4) voir rapport du 15/11/2002").reading("C5").is_none(), "whose day it is, is not told");
}

#[test]
fn a_thousand_volts_with_a_blank_are_no_nought() {
    let read = Read::texts(&[
        "Moteur|Date|Isolement contre masse, 1 000 V, 1 min (GΩ)",
        "MP-1|14/11/2002|12,5",
        "MP-2|14/11/2002|11,8",
    ]);
    assert_eq!((read.volts("C2"), stored(&read, "C2")), (Some(1000.0), Some(1.25e10)));
}

#[test]
fn an_armature_against_its_field_leaves_the_armature_its_circuit() {
    let read = Read::texts(&[
        "Maschine|Datum|Anker gegen Erde MΩ|Anker gegen Feld MΩ",
        "FM 1|14.02.2001|8,4|25,5",
        "FM 2|14.02.2001|3,1|19",
    ]);
    assert_eq!((read.circuit("C2"), read.circuit("D2")), (Some("A-E"), None));
}

#[test]
fn the_rate_of_a_ramp_in_a_title_is_no_voltage() {
    let read = Read::texts(&[
        "DC ramp test, 1 kV/min",
        "",
        "Motor|R-7",
        "Date|2012-05-03",
        "Circuit|UVW-E",
        "",
        "Time (min)|Leakage µA",
        "1|0.31",
        "2|0.66",
        "3|0.99",
    ]);
    assert!([read.volts("B8"), read.volts("B9")] != [Some(1000.0); 2], "{:?}", read.volts("B9"));
}

#[test]
fn remarks_on_how_a_line_was_measured_stay_remarks() {
    let read = Read::texts(&[
        "Insulation resistance (kΩ), 1000 V DC",
        "",
        "Equipment|Date|U-PE|Remarks",
        "C-1|26.03.1985|101000|winding at 43 °C",
        "P-1|22.01.1984|104000|winding 55 °C",
        "P-2|26.03.1985|10500000|500 V used",
    ]);
    assert_eq!((read.volts("C4"), read.volts("C6")), (Some(1000.0), Some(500.0)));
}

#[test]
fn a_ramp_is_computed_only_where_nothing_tells_another_begin() {
    let ramp = |title: &str| {
        Read::texts(&[
            title,
            "",
            "Motor|R-7",
            "Date|2012-05-03",
            "Circuit|UVW-E",
            "",
            "Time (min)|Leakage µA",
            "1|0.31",
            "2|0.66",
            "3|0.99",
        ])
    };
    assert_eq!(ramp("DC ramp test, 1 kV/min").volts("B9").map(f64::round), Some(2000.0));
    for title in ["DC ramp test from 2 kV at 1 kV/min", "DC ramp test to 5 kV at 1 kV/min"] {
        let volts = ramp(title).volts("B8");
        assert!(volts.is_none_or(|volts| (volts - 1000.0).abs() < 1.0 && title.contains("to 5")), "{title}: {volts:?}");
    }
}

#[test]
fn a_denial_of_something_else_denies_no_correction() {
    for title in [
        "No limit given; all values corrected to 40 °C",
        "Motors not rewound. All values corrected to 40 °C",
        "Alle Werte ohne Kabel auf 40 °C korrigiert",
    ] {
        let read = Read::texts(&[title, "", "Motor|Date|IR MΩ", "P-101|12.03.2014|45", "P-102|13.03.2014|60"]);
        assert_eq!(read.reading("C4").map(|reading| reading.as_reported), Some(Reported::Corrected), "{title}");
    }
}

#[test]
fn volts_beside_a_reading_in_its_cell_are_no_reading() {
    let read = Read::texts(&[
        "Motor|Date|IR MΩ",
        "P-1|12.03.2014|U=500V W=120",
        "P-2|12.03.2014|9,999",
        "P-3|12.03.2014|9999.9 MΩ",
        "P-4|12.03.2014|340",
    ]);
    assert!(["C2", "C3", "C4"].iter().all(|cell| read.is_held(cell)));
    assert_eq!(stored(&read, "C5"), Some(3.4e8));
}

#[test]
fn a_voltage_that_may_be_the_machines_or_written_in_volts_is_none_of_the_test() {
    let heading =
        |heading: &str| Read::texts(&[&format!("Motor|Date|{heading}"), "P-1|12.03.2014|45", "P-2|12.03.2014|60"]);
    assert_eq!(heading("IR 6.6 kV MΩ").volts("C2"), None);
    assert_eq!(heading("IR at 6.6 kV MΩ").volts("C2"), Some(6600.0));
    assert_eq!(heading("IR 500V/S-E MΩ").volts("C2"), Some(500.0));
    let far = Read::texts(&["Motor|Date|Test kV|IR MΩ", "P-1|12.03.2014|100|45", "P-2|12.03.2014|50|60"]);
    assert!(far.is_held("D2") && far.is_held("D3"), "no tester of insulation resistance gives 50 kV");
    let plate = Read::texts(&[
        "Motor|Power kW|Power factor|Capacitance µF|Date",
        "F-1|1.5|0.85|30|12.03.2014",
        "F-2|1.5|0.85|30|12.03.2014",
    ]);
    assert!(plate.reading("C2").is_none());
}

#[test]
fn codes_explained_cell_by_cell_are_the_voltages_of_the_tests() {
    let volts = |read: &Read, cell: &str| {
        read.reading(cell).and_then(|reading| reading.applied_voltage_v.as_ref()).map(|told| told.value)
    };
    let above = Read::texts(&[
        "1 = 500 V|2 = 1000 V|3 = 2500 V",
        "Machine|Date|Range|MΩ",
        "KP-1|2014-03-12|1|450",
        "KP-2|2014-03-13|2|300",
        "KP-3|2014-03-14|3|200",
    ]);
    assert_eq!(["D3", "D4", "D5"].map(|cell| volts(&above, cell)), [Some(500.0), Some(1000.0), Some(2500.0)]);
    let below = Read::texts(&[
        "Maschine|Datum|V|MΩ",
        "KP-1|12.03.2014|1|450",
        "KP-2|13.03.2014|2|300",
        "KP-2|14.03.2014|2|310",
        "",
        "V:|1 = 500 V|2 = 1000 V",
    ]);
    assert_eq!(["D2", "D3"].map(|cell| volts(&below, cell)), [Some(500.0), Some(1000.0)]);
    // Numbers of tests are no codes, whatever a legend of the sheet explains.
    let numbered =
        Read::texts(&["1 = 500 V|2 = 1000 V", "Machine|Date|No|MΩ", "KP-1|2014-03-12|1|450", "KP-2|2014-03-13|2|300"]);
    assert_eq!(["D3", "D4"].map(|cell| volts(&numbered, cell)), [None, None]);
}

#[test]
fn a_remark_with_a_value_of_its_own_speaks_of_that_value() {
    let read = Read::texts(&[
        "Machine|Date|MΩ|Remarks",
        "KP-1|2014-03-12|12|after drying 450 MΩ at 1 kV, winding 35 °C",
        "KP-2|2014-03-13|300|after drying, winding 35 °C",
    ]);
    let told = |cell: &str| {
        let (test, reading) = read.found(cell)?;
        let volts = reading.applied_voltage_v.as_ref().map(|told| told.value);
        Some((test.stage.is_some(), read.celsius(cell), volts))
    };
    assert_eq!(told("C2"), Some((false, None, None)));
    assert_eq!(told("C3"), Some((true, Some(35.0), None)));
}
