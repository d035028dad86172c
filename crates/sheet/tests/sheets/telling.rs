//! What stands apart from the numbers and changes what they mean: footnotes, remarks, notes, strokes, nameplates, forms of time.
//! Common practice in records, no source; all sheets are invented.

use crate::grid::{Read, grid, text_grid};

#[test]
fn a_footnote_speaks_of_the_values_that_bear_its_sign_only() {
    let read = Read::rows(&[
        "Insulation resistance (MΩ), 1000 V DC",
        "Machine|Date|U-E|V-E|W-E",
        "P-101|2003-10-16|620*|640†|655",
        "P-102|2003-10-17|810|820|833*",
        "* at 500 V",
        "† with cable",
    ]);
    assert_eq!((read.volts("C3"), read.volts("E4")), (Some(500.0), Some(500.0)));
    assert_eq!((read.volts("D3"), read.volts("E3"), read.volts("C4")), (Some(1000.0), Some(1000.0), Some(1000.0)));
}

#[test]
fn remarks_tell_the_winding_s_temperature_and_another_test_voltage() {
    let read = Read::rows(&[
        "Isolationswiderstand (MΩ), 1000 V DC",
        "Maschine|Datum|U-E|V-E|W-E|Bemerkung",
        "P-101|2003-10-16|620|640|655|Wicklung 35 °C",
        "P-102|2003-10-17|810|820|833|mit 500 V",
        "P-103|2003-10-18|910|920|933|neu gewickelt für 6600 V",
    ]);
    assert_eq!((read.celsius("C3"), read.volts("C3")), (Some(35.0), Some(1000.0)));
    assert_eq!((read.celsius("D4"), read.volts("D4")), (None, Some(500.0)));
    assert_eq!((read.celsius("E5"), read.volts("E5")), (None, Some(1000.0)));
}

#[test]
fn a_note_on_the_machine_of_a_line_speaks_of_the_line() {
    let mut sheet = grid(&[
        "Insulation resistance (MΩ), 1000 V DC",
        "Machine|Date|U-E|V-E",
        "P-101|2003-10-16|620|640",
        "P-102|2003-10-17|810|820",
    ]);
    for cell in sheet.cells.iter_mut().filter(|cell| cell.text == "P-101") {
        cell.note = Some("winding at 35 °C, tested at 500 V".into());
    }
    let read = Read::of(sheet);
    assert_eq!((read.celsius("D3"), read.volts("D3")), (Some(35.0), Some(500.0)));
    assert_eq!((read.celsius("D4"), read.volts("D4")), (None, Some(1000.0)));
}

#[test]
fn a_figure_that_its_copyist_doubted_is_asked() {
    let read = Read::rows(&["Insulation resistance", "Machine|Date|U-E|V-E", "P-101|2003-10-16|63.8 MΩ?|66.7 MΩ"]);
    assert!(read.is_held("C3") && !read.is_held("D3") && read.reading("C3").is_none());
}

#[test]
fn a_line_of_corrected_values_below_its_readings_is_computed_from_them() {
    let read = Read::rows(&[
        "Machine:|P-101||Date:|2003-10-16",
        "Time (min)|U-E (MΩ)|V-E (MΩ)",
        "1|620|640",
        "5|720|740",
        "10|820|840",
        "corr. 40 °C|410|423",
        "1 min at 40 °C|410|423",
    ]);
    assert_eq!((read.circuit("B5"), read.seconds("B5")), (Some("U-E"), Some(600.0)));
    assert!(read.reading("B6").is_none() && read.reading("C7").is_none());
}

#[test]
fn a_title_repeated_over_forms_side_by_side_heads_no_table() {
    let read = Read::rows(&[
        "Relevé d'isolement||||||Relevé d'isolement|||||",
        "N° moteur:|C-411||Date d'essai:|2012-01-28||N° moteur:|C-411||Date d'essai:|2011-11-25",
        "Tension d'essai [V]:|5000|||||Tension d'essai [V]:|1000",
        "",
        "R. isolement A-masse:|2.07 GΩ|||||R. isolement A-masse:|0.0464 GΩ",
        "R. isolement B-masse:|2.16 GΩ|||||R. isolement B-masse:|0.0484 GΩ",
        "R. isolement C-masse:|2.26 GΩ|||||R. isolement C-masse:|0.0505 GΩ",
    ]);
    assert_eq!((read.day("B5").as_deref(), read.volts("B5")), (Some("2012-01-28"), Some(5000.0)));
    assert_eq!((read.day("H6").as_deref(), read.volts("H6")), (Some("2011-11-25"), Some(1000.0)));
}

#[test]
fn a_label_whose_unit_stands_in_a_cell_of_its_own_keeps_its_circuit() {
    let read = Read::of(text_grid(&[
        "Code équipement||FAN-1250",
        "Date||17/01/1997",
        "Isolement U1-PE|kΩ|120000",
        "Isolement V1-PE|kΩ|126000",
        "Isolement W1-PE|kΩ|131000",
    ]));
    assert_eq!((read.circuit("C3"), read.circuit("C5")), (Some("U-E"), Some("W-E")));
}

#[test]
fn what_is_struck_through_is_no_reading() {
    let mut sheet =
        grid(&["Insulation resistance (MΩ)", "Machine|Date|U-E", "P-101|2003-10-16|210", "P-101|2003-10-16|620"]);
    for cell in sheet.cells.iter_mut().filter(|cell| cell.text == "210") {
        cell.struck = Some(cell.text.to_string());
    }
    let read = Read::of(sheet);
    assert!(read.reading("C3").is_none() && read.reading("C4").is_some());
}

#[test]
fn a_bare_voltage_is_the_nameplate_s_or_the_test_s_as_its_neighbours_say() {
    let read = Read::rows(&[
        "Motor data",
        "Motor:|P-101",
        "Voltage:|6600 V",
        "Power kW:|315",
        "In:|33 A",
        "",
        "Test",
        "Date:|2003-10-16",
        "Voltage:|2500 V",
        "Insulation resistance U-E (MΩ):|620",
    ]);
    assert_eq!((read.tag("B10"), read.volts("B10")), (Some("P-101"), Some(2500.0)));
    let read = Read::rows(&[
        "Equip. No.|M-550||Ser. No.|104565",
        "Voltage|400 V||kW|90",
        "",
        "Tested on|1988-07-26",
        "Insulation resistance L1 to earth, Megohms|377",
        "Insulation resistance L2 to earth, Megohms|394",
        "Insulation resistance L3 to earth, Megohms|411",
    ]);
    assert_eq!((read.circuit("B6"), read.volts("B6")), (Some("V-E"), None), "400 V is the nameplate's");
    let read = Read::rows(&[
        "Motor:|P-101",
        "U:|690 V",
        "Leistung kW:|315",
        "",
        "Datum:|2003-10-16",
        "Isolationswiderstand U-E (MΩ):|620",
    ]);
    assert_eq!((read.tag("B6"), read.volts("B6")), (Some("P-101"), None));
}

#[test]
fn forms_of_nameplates_without_readings_are_a_register() {
    let read = Read::rows(&[
        "Motor:|P-101",
        "Serial No.:|S101577",
        "Power kW:|315",
        "",
        "Motor:|P-102",
        "Serial No.:|S101584",
        "Power kW:|90",
    ]);
    let named = |at: usize| {
        let mention = &read.0.machines[at];
        let text = |told: &Option<windrow_model::raw::Told<windrow_model::Text>>| {
            told.as_ref().map(|told| told.value.to_string())
        };
        (text(&mention.tag), text(&mention.serial))
    };
    assert_eq!(read.0.machines.len(), 2);
    assert_eq!(named(1), (Some("P-102".to_owned()), Some("S101584".to_owned())));
}

#[test]
fn a_sampling_interval_is_no_time_of_readings_and_mm_ss_is_minutes() {
    let read = Read::of(text_grid(&[
        "Machine: P-101",
        "Date: 2003-10-16",
        "Sampling: 1 s",
        "Time (mm:ss)|Insulation resistance (MΩ)",
        "00:05|620",
        "01:30|640",
        "10:00|655",
    ]));
    assert_eq!((read.seconds("B5"), read.seconds("B6"), read.seconds("B7")), (Some(5.0), Some(90.0), Some(600.0)));
}

#[test]
fn the_first_points_of_a_ramp_are_volts() {
    let read = Read::rows(&[
        "Machine:|P-101||Date:|2003-10-16",
        "Test voltage (V)|Leakage current (µA)",
        "10|0.01",
        "60|0.06",
        "110|0.11",
    ]);
    assert_eq!((read.volts("B3"), read.volts("B5")), (Some(10.0), Some(110.0)));
}

#[test]
fn a_step_s_voltage_told_once_holds_for_the_readings_below_it() {
    let read = Read::rows(&[
        "Machine:|P-101||Date:|2003-10-16",
        "Test voltage (kV)|Time (s)|Leakage current (µA)",
        "1|15|0.51",
        "|30|0.46",
        "|60|0.41",
        "2|15|1.11",
        "|30|1.06",
        "|60|1.01",
    ]);
    assert_eq!((read.volts("C5"), read.volts("C8")), (Some(1000.0), Some(2000.0)));
}

#[test]
fn tables_side_by_side_need_no_gap_where_their_axis_begins_again() {
    let read = Read::rows(&[
        "Machine:|P-101||Machine:|P-102|",
        "Date:|2003-10-16||Date:|2004-11-17|",
        "Time (min)|U-E (MΩ)|V-E (MΩ)|Time (min)|U-E (MΩ)|V-E (MΩ)",
        "1|620|640|1|320|340",
        "5|720|740|5|420|440",
        "10|820|840|10|520|540",
    ]);
    assert_eq!((read.tag("C6"), read.seconds("C6")), (Some("P-101"), Some(600.0)));
    assert_eq!((read.tag("E6"), read.day("E6").as_deref()), (Some("P-102"), Some("2004-11-17")));
}

#[test]
fn a_v_below_a_voltage_is_its_unit_whatever_the_phases_are_called() {
    let read = Read::rows(&[
        "Machine:|P-101||Date:|2003-10-16",
        "Phase|Peak voltage|Difference",
        "|V|%",
        "U1-V1|6900|3.3",
        "V1-W1|6960|4.0",
        "W1-U1|7030|4.7",
    ]);
    assert_eq!(read.reading("B4").map(|reading| reading.unit.value.symbol), Some("V"));
    assert_eq!(read.quantity("B4"), Some("surge_peak_voltage"));
}

#[test]
fn a_date_written_over_each_column_of_a_year_groups_them() {
    let read = Read::rows(&[
        "Insulation resistance",
        "|25.07.1983|25.07.1983|05.09.1985|05.09.1985",
        "Machine|MΩ|Test voltage in kV|MΩ|Test voltage in kV",
        "P-101|620|1|640|2.5",
        "P-102|720|5|740|1",
    ]);
    assert_eq!((read.volts("B4"), read.volts("D4"), read.volts("B5")), (Some(1000.0), Some(2500.0), Some(5000.0)));
}

#[test]
fn the_unit_of_a_title_about_another_quantity_contradicts_no_column() {
    let read = Read::rows(&[
        "Insulation resistance in GΩ",
        "Machine|Date|1 min|10 min",
        "P-101|2003-10-16|17.3|36.2",
        "P-102|2003-10-16|12.1|26.5",
        "",
        "Machine|Date|Winding resistance U-V in Ω|Winding resistance V-W in Ω",
        "P-101|2003-10-16|0.2788|0.2804",
        "P-102|2003-10-16|0.3788|0.3804",
    ]);
    assert_eq!(read.reading("C7").map(|reading| reading.unit.value.symbol), Some("Ω"));
}

#[test]
fn a_line_s_unit_and_a_column_of_ratios_say_what_a_number_is() {
    let read = Read::of(text_grid(&[
        "Motor|FAN-7B|Date|22 June 2018",
        "|T1-T2|T2-T3|T3-T1|Unbalance %",
        "Winding resistance, ohms|0.2088|0.2091|0.2086|0.13",
        "DC test 2760 V 1 min, µA all phases to frame|1.7|||",
    ]));
    assert_eq!(read.quantity("B3"), Some("winding_resistance"));
    assert_ne!(read.quantity("E3"), Some("winding_resistance"), "a percentage of unbalance is no resistance");
    assert_ne!(read.quantity("B4"), Some("winding_resistance"), "microamperes are no resistance");
}

#[test]
fn a_rated_voltage_in_a_title_is_no_voltage_of_the_test() {
    let read = Read::of(text_grid(&[
        "Dissipation factor|||Turbine generator T3, UN = 6,3 kV",
        "Date|16.07.2019",
        "Phase W to earth, 50 Hz",
        "",
        "U/UN|U [kV]|tan δ · 10⁻³|C [nF]",
        "0,2|1.26|8.4|141.2",
        "0,4|2.52|8.9|141.5",
        "0,6|3.78|10.3|142.1",
    ]));
    assert_eq!((read.volts("C6"), read.volts("D8")), (Some(1260.0), Some(3780.0)));
    let shop = Read::of(text_grid(&[
        "Main drive HA-2, 6.0 kV, 1250 kW",
        "",
        "Date|Riso MΩ|Winding °C",
        "2013-08-21|5200|24",
        "2014-08-20|5100|22",
    ]));
    assert_eq!((shop.quantity("B4"), shop.volts("B4")), (Some("insulation_resistance"), None));
}

#[test]
fn a_stage_with_its_day_dates_what_stands_below_it() {
    let read = Read::of(text_grid(&[
        "Their tag|FAN-7B",
        "",
        "AS RECEIVED|15 May 2018",
        "|T1|T2|T3",
        "Megohms to frame, 500 V dc, 1 min|3.2|2.9|3.4",
        "",
        "BEFORE DISPATCH|22 June 2018",
        "|T1|T2|T3",
        "Megohms to frame, 500 V dc, 1 min|2000+|2000+|1850",
        "Surge, difference % at 2200 V peak|1.1|0.8|1.4",
    ]));
    assert_eq!((read.day("B5").as_deref(), read.day("D9").as_deref()), (Some("2018-05-15"), Some("2018-06-22")));
    assert!(matches!(read.quantity("B10"), None | Some("surge_difference")), "{:?}", read.quantity("B10"));
}

#[test]
fn a_deviation_beside_a_peak_is_that_of_surges_between_the_phases_of_its_heading() {
    let read = Read::of(text_grid(&[
        "Atelier bobinage – essais onde de choc",
        "",
        "N° moteur|Crête (kV)|Écart U/V (%)|Écart V/W (%)|Écart W/U (%)|Limite (%)",
        "M-70211|2.1|2.4|1.9|3|10",
        "M-70212|2.1|1.2|1.5|1.1|10",
    ]));
    assert_eq!((read.quantity("C4"), read.circuit("D5")), (Some("surge_difference"), Some("V-W")));
}

#[test]
fn what_stands_in_the_corner_over_times_and_labels_heads_the_numbers_beside_them() {
    let read = Read::of(text_grid(&[
        "Tag|TP-61|Date tested|30 Aug 2021",
        "",
        "Megohms|U to earth|V to earth|W to earth",
        "1 minute|1450|1390|1420",
        "10 minutes|4900|4600|4750",
        "PI|3.38|3.31|3.35",
        "",
        "Resistance (Ω)|U-V|V-W|W-U",
        "reading|0.0512|0.0514|0.0511",
    ]));
    let told =
        |cell: &str| (read.quantity(cell), read.seconds(cell), read.reading(cell).map(|one| one.unit.value.ucum));
    assert_eq!(told("B4"), (Some("insulation_resistance"), Some(60.0), Some("MOhm")));
    assert_eq!(told("D5"), (Some("insulation_resistance"), Some(600.0), Some("MOhm")));
    assert_eq!((read.quantity("B9"), read.circuit("B9")), (Some("winding_resistance"), Some("U-V")));
}

#[test]
fn a_year_in_a_heading_of_readings_is_theirs_and_not_the_line_s() {
    let read = Read::of(text_grid(&[
        "Periodic check 2012 (500 V)",
        "",
        "Tag|Date|Insulation (MΩ)|Insulation 2011 (MΩ)",
        "M04|22/10/2012|42|45",
        "M05|23/10/2012|170|180",
    ]));
    assert_eq!(read.day("C4").as_deref(), Some("2012-10-22"));
    assert_ne!(read.day("D4").as_deref(), Some("2012-10-22"), "{:?}", read.day("D4"));
}

#[test]
fn an_inception_beside_surge_peaks_is_that_of_the_surge() {
    let read = Read::of(text_grid(&[
        "Ensayo de impulso, 4 de diciembre de 2018",
        "",
        "Nº motor|Conexión|Cresta kV|Diferencia %|Tensión de inicio kV",
        "L32-001|U-V|2,4|1,9|3,1",
        "L32-001|V-W|2,4|2,2|3,0",
    ]));
    assert_eq!(read.quantity("E4"), Some("surge_inception_voltage"));
    let discharge = Read::of(text_grid(&[
        "Essai de choc, 4 décembre 2018",
        "",
        "N° moteur|Points|Crête kV|Seuil DP kV",
        "L32-001|U-V|2,4|1,65",
        "L32-001|V-W|2,4|1,70",
    ]));
    assert_ne!(discharge.quantity("D4"), Some("surge_inception_voltage"), "a discharge that the heading names");
}

#[test]
fn terms_of_a_formula_and_ratings_tell_neither_voltage_nor_phases() {
    let surge = Read::of(text_grid(&[
        "Tested 8 May 2017. Test level 2E + 1000 V = 1960 V",
        "",
        "Motor|Leads|Peak kV|Difference %",
        "CR-1|U-V|1.96|2.1",
        "CR-1|V-W|1.95|1.8",
    ]));
    assert_eq!((surge.volts("D4"), surge.volts("D5")), (Some(1960.0), Some(1950.0)));
    let acceptance = Read::of(text_grid(&[
        "MACHINE: 3-BFP-M1|DATE: 11 SEP 2008",
        "RATING: 3.2 MW 11 kV|TEST KV DC: 5.0",
        "",
        "MINUTES|GOHM",
        "0.5|1.62",
        "1|2.35",
        "10|9.40",
    ]));
    assert_eq!((acceptance.quantity("B6"), acceptance.circuit("B6")), (Some("insulation_resistance"), None));
}

#[test]
fn quarters_and_months_take_the_year_over_them_or_in_their_corner() {
    let quarters = Read::of(text_grid(&[
        "Motores - aislamiento a masa (MΩ)",
        "Máquina|2012||||2013|",
        "|1T|2T|3T|4T|1T|2T",
        "Molino 1|35|34|30|36|650|640",
        "Molino 2|42|40|41|39|38|37",
    ]));
    assert_eq!((quarters.day("B4").as_deref(), quarters.day("G5").as_deref()), (Some("2012 Q1"), Some("2013 Q2")));
    let months = Read::of(text_grid(&[
        "Isolement des moteurs par rapport à la masse",
        "",
        "1986|janv.|févr.|mars",
        "|MΩ|MΩ|MΩ",
        "Pulpeur|45|43|42",
        "Raffineur 1|110|105|98",
    ]));
    assert_eq!((months.day("B5").as_deref(), months.day("D6").as_deref()), (Some("1986-01"), Some("1986-03")));
    assert_eq!((months.tag("B5"), months.tag("D6")), (Some("Pulpeur"), Some("Raffineur 1")));
}

#[test]
fn percentages_of_a_voltage_products_and_footnotes_tell_what_they_say() {
    let steps = Read::of(text_grid(&[
        "Final step (100 %) = 14.0 kV DC, each step held 1 minute, all phases joined against frame",
        "Machine: M 7733|Date: 19 November 2014",
        "",
        "Step|% of final|microamps",
        "1|20|0.42",
        "2|60|1.47",
        "3|100|3.48",
    ]));
    assert!(matches!(steps.volts("C5"), None | Some(2800.0)), "{:?}", steps.volts("C5"));
    let noted = Read::of(text_grid(&[
        "Insulation of the stator to earth in MΩ at 60 s, 1000 V",
        "",
        "Date|Motor|Stator",
        "11/03/1991|MILL 1|350",
        "20/03/1992|MILL 1|310 (1)",
        "",
        "(1) read at 30 s, supply cut",
    ]));
    assert_eq!((noted.seconds("C4"), noted.seconds("C5")), (Some(60.0), Some(30.0)));
}

#[test]
fn a_stock_list_registers_no_machines() {
    let stock =
        Read::of(text_grid(&["Bearing|Shelf|Stock|Price", "6215|B27|9|83.8", "6333|B8|33|81.06", "6231|A28|14|17.02"]));
    assert!(stock.0.machines.is_empty(), "{:?}", stock.0.machines);
    let register = Read::of(text_grid(&["Drive|Rated kW|Volts", "P-101|250|6600", "P-102|315|6600", "P-103|55|400"]));
    assert_eq!(register.0.machines.len(), 3);
}
