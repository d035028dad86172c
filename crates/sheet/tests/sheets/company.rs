//! What stands beside, above or below numbers and speaks of some of them only. Common practice, no source.

use crate::grid::{Read, grid};
use windrow_model::Disposition;
use windrow_source::{Cell, Content};

#[test]
fn the_least_index_is_no_time_and_a_heading_tells_the_time_before_a_duration() {
    let least = Read::texts(&["Motor|R 1 min GΩ|IP|IP mín.", "MB-1|5.2|3.4|2", "MB-2|4.8|3.1|2"]);
    assert_eq!(
        (least.seconds("B2"), least.quantity("C2"), least.reading("D2").is_some()),
        (Some(60.0), Some("polarization_index"), false)
    );
    let long = Read::texts(&["Motor|Duration min|R 1 min MΩ|R 10 min MΩ", "P-101|10|520|1400", "P-102|10|610|1500"]);
    assert_eq!((long.seconds("C2"), long.seconds("D3")), (Some(60.0), Some(600.0)));
    let times = Read::texts(&["Motor|Time min|R 1 min MΩ", "P-101|10|520", "P-102|10|610"]);
    assert!(times.is_held("C2"), "one of two times");
    let short = Read::texts(&["Motor|Duration min|R 1 min MΩ|R 10 min MΩ", "P-101|1|520|1400", "P-102|1|610|1500"]);
    assert!(short.is_held("D2"), "a test of one minute has no reading at ten");
}

#[test]
fn a_column_of_results_with_their_units_holds_readings() {
    let rows = [
        "Acta de pruebas, motor MB-7, 4 de mayo de 1988",
        "Ensayo|Borne|Resultado",
        "Resistencia óhmica estator|U-X|20,1 mΩ",
        "Resistencia óhmica estator|V-Y|20,2 mΩ",
        "Aislamiento estator 2500 V, 1 min|U+V+W a masa|900 MΩ",
        "Aislamiento estator 2500 V, 10 min|U+V+W a masa|2700 MΩ",
        "Aislamiento rotor 500 V, 1 min|anillos a eje|60 MΩ",
    ];
    let act = Read::texts(&rows);
    assert_eq!(
        (act.quantity("C3"), act.circuit("C3"), act.circuit("C4")),
        (Some("winding_resistance"), Some("U"), Some("V"))
    );
    assert_eq!((act.seconds("C5"), act.volts("C5"), act.circuit("C5")), (Some(60.0), Some(2500.0), Some("UVW-E")));
    assert_eq!((act.seconds("C6"), act.circuit("C7"), act.volts("C7")), (Some(600.0), Some("R-E"), Some(500.0)));
    let verdicts = Read::texts(&["Motor|IR 1 min MΩ|Result", "P-101|520|good", "P-102|610|good"]);
    assert!(verdicts.reading("C2").is_none() && verdicts.reading("B2").is_some());
}

/// Each text at the left speaks of its own line; as titles of the whole they would give both the time and voltage of the last.
#[test]
fn what_stands_left_of_pairs_speaks_of_its_own_line_only() {
    let pairs = Read::texts(&[
        "Motor: MB-7|Date: 4 May 1988",
        "Lot one, 1000 V, 1 min|U to earth|900 MΩ",
        "Lot two, 500 V, 10 min|V to earth|2700 MΩ",
    ]);
    for (cell, volts, seconds) in [("C2", 1000.0, 60.0), ("C3", 500.0, 600.0)] {
        assert!([None, Some(volts)].contains(&pairs.volts(cell)), "{cell}: {:?}", pairs.volts(cell));
        assert!([None, Some(seconds)].contains(&pairs.seconds(cell)), "{cell}: {:?}", pairs.seconds(cell));
    }
}

#[test]
fn a_t_beside_itself_is_tierra_and_beside_other_pairs_a_phase() {
    let earth = Read::texts(&["Motor|R-T 1 min MΩ|S-T 1 min MΩ|T-T 1 min MΩ", "VN-1|640|655|600", "VN-2|700|690|710"]);
    assert_eq!(["B2", "C2", "D2"].map(|cell| earth.circuit(cell)), [Some("U-E"), Some("V-E"), Some("W-E")]);
    let pairs = Read::texts(&["Motor|R-S MΩ|S-T MΩ|R-T MΩ", "VN-1|640|655|600", "VN-2|700|690|710"]);
    assert_eq!(["B2", "C2", "D2"].map(|cell| pairs.circuit(cell)), [Some("U-V"), Some("V-W"), Some("W-U")]);
}

#[test]
fn a_title_on_corrected_resistances_corrects_no_ratio() {
    let form = Read::texts(&[
        "R at 1 min, corrected to 40 °C; test at 1000 V",
        "",
        "Motor|P-10|Date|28.02.2022",
        "R1 (40 °C)|3.4 GΩ|PI (10/1)|4.2",
    ]);
    let corrected = |cell| form.reading(cell).map(|reading| reading.as_reported.code());
    assert_eq!((corrected("B4"), corrected("D4")), (Some("corrected"), Some("as_read")));
    let losses = Read::texts(&[
        "All values corrected to 20 °C",
        "",
        "Motor|Date|tan δ %",
        "P-10|28.02.2022|0.71",
        "P-11|28.02.2022|0.84",
    ]);
    assert_eq!(losses.reading("C4").map(|reading| reading.as_reported.code()), Some("corrected"));
}

#[test]
fn what_is_measured_may_head_the_names_of_machines() {
    let years =
        Read::texts(&["R60 in GΩ|2003|2005|2007|Mittel", "BFP 1|2,1|1,9|1,8|1,9", "BFP 2 (Reserve)|3,4|3,1|2,6|3,0"]);
    assert_eq!((years.tag("B2"), years.seconds("C3")), (Some("BFP 1"), Some(60.0)));
    assert_eq!(years.day("D3").as_deref(), Some("2007"));
    assert!(years.reading("E2").is_none());
    let terminals = Read::texts(&["[MΩ]|2003|2005|2007", "U-E|2,1|1,9|1,8", "V-E|3,4|3,1|2,6"]);
    assert_eq!((terminals.tag("B2"), terminals.circuit("B3")), (None, Some("V-E")));
}

#[test]
fn a_unit_of_time_over_nothing_is_that_of_the_numbers_below_it() {
    let index = Read::of(grid(&[
        "2500 VDC, A+B+C to ground, readings in megohms",
        "",
        "|UL-1|UL-2|UL-4",
        "date|3/22/93|3/22/93|3/24/93",
        "wdg deg F|52|54|49",
        "min",
        "0.5|310|205|88",
        "1|420|270|97",
        "10|1380|860|118",
    ]));
    assert_eq!((index.tag("B8"), index.seconds("B8"), index.seconds("D9")), (Some("UL-1"), Some(60.0), Some(600.0)));
}

#[test]
fn stator_and_rotor_of_one_line_are_two_windings() {
    let rows = [
        "Measured with 500 V, rotor winding and stator winding to frame",
        "Date|Motor|Stator MOhm|Rotor kOhm",
        "07.01.69|Mill 1|40|950",
        "09.01.69|Mill 2|65|320",
        "",
        "Do not switch on a rotor below 100 kOhm",
    ];
    let both = Read::texts(&rows);
    assert_eq!((both.circuit("D3"), both.volts("D3")), (Some("R-E"), Some(500.0)));
    assert!(both.reading("C3").is_some() && both.circuit("C3") != Some("R-E"), "{:?}", both.circuit("C3"));
}

#[test]
fn names_of_machines_that_are_also_terminals_follow_their_heading() {
    let winches = Read::texts(&[
        "Date|Winch|Armature to earth MΩ|Field to earth MΩ",
        "15.01.1985|T1|7|25",
        "15.01.1985|T2|0.7|18",
        "22.01.1985|T2|5.5|24",
    ]);
    assert_eq!(
        (winches.tag("C2"), winches.circuit("C2"), winches.circuit("D3")),
        (Some("T1"), Some("A-E"), Some("F-E"))
    );
    let unknown =
        Read::texts(&["Date|Machine|Spot|MΩ", "15.01.1985|P-101|U|7", "15.01.1985|P-101|V|9", "15.01.1985|P-101|W|8"]);
    assert_eq!(unknown.circuit("D3"), Some("V-E"));
}

#[test]
fn the_letter_of_a_current_does_not_hide_what_the_title_says() {
    let steps = Read::texts(&[
        "Generator GR1, 25.03.2008",
        "Phase V to earth (other phases earthed)",
        "Step kV|I at 1 min (µA)",
        "3|0.55",
        "6|1.21",
        "9|2.08",
    ]);
    assert_eq!(
        (steps.circuit("B4"), steps.quantity("B4"), steps.volts("B5")),
        (Some("V-E"), Some("leakage_current"), Some(6000.0))
    );
}

#[test]
fn labels_and_values_by_turns_are_a_form_and_no_table() {
    let form = Read::texts(&[
        "Ship|Auk Bay|Tag|BT-77",
        "kW|590|Volts|660",
        "Serial|77-2093|Date|21.11.1996",
        "",
        "Winding resistance",
        "Leads|milliohms",
        "T1 - T2|21.44",
        "T2 - T3|21.47",
        "T3 - T1|21.39",
        "average|21.43",
        "unbalance|0.2 %",
        "",
        "High voltage 2320 V a.c. 1 minute, all phases to core: withstood",
    ]);
    assert_eq!(
        (form.tag("B7"), form.circuit("B7"), form.day("B7").as_deref()),
        (Some("BT-77"), Some("U-V"), Some("1996-11-21"))
    );
    assert!(form.reading("B11").is_none(), "computed from the three above");
    let table = Read::texts(&["Phase|MΩ|Phase|MΩ", "U-E|850|V-E|900", "U-E|870|V-E|910"]);
    assert_eq!((table.circuit("B2"), table.circuit("D3")), (Some("U-E"), Some("V-E")));
}

#[test]
fn a_machine_that_its_writer_did_not_know_is_asked_about() {
    let fans =
        Read::texts(&["Date|Motor|MΩ", "12.10.1978|Fan No. 3|110", "13.10.1978|Fan No. ?|80", "13.10.1978|M?hle 4|95"]);
    assert_eq!(fans.tag("C2"), Some("Fan No. 3"));
    assert!(fans.is_held("C3") && fans.tag("C3").is_none());
    assert_eq!(fans.tag("C4"), Some("M?hle 4"), "a letter that some program lost");
}

#[test]
fn a_numbered_title_of_another_quantity_ends_the_table_above() {
    let sections = Read::texts(&[
        "Generator G1, 23.04.2013",
        "1. Rotor winding to shaft, 500 V",
        "|before cleaning|after cleaning",
        "R 15 s|0.8 MΩ|29 MΩ",
        "R 60 s|0.9 MΩ|46 MΩ",
        "",
        "2. Winding resistance of the rotor",
        "over slip rings|412.6 mΩ",
        "converted to 75 °C|498.3 mΩ",
    ]);
    assert!(sections.reading("B4").is_some());
    let stage = |cell: &str| {
        let mut tests = sections.0.tests.iter();
        let test = tests.find(|test| test.readings.iter().any(|reading| reading.place.cell == cell));
        test.and_then(|test| test.stage.as_ref()).map(|told| told.value.code())
    };
    assert_eq!(stage("B8"), None, "no stage of the table above");
    assert!(sections.reading("B9").is_none_or(|reading| reading.as_reported.code() == "corrected"));
}

/// The same dates as headings that a column of them has: texts that can only be month first beside true dates with a day below 13.
#[test]
fn dates_across_that_were_converted_where_they_could_be_are_asked_about() {
    let mut across =
        grid(&["IR MΩ", "Motor|03/20/1991|x|08/15/1991|x", "P-101|1390|1660|116|7280", "P-102|1410|1670|118|7300"]);
    for cell in across.cells.iter_mut().filter(|cell| cell.text == "x") {
        let (day, serial) = if cell.column == 2 { ("1991-10-07", 33_518.0) } else { ("1991-01-02", 33_240.0) };
        *cell = Cell { content: Content::Date { serial, is_1904: false }, ..Cell::text(cell.row, cell.column, day) };
    }
    let read = Read::of(across);
    assert_eq!(read.day("B3").as_deref(), Some("1991-03-20"));
    assert!(read.day("C3").is_none_or(|day| day == "1991"), "{:?}", read.day("C3"));
}

#[test]
fn three_phases_to_earth_are_a_list_over_three_values_and_all_together_over_one() {
    let lists = Read::texts(&[
        "IR in MΩ",
        "Motor|Date|T1/T2/T3 to ground",
        "P-101|27/11/2011|520/530/510",
        "P-102|28/11/2011|610/620/605",
    ]);
    let circuits: Vec<_> =
        lists.0.tests.iter().flat_map(|test| &test.readings).filter_map(|reading| reading.circuit.as_ref()).collect();
    assert_eq!(
        circuits.iter().map(|told| told.value.code()).collect::<Vec<_>>(),
        ["U-E", "V-E", "W-E", "U-E", "V-E", "W-E"]
    );
    let one =
        Read::texts(&["IR in MΩ", "Motor|Date|T1/T2/T3 to ground", "P-101|27/11/2011|520", "P-102|28/11/2011|610"]);
    assert_eq!(one.circuit("C3"), Some("UVW-E"));
}

#[test]
fn a_day_of_print_dates_no_reading_and_a_day_behind_a_name_does() {
    let print = Read::texts(&[
        "EDITION DU 30.11.86",
        "TOUTES PHASES CONTRE MASSE, VALEURS EN MEGOHMS",
        "MOTEUR / DATE|30 S|1 MN",
        "CAGE 1      17/11/86|290|380",
        "CAGE 2      18/11/86|240|300",
    ]);
    assert_eq!((print.tag("B4"), print.day("B4").as_deref()), (Some("CAGE 1"), Some("1986-11-17")));
    let undated = Read::texts(&["EDITION DU 30.11.86", "MOTEUR|1 MN MEGOHMS", "CAGE 1|380", "CAGE 2|300"]);
    assert_eq!(undated.day("B3"), None);
}

#[test]
fn marks_that_repeat_what_stands_at_their_left_are_not_taken_from_above() {
    let rows = ["Motor|Date|MΩ", "M-1|01.02.1978|4.2", "M-1|01.02.1979|\"", "", "The mark \" means: as at the left"];
    assert!(Read::texts(&rows).is_held("C3"));
    assert!(Read::texts(&rows[..3]).reading("C3").is_some());
}

#[test]
fn phases_may_be_counted_and_steps_have_no_unit_of_current() {
    let counted =
        Read::texts(&["Motor|Date|Phase|MΩ", "D-1|11.02.2019|1|850", "|11.02.2019|2|640", "|11.02.2019|3|420"]);
    assert_eq!(["D2", "D3", "D4"].map(|cell| counted.circuit(cell)), [Some("U-E"), Some("V-E"), Some("W-E")]);
    let series =
        Read::texts(&["Motor|Date|Run|MΩ", "D-1|11.02.2019|1|850", "D-1|12.02.2019|2|640", "D-1|13.02.2019|3|420"]);
    assert_eq!(series.circuit("D2"), None);
    let steps = Read::texts(&[
        "Machine: PM-3|Tested: 06-Nov-2001",
        "step kV|µA, 30 s after step|µA, 60 s after step",
        "2|0.8|0.6",
        "4|1.7|1.3",
        "6|2.7|2.1",
    ]);
    assert_eq!((steps.quantity("B3"), steps.volts("C4")), (Some("leakage_current"), Some(4000.0)));
    assert!([None, Some(30.0)].contains(&steps.seconds("B3")) && [None, Some(60.0)].contains(&steps.seconds("C3")));
}

#[test]
fn blocks_side_by_side_count_minutes_under_min() {
    let index = Read::of(grid(&[
        "Resistances in GΩ, phases bonded, whole winding to frame, 2500 V DC",
        "Motor|VP-1||Motor|VP-2",
        "Date|2009-07-28||Date|2009-07-29",
        "min|GΩ||min|GΩ",
        "0.5|0.61||0.5|0.42",
        "1|0.88||1|0.6",
        "10|2.3||10|1.56",
    ]));
    assert_eq!((index.tag("B6"), index.seconds("B6"), index.seconds("E7")), (Some("VP-1"), Some(60.0), Some(600.0)));
}

#[test]
fn a_label_that_tells_a_temperature_names_no_temperatures() {
    let bridge = Read::texts(&[
        "Motor NG-3, 14.06.2011",
        "Winding resistance",
        "|U-V|V-W|W-U",
        "ohm, bridge, winding 24 °C|0.0411|0.0412|0.0413",
        "ohm, bridge, winding 31 °C|0.0421|0.0422|0.0423",
    ]);
    for cell in ["B4", "C5"] {
        let mut marks = bridge.0.cells.iter().filter(|mark| mark.place.cell == cell);
        let is_value = marks.any(|mark| mark.disposition == Disposition::Value);
        assert_eq!(
            bridge.quantity(cell),
            is_value.then_some("winding_resistance"),
            "{cell}: read, or seen to be unread"
        );
        assert!(bridge.celsius(cell).is_none_or(|told| told > 20.0));
    }
}

#[test]
fn a_line_of_machine_and_date_over_a_table_heads_none_of_its_columns() {
    let blocks = Read::texts(&[
        "Insulation resistance, 500 V DC",
        "Machine|M-1440",
        "Date|28/05/1987",
        "Time, min|A-PE|B-PE|C-PE|A/B|B/C|C/A",
        "1|7680 MΩ|8020 MΩ|8370 MΩ|12900 MΩ|13600 MΩ|13300 MΩ",
        "10|13200 MΩ|13800 MΩ|14400 MΩ|22200 MΩ|23500 MΩ|22900 MΩ",
        "",
        "Machine|M-1440||Date|19/11/1988",
        "Time|A-PE|B-PE|C-PE|A/B|B/C|C/A",
        "1min|n/t|2420 MΩ|2530 MΩ|3900 MΩ|n/t|4020 MΩ",
        "10min|7540 MΩ|7880 MΩ|8220 MΩ|12700 MΩ|13400 MΩ|13100 MΩ",
    ]);
    for cell in ["C10", "B11", "E10", "G11"] {
        assert_eq!(blocks.day(cell).as_deref(), Some("1988-11-19"), "{cell}");
    }
    assert_eq!(blocks.day("B5").as_deref(), Some("1987-05-28"));
}
