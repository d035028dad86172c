//! Families of records that the engine once did not read: exports of instruments and databases, tables beside earlier readings, withstand
//! tests. Common practice in records, no source; all sheets are invented.

use crate::grid::{Read, text_grid};

#[test]
fn a_machine_and_its_terminals_in_one_cell_are_both_told() {
    let read = Read::of(text_grid(&[
        "No|Time|Object|Function|U nominal|U actual|Time [s]|Result",
        "1|2021-05-04 08:41:09|FP-3 U-PE|RISO|500 V|519 V|60 s|2.1 GΩ",
        "2|2021-05-04 08:44:30|FP-3 V-PE|RISO|500 V|519 V|60 s|> 100 GΩ",
        "3|2021-05-04 08:47:12|FP-4 U-PE|RISO|500 V|488 V|60 s|870 MΩ",
    ]));
    assert_eq!((read.tag("H2"), read.circuit("H2"), read.volts("H2")), (Some("FP-3"), Some("U-E"), Some(519.0)));
    assert_eq!((read.tag("H4"), read.circuit("H4"), read.volts("H4")), (Some("FP-4"), Some("U-E"), Some(488.0)));
    assert_eq!(read.quantity("H3"), Some("insulation_resistance"));
    // What the tester was set to is no rating of the machine.
    assert!(read.0.tests.iter().all(|test| test.machine.plate.is_empty()));
}

#[test]
fn readings_of_last_year_are_of_the_year_before_and_take_no_temperature_of_this_one() {
    let read = Read::rows(&[
        "Insulation resistance to ground, 1 minute, megohms",
        "Date|Motor|Megohms|Last year|Goal|Temp F winding",
        "2001-03-14|FAN 1|220|260|100|68",
        "2001-03-15|FAN 2|180|190|100|77",
    ]);
    assert_eq!((read.day("C3").as_deref(), read.celsius("C3")), (Some("2001-03-14"), Some(20.0)));
    assert_eq!((read.day("D3").as_deref(), read.celsius("D3")), (Some("2000"), None));
    assert_eq!(read.tag("D4"), Some("FAN 2"));
    assert!(read.reading("E3").is_none());
}

#[test]
fn a_previous_reading_of_a_day_that_is_not_told_waits_for_a_person() {
    for heading in ["Previous reading", "Letzter Messwert", "Valeur précédente", "Lectura anterior"] {
        let head = format!("Date|Motor|MΩ|{heading}");
        let read = Read::rows(&[
            "Insulation resistance, megohms",
            &head,
            "2001-03-14|P-101|220|260",
            "2001-03-15|P-102|180|190",
        ]);
        assert!(read.reading("C3").is_some(), "{heading}");
        assert!(read.is_held("D3") && read.reading("D3").is_none(), "{heading}");
    }
}

#[test]
fn milliamperes_beside_a_test_voltage_are_measured() {
    let read = Read::rows(&[
        "Wechselspannungsprüfung 50 Hz, 1 min, Strang gegen Erde",
        "Maschine: G-7",
        "Datum: 21.08.2013",
        "Strang|Prüfspannung kV|Strom mA|Ergebnis",
        "U|9|412|bestanden",
        "V|9|415|bestanden",
        "W|9|409|bestanden",
    ]);
    assert_eq!((read.quantity("C5"), read.circuit("C5")), (Some("leakage_current"), Some("U-E")));
    assert_eq!((read.volts("C6"), read.seconds("C6")), (Some(9000.0), Some(60.0)));
    assert!(read.0.tests.iter().all(|test| test.kind == windrow_model::TestKind::AcWithstand));
}

#[test]
fn whole_amperes_beside_a_rating_stay_on_the_plate() {
    let read = Read::rows(&["Motor|Nennstrom A|Riso MΩ|Datum", "P-101|41|1200|2011-03-04", "P-102|38|1300|2011-03-04"]);
    assert!(read.reading("B2").is_none());
    assert_eq!(read.quantity("C2"), Some("insulation_resistance"));
}

#[test]
fn a_title_that_tells_a_temperature_heads_no_temperatures() {
    let read = Read::rows(&[
        "Turbogenerador TG-2",
        "Resistencia óhmica del estator, fecha 06 de junio de 2014",
        "Temperatura media del devanado: 24,5 °C (6 RTD). Corriente de medida 50 A. Lecturas en microohmios",
        "Fase|Lectura|Fábrica a 75 °C",
        "U|4812|5742",
        "V|4820|5742",
        "W|4826|5742",
    ]);
    assert_eq!((read.quantity("B5"), read.circuit("B5")), (Some("winding_resistance"), Some("U")));
    let stored = read.reading("B5").map(|reading| reading.unit.value.to_stored(reading.number));
    assert!(stored.is_some_and(|ohms| (ohms - 0.004_812).abs() < 1e-12));
    assert_eq!(read.celsius("B5"), Some(24.5));
    assert!(read.reading("C5").is_none(), "what the factory told is no reading of this test");
}

#[test]
fn the_end_of_the_scale_that_a_form_tells_holds_for_what_is_over_it() {
    for told in [
        "Equipo de medida: 500 V, fondo de escala 1000 MΩ (OL = fuera de escala)",
        "Instrument: 500 V tester, full scale 1000 MΩ",
        "Messgerät: 500 V, Skalenendwert 1000 MΩ",
        "Appareil: 500 V, fin d'échelle 1000 MΩ",
    ] {
        let read = Read::rows(&[
            told,
            "Fecha: 2016-05-11",
            "Motor|Conexión|MΩ (1 min)",
            "EX-1|U-tierra|OL",
            "EX-2|U-tierra|864",
        ]);
        let over = read.reading("C4").map(|reading| (reading.unit.value.to_stored(reading.number), reading.bound));
        assert_eq!(over, Some((1e9, windrow_model::Bound::AtLeast)), "{told}");
    }
}

#[test]
fn the_resistance_of_a_winding_is_read_whatever_it_is_called() {
    for named in ["Résistance bobinage", "Resistance of coils", "Widerstand Wicklung", "Resistencia devanado"] {
        let read = Read::of(text_grid(&[
            "Equipement|Date|Grandeur|Points|Valeur|Unité",
            "P-101|14/06/2019|Isolement 500 V 1 min|U-masse|182|Mohm",
            &format!("P-101|14/06/2019|{named}|U-V|0,846|ohm"),
            &format!("P-101|14/06/2019|{named}|V-W|0,851|ohm"),
        ]));
        assert_eq!((read.quantity("E3"), read.circuit("E3")), (Some("winding_resistance"), Some("U-V")), "{named}");
        assert_eq!(read.quantity("E2"), Some("insulation_resistance"), "{named}");
    }
}

#[test]
fn a_degree_of_protection_is_no_polarization_index() {
    for heading in ["Degré IP", "IP rating", "IP-Schutzart", "Grado IP"] {
        let read = Read::rows(&[
            &format!("Tag|kW|{heading}|R60 (MΩ)|Date"),
            "VT-01|37|55|415|2022-11-07",
            "VT-02|45|54|398|2022-11-07",
        ]);
        assert!(read.reading("C2").is_none(), "{heading}");
        assert!(read.reading("D2").is_some(), "{heading}");
    }
}

#[test]
fn the_last_line_of_a_listing_counts_its_records() {
    let read = Read::of(text_grid(&[
        "LISTADO DE AISLAMIENTO, MEGAOHMIOS",
        "FECHA|MOTOR|1 MIN|10 MIN",
        "18-11-2013|BAP-01|1250|3875",
        "19-11-2013|BAP-02|1410|4230",
        "FIN DEL LISTADO||4 REGISTROS",
    ]));
    assert!(read.reading("C3").is_some());
    assert!(read.reading("C5").is_none());
}

#[test]
fn what_a_cell_reaches_down_to_is_of_its_record_and_a_group_has_its_own_units() {
    let mut grid = text_grid(&[
        "|||insulation||||resistance||",
        "tag|date|temp|unit|point|60 s|600 s|unit|point|value",
        "P-101|2016-11-23|17 °C|MOhm|R-E|5200|18100|milliohm||",
        "||||Y-E|5350|18300|||",
        "||||||||R-Y|412.5",
        "||||||||Y-B|413.1",
        "P-102|2016-11-24|18 °C|GOhm|R-E|4.9|16.6|milliohm||",
        "||||Y-E|5.05|17.2|||",
        "||||||||R-Y|402.5",
    ]);
    for (column, left) in [(3, 3), (7, 7)] {
        grid.merges.push(windrow_source::Area {
            top: 0,
            left,
            bottom: 0,
            right: column + if column == 3 { 3 } else { 2 },
        });
    }
    for (top, bottom) in [(2, 5), (6, 8)] {
        for column in [0, 1, 2, 3, 7] {
            grid.merges.push(windrow_source::Area { top, left: column, bottom, right: column });
        }
    }
    grid.finish();
    let read = Read::of(grid);
    let ohms = |cell: &str| read.reading(cell).map(|reading| reading.unit.value.to_stored(reading.number));
    assert_eq!((ohms("F3"), ohms("F7")), (Some(5.2e9), Some(4.9e9)));
    assert_eq!((read.tag("J6"), read.circuit("J6"), ohms("J6")), (Some("P-101"), Some("V-W"), Some(0.4131)));
    assert_eq!((read.tag("J9"), read.circuit("J9")), (Some("P-102"), Some("U-V")));
}

#[test]
fn lines_of_labels_that_tell_all_are_read_section_by_section() {
    let read = Read::of(text_grid(&[
        "Moteur à courant continu, repère MCC-12",
        "Date : 18 février 2004",
        "Température des enroulements : 27 °C",
        "",
        "Isolement induit / masse, 500 V, 1 min : 12,5 Mohms",
        "Isolement inducteurs / masse, 500 V, 1 min : 185 Mohms",
        "Résistance inducteurs : 31,4 ohms",
        "",
        "Après étuvage 24 h, le 20 février 2004, enroulements à 35 °C :",
        "Isolement induit / masse, 500 V, 1 min : 64 Mohms",
        "Minimum admis : 1 Mohm + 1 par kV",
    ]));
    assert_eq!((read.circuit("A5"), read.volts("A5"), read.seconds("A5")), (Some("A-E"), Some(500.0), Some(60.0)));
    assert_eq!((read.day("A5").as_deref(), read.celsius("A5")), (Some("2004-02-18"), Some(27.0)));
    assert_eq!((read.circuit("A6"), read.tag("A6")), (Some("F-E"), Some("MCC-12")));
    assert_eq!((read.quantity("A7"), read.circuit("A7")), (Some("winding_resistance"), None));
    assert_eq!((read.day("A10").as_deref(), read.celsius("A10")), (Some("2004-02-20"), Some(35.0)));
    let stage = |cell: &str| {
        let test = read.0.tests.iter().find(|test| test.readings.iter().any(|reading| reading.place.cell == cell));
        test.and_then(|test| test.stage.as_ref()).map(|told| told.value)
    };
    assert_eq!((stage("A5"), stage("A10")), (None, Some(windrow_model::Stage::AfterDrying)));
    assert!(read.reading("A11").is_none());
}

#[test]
fn a_resistance_told_in_a_sentence_stays_visible_as_unread() {
    for text in [
        "a) Motor n.º 4423 (soplante), 55 kW: mayor que 10.000 MΩ.",
        "BEFORE CLEANING LAST YEAR FAN B GAVE 38 MEG AT 1 MIN",
        "U-V 0,1482, V-W 0,1484, W-U 0,1483. Desequilibrio inferior al 0,5 %.",
    ] {
        let read = Read::of(text_grid(&["Acta de ensayo de motores, 14 de octubre de 2003", text]));
        let unread = read
            .0
            .cells
            .iter()
            .any(|mark| mark.place.cell == "A2" && mark.disposition == windrow_model::Disposition::Unread);
        assert!(unread, "{text}: {:?}", read.0.cells);
    }
}

#[test]
fn a_preposition_in_capitals_is_no_unit() {
    let read = Read::of(text_grid(&[
        "GENERADOR GEN-2",
        "ENSAYO POR ESCALONES, TRES FASES UNIDAS A MASA, LECTURA A 1 Y 10 MIN",
        "KVCC|UA 1M|UA 10M",
        "2|2,1|0,7",
        "4|4,4|1,5",
        "6|6,9|2,6",
    ]));
    let amperes = read.reading("B4").map(|reading| reading.unit.value.to_stored(reading.number));
    assert!(amperes.is_some_and(|amperes| (amperes - 2.1e-6).abs() < 1e-12), "{amperes:?}");
}

#[test]
fn what_a_machine_runs_on_is_not_what_it_was_tested_with() {
    let kinds = |title: &str| {
        let read = Read::rows(&[
            title,
            "Motor|Date|Test voltage kV|Leakage uA",
            "P-1|2001-03-14|5|1.2",
            "P-2|2001-03-14|5|1.4",
        ]);
        let kinds: Vec<&str> = read.0.tests.iter().map(|test| test.kind.code()).collect();
        kinds.join(" ")
    };
    for title in
        ["AC MOTOR LEAKAGE TEST", "A.C. motors, DC withstand", "Moteurs à courant alternatif, courant de fuite"]
    {
        assert_eq!(kinds(title), "dc_withstand dc_withstand", "{title}");
    }
    assert_eq!(kinds("AC withstand of motors"), "ac_withstand ac_withstand");
}

/// A ramp of 1 kV/min (paper on ramp tests); the same columns under another title are steps.
#[test]
fn a_direct_voltage_raised_steadily_is_a_ramp_where_the_title_says_so() {
    let kind = |title: &str| {
        let read = Read::rows(&[title, "Motor: P-1", "Date: 2001-03-14", "kV|uA", "2|0.31", "4|0.66", "6|1.05"]);
        assert_eq!((read.0.tests.len(), read.volts("B6")), (1, Some(4000.0)), "{title}");
        read.0.tests[0].kind
    };
    for title in ["DC ramp test, 1 kV/min", "Spannungsrampe, Gleichspannung", "RAMPA DE TENSION CC 1 KV/MIN"] {
        assert_eq!(kind(title), windrow_model::TestKind::DcRamp, "{title}");
    }
    assert_eq!(kind("DC step test, all phases to earth"), windrow_model::TestKind::DcStep);
}
