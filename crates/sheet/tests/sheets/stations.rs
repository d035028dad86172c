//! Records of pumping stations, hospitals and traction shops whose hands never saw the engine, and what looks like them and is not.
//! Common practice in records, no source; all sheets are invented.

use crate::grid::{Read, grid, text_grid};
use windrow_source::Area;

#[test]
fn a_day_beside_a_title_is_not_lost_to_the_block_beside() {
    let read = Read::rows(&[
        "Motor No.: PU-1|||||||Motor No.: PU-2|||",
        "Date: 2013-05-03|||||||Date: 2014-10-21|||",
        "Test voltage (V)||1000|2000|3000|||Test voltage (V)||1000|2000|3000",
        "Capacitance|nF|83.33|83.34|83.35|||Capacitance|nF|10.37|10.38|10.39",
        "tan δ|%|2.37|2.42|n/a|||tan δ|%|0.435|0.443|0.451",
    ]);
    for (cell, day) in [("C5", "2013-05-03"), ("D4", "2013-05-03"), ("J5", "2014-10-21")] {
        assert_eq!(read.day(cell).as_deref(), Some(day), "{cell}");
    }
}

#[test]
fn a_table_that_tells_of_the_same_keys_again_begins_anew() {
    let read = Read::rows(&[
        "FANS – megohms at 500 V||||WELL SETS – kilohms, 250 V||",
        "Fan|Date|Mohm||Well|Date|kohm",
        "North|22.07.2018|340||#1|30.07.2018|5400",
        "South|22.07.2018|295||#2|31.07.2018|780",
    ]);
    assert_eq!((read.tag("G3"), read.volts("G3")), (Some("#1"), Some(250.0)));
    assert_eq!((read.tag("C4"), read.volts("C4")), (Some("South"), Some(500.0)));
    assert_eq!(read.day("G4").as_deref(), Some("2018-07-31"));
}

#[test]
fn a_field_among_other_words_is_a_place() {
    let rows = |title: &str| Read::rows(&[title, "", "Motor|Date|Mohm", "P-1|22.07.2018|340", "P-2|22.07.2018|295"]);
    assert_eq!(rows("County field works, spot checks").circuit("C4"), None);
    assert_eq!(rows("Field to earth, 500 V").circuit("C4"), Some("F-E"));
}

#[test]
fn a_cell_over_several_lines_takes_nothing_from_the_first_of_them() {
    let mut sheet = grid(&[
        "Motor|Insulation MΩ|Terminals|Measured mΩ|at °C",
        "CT-1|415|1-2|905|13",
        "||2-3|908|14",
        "||3-1|904|15",
    ]);
    for column in [0, 1] {
        sheet.merges.push(Area { top: 1, left: column, bottom: 3, right: column });
    }
    let read = Read::of(sheet);
    assert_eq!((read.quantity("B2"), read.circuit("B2")), (Some("insulation_resistance"), None));
    assert_eq!((read.tag("D4"), read.circuit("D4")), (Some("CT-1"), Some("W-U")));
}

#[test]
fn a_correction_left_out_and_ratings_of_the_maker_correct_nothing() {
    let rows = |note: &str| {
        let read = Read::rows(&["Motor|Date|Insulation MΩ", "P-1|22.07.2018|340", "P-2|22.07.2018|295", "", note]);
        read.reading("C2").map(|reading| reading.as_reported)
    };
    let corrected = rows("All values corrected to 40 °C.");
    assert_ne!(corrected, rows("auf 40 °C umgerechnet entfällt"));
    assert_eq!(rows("Umrechnung auf 40 °C entfällt"), rows("auf 40 °C umgerechnet entfällt"));
    assert_ne!(corrected, rows("Rated values are those of the works, at 20 °C."));
}

#[test]
fn a_deviation_beside_volts_is_no_unbalance() {
    let rows = |head: &str| {
        Read::rows(&[
            "Motor|Datum|Paar|HEAD|Abw. [%]".replace("HEAD", head).as_str(),
            "P-1|12.08.2019|1-2|2400|1.8",
            "P-1|12.08.2019|2-3|2400|2.1",
        ])
    };
    // IEC 60027-1, from memory: a circumflex marks a peak value.
    let read = rows("Û [V]");
    assert_eq!((read.quantity("D2"), read.quantity("E2")), (Some("surge_peak_voltage"), Some("surge_difference")));
    assert_eq!(rows("Spannung [V]").quantity("E2"), None);
}

#[test]
fn days_beside_labels_that_nobody_knows_are_no_days_of_tests() {
    let rows = |rows: &[&str]| Read::of(text_grid(rows)).day("C7");
    let body = ["", "No|Elapsed s|Resistance MOhm", "1|15|251.9", "2|60|407.4"];
    let head = |label: &'static str| ["Machine|WTG-7", label, "Blopped|2019-10-21"];
    let read = |label| rows(&[&head(label)[..], &body[..]].concat());
    assert_eq!(read("Started|2019-10-03").as_deref(), Some("2019-10-03"));
    assert_eq!(read("Blipped|2019-10-03"), None);
}

#[test]
fn a_label_goes_on_behind_the_sign_of_what_was_measured_against_what() {
    let read = Read::of(text_grid(&[
        "Maschine|GM 3",
        "Datum|09.08.2007",
        "Isolationswiderstand 500 V, Wert nach 1 min",
        "Anker|- Feld|950 MOhm",
    ]));
    assert_ne!(read.circuit("C4"), Some("F-E"));
    assert_ne!(read.circuit("C4"), Some("A-E"));
}

#[test]
fn a_mark_that_repeats_the_quarter_before_is_asked_about() {
    let rows = |note: &str| {
        Read::of(text_grid(&[
            "Isolation, MΩ",
            "Motor|01.01.2021|01.04.2021|01.07.2021",
            "P-1|130|122|118",
            "P-2|44|\"|39",
            "",
            note,
        ]))
    };
    assert!(rows("\" = same as the previous quarter").is_held("C4"));
}

#[test]
fn the_point_of_an_abbreviation_ends_no_sentence() {
    let read = Read::of(text_grid(&[
        "Kladde Turbinenhaus",
        "14.5.98 G1 Ständer gegen Erde, 2500 V: nach 1 Min. 310 MOhm, nach 10 Min. 980 MOhm.",
    ]));
    let readings = read.0.tests.iter().flat_map(|test| &test.readings);
    for reading in readings {
        let seconds = reading.elapsed_s.as_ref().map(|told| told.value);
        let is_first = reading.number < 500.0;
        let expected = if is_first { 60.0 } else { 600.0 };
        assert!(seconds.is_none_or(|seconds| (seconds - expected).abs() < 1e-9), "{seconds:?}");
    }
}

#[test]
fn days_take_the_year_of_a_line_of_its_own_and_the_month_of_a_title() {
    let read = Read::of(text_grid(&[
        "Día|Motor|Megaohm",
        "AÑO 2003",
        "04/03|B-1|480",
        "18/11|B-1|455",
        "AÑO 2004",
        "19/03|B-1|470",
    ]));
    assert_eq!((read.day("C4").as_deref(), read.day("C6").as_deref()), (Some("2003-11-18"), Some("2004-03-19")));
    let rows = |day: &str| {
        let line = format!("{day}|RM-1|480");
        Read::of(text_grid(&["Isolationsmessung Januar 2016", "", "Tag|Kennz.|MOhm", &line])).day("C4")
    };
    assert_eq!(rows("19.01.").as_deref(), Some("2016-01-19"));
    // A day of another month is of a year that nobody told.
    assert_eq!(rows("19.02."), None);
}

#[test]
fn a_day_of_copying_dates_no_test_whose_line_has_a_day() {
    let read = Read::of(text_grid(&[
        "Copied from the paper cards in spring 1982.",
        "",
        "CARD 7|CAPSTAN 2|20 h.p., armature to frame",
        "date|volts|megohms",
        "3 Feb 1971|500|9",
        "17 Aug 1971|500|7.5",
    ]));
    for cell in ["C5", "C6"] {
        assert!(read.day(cell).is_none_or(|day| day.starts_with("1971")), "{cell}");
    }
}

#[test]
fn what_is_done_with_the_other_phases_stands_in_brackets() {
    let read = Read::rows(&["Motor|Fecha|Fase U - tierra (V,W a tierra), MΩ", "B-1|03.02.2011|480"]);
    assert_eq!(read.circuit("C2"), Some("U-E"));
}

#[test]
fn a_line_of_terminals_tells_its_own_voltage() {
    let read = Read::rows(&[
        "Aislamiento con 2500 V durante un minuto",
        "Circuito|MΩ",
        "Estátor, UVW unidas - tierra|3100",
        "Campo (rotor) - tierra, a 500 V|640",
    ]);
    assert_eq!((read.volts("B3"), read.volts("B4")), (Some(2500.0), Some(500.0)));
}

#[test]
fn a_machine_with_two_voltages_was_tested_with_them() {
    let read = Read::rows(&[
        "Rep.|Date|Tension V|Isolement MΩ",
        "MP-1|26.04.2016|5000|1150",
        "MP-1|26.04.2016|11000|3.9",
        "MP-2|26.04.2016|5000|880",
    ]);
    assert_eq!(read.volts("D2"), Some(5000.0));
    // Pumps of two stations may share a name; 400 and 690 V are ratings.
    let read = Read::rows(&[
        "Station|Motor|Un [V]|Datum|MΩ",
        "Nord|Aggregat I|400|12.03.2014|230",
        "Polder|Aggregat I|690|12.03.2014|240",
    ]);
    assert_eq!((read.volts("E2"), read.volts("E3")), (None, None));
}

#[test]
fn the_warmth_of_the_next_record_is_not_that_of_this_one() {
    let read = Read::of(text_grid(&[
        "Repère:|BF-440|Date:|16/10/1987|Temp.|enroulement °C:|33",
        "",
        "Essai|U-E|V-E",
        "R isol. MΩ|173|352",
        "",
        "Repère:|BF-440",
        "Date:|25/12/1989",
        "Temp. enroulement °C:|22",
        "",
        "Essai|U-E|V-E",
        "R isol. MΩ|113|230",
    ]));
    assert!(read.celsius("B4").is_none_or(|celsius| celsius > 30.0));
    assert_eq!(read.celsius("B11"), Some(22.0));
}

#[test]
fn a_ditto_mark_repeats_what_stands_above_it_whichever_way_a_table_is_read() {
    let read = Read::of(text_grid(&[
        "Ventilateurs chambre 4, isolement à la masse en MΩ sous 500 V",
        "",
        "Moteur VC41|15/01/2001|16/07/2001|21/01/2002",
        "phase U|36|28|30",
        "phase V|35|27.5|\"",
        "phase W|37|29|31",
        "",
        "Moteur VC42|15/01/2001|16/07/2001|21/01/2002",
        "phase U|110|95|HS",
        "phase V|108|96|HS",
        "phase W|4.4|3.9|HS",
    ]));
    let number = read.reading("D5").map(|reading| reading.number);
    assert!(number.is_none_or(|number| (number - 30.0).abs() < 1e-9), "{number:?}");
}

#[test]
fn a_list_of_phases_in_a_note_proves_no_pair_of_them() {
    let read = Read::of(text_grid(&[
        "Aislamiento - 500 V - fases a tierra (Gohm)",
        "Fecha|Tag|R-T|S-T|T-T",
        "16/05/00|B-101|1,25|1,30|1,22",
        "",
        "Nota: R-T, S-T, T-T = fase R, S, T a tierra.",
    ]));
    assert_eq!((read.circuit("C3"), read.circuit("D3")), (Some("U-E"), Some("V-E")));
}

#[test]
fn what_happened_at_a_voltage_is_not_the_voltage_of_all_readings() {
    let read = Read::rows(&[
        "P-310 stepped DC, current in µA",
        "",
        "Step|Phase A, µA|Phase B, µA",
        "first|0.42|0.40",
        "second|0.88|0.86",
        "",
        "C phase turns up after 6 kV: stopped at 10, do not go to 12.",
    ]);
    assert_eq!((read.volts("B4"), read.volts("C5")), (None, None));
}

#[test]
fn numbers_of_rooms_are_no_readings() {
    let read = Read::rows(&[
        "Registro de aislamiento (MΩ)",
        "",
        "Fecha|Motor|Cámara|V prueba|Aislam.",
        "13.02.2017|VE-11|1|500|215",
        "14.02.2017|VE-12|2|500|198",
        "27.02.2017|VE-21|2|1000|187",
    ]);
    assert_eq!((read.quantity("E4"), read.quantity("C4")), (Some("insulation_resistance"), None));
    let unknown = Read::rows(&[
        "Registro de aislamiento (MΩ)",
        "",
        "Fecha|13.02.2017|14.02.2017|27.02.2017",
        "Motor|VE-11|VE-12|VE-21",
        "Cámara|1|2|2",
        "V prueba|500|500|1000",
    ]);
    assert_eq!((unknown.quantity("B5"), unknown.quantity("C5")), (None, None));
}

#[test]
fn times_under_a_unit_that_a_print_has_moved_are_no_resistances() {
    let read = Read::of(text_grid(&[
        "Résistance d'isolement, 500 V DC",
        "Repère:|C-780B",
        "Date d'essai:|16-mars-99",
        "Temps, min|Résistance d'isolement",
        "Mohm|",
        "0,5|13500",
        "1|17900",
        "10|45600",
    ]));
    assert_eq!(read.quantity("A6"), None);
    assert!(read.seconds("B6").is_none_or(|seconds| (seconds - 30.0).abs() < 1e-9));
}

#[test]
fn another_test_named_in_a_form_tells_nothing_of_resistances() {
    let rows = |test: &str| {
        let test = format!("Test|{test}");
        let head = ["Motor|P-12", "Date|12.03.2014", &test];
        let apart = Read::rows(&[&head[..], &["", "Connection|MΩ", "U - E|230", "V - E|240"]].concat());
        let close = Read::rows(&[&head[..], &["Connection|MΩ", "U - E|230", "V - E|240"]].concat());
        assert_eq!(apart.volts("B6"), close.volts("B5"));
        (apart.volts("B6"), apart.seconds("B6"))
    };
    assert_eq!(rows("500 V, 1 min"), (Some(500.0), Some(60.0)));
    assert_eq!(rows("AC withstand 2 kV 1 min"), (None, None));
}

#[test]
fn a_year_beside_others_in_a_form_is_not_that_of_days() {
    let rows = |head: &str| {
        let body = [head, "", "Fecha|Motor|Megas", "23/3|P-1|140", "19/4|P-2|95"];
        Read::of(text_grid(&body)).day("C4")
    };
    assert_eq!(rows("AÑO 1998").as_deref(), Some("1998-03-23"));
    assert_eq!(rows("AÑO 1998||Marca|X"), None);
}
