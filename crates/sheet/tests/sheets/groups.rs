//! Columns in groups: before and after, years, machines, each with circumstances of its own. Common practice in records, no source;
//! all sheets are invented.

use crate::grid::{Read, grid, text_grid};

#[test]
fn numbers_under_after_are_readings_and_no_times() {
    let read = Read::rows(&[
        "Insulation resistance, Mohm, 1 min",
        "Motor|Date|Before cleaning|||After cleaning|||Temp",
        "||R-E|Y-E|B-E|R-E|Y-E|B-E|deg C",
        "ID Fan A|12 May 1987|15|14|18|220|210|240|28",
        "ID Fan B|12 May 1987|9|8.5|11|150|140|165|28",
    ]);
    assert_eq!((read.circuit("C4"), read.seconds("C4")), (Some("U-E"), Some(60.0)));
    assert_eq!((read.circuit("G5"), read.seconds("G5")), (Some("V-E"), Some(60.0)));
    let stage = |cell: &str| {
        let test = read.0.tests.iter().find(|test| test.readings.iter().any(|reading| reading.place.cell == cell))?;
        test.stage.as_ref().map(|told| told.value.code())
    };
    assert_eq!(
        (read.tag("F4"), stage("C4"), stage("F4")),
        (Some("ID Fan A"), Some("as_found"), Some("after_cleaning"))
    );
}

#[test]
fn each_group_has_its_date_and_temperature() {
    let read = Read::rows(&[
        "Antrieb|Isolationswiderstand [MΩ], 1 min, 2500 V",
        "|vor Reinigung||||nach Reinigung",
        "|Datum|U-PE|V-PE|°C|Datum|U-PE|V-PE|°C",
        "KWP 1|13.05.2014|52|55|19|21.05.2014|812|798|23",
        "KWP 2|14.05.2014|8.5|9.1|20|22.05.2014|305|311|24",
    ]);
    assert_eq!((read.day("C4").as_deref(), read.celsius("C4")), (Some("2014-05-13"), Some(19.0)));
    assert_eq!((read.day("H5").as_deref(), read.celsius("H5")), (Some("2014-05-22"), Some(24.0)));
    assert_eq!((read.seconds("H5"), read.volts("H5"), read.circuit("H5")), (Some(60.0), Some(2500.0), Some("V-E")));
}

#[test]
fn years_over_a_value_and_its_temperature() {
    let read = Read::rows(&[
        "Relevés annuels d'isolement",
        "Moteur|1991||1992||1993",
        "|MΩ|°C|MΩ|°C|MΩ|°C",
        "CONC-1|450|22|430|25|390|19",
        "CONC-2|38|22|42|24|n.m.",
    ]);
    for (cell, year, celsius) in
        [("B4", "1991", 22.0), ("D4", "1992", 25.0), ("F4", "1993", 19.0), ("D5", "1992", 24.0)]
    {
        assert_eq!((read.day(cell).as_deref(), read.celsius(cell)), (Some(year), Some(celsius)), "{cell}");
    }
}

#[test]
fn temperatures_that_take_turns_with_values_need_no_heading_over_them() {
    let read = Read::rows(&[
        "Machine|Date|U-E MΩ|Wdg °C|V-E MΩ|Wdg °C|W-E MΩ|Wdg °C",
        "P-101|2001-05-02|410|21|420|22|405|23",
        "P-102|2001-05-02|96|31|94|32|99|33",
    ]);
    assert_eq!((read.celsius("C2"), read.celsius("E2"), read.celsius("G3")), (Some(21.0), Some(22.0), Some(33.0)));
}

#[test]
fn temperatures_that_no_reading_is_nearer_to_are_asked_about() {
    let read = Read::rows(&[
        "Machine|Date|Wdg °C|U-E MΩ|V-E MΩ|Wdg °C|W-E MΩ",
        "P-101|2001-05-02|21|410|420|25|405",
        "P-102|2001-05-02|31|96|94|31|99",
    ]);
    assert_eq!(read.celsius("D3"), Some(31.0));
    let read = Read::rows(&[
        "Machine|Date|U-E MΩ|Wdg °C|Wdg °C|V-E MΩ",
        "P-101|2001-05-02|410|21|25|405",
        "P-102|2001-05-02|96|31|31|99",
    ]);
    assert!(read.is_held("D2") && read.is_held("E2") && read.celsius("C2").is_none());
    assert_eq!(read.celsius("C3"), Some(31.0));
}

#[test]
fn years_under_phases_are_no_readings() {
    let read = Read::rows(&[
        "Insulation resistance in megohms, 1 minute at 1000 V DC",
        "Machine|A-G|||B-G|||C-G",
        "|2001|2003|2005|2001|2003|2005|2001|2003|2005",
        "FD-11|410|395|388|421|402|391|405|399|383",
        "FD-12|1210|1180|970|1250|1195|985|1230|1175|990",
    ]);
    assert!(read.reading("B3").is_none() && read.reading("E3").is_none());
    assert_eq!((read.day("C4").as_deref(), read.circuit("C4")), (Some("2003"), Some("U-E")));
    assert_eq!((read.day("J5").as_deref(), read.circuit("J5")), (Some("2005"), Some("W-E")));
}

#[test]
fn dates_under_the_machines_that_share_the_minutes() {
    let read = Read::of(text_grid(&[
        "Polarization index, readings in MΩ",
        "Time (min)|P-11A|P-11B",
        "|2009-04-12|2009-04-15",
        "0.5|310|95",
        "1|452|121",
        "10|1350|214",
    ]));
    assert_eq!(
        (read.tag("C5"), read.day("C5").as_deref(), read.seconds("C5")),
        (Some("P-11B"), Some("2009-04-15"), Some(60.0))
    );
    assert_eq!(
        (read.tag("B6"), read.day("B6").as_deref(), read.seconds("B6")),
        (Some("P-11A"), Some("2009-04-12"), Some(600.0))
    );
}

#[test]
fn columns_that_nothing_understood_sets_apart_are_asked_about() {
    let read = Read::rows(&[
        "Insulation resistance 1 min",
        "Machine|Date|Drive end|Far end",
        "||MΩ|MΩ",
        "P-101|2001-05-02|410|96",
        "P-102|2001-05-02|405|99",
    ]);
    assert!(["C4", "D4", "C5", "D5"].iter().all(|cell| read.is_held(cell) && read.reading(cell).is_none()));
}

#[test]
fn numbered_terminals_in_ohms_are_of_the_conductor_and_take_no_time_from_their_neighbours() {
    let read = Read::rows(&[
        "Annual motor tests, insulation",
        "Unit|PM date|IR 1-min|IR 10-min|R 1-2|R 2-3|R 3-1",
        "||GΩ|GΩ|Ω|Ω|Ω",
        "C-7001-M|03-Apr-2019|3.2|11.5|0.412|0.413|0.411",
        "C-7002-M|03-Apr-2019|0.85|1.1|0.398|0.401|0.399",
    ]);
    assert_eq!(
        (read.quantity("E4"), read.circuit("E4"), read.seconds("E4")),
        (Some("winding_resistance"), Some("U-V"), None)
    );
    assert_eq!((read.quantity("D5"), read.seconds("D5")), (Some("insulation_resistance"), Some(600.0)));
}

#[test]
fn the_unit_in_the_corner_is_that_of_the_numbers_beside_the_labels() {
    let read = Read::rows(&[
        "Unit|Tested|[MΩ]|15 s|60 s|600 s",
        "CT-FAN-1|2016-08-02|A-GND|61|88|240",
        "||B-GND|58|83|231",
        "||C-GND|64|92|251",
        "CT-FAN-2|2016-08-03|A-GND|1120|1840|7300",
        "||B-GND|1090|1790|7150",
    ]);
    assert_eq!((read.circuit("E3"), read.seconds("E3"), read.tag("E3")), (Some("V-E"), Some(60.0), Some("CT-FAN-1")));
    assert_eq!(read.reading("F5").map(|reading| reading.unit.value.ucum), Some("MOhm"));
}

#[test]
fn what_stands_below_a_date_is_of_that_date_only() {
    let read = Read::rows(&[
        "Motor CO-12",
        "Date|2001-09-10|2003-09-22|2005-09-14",
        "Test voltage (V)|500|500|1000",
        "U / earth (MΩ)|410|405|377",
        "V / earth (MΩ)|420|411|381",
        "Tested by|A. B.|A. B.|C. D.",
        "Remarks||oil in the box|",
    ]);
    let remarks = |cell: &str| {
        let test = read.0.tests.iter().find(|test| test.readings.iter().any(|reading| reading.place.cell == cell));
        test.map(|test| (test.remarks.len(), test.tester.as_ref().map(|told| told.value.to_string())))
    };
    assert_eq!(remarks("B4"), Some((0, Some("A. B.".to_owned()))));
    assert_eq!(remarks("C5"), Some((1, Some("A. B.".to_owned()))));
    assert_eq!(remarks("D4"), Some((0, Some("C. D.".to_owned()))));
    assert_eq!((read.volts("C4"), read.volts("D4")), (Some(500.0), Some(1000.0)));
}

#[test]
fn labels_without_a_heading_belong_to_their_lines_and_not_to_the_table() {
    let read = Read::rows(&[
        "Insulation resistance, motor RW-14, 2015-08-19",
        "|15 s|60 s",
        "|MΩ|MΩ",
        "U-PE|240|355",
        "V-PE|238|349",
        "W-PE|245|361",
    ]);
    assert_eq!((read.circuit("B4"), read.circuit("C5"), read.circuit("B6")), (Some("U-E"), Some("V-E"), Some("W-E")));
}

#[test]
fn a_note_beside_a_line_says_nothing_of_the_others() {
    let read = Read::rows(&[
        "Insulation resistance to earth, MΩ",
        "Motor|Date|1 min|10 min",
        "P-101|2001-05-02|410|900",
        "P-102|2001-05-02|96|120|||||at 250 V only",
        "P-103|2001-05-02|310|700",
    ]);
    assert_eq!((read.volts("C3"), read.volts("C5")), (None, None));
}

#[test]
fn a_year_over_a_date_leaves_the_day_and_one_that_contradicts_it_is_asked_about() {
    let read = Read::rows(&[
        "IR (GΩ) 1 min",
        "Tag|2017||2018|",
        "|Date|GΩ|Date|GΩ",
        "AP-31|3/15/2017|12.1|3/20/2018|11.7",
        "AP-32|3/15/2017|0.82|3/21/2019|7.9",
    ]);
    assert_eq!((read.day("C4").as_deref(), read.day("E4").as_deref()), (Some("2017-03-15"), Some("2018-03-20")));
    assert!(read.is_held("E5"));
}

#[test]
fn a_machine_and_its_date_over_the_phases_that_share_the_minutes() {
    let read = Read::rows(&[
        "Stator windings, Gohm, 5 kV DC",
        "|UNIT-1 06-May-2014|||UNIT-2 07-May-2014",
        "Minutes|A|B|C|A|B|C",
        "1|2.11|2.15|2.09|3.31|3.36|3.28",
        "10|6.44|6.6|6.38|11.3|11.5|11.1",
    ]);
    assert_eq!((read.tag("C4"), read.day("C4").as_deref()), (Some("UNIT-1"), Some("2014-05-06")));
    assert_eq!((read.tag("G5"), read.day("G5").as_deref()), (Some("UNIT-2"), Some("2014-05-07")));
    assert_eq!((read.circuit("G5"), read.seconds("G5")), (Some("W-E"), Some(600.0)));
}

#[test]
fn minutes_and_seconds_typed_as_text_are_times() {
    let read = Read::of(text_grid(&[
        "Motor|FWP-A||Date|2011-11-20",
        "",
        "Time|R-GND|Y-GND|B-GND",
        "mm:ss|Gohm|Gohm|Gohm",
        "00:30|1.02|1.05|1.01",
        "01:00|1.71|1.74|1.69",
        "10:00|6.1|6.22|6.03",
    ]));
    assert_eq!((read.seconds("B5"), read.seconds("C6"), read.seconds("D7")), (Some(30.0), Some(60.0), Some(600.0)));
}

#[test]
fn the_corner_tells_the_time_of_the_values_under_years() {
    let read = Read::rows(&["LS-1", "MΩ, 1 min|2011|2013", "A-G|620|601", "B-G|628|606", "C-G|615|596"]);
    assert_eq!(
        (read.seconds("B3"), read.circuit("C4"), read.day("C4").as_deref()),
        (Some(60.0), Some("V-E"), Some("2013"))
    );
}

#[test]
fn the_unit_behind_a_temperature_is_its_own() {
    let read = Read::of(text_grid(&[
        "Asset ID|H2-FAN-01",
        "Date|2018-11-03",
        "Winding temperature|81|F",
        "IR 60 s|733|MOhm",
        "IR 600 s|1820|MOhm",
    ]));
    assert_eq!(read.celsius("B4").map(f64::round), Some(27.0));
}

#[test]
fn the_date_of_a_footnote_is_not_that_of_the_tests() {
    let read = Read::rows(&[
        "Insulation resistance, megohms, 1 min",
        "Motor|HP|1 min",
        "PM-117|400|250",
        "PM-118|400|3.9*",
        "",
        "* retested after drying 4/2/02: 85 megohms",
    ]);
    assert_eq!((read.date("C3"), read.date("C4")), (None, None));
}

#[test]
fn a_withstand_test_exists_by_its_voltage() {
    let read = Read::rows(&[
        "High voltage withstand tests after rewind",
        "Machine|Rated V|Test|kV applied|Duration|Leakage µA|Result|Date",
        "BFP-2|6600|DC 1 min|24.0|1 min|12.5|Withstood|2008-09-02",
        "BFP-2|6600|AC 1 min|14.2|60 s||OK|2008-09-03",
        "PA-2A|6600|DC 1 min|24|1 min|tripped|Failed at 19 kV|2008-09-09",
    ]);
    let outcome = |cell: &str| read.reading(cell)?.outcome.map(windrow_model::kind::Outcome::code);
    assert_eq!((read.quantity("D4"), outcome("D4")), (Some("voltage"), Some("withstood")));
    assert_eq!(
        (read.quantity("D5"), outcome("D5"), read.tag("D5")),
        (Some("voltage"), Some("broke_down"), Some("PA-2A"))
    );
    assert_eq!(
        (read.quantity("F3"), read.volts("F3"), read.reading("D3")),
        (Some("leakage_current"), Some(24_000.0), None)
    );
    let kinds: Vec<&str> = read.0.tests.iter().map(|test| test.kind.code()).collect();
    assert_eq!(kinds, ["dc_withstand", "ac_withstand", "dc_withstand"]);
}

#[test]
fn the_t_of_tierra_is_no_phase_and_no_temperature() {
    let read = Read::rows(&[
        "Megado de motores (MΩ a 1 min, 1000 Vcc)",
        "TAG|Fecha|Fase U - T|Fase V - T|Fase W - T|T amb ºC",
        "MP-101A|2016-02-05|550|540|560|19",
        "MP-101B|2016-02-05|12|11|14|19",
    ]);
    assert_eq!(
        (read.circuit("C3"), read.circuit("E4"), read.quantity("D3")),
        (Some("U-E"), Some("W-E"), Some("insulation_resistance"))
    );
}

#[test]
fn months_take_their_year_from_above_and_quarters_from_the_title_and_neither_is_a_machine() {
    let read = Read::rows(&[
        "Effluent pumps, IR to ground, megohms",
        "|2015||2016",
        "Pump|Jan|Jul|Jan|Jul",
        "EP-1|330|301|322|288",
        "EP-2|47|41|44|36",
    ]);
    assert_eq!((read.day("C4").as_deref(), read.day("D5").as_deref()), (Some("2015-07"), Some("2016-01")));
    let read = Read::rows(&[
        "Readings of 2019, GΩ",
        "Drive|Q1||Q3",
        "|IR|Wdg °C|IR|Wdg °C",
        "EX-1|1.4|14|1.1|29",
        "EX-2|0.22|15|0.17|30",
    ]);
    assert_eq!((read.tag("B4"), read.tag("D5")), (Some("EX-1"), Some("EX-2")));
    assert_eq!((read.celsius("B5"), read.celsius("D4")), (Some(15.0), Some(29.0)));
}

#[test]
fn marks_of_megohms_prove_nothing_of_ohms_beside_them() {
    let read = Read::of(text_grid(&[
        "Motor|Date|Measured|Phase|Value|Unit",
        "AG-2|2018-05-17|Insulation resistance 1 min|U|705|MΩ",
        "AG-2|2018-05-17|Insulation resistance 1 min|V|711|MΩ",
        "AG-2|2018-05-17|Insulation resistance 1 min|W|698|MΩ",
        "AG-2|2018-05-17|Winding resistance|U-V|1,212|Ω",
        "AG-2|2018-05-17|Winding resistance|V-W|1,209|Ω",
        "AG-2|2018-05-17|Winding resistance|W-U|1,215|Ω",
    ]));
    assert_eq!((read.circuit("E3"), read.quantity("E3")), (Some("V-E"), Some("insulation_resistance")));
    assert!(["E5", "E6", "E7"].iter().all(|cell| read.is_held(cell)));
}

#[test]
fn a_voltage_behind_resistances_is_that_of_the_currents_behind_it() {
    let read = Read::rows(&[
        "Tag|Date|IR 1 min MΩ|IR 10 min MΩ|Test kV DC|Leakage µA",
        "RB-1|2012-04-21|2600|9900|14|3.1",
        "RB-2|2012-04-22|1900|6100|14|5.2",
    ]);
    assert_eq!((read.volts("C2"), read.volts("F3")), (None, Some(14_000.0)));
}

#[test]
fn three_headings_that_differ_in_a_last_letter_are_the_phases() {
    let read = Read::rows(&[
        "R. aisl. contra masa, 1 min",
        "Motor|Fecha|R. aisl. A|R. aisl. B|R. aisl. C",
        "||Gohm|Gohm|Gohm",
        "MB-1|1994-03-27|3.5|3.66|3.82",
    ]);
    assert_eq!((read.circuit("C4"), read.circuit("D4"), read.circuit("E4")), (Some("U-E"), Some("V-E"), Some("W-E")));
}

#[test]
fn times_under_one_wide_name_are_headings_and_the_numbers_below_are_readings() {
    let mut sheet = grid(&[
        "PI-Messungen, Werte in GΩ",
        "Motor|Datum|Phase|Zeit [s]|||Wickl.-Temp. [°C]",
        "|||15|60|600|",
        "KP-A|09.05.2018|U|0.8|1.6|5.2|26",
        "||V|0.82|1.65|5.3|",
        "||W|0.79|1.58|5.1|",
    ]);
    sheet.merges.push(windrow_source::Area { top: 1, left: 3, bottom: 1, right: 5 });
    let read = Read::of(sheet);
    assert_eq!((read.seconds("D4"), read.seconds("F4")), (Some(15.0), Some(600.0)));
    assert_eq!((read.tag("E4"), read.circuit("E4")), (Some("KP-A"), Some("U-E")));
}

#[test]
fn a_name_over_phases_is_no_rating_and_what_it_sets_apart_is_asked() {
    let read = Read::rows(&[
        "Two-speed fan motors (Mohm, 1 min)",
        "Fan|Date|High speed winding|||Low speed winding",
        "||A-G|B-G|C-G|A-G|B-G|C-G",
        "TS-1|2011-07-05|301|310|297|288|290|285",
        "TS-2|2011-07-06|44|47|41|39|42|37",
    ]);
    assert!(["C4", "D5", "F4", "H5"].iter().all(|cell| read.is_held(cell)));
}

#[test]
fn dates_in_the_column_under_a_corner_are_no_machines() {
    let read = Read::of(text_grid(&[
        "IR, GΩ",
        "Motor No.|2-FAN-920|1-C-921|2-M-922",
        "Applied voltage, V|2500|2500|5000",
        "08-Nov-88|6.25|12.3|5.81",
        "15-Nov-90|6.42|0.0691|1.71",
    ]));
    assert_eq!(
        (read.tag("C4"), read.day("C4").as_deref(), read.volts("D5")),
        (Some("1-C-921"), Some("1988-11-08"), Some(5000.0))
    );
}

#[test]
fn a_title_of_the_conductor_tells_no_unit_of_the_insulation() {
    let read = Read::rows(&[
        "Machine|Date|Insulation resistance A|Insulation resistance B",
        "P-610|1999-10-22|315|329",
        "P-611|1999-10-22|52|49",
        "",
        "",
        "Winding resistance, ohms",
        "Machine|Date|A-B|B-C",
        "P-610|1998-03-16|0.9795|0.9854",
        "P-611|1998-03-16|1.312|1.320",
    ]);
    assert!(read.is_held("C2") && read.is_held("D3"));
    assert_eq!(read.quantity("C8"), Some("winding_resistance"));
}

/// The rating behind a machine's name is no test voltage, and a step is told by its voltage where its column has a unit of voltage.
#[test]
fn steps_in_kilovolts_take_no_voltage_from_the_rating_in_the_title() {
    let read = Read::rows(&[
        "Essai en tension continue par paliers",
        "Machine : ALT-3 (11 kV)||Date : 12/10/1999",
        "Température stator 27 °C",
        "Palier (kV)|Durée (min)|I fuite (µA)",
        "2|1|0.8",
        "4|1|1.7",
        "6|1|2.7",
    ]);
    assert_eq!([read.volts("C5"), read.volts("C7")], [Some(2000.0), Some(6000.0)]);
}

/// A sheet of one machine keeps its tag, whatever word and letter its title has.
#[test]
fn a_letter_that_begins_a_tag_in_a_title_names_no_machine() {
    let read =
        Read::rows(&["Fiche de vie - moteur P 620A", "Date|Essai V|MΩ", "1994-03-18|500|300", "1996-03-20|500|280"]);
    assert_ne!(read.tag("C3"), Some("moteur P"));
}

/// "Rewound" is a stage as well as a heading for years.
#[test]
fn a_column_of_years_of_rewinds_is_no_reading() {
    let read = Read::rows(&[
        "Motor|Rated voltage V|Rewound|Date|Test voltage kV|Leakage uA",
        "P-1|6600|1990|1985-05-03|20|3.1",
        "P-2|6600||1985-05-03|20|3.1",
    ]);
    assert!(!read.is_held("C2") && read.reading("C2").is_none());
}

/// "IR/PI" over labelled values says of none which it is; the label beside each does.
#[test]
fn a_name_for_two_quantities_leaves_the_choice_to_the_labels() {
    let read = Read::of(text_grid(&[
        "Record|IR/PI",
        "Equipment|CWP-MTR-3",
        "Date/time|2019-10-30 14:05:00",
        "Applied voltage|5000|V",
        "1 min resistance|1.21|GΩ",
        "10 min resistance|3.95|GΩ",
        "Polarisation index|3.26",
    ]));
    assert_eq!(read.quantity("B5"), Some("insulation_resistance"));
    assert_ne!(read.quantity("B7"), Some("insulation_resistance"));
}
