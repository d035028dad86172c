//! From which place a number takes its attributes where several tell one: layouts on which the engine was wrong once.
//! Common practice in records, no source; all sheets are invented.

use crate::grid::{Read, grid, text_grid};

#[test]
fn forms_side_by_side_begin_where_their_labels_begin_again_whatever_their_height() {
    let read = Read::rows(&[
        "Motor round|||Motor round",
        "Unit No.:|PU-950||Test V, V:|1000||Date of test:|2012-11-14",
        "Date of test:|2010-04-17||Unit No.:|PU-951",
        "Test V, V:|500||Ins. res. U-PE:|1.28 GΩ",
        "||| Ins. res. V-PE:|1.34 GΩ",
        "Ins. res. U-PE:|1.71 GΩ||Polarization index:|2.42",
        "Ins. res. V-PE:|1.79 GΩ",
    ]);
    assert_eq!((read.tag("B6"), read.day("B6").as_deref()), (Some("PU-950"), Some("2010-04-17")));
    assert_eq!((read.tag("E4"), read.day("E4").as_deref()), (Some("PU-951"), Some("2012-11-14")));
    assert_eq!(read.volts("E4"), Some(1000.0));
}

#[test]
fn pairs_right_of_a_table_are_its_own_and_not_its_neighbours() {
    let read = Read::rows(&[
        "Equipment:|P-271||Date:|1991-12-01||Equipment:|FAN-272||Date:|1989-01-01",
        "",
        "Applied voltage (V)|Leakage µA|||||Applied voltage (V)|Leakage µA",
        "2500|6.9|||||2500|5.9",
        "5000|14.3|||||5000|12.4",
    ]);
    assert_eq!((read.tag("B4"), read.day("B4").as_deref()), (Some("P-271"), Some("1991-12-01")));
    assert_eq!((read.tag("H5"), read.day("H5").as_deref()), (Some("FAN-272"), Some("1989-01-01")));
}

#[test]
fn an_apostrophe_between_digits_is_no_minute() {
    let read = Read::of(text_grid(&[
        "Insulation resistance, 500 V DC",
        "Machine:|P-101||Date:|2003-10-16",
        "Time [min]|1|2|10",
        "U-PE [kΩ]|49'800|64'800|120'000",
        "V-PE [kΩ]|52'000|67'700|125'000",
    ]));
    assert_eq!((read.circuit("B4"), read.seconds("B4")), (Some("U-E"), Some(60.0)));
    assert_eq!((read.tag("D5"), read.seconds("D5")), (Some("P-101"), Some(600.0)));
}

#[test]
fn stacked_tables_of_text_keep_to_the_pairs_above_them() {
    let read = Read::of(text_grid(&[
        "Échelons de tension",
        "Repère|C-1174A||Date|28.07.1990",
        "",
        "Tension de mesure [kV]|5|10|15|20",
        "Courant de fuite R/terre [nA]|325|701|1130|1600",
        "Courant de fuite S/terre [nA]|311|671|1080|1530",
        "",
        "",
        "Repère|P-1171||Date|01.05.1989",
        "",
        "Tension de mesure [kV]|5|10|15|20",
        "Courant de fuite R/terre [nA]|799|1720|2760|3930",
        "Courant de fuite S/terre [nA]|n/a|1650|2650|3760",
    ]));
    for (cell, tag) in [("B5", "C-1174A"), ("E6", "C-1174A"), ("B12", "P-1171"), ("C13", "P-1171")] {
        assert_eq!(read.tag(cell), Some(tag), "{cell}");
    }
    assert_eq!((read.circuit("C12"), read.volts("C12")), (Some("U-E"), Some(10_000.0)));
}

#[test]
fn a_column_that_was_empty_so_far_does_not_end_the_table() {
    let read = Read::rows(&[
        "Winding resistance",
        "Machine|Date|U-V Ω|V-W Ω|W-U Ω|Mean|% unbalance",
        "CWP-61|2002-04-22|1.559|1.568",
        "",
        "BF-60|2004-12-24|0.3813|0.3836|0.3859|0.3836|0.60",
        "\"|2005-08-12|0.2058|0.2071|0.2083|0.2071|0.61",
        "",
        "BF-62|2007-05-20|0.03281|0.03301|0.03320|0.03301|0.60",
    ]);
    for (cell, tag) in [("C3", "CWP-61"), ("C5", "BF-60"), ("C6", "BF-60"), ("E8", "BF-62")] {
        assert_eq!(read.tag(cell), Some(tag), "{cell}");
    }
}

#[test]
fn a_page_number_is_no_circuit() {
    let read = Read::rows(&[
        "Isolement les trois phases à la masse [Mohm], 1 min",
        "N° machine|Date|Isolement",
        "P-180|1994-01-05|1990",
        "P-182|1994-02-15|220",
        "",
        "Page 2 / 3",
        "N° machine|Date|Isolement",
        "P-183|1999-01-05|1610",
    ]);
    assert_eq!((read.circuit("C3"), read.circuit("C8")), (Some("UVW-E"), Some("UVW-E")));
}

#[test]
fn a_label_without_a_value_says_nothing_of_the_others() {
    let read = Read::rows(&[
        "Equipo|CWP-241",
        "Fecha|1993-01-19",
        "R. aisl.",
        "A a tierra|5400 Mohm",
        "B a tierra|5640 Mohm",
        "Resistencia de bobinados",
        "A/B",
        "B/C|0.08194 ohms",
        "C/A|0.08242 ohms",
    ]);
    assert_eq!((read.circuit("B4"), read.circuit("B5")), (Some("U-E"), Some("V-E")));
    assert_eq!((read.circuit("B8"), read.quantity("B8")), (Some("V-W"), Some("winding_resistance")));
}

#[test]
fn a_table_that_repeats_the_header_above_it_is_of_the_same_quantity() {
    let read = Read::rows(&[
        "Insulation resistance to earth",
        "Machine|Date|U-E Gohm|V-E Gohm|W-E Gohm",
        "P-253|1987-02-15|0.379|0.381|0.383",
        "P-254|1987-02-15|0.204|0.205|0.206",
        "",
        "Oakley Works",
        "Winding resistance",
        "Machine|Date|U1 - V1 in ohms|V1 - W1 in ohms|W1 - U1 in ohms",
        "P-253|1987-02-15|0.3794|0.3817|0.3839",
        "P-254|1987-02-15|0.2042|0.2054|0.2066",
        "",
        "Form 12-B rev. 3",
        "Machine|Date|U1 - V1 in ohms|V1 - W1 in ohms|W1 - U1 in ohms",
        "P-253|1994-11-25|0.8225|0.8274|0.8324",
    ]);
    assert_eq!(read.quantity("C9"), Some("winding_resistance"));
    assert_eq!(read.quantity("C14"), Some("winding_resistance"));
}

#[test]
fn a_serial_of_dates_is_read_from_the_grid_as_it_stands() {
    let read = Read::of(grid(&["Machine|Date|IR MΩ 1 min", "P-101|1994-03-04|850"]));
    assert_eq!((read.tag("C2"), read.seconds("C2")), (Some("P-101"), Some(60.0)));
    assert!(!read.is_held("C2") && read.celsius("C2").is_none());
}

#[test]
fn what_stands_in_one_cell_above_a_table_of_lines_is_not_the_table_above_its_own() {
    let read = Read::of(text_grid(&[
        "Oakley Works - Capacité / Facteur de dissipation",
        "Repère: C0130",
        "Date: 26-mars-10",
        "Tension d'essai [kV]|1|2|3",
        "Capacité [nF]|42,26|42,26|42,27",
        "Facteur de dissipation [%]|1,74|1,77|1,80",
        "",
        "Repère: C0131",
        "Date: 10-avr.-12",
        "Tension d'essai [kV]|1|2|3",
        "Capacité [nF]|39,23|non mesuré|39,24",
        "Facteur de dissipation [%]|1,67|1,70|1,73",
    ]));
    assert_eq!((read.tag("B5"), read.day("B5").as_deref()), (Some("C0130"), Some("2010-03-26")));
    assert_eq!((read.tag("D11"), read.day("D12").as_deref()), (Some("C0131"), Some("2012-04-10")));
}

#[test]
fn a_later_section_of_a_form_keeps_to_the_head_of_its_own_form() {
    let read = Read::rows(&[
        "Machine:|P-60||Machine:|P-61",
        "Test date:|1991-04-24||Test date:|1989-04-18",
        "Insulation resistance||| Insulation resistance",
        "R-PE 1 min:|662 MOhm||R-PE 1 min:|431 MOhm",
        "Winding resistance",
        "R-Y:|306.8 mΩ||Winding resistance",
        "Y-B:|308.6 mΩ||R-Y:|217.6 mΩ",
        "|||Y-B:|218.8 mΩ",
    ]);
    assert_eq!((read.tag("B6"), read.day("B7").as_deref()), (Some("P-60"), Some("1991-04-24")));
    assert_eq!((read.quantity("E7"), read.quantity("E8")), (Some("winding_resistance"), Some("winding_resistance")));
    assert_eq!((read.tag("E8"), read.day("E7").as_deref()), (Some("P-61"), Some("1989-04-18")));
}

#[test]
fn a_long_label_with_a_colon_is_a_label() {
    let read = Read::rows(&[
        "Registro de aislamiento",
        "Máquina:|2-BF-060",
        "Fecha de prueba:|2012-09-24",
        "Resistencia de devanados R - S in ohms:|2.761",
        "Resistencia de devanados S - T in ohms:|2.777",
    ]);
    assert_eq!((read.quantity("B4"), read.circuit("B5")), (Some("winding_resistance"), Some("V-W")));
}

#[test]
fn a_section_keeps_to_its_own_form_where_the_form_above_tells_the_same_elsewhere() {
    let read = Read::rows(&[
        "Machine:|P-421",
        "Date:|2014-01-18",
        "Insulation resistance R-E, Gohm:|0.262",
        "",
        "Machine:|P-421||Date:|2010-01-26",
        "Insulation resistance",
        "R-E, Gohm:|5.49",
        "Winding resistance",
        "R - S, mΩ:|2112",
        "S - T, mΩ:|2124",
        "",
        "Machine:|P-422||Date:",
        "Insulation resistance R-E, Gohm:|0.5",
    ]);
    assert_eq!(read.day("B3").as_deref(), Some("2014-01-18"));
    assert_eq!((read.day("B7").as_deref(), read.day("B9").as_deref()), (Some("2010-01-26"), Some("2010-01-26")));
    assert_eq!((read.tag("B13"), read.day("B13")), (Some("P-422"), None));
}

#[test]
fn a_column_of_windings_tells_the_circuits_that_it_lists() {
    let read = Read::rows(&[
        "Insulation resistance",
        "Machine:|P-40",
        "Date:|1991-11-23",
        "Winding|1 min|10 min|Unit",
        "T1 to earth|34.8|138|MΩ",
        "T2 to earth|36.3|145|MΩ",
        "T3 to earth|0.0379|0.151|GΩ",
    ]);
    assert_eq!((read.circuit("B5"), read.circuit("C7")), (Some("U-E"), Some("W-E")));
    assert_eq!(
        (read.seconds("C6"), read.reading("B7").map(|reading| reading.unit.value.ucum)),
        (Some(600.0), Some("GOhm"))
    );
}

#[test]
fn steps_of_voltage_head_columns_whatever_their_size() {
    let read = Read::of(text_grid(&[
        "Essai par paliers toutes phases à la terre",
        "Moteur: FAN-990",
        "Date: 13.12.2009",
        "Tension de mesure (kV)|2,5|5|7,5|10",
        "Courant de fuite 30 s|2,02 µA|4,19 µA|6,53 µA|9,03 µA",
        "Courant de fuite 1 min|1,35 µA|2,82 µA|4,39 µA|6,07 µA",
    ]));
    assert_eq!((read.seconds("D5"), read.volts("D5")), (Some(30.0), Some(7500.0)));
    assert_eq!((read.seconds("E6"), read.volts("E6")), (Some(60.0), Some(10_000.0)));
    assert_eq!(read.tag("B6"), Some("FAN-990"));
}

#[test]
fn a_wide_title_over_key_columns_is_a_title() {
    let mut sheet = grid(&[
        "||Insulation resistance, 500 V DC",
        "Tester|No|Machine|Remarks|Date|60 s (Mohm)|600 s (Mohm)",
        "K.O.|1|FAN-610|wet|1988-10-09|19900|76900",
        "HB|2|P-611||1988-10-10|2380|9260",
        "",
        "Winding resistance",
        "Machine|Date|U-V ohms|V-W ohms",
        "FAN-610|1988-10-09|0.42|0.43",
    ]);
    sheet.merges.push(windrow_source::Area { top: 0, left: 2, bottom: 0, right: 4 });
    let read = Read::of(sheet);
    assert_eq!((read.quantity("F3"), read.quantity("C8")), (Some("insulation_resistance"), Some("winding_resistance")));
}

#[test]
fn what_a_neighbour_heads_beyond_an_empty_column_is_no_part_of_the_table() {
    let read = Read::of(text_grid(&[
        "Insulation resistance all phases to earth, 5 kV DC",
        "Equip. No.:|FAN-623|||||Equip. No.:|M-620|||Date:|2010-07-19",
        "Date:|2012-12-23|||||Elapsed time (min)|0.25|0.5|0.75|1",
        "||||||Insulation resistance|4.72|7.07|8.95|10.6",
        "Elapsed time (min)|0.25|0.5|0.75|1||Units|GΩ|GΩ|GΩ|GΩ",
        "Insulation resistance|0.0201|0.0268|0.0318|0.0359",
        "Units|GΩ|GΩ|GΩ|GΩ",
    ]));
    assert_eq!((read.tag("B6"), read.day("B6").as_deref()), (Some("FAN-623"), Some("2012-12-23")));
    assert_eq!((read.tag("H4"), read.day("H4").as_deref()), (Some("M-620"), Some("2010-07-19")));
}

#[test]
fn a_footnote_explains_its_sign_wherever_it_stands() {
    let read = Read::of(text_grid(&[
        "Insulation resistance, 500 V DC",
        "Machine|Date|1 min MΩ|10 min MΩ",
        "P-1|1991-11-23|355*|940",
        "P-2|1991-11-23|371|1020*",
        "|* = corrected to 40 °C",
    ]));
    let reported = |cell: &str| read.reading(cell).map(|reading| reading.as_reported);
    assert_eq!(reported("C3"), Some(windrow_model::Reported::Corrected));
    assert_eq!(reported("D3"), Some(windrow_model::Reported::AsRead));
}

#[test]
fn two_thousand_volts_are_no_year() {
    let read = Read::of(text_grid(&[
        "Repère: C0130",
        "Date: 26-mars-10",
        "Tension d'essai [V]|1000|2000|3000",
        "Capacité [nF]|42,26|42,26|42,27",
    ]));
    assert_eq!((read.day("C4").as_deref(), read.volts("C4")), (Some("2010-03-26"), Some(2000.0)));
}

#[test]
fn a_letter_with_digits_after_a_key_label_begins_the_next_record() {
    let read = Read::of(text_grid(&[
        "Asset No. :|PU0470",
        "Date tested :|14-May-13",
        "",
        "Circuit|Peak volts (V)|Waveform difference (%)|Status",
        "U/V|3510|n/a|OK",
        "V/W|3550|2.3|OK",
        "",
        "Asset No. :|C0476",
        "Date tested :|27-Aug-22",
        "",
        "Circuit|Peak volts (V)|Waveform difference (%)|Status",
        "U/V|1980|0.84|OK",
        "V/W|1990|1.5|OK",
    ]));
    assert_eq!((read.tag("B5"), read.tag("B12"), read.tag("C13")), (Some("PU0470"), Some("C0476"), Some("C0476")));
}

#[test]
fn a_label_with_a_unit_and_no_value_heads_nothing() {
    let read = Read::rows(&[
        "Motor No.:|5-M-242||Test date:|1996-04-26",
        "Insulation resistance U-E:|12000|Megohms",
        "Insulation resistance W-E:||Megohms",
        "",
        "Motor No.:|5-M-242||Test date:|1997-06-15",
        "Applied voltage [V]:|2500",
        "Insulation resistance U-E:|634|Megohms",
        "Insulation resistance V-E:|0.7|GΩ",
    ]);
    assert_eq!((read.day("B2").as_deref(), read.day("B7").as_deref()), (Some("1996-04-26"), Some("1997-06-15")));
    assert_eq!(read.reading("B8").map(|reading| reading.unit.value.ucum), Some("GOhm"));
}

#[test]
fn a_label_is_no_value_of_the_label_above_it() {
    let read = Read::rows(&[
        "Asset No. :|MTR-240B||Asset No. :|MTR-241B",
        "Tested on :|2010-09-15||Test V in V :|500",
        "Test V in V :|500||Tested on :|2011-10-01",
        "Winding resistance R - S :|1.158 Ω||Winding resistance R - S :|0.3776 Ω",
    ]);
    assert_eq!((read.tag("B4"), read.tag("E4")), (Some("MTR-240B"), Some("MTR-241B")));
    assert_eq!(read.day("E4").as_deref(), Some("2011-10-01"));
}

#[test]
fn a_line_of_units_below_the_readings_tells_them_column_by_column() {
    let read = Read::of(text_grid(&[
        "R. aisl. a tierra",
        "Motor|MTR-1160",
        "Fecha de ensayo|17-sep-12",
        "Duración, min|0.5|1|10",
        "R/tierra|7180|9.49|23900",
        "S/tierra|7500|9.91|25000",
        "Unidad|MΩ|GΩ|MΩ",
    ]));
    let unit = |cell: &str| read.reading(cell).map(|reading| reading.unit.value.ucum);
    assert_eq!((unit("B5"), unit("C6"), unit("D5")), (Some("MOhm"), Some("GOhm"), Some("MOhm")));
}

#[test]
fn a_machine_and_a_circuit_in_one_heading_are_both_told() {
    let read = Read::of(text_grid(&[
        "Résistance d'isolement in MΩ, 500 V DC",
        "Date|28-janv.-04",
        "Durée|P-170A U1-masse|MTR-174A U1-masse|MTR-174A V1-masse",
        "30s|5800+|non mesuré|6320",
        "1min|8530|8910+|9300+",
    ]));
    assert_eq!((read.tag("B4"), read.circuit("B4")), (Some("P-170A"), Some("U-E")));
    assert_eq!((read.tag("C5"), read.circuit("C5")), (Some("MTR-174A"), Some("U-E")));
    assert_eq!((read.tag("D4"), read.circuit("D4"), read.seconds("D4")), (Some("MTR-174A"), Some("V-E"), Some(30.0)));
}

#[test]
fn names_over_groups_of_tables_side_by_side_stay_with_their_tables() {
    let read = Read::rows(&[
        "R. isolement par rapport à la masse",
        "Date: 14/07/1994|||||||Date: 15/08/1996",
        "",
        "|C1070||CWP1071|||||C1070||CWP1071",
        "Temps min|L1|L2|L1|L2|||Temps min|L1|L2|L1|L2",
        "|kΩ|kΩ|kΩ|kΩ||||kΩ|kΩ|kΩ|kΩ",
        "1|2630000|2750000|5100000|5330000|||1|1930000|2020000|1830000|2120000",
        "10|3060000|3200000|6950000|7260000|||10|2880000|3010000|2580000|3110000",
    ]);
    assert_eq!((read.tag("C7"), read.day("C7").as_deref()), (Some("C1070"), Some("1994-07-14")));
    assert_eq!((read.tag("D8"), read.seconds("D8")), (Some("CWP1071"), Some(600.0)));
    assert_eq!((read.tag("L8"), read.day("L8").as_deref()), (Some("CWP1071"), Some("1996-08-15")));
}

#[test]
fn numbers_without_a_unit_are_asked_about_and_not_put_aside() {
    let read = Read::of(text_grid(&[
        "Isolement",
        "Code équipement :|MTR0220||Date de mesure :|18/03/1997",
        "Bornes|Isolement 30 s|Isolement 1 min|Isolement 10 min",
        "U/terre|0.359|0.424|0.9",
        "V/terre|0.376|0.443|0.767",
        "W/terre|0.392|0.462|0.800",
    ]));
    assert!(["B4", "C5", "D6"].iter().all(|cell| read.is_held(cell)));
}

#[test]
fn a_table_does_not_reach_over_into_the_header_of_the_next_one() {
    let read = Read::rows(&[
        "Insulation resistance, 5000 V DC",
        "Tag:|P-581||||Tag:|P-580||Test date:|1988-10-18||Tag:|P-582",
        "Test date:|1987-12-24||||Connection|1 min (kΩ)|10 min (kΩ)||||Test date:|1990-04-24",
        "Connection|1 min (kΩ)|10 min (kΩ)|||L1-E|1500000|1730000||||Connection|1 min (kΩ)|10 min (kΩ)",
        "L1-E|4580000|6150000|||L2-E|1560000|1810000||||L1-E|1190000|1800000",
        "L2-E|4790000|6430000|||L3-E|2410000|2790000||||L2-E|1240000|1880000",
    ]);
    for (cell, tag, day) in
        [("B5", "P-581", "1987-12-24"), ("H6", "P-580", "1988-10-18"), ("N6", "P-582", "1990-04-24")]
    {
        assert_eq!((read.tag(cell), read.day(cell).as_deref()), (Some(tag), Some(day)), "{cell}");
    }
}

#[test]
fn a_heading_of_quantity_machine_time_and_phase_tells_all_four() {
    let read = Read::of(text_grid(&[
        "Holt Power Station",
        "Date of test|Ins. res. M0890 15 s R|Ins. res. M0890 15 s Y|Ins. res. FAN0891 60 s B",
        "18-Feb-98|686 MOhm|984 MOhm|1220 MOhm",
        "19-Feb-99|717 MOhm|1030 MOhm|1.27 GΩ",
    ]));
    assert_eq!((read.tag("B3"), read.circuit("B3"), read.seconds("B3")), (Some("M0890"), Some("U-E"), Some(15.0)));
    assert_eq!((read.tag("D4"), read.circuit("D4"), read.seconds("D4")), (Some("FAN0891"), Some("W-E"), Some(60.0)));
}

#[test]
fn volts_under_each_pair_of_phases_are_a_unit_to_the_last() {
    let read = Read::of(text_grid(&[
        "Turn insulation: surge test",
        "||Peak volts|||Difference",
        "Equipment|Tested on|U-V|V-W|W-U|U-V|V-W|W-U",
        "||V|V|V|%|%|%",
        "BF0113|28-Jun-12|1790|1810|1830|0.75|1.4|2.1",
        "MTR0110|16-Jul-15|2660|2680|2710|1.2|1.9|2.6",
    ]));
    assert_eq!((read.circuit("D5"), read.circuit("E5"), read.circuit("H6")), (Some("V-W"), Some("W-U"), Some("W-U")));
}

#[test]
fn a_header_that_begins_one_line_lower_beside_is_the_neighbours() {
    let read = Read::of(text_grid(&[
        "R. isolement par rapport à la masse, 1000 V DC",
        "N° machine: CWP0444||||||N° machine: P0445",
        "Date de mesure: 19/12/2000||||||Date de mesure: 17/05/1998",
        "Durée min|L1-PE|L2-PE|L3-PE",
        "|MΩ|MΩ|MΩ|||Durée|L1-PE|L2-PE|L3-PE",
        "0,25|893|933|974||||MΩ|MΩ|MΩ",
        "0,5|1240|1300|1350|||15 s|43,4|45,3|47,3",
        "1|1720|1800|1880|||30 s|61,7|64,5|67,2",
    ]));
    assert_eq!((read.circuit("B7"), read.circuit("C8"), read.seconds("D6")), (Some("U-E"), Some("V-E"), Some(15.0)));
    assert_eq!((read.circuit("H7"), read.circuit("I8"), read.seconds("J7")), (Some("U-E"), Some("V-E"), Some(15.0)));
}

#[test]
fn initials_are_no_unit() {
    let read = Read::of(text_grid(&[
        "Ins. res., 500 V DC",
        "Tag|Date|1 min|2 min|By",
        "1-C-000|20-Jan-98|2620|3240|HB",
        "4-M-002|23-Jun-00|1810|2690|K.O.",
    ]));
    assert!(read.is_held("C3") && read.is_held("D4"));
}

#[test]
fn times_named_as_resistances_are_times_and_a_line_of_dates_is_no_pair() {
    let read = Read::of(text_grid(&[
        "Aislamiento todas las fases a tierra, 500 V DC",
        "Equipo: FAN-351A",
        "Fecha de prueba|Duración|Aislamiento|Temperatura ambiente in °C",
        "28.06.1997|R15|60,4 MΩ|19",
        "\"|R60|122 MΩ|25",
        "05.07.1998|R15|27,3 MΩ|9",
        "\"|R60|42,6 MΩ|16",
    ]));
    assert_eq!((read.day("C5").as_deref(), read.seconds("C5")), (Some("1997-06-28"), Some(60.0)));
    assert_eq!((read.day("C6").as_deref(), read.seconds("C6")), (Some("1998-07-05"), Some(15.0)));
}

/// Of four forms below each other the first and third tell their date beside the tag, the others below it: none takes another's.
#[test]
fn tables_below_each_other_do_not_take_the_date_that_stands_over_a_sibling() {
    let read = Read::of(text_grid(&[
        "",
        "Relevé d'isolement Birch Mill Station",
        "Essai par paliers, mA, 1 min",
        "N° machine|C0791||Date d'essai|22/12/2013||Température enroulement, °C|25",
        "",
        "Tension d'essai, V|2500|5000|7500|10000",
        "Courant de fuite U-PE|0,0119|0,0247|0,0385|0,0532",
        "Courant de fuite V-PE|0,0114|0,0237|0,0368|0,0510",
        "Courant de fuite W-PE|0,0109|0,0227|0,0353|0,0489",
        "",
        "",
        "N° machine: C0791",
        "Date d'essai: 19/11/2015",
        "Température enroulement, °C: 49",
        "",
        "Tension d'essai, V|2500|5000|7500|10000",
        "Courant de fuite U-PE|0,00491|0,0102|0,0159|0,0220",
        "Courant de fuite V-PE|0,00470|0,00978|0,0152|0,0211",
        "Courant de fuite W-PE|0,00451|0,00938|0,0146|0,0202",
        "",
        "",
        "N° machine|CWP0790||Date d'essai|19/11/2015||Température enroulement, °C|22",
        "",
        "Tension d'essai, V|2500|5000|7500|10000",
        "Courant de fuite U-PE|0,000150|0,000311|0,000485|0,000671",
        "Courant de fuite V-PE|0,000143|0,000298|0,000464|0,000642",
        "Courant de fuite W-PE|0,000137|0,000286|0,000445|0,000616",
        "",
        "",
        "N° machine|CWP0790",
        "Date d'essai|22/12/2013",
        "Température enroulement, °C|11",
        "Tension d'essai, V|2500|5000|7500|10000",
        "Courant de fuite U-PE|0,000391|0,000813|0,00127|0,00175",
        "Courant de fuite V-PE|0,000374|0,000778|0,00121|0,00168",
        "Courant de fuite W-PE|0,000359|0,000746|0,00116|0,00161",
    ]));
    assert_ne!(read.day("B7").as_deref(), Some("2015-11-19"));
    assert_ne!(read.celsius("B7"), Some(49.0));
    assert_eq!((read.day("B17").as_deref(), read.day("B25").as_deref()), (Some("2015-11-19"), Some("2015-11-19")));
    assert_eq!((read.celsius("B17"), read.celsius("B25")), (Some(49.0), Some(22.0)));
}

#[test]
fn a_text_below_a_table_that_heads_figures_of_its_own_names_nothing_above() {
    let read = Read::of(text_grid(&[
        "Machine HTA-M02|24/03/1999",
        "Valeurs en pC, phase/terre",
        "",
        "U (kV)|Ph. U|Ph. V|Ph. W",
        "1,0|<20|<20|<20",
        "2,0|35|<20|60",
        "3,2|180|95|410",
        "",
        "Extinction (kV)|U 1,4|V 1,8|W 1,2",
    ]));
    for cell in ["B7", "C7", "D6"] {
        assert_ne!(read.quantity(cell), Some("pd_extinction_voltage"), "{cell}");
    }
}

#[test]
fn the_label_of_machines_across_heads_no_machines_below() {
    let read = Read::of(text_grid(&[
        "Riso in kΩ, 1 min",
        "AKZ|4-FAN-070|2-PU-071|5-MTR-072",
        "Messspannung V|2500|5000|1000",
        "1983|n.gem.|42800|151000",
        "1984|236000|2620000|37600",
        "",
        "Blatt 12",
    ]));
    assert_eq!((read.tag("C4"), read.tag("D5")), (Some("2-PU-071"), Some("5-MTR-072")));
    assert_eq!(read.day("C5").as_deref(), Some("1984"));
    assert!(read.0.tests.iter().all(|test| test.machine.tag.as_ref().is_none_or(|tag| tag.value.as_str() != "1983")));
}

#[test]
fn lists_under_the_same_headings_again_keep_their_machines_and_days() {
    let read = Read::of(text_grid(&[
        "Motor|Datum|Riso (MΩ)|Motor|Datum|Riso (MΩ)",
        "KP-1|12.03.2014|450|KP-4|15.03.2014|120",
        "KP-2|13.03.2014|300|KP-5|16.03.2014|80",
        "KP-3|14.03.2014|200",
    ]));
    let told = |cell: &str| (read.tag(cell).map(str::to_owned), read.day(cell));
    assert_eq!(told("C3"), (Some("KP-2".into()), Some("2014-03-13".into())));
    assert_eq!(told("F3"), (Some("KP-5".into()), Some("2014-03-16".into())));
}
