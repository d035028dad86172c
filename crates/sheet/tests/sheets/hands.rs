//! Layouts as different hands wrote them: where units, times, machines and corrections stand when no form prescribes it.
//! Common practice, no source.

use crate::grid::Read;

#[test]
fn names_at_the_left_of_tables_below_each_other_part_their_machines() {
    let read = Read::texts(&[
        "Kiln line - what was measured",
        "",
        "KF-1  ID FAN   800 hp",
        "|When|1 min|10 min|At volts",
        "|Mar 1987|310 Mohm|760 Mohm|2500",
        "|Feb 1990: to winder, coils renewed.",
        "|17 Mar 1990|4.1 Gohm|18 Gohm|2500",
        "",
        "KD-1  MAIN DRIVE   400 hp",
        "|When|1 min|10 min|At volts",
        "|Apr 1988|2.2 Mohm||500",
        "|June 1989|1.4 Mohm||500",
    ]);
    for (cell, machine) in [("C5", "KF-1"), ("C7", "KF-1"), ("C11", "KD-1"), ("C12", "KD-1")] {
        assert_eq!(read.tag(cell), Some(machine), "{cell}");
    }
}

#[test]
fn a_note_of_units_under_the_readings_tells_their_quantity() {
    let read = Read::texts(&[
        "Motor: MB-22|||Fecha: 27/08/2010",
        "",
        "Fase|30 s|60 s|10 min|DAR|IP",
        "U|200|330|900|1.65|2.73",
        "V|210|340|950|1.62|2.79",
        "W|190|320|870|1.68|2.72",
        "Valores en MΩ",
    ]);
    assert_eq!((read.quantity("C4"), read.seconds("C4")), (Some("insulation_resistance"), Some(60.0)));
    let again = Read::texts(&[
        "Pompe|2004|2005|2006",
        "GMP 1|420|400|380",
        "GMP 2|1500|1850|1700",
        "Température des bobinages (°C)",
        "Pompe|2004|2005|2006",
        "GMP 1|21|24|19",
        "GMP 2|21|25|19",
    ]);
    assert_eq!(again.quantity("B6"), None, "a title of the next table is no note on this one");
}

#[test]
fn pairs_of_numbered_terminals_and_ratios_head_columns() {
    let read = Read::texts(&[
        "TERMINAL RESISTANCE - BRIDGE READINGS",
        "Ohms, leads subtracted||||||corr. to 25C",
        "Motor|Date|Wdg F|1-2|2-3|3-1|Avg",
        "2A REFINER|11/19/74|70|.0512|.0514|.0513|.0522",
        "BLOWER 6|11/21/74|66|1.204|1.211|1.206|1.235",
    ]);
    assert_eq!((read.quantity("D4"), read.circuit("E4")), (Some("winding_resistance"), Some("V-W")));
    assert_eq!((read.tag("D4"), read.tag("D5")), (Some("2A REFINER"), Some("BLOWER 6")));
    assert_eq!(
        read.reading("D4").map(|reading| reading.as_reported.code()),
        Some("as_read"),
        "corr. is over Avg alone"
    );
    let ratios = Read::texts(&[
        "Readings in megohms",
        "Connection|15 sec|1 min|10 min|10/1 min",
        "Red - earth|140|310|880|2.84",
        "Blue - earth|138|300|850|2.83",
    ]);
    assert_eq!((ratios.seconds("C3"), ratios.seconds("D4")), (Some(60.0), Some(600.0)));
    assert_ne!(ratios.quantity("E3"), Some("insulation_resistance"));
}

#[test]
fn units_in_a_line_under_an_axis_and_times_of_a_clock_hold_for_their_columns() {
    let read = Read::texts(&[
        "Absorption tests, condensate pump motors",
        "Motor|CEP-A|CEP-B|CEP-C",
        "Date|2007-10-08|2007-10-08|2007-10-11",
        "d.c. volts|5000|5000|2500",
        "Elapsed (min:s)|GΩ|MΩ|MΩ",
        "0:15|1.1|240|31",
        "1:00|2.1|450|38",
        "10:00|6.2|1150|42",
    ]);
    let value = |cell: &str| read.reading(cell).map(|reading| reading.unit.value.to_stored(reading.number));
    assert_eq!((value("B7"), read.seconds("B7"), read.tag("B7")), (Some(2.1e9), Some(60.0), Some("CEP-A")));
    assert_eq!((value("D8"), read.seconds("D8"), read.volts("D8")), (Some(42e6), Some(600.0), Some(2500.0)));
}

#[test]
fn a_thousand_volts_written_with_a_point_are_not_one_volt() {
    let read = Read::texts(&[
        "Limpieza de motores, 1.000 V, 1 min, MΩ",
        "Motor|Fecha|Antes|Después de limpieza",
        "GR-11|18/02/2014|22|310",
        "GR-12|19/02/2014|8,5|260",
    ]);
    assert_eq!((read.volts("C3"), read.volts("D4")), (Some(1000.0), Some(1000.0)));
    let stage = |cell: &str| {
        let tests = read.0.tests.iter().filter(|test| test.readings.iter().any(|reading| reading.place.cell == cell));
        tests.filter_map(|test| test.stage.as_ref()).map(|told| told.value.code()).next()
    };
    assert_eq!((stage("C3"), stage("D3")), (Some("as_found"), Some("after_cleaning")));
}

#[test]
fn each_table_says_itself_whether_it_is_corrected() {
    let read = Read::texts(&[
        "Résistances entre bornes (mΩ)",
        "Moteur|Date|T° (°C)|U-V|V-W|W-U|Moy. à 20 °C",
        "Concasseur C1|12/01/2016|11|18,42|18,45|18,40|19,1",
        "Concasseur C2|13/01/2016|11|18,51|18,49|18,50|19,5",
        "",
        "Valeurs constructeur, déjà ramenées à 20 °C (mΩ)",
        "Moteur|Date||U-V|V-W|W-U",
        "Concasseur C1|15/01/2016||18,9|18,9|18,9",
    ]);
    let reported = |cell: &str| read.reading(cell).map(|reading| reading.as_reported.code());
    assert_eq!((reported("D3"), reported("D8")), (Some("as_read"), Some("corrected")));
}

#[test]
fn warm_windings_are_no_correction_and_a_range_ends_as_the_sheet_writes_numbers() {
    let read = Read::texts(&[
        "Motores: aislamiento (MΩ), 1 min, 1 kV",
        "TAG|Fecha|Fase U|Fase V|Fase W",
        "PM-5001|15/09/2009|980|965|990",
        "PM-5002|15/09/2009|45|44,5|41",
        "PM-5003|16/09/2009|OL|OL|OL",
        "Devanados a 25 ºC. OL = fuera de escala (4.000 MΩ).",
        "",
        "Motores: resistencia (Ω)",
        "TAG|Fecha|U-V|V-W|W-U",
        "PM-5001|15/09/2009|0,231|0,232|0,231",
    ]);
    let value = |cell: &str| read.reading(cell).map(|reading| reading.unit.value.to_stored(reading.number));
    assert_eq!(value("C5"), Some(4e9));
    let told = read.reading("C10").map(|reading| (reading.quantity.value.code(), reading.as_reported.code()));
    assert_eq!(told, Some(("winding_resistance", "as_read")));
}

#[test]
fn cables_are_no_machines() {
    let read = Read::texts(&[
        "TAG|Fecha|Aislamiento MΩ",
        "PM-5001|15/09/2009|980",
        "PM-5002|15/09/2009|45",
        "",
        "Cable|Sección mm²|Longitud m|Aislamiento MΩ",
        "C-5001|95|120|2500",
        "C-5002|95|135|2600",
    ]);
    assert!(read.reading("C2").is_some());
    assert!(read.reading("D6").is_none() && read.reading("D7").is_none());
}

#[test]
fn a_ditto_mark_between_another_machine_and_another_reading_is_asked_about() {
    let read =
        Read::texts(&["MOTOR|FECHA|A-TIERRA MΩ|B-TIERRA MΩ", "BOMBA 1|12/03/88|45|47", "BOMBA 2|12/03/88|110|\""]);
    assert!(read.is_held("D3"));
    let same = Read::texts(&["Motor|Date|U-E MΩ|V-E MΩ", "P-101|12/03/88|45|47", "P-101|14/03/89|45|\""]);
    assert_eq!(same.reading("D3").map(|reading| reading.number), Some(47.0));
}

#[test]
fn names_of_letters_that_are_short_for_other_things_are_names() {
    let read = Read::texts(&[
        "Campagnes d'isolement - moteurs convoyeurs (lecture 1 mn, 500 V)",
        "Moteur|mars 2010||mars 2011|",
        "|MΩ|T °C|MΩ|T °C",
        "CV-A|520|17|480|15",
        "CV-B|44|17|39|15",
    ]);
    assert_eq!((read.tag("B4"), read.celsius("D5")), (Some("CV-A"), Some(15.0)));
    let halls = Read::texts(&[
        "Motor|Jan 1994|Feb 1994",
        "SH-FAN-1|45 MΩ|42 MΩ",
        "SH-FAN-2|90 MΩ|95 MΩ",
        "SH-MAIN N|20 MΩ|19 MΩ",
    ]);
    assert_eq!(halls.tag("B4"), Some("SH-MAIN N"));
}

#[test]
fn a_ticked_box_chooses_the_unit_and_two_units_of_a_title_are_asked_about() {
    let form = |units: &str| {
        Read::texts(&[
            "Equipment no.:|11-M-8||Date:|04/17/2002||Test kV DC:|2.5",
            units,
            "Seconds|15|30|60|600",
            "A-G|103|114|130|236",
            "B-G|107|119|135|246",
        ])
    };
    let ticked = form("Units:  MΩ [X]  GΩ [ ]");
    assert_eq!(ticked.reading("D4").map(|reading| reading.unit.value.ucum), Some("MOhm"));
    assert!(form("Insulation resistance (MΩ), long tests (GΩ)").reading("D4").is_none());
}

#[test]
fn quarters_are_no_months() {
    let read = Read::texts(&[
        "Isolation in MOhm, Meßspannung 500 V",
        "Quartal|Motor|Iso|Wickl. °C",
        "I/98|Pumpe 1|220|18",
        "III/98|Pumpe 2|80|27",
    ]);
    assert_eq!(read.date("C4").map(|date| date.precision), Some(windrow_model::Precision::Quarter));
    assert_eq!(read.date("C4").map(|date| date.first.to_string()).as_deref(), Some("1998-07-01"));
}

#[test]
fn coils_at_twenty_degrees_are_warm_and_not_corrected() {
    let read = Read::texts(&[
        "Groupe G4 - rotor à 8 pôles - 25 août 2009 - bobines à 20 °C",
        "Pôle|Résistance (mΩ)",
        "1|18,21",
        "2|18,25",
    ]);
    let corrected =
        read.0.tests.iter().flat_map(|test| &test.readings).any(|reading| reading.as_reported.code() == "corrected");
    assert!(!corrected);
}

#[test]
fn a_voltage_beside_a_power_is_of_the_nameplate() {
    let read = Read::texts(&[
        "Motor MT-7701||1.250 kW|6.000 V",
        "Fecha: 23 de julio de 2019",
        "",
        "Resistencia de aislamiento, MΩ",
        "Fase|1 min|10 min",
        "U - tierra|342|1310",
        "V - tierra|350|1320",
    ]);
    assert_eq!(read.volts("B6"), None);
}

#[test]
fn a_year_over_volts_leaves_them_the_test_voltage() {
    let read = Read::texts(&[
        "MOTOR IR HISTORY (1 MIN)",
        "Motor|1999|||2001||",
        "|MΩ|Wdg °F|V|MΩ|Wdg °F|V",
        "K-401|1500|77|1000|1350|80|2500",
        "K-402|88|77|500|95|78|500",
    ]);
    assert_eq!((read.volts("B4"), read.volts("E4")), (Some(1000.0), Some(2500.0)));
    assert_eq!(read.day("E5").as_deref(), Some("2001"));
}

#[test]
fn one_of_two_machines_is_asked_about() {
    let read =
        Read::texts(&["Motor|Fecha|Lectura|Unidad", "Bomba 2 ó 3|12/01/2004|340|MΩ", "Bomba 1|12/01/2004|95|MΩ"]);
    assert!(read.is_held("C2"));
    assert_eq!(read.tag("C3"), Some("Bomba 1"));
}

#[test]
fn signs_in_a_column_of_their_own_are_the_bounds_of_their_numbers() {
    let behind = Read::texts(&[
        "Motor|Fecha|Aisl. MΩ|Signo|Vdc",
        "PZ-01|18/01/1999|350||500",
        "PZ-02|18/01/1999|2000|>|500",
        "PZ-03|18/01/1999|0.1|<|500",
    ]);
    let bound = |read: &Read, cell: &str| read.reading(cell).map(|reading| reading.bound.code());
    assert_eq!(
        (bound(&behind, "C2"), bound(&behind, "C3"), bound(&behind, "C4")),
        (Some("exact"), Some("at_least"), Some("at_most"))
    );
    let before = Read::texts(&["Motor|Date||IR MΩ|Remarks", "P-1|18/01/1999|>|2000|", "P-2|18/01/1999||350|"]);
    assert_eq!((bound(&before, "D2"), bound(&before, "D3")), (Some("at_least"), Some("exact")));
}

#[test]
fn names_of_fields_tell_terminals_and_no_minutes() {
    let read = Read::texts(&[
        "motor|date|r_1_2|r_2_3|r_3_1|unit",
        "LIFT A|2011-02-07|3.91|3.92|3.90|ohm",
        "LIFT B|2011-02-07|479|481|522|mohm",
    ]);
    assert_ne!(read.quantity("C2"), Some("insulation_resistance"));
    assert_ne!(read.quantity("C3"), Some("insulation_resistance"));
}

#[test]
fn a_number_before_a_date_is_no_part_of_it() {
    let read = Read::texts(&[
        "Tangente delta del estator, Generador 4, 12 de septiembre de 2016",
        "kV|Fase A|Fase B|Fase C",
        "|tg δ %|tg δ %|tg δ %",
        "2|0,62|0,61|0,66",
        "4|0,65|0,64|0,78",
    ]);
    assert_eq!(read.day("B4").as_deref(), Some("2016-09-12"));
}

#[test]
fn all_at_twenty_degrees_is_no_correction_and_the_first_arc_no_applied_voltage() {
    let read = Read::texts(&[
        "SURGE COMPARISON SHEET",
        "MOTOR|DATE|PEAK V|DIFF %|FIRST ARC V",
        "SAW 2|13/02/13|2040|11.8|1450",
        "BLOWER 9|14/02/13|3000|0.8|",
        "",
        "ALL AT 20 C.",
    ]);
    let told = read.reading("D3").map(|reading| (reading.as_reported.code(), read.volts("D3")));
    assert_eq!(told.map(|(reported, _)| reported), Some("as_read"));
    assert_ne!(told.and_then(|(_, volts)| volts), Some(1450.0));
}

#[test]
fn sections_of_a_form_keep_their_units() {
    let read = Read::texts(&[
        "Gleichstrommotor - Messblatt",
        "Motor|WM 1||Prüfdatum|17.10.1979",
        "1. Isolation gegen Gehäuse mit 500 V (MΩ)",
        "Anker|3,5",
        "Nebenschluss (Feld)|12",
        "2. Widerstände (Ω)",
        "Anker|0,0121",
        "Nebenschluss (Feld)|64,2",
    ]);
    let value = |cell: &str| read.reading(cell).map(|reading| reading.unit.value.to_stored(reading.number));
    assert_eq!(value("B5"), Some(12e6));
    assert_ne!(read.quantity("B8"), Some("insulation_resistance"));
}

#[test]
fn a_lone_u_beside_w_is_a_phase_and_no_voltage() {
    let read = Read::texts(&["Motor: AHU-1", "All with 500 V, one minute, phase to earth", "U|1.4 V|W|1.5 MΩ"]);
    assert_ne!(read.volts("D3"), Some(1400.0));
}

#[test]
fn inception_rows_in_a_table_of_charges_are_voltages() {
    let read = Read::texts(&[
        "Generator 5 - off-line partial discharge, 19 August 2015",
        "Apparent charge Qm in nC",
        "kV r.m.s. to earth|Phase A|Phase B|Phase C",
        "1.6|0.2|0.3|0.1",
        "3.2|0.8|1.4|0.9",
        "4.8|2.2|5.1|2.6",
        "Inception, kV|4.1|3|3.9",
    ]);
    assert_eq!((read.quantity("B5"), read.volts("B5")), (Some("pd_magnitude"), Some(3200.0)));
    assert_ne!(read.quantity("B7"), Some("pd_magnitude"));
}

#[test]
fn voltage_over_current_beside_both_is_computed() {
    let read = Read::texts(&[
        "Generador GEN-2, 19/07/1991, ensayo por escalones, U V W unidas a masa",
        "Escalón|kV cc|µA 1 min|µA 10 min|MΩ 10 min",
        "1|2|2,1|0,7|2857",
        "2|4|4,4|1,5|2667",
        "3|6|6,9|2,6|2308",
    ]);
    assert_eq!(read.quantity("D3"), Some("leakage_current"));
    assert!(read.reading("E3").is_none() && read.reading("E5").is_none(), "kept as computed, not as a reading");
}
