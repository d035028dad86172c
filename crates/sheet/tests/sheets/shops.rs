//! Sheets of shops and plants whose hands never saw the engine, and what looks like them and is not.
//! Common practice in records, no source; all sheets are invented.

use crate::grid::{Read, grid, text_grid};

#[test]
fn a_letter_led_to_its_unit_by_a_word_is_a_phase_among_phases() {
    let read = Read::rows(&[
        "Isolation gegen Erde, 500 V, 60 s|||",
        "Motor|Datum|U in MΩ|V in MΩ|W in MΩ",
        "P-1|02.03.2009|310|320|305",
    ]);
    assert_eq!((read.circuit("C3"), read.circuit("D3"), read.circuit("E3")), (Some("U-E"), Some("V-E"), Some("W-E")));
    // Alone it is the resistance of whatever was measured, and no phase.
    let read = Read::rows(&["Motor|Datum|R in MΩ", "P-1|02.03.2009|310", "P-2|02.03.2009|330"]);
    assert_eq!(read.circuit("C2"), None);
}

#[test]
fn a_thermometer_is_no_machine() {
    let read = Read::rows(&[
        "Item|Network pump|Tag|NG-3",
        "Date tested|14 June 2011|Tested by|A.W.",
        "",
        "Connection|MΩ after 1 min|MΩ after 10 min",
        "U to earth|640|1860",
        "V to earth|655|1930",
        "",
        "All with 1000 V d.c. Winding at 24 °C (embedded PT100).",
    ]);
    assert_eq!((read.tag("B5"), read.tag("C6")), (Some("NG-3"), Some("NG-3")));
    // Forms side by side have a machine each.
    let read = Read::rows(&[
        "Motor|Fan|Motor|NG-4",
        "Date|14 June 2011|Date|15 June 2011",
        "U-E, MΩ|640|U-E, MΩ|650",
        "V-E, MΩ|630|V-E, MΩ|660",
    ]);
    assert_eq!((read.tag("B3"), read.tag("D3")), (Some("Fan"), Some("NG-4")));
    // "PT-101" is a tag as any other.
    let read = Read::rows(&["Pump motor PT-101, IR in MΩ", "", "Date|U-E|V-E|W-E", "14.03.2011|640|620|650"]);
    assert_eq!(read.tag("B4"), Some("PT-101"));
}

#[test]
fn three_leads_tied_together_are_all_phases() {
    let read = Read::rows(&["3 leads tied together to frame, 2500 V", "", "Date|Tag|1 min, meg", "9/22/87|KD-1|420"]);
    assert_eq!(read.circuit("C4"), Some("UVW-E"));
}

#[test]
fn a_current_beside_a_withstand_test_flowed_in_it() {
    let rows = |unit: &str| {
        Read::of(text_grid(&[
            "Pump|Date|Test|Connection|Applied|Result|Unit",
            "NG-3|4 Oct 2016|IR, 60 s|UVW-PE|1000 V dc|4.6|GΩ",
            &format!("NG-3|4 Oct 2016|DC withstand, after 1 min|UVW-PE|2800 V dc|0.34|{unit}"),
        ]))
    };
    let read = rows("µA");
    assert_eq!(
        (read.quantity("F3"), read.seconds("F3"), read.volts("F3")),
        (Some("leakage_current"), Some(60.0), Some(2800.0))
    );
    assert_eq!(read.seconds("F2"), Some(60.0));
    // A number without a unit is no current.
    assert_eq!(rows("").quantity("F3"), None);
}

#[test]
fn the_voltage_of_a_form_that_tells_the_tests_by_name_is_the_machines() {
    let read = Read::rows(&[
        "Kennzeichen:|4-OM1||Antrieb:|Ofen",
        "Leistung:|630|kW|Spannung:|6000|V",
        "Prüfdatum:|2005-08-23||Prüfer:|H.B.|",
        "Messspannung:|5000|V DC|Wickl.-Temp.:|22|°C",
        "",
        "Riso in GΩ|15 s|60 s|600 s",
        "U gegen Erde|3.9|5.2|17.1",
        "V gegen Erde|3.8|5.1|16.4",
    ]);
    assert_eq!((read.volts("B7"), read.volts("D8")), (Some(5000.0), Some(5000.0)));
}

#[test]
fn ratings_in_a_title_leave_its_test_the_voltage() {
    let read = Read::rows(&[
        "Motor de cinta CT-2, 45 kW, 400 V. Entró el 8 de enero de 2007. Todo el aislamiento medido con 500 V durante 1 minuto.",
        "",
        "Prueba|13/01/2007|24/01/2007|Ud.",
        "Fase U a masa|88|3100|MΩ",
        "Fase V a masa|97|2950|MΩ",
    ]);
    assert_eq!((read.volts("B4"), read.volts("C5"), read.seconds("B4")), (Some(500.0), Some(500.0), Some(60.0)));
    // Two voltages of tests are a choice.
    let read = Read::rows(&[
        "Motor CT-2, 45 kW, 400 V. Aislamiento medido con 500 V, ensayo final con 1000 V.",
        "",
        "Prueba|13/01/2007|24/01/2007|Ud.",
        "Fase U a masa|88|3100|MΩ",
    ]);
    assert_eq!(read.volts("B4"), None);
}

#[test]
fn a_minute_by_its_number_is_a_time() {
    let read = Read::rows(&[
        "Corriente de fuga al final del minuto 1, µA",
        "TAG|fecha|kV cc|U-tierra",
        "RF-1|26-nov-2013|9|2.1",
    ]);
    assert_eq!((read.seconds("D3"), read.quantity("D3")), (Some(60.0), Some("leakage_current")));
}

#[test]
fn days_take_the_year_of_the_title() {
    let read = text_grid(&[
        "RUNDGANG 1979||||",
        "ISOLATION GEGEN ERDE, 500 V, ZEIT 1 MIN, WERTE IN MOHM",
        "",
        "MOTOR|KENNZ.|TAG|L1-E|L2-E|L3-E",
        "Brecher|KB-2|12.3.|40|42|38",
        "Mühle|KM-1|dto.|25|24|26",
        "Band|PB-1|4.5.|7,5|8,0|1,2",
    ]);
    let read = Read::of(read);
    assert_eq!((read.day("D5").as_deref(), read.day("E6").as_deref()), (Some("1979-03-12"), Some("1979-03-12")));
    assert_eq!((read.day("D7").as_deref(), read.tag("D7")), (Some("1979-05-04"), Some("PB-1")));
}

#[test]
fn days_take_the_year_that_stands_alone_over_them() {
    let read = Read::of(grid(&[
        "Todo a tierra con 500 V",
        "Fecha|Motor|Megas",
        "AÑO 1992",
        "23/3|P-1|140",
        "id.|P-2|95",
        "AÑO 1993",
        "4/6|P-1|120",
    ]));
    assert_eq!((read.day("C4").as_deref(), read.day("C5").as_deref()), (Some("1992-03-23"), Some("1992-03-23")));
    assert_eq!(read.day("C7").as_deref(), Some("1993-06-04"));
}

#[test]
fn days_without_a_year_of_their_own_are_asked_about() {
    let with = |title: &str, second: &str| {
        let rows =
            [title, "", "Date|Motor|IR MΩ 500 V", "23/3|P-1|140", &format!("{second}|P-2|95")].map(str::to_owned);
        let rows: Vec<&str> = rows.iter().map(String::as_str).collect();
        Read::of(text_grid(&rows))
    };
    assert_eq!(with("Insulation log 1991", "25/3").day("C4").as_deref(), Some("1991-03-23"));
    // No year, the year of a form, two years, a list that passes the end of the year.
    for title in
        ["Insulation log", "Insulation log, form rev. 1991", "Insulation log 1991/92", "Insulation log 1991 to 1993"]
    {
        assert_eq!(with(title, "25/3").day("C4"), None, "{title}");
    }
    let turning = ["Insulation log 1991", "", "Date|Motor|IR MΩ 500 V", "23/11|P-1|140", "25/2|P-2|95"];
    assert_eq!(Read::of(text_grid(&turning)).day("C5"), None);
    // Both orders are possible.
    assert_eq!(with("Insulation log 1991", "4/6").day("C5").as_deref(), Some("1991-06-04"));
    assert_eq!(
        Read::of(text_grid(&["Insulation log 1991", "", "Date|Motor|IR MΩ 500 V", "5/3|P-1|140", "4/6|P-2|95"]))
            .day("C4")
            .filter(|day| day.len() > 4),
        None
    );
}

#[test]
fn the_machine_over_a_table_is_of_all_its_columns() {
    let read = Read::rows(&[
        "Isolation je Motor, 60 s, 1000 V, Strang gegen Erde",
        "",
        "Motor|BR1|Backenbrecher",
        "Monat|U in MΩ|V in MΩ|W in MΩ|Mittel",
        "Mai 2008|320|335|310|321.67",
        "Juni 2009|300|310|295|301.67",
        "April 2011|290|300|280|290",
        "",
        "Motor|BR2|Kegelbrecher",
        "Monat|U in GΩ|V in GΩ|W in GΩ|Mittel",
        "Mai 2008|1.6|1.7|1.55|1.62",
        "Juni 2009|1.5|1.6|1.5|1.53",
    ]);
    assert_eq!((read.tag("B5"), read.tag("C6"), read.tag("D7")), (Some("BR1"), Some("BR1"), Some("BR1")));
    assert_eq!((read.tag("B11"), read.tag("C11"), read.tag("D12")), (Some("BR2"), Some("BR2"), Some("BR2")));
    assert_eq!((read.circuit("D12"), read.day("D12").as_deref()), (Some("W-E"), Some("2009-06")));
}

#[test]
fn a_rise_of_the_loss_factor_is_computed() {
    let read = Read::rows(&[
        "Verlustfaktor Generator G1, 14.07.2009, gegen Erde",
        "tan δ in %",
        "kV|U|V|W",
        "1.26|0.61|0.63|0.6",
        "2.52|0.69|0.72|0.68",
        "3.78|0.84|0.89|0.83",
        "Δ tan δ 0,2-0,6|0.23|0.26|0.23",
    ]);
    assert_eq!((read.quantity("B6"), read.quantity("B7")), (Some("dissipation_factor"), None));
}

#[test]
fn c_beside_loss_factors_is_the_capacitance() {
    let read = Read::rows(&[
        "Verlustfaktor Generator G1, 14.07.2009, Stränge einzeln gegen Erde",
        "tan δ in %, C in nF",
        "",
        "kV|U||V||W|",
        "|tan δ|C|tan δ|C|tan δ|C",
        "1.26|0.61|84.2|0.63|84.5|0.6|83.9",
        "2.52|0.69||0.72||0.68|",
        "6.3|1.27|85.1|1.36|85.6|1.24|84.8",
    ]);
    assert_eq!(
        (read.quantity("C6"), read.circuit("C6"), read.volts("E8")),
        (Some("capacitance"), Some("U-E"), Some(6300.0))
    );
    assert_eq!((read.circuit("G8"), read.circuit("F8")), (Some("W-E"), Some("W-E")));
    assert_eq!(read.reading("B6").map(|reading| reading.unit.value.ucum), Some("%"));
    // Beside A and B it is the third phase.
    let read = Read::rows(&[
        "Loss factor, generator G1, 14.07.2009, each phase to ground",
        "",
        "kV|A|B|C",
        "1.26|0.0061|0.0063|0.006",
        "2.52|0.0069|0.0072|0.0068",
    ]);
    assert_eq!((read.quantity("D5"), read.circuit("D5")), (Some("dissipation_factor"), Some("W-E")));
}

#[test]
fn a_line_lists_the_connections_of_the_values_in_its_cell() {
    let read = Read::of(text_grid(&[
        "Datum|Maschine|Messung|Ergebnis|Kürzel",
        "02.11.2010|NP-5|Riso U / V / W gegen PE, 1000 V, 1 min|850 / 820 / 870 MOhm|ek",
        "02.11.2010|NP-6|Riso U / V / W gegen PE, 1000 V, 1 min|>1,9 / >2,0 / 1,7 GOhm|ek",
        "09.11.2010|KU-2|Sichtkontrolle|Filter gewechselt, 2 Stück|bs",
        "15.11.2010|KU-3|R U-V / V-W / W-U|1,214 / 1,102 / 1,216 Ohm|ek",
        "16.11.2010|KU-3|Riso gegen PE|310 / 320 / 305 MOhm|ek",
        "17.11.2010|KU-3|Riso U / V / V gegen PE|310 / 320 / 305 MOhm|ek",
    ]));
    let of = |cell: &str, at: usize| {
        let all = read.0.tests.iter().flat_map(|test| &test.readings).filter(|reading| reading.place.cell == cell);
        let told = |reading: &windrow_model::raw::RawReading| {
            (reading.circuit.as_ref().map(|told| told.value.code()), reading.number)
        };
        all.map(told).nth(at)
    };
    assert_eq!((of("D2", 0), of("D2", 2)), (Some((Some("U-E"), 850.0)), Some((Some("W-E"), 870.0))));
    assert_eq!((read.volts("D2"), read.seconds("D2"), read.tag("D2")), (Some(1000.0), Some(60.0), Some("NP-5")));
    assert_eq!((of("D5", 1), read.quantity("D5")), (Some((Some("V-W"), 1.102)), Some("winding_resistance")));
    // Nothing lists the three, or the list names one twice.
    assert!(read.is_held("D6") && read.is_held("D7"));
}

#[test]
fn a_loss_factor_without_a_unit_that_can_only_be_in_percent_is_asked_about() {
    let with = |title: &str, value: &str| {
        let line = format!("1.26|{value}|0.0063|0.006");
        Read::rows(&[
            "Generator G1, 14.07.2009, phases to ground",
            title,
            "",
            "kV|U|V|W",
            &line,
            "2.52|0.0069|0.0072|0.0068",
        ])
    };
    assert_eq!(with("tan δ in %", "0.61").reading("B5").map(|reading| reading.unit.value.ucum), Some("%"));
    assert_eq!(with("tan δ", "0.0061").reading("B5").map(|reading| reading.unit.value.ucum), Some("1"));
    assert!(with("tan δ", "0.61").is_held("B5"));
}

#[test]
fn each_visit_has_its_units_behind_its_values() {
    let rows = |stages: &str| {
        Read::rows(&[
            "Motor P-7, 1 minute, 500 V, other phases to frame",
            "",
            stages,
            "|1999-02-03||1999-02-08|",
            "U / frame|120|kΩ|1.9|GΩ",
            "V / frame|95|kΩ|2.1|GΩ",
            "W / frame|140|kΩ|1.85|GΩ",
        ])
    };
    let unit = |read: &Read, cell: &str| read.reading(cell).map(|reading| reading.unit.value.ucum);
    let read = rows("Test|before drying||after drying|");
    assert_eq!((unit(&read, "B5"), read.circuit("B7"), read.tag("B7")), (Some("kOhm"), Some("W-E"), Some("P-7")));
    assert!(unit(&read, "D5").is_none_or(|unit| unit == "GOhm"));
    // Where the headings are not understood, no unit of another column takes the place of the one behind the number.
    let read = rows("Measured|before oven||after oven|");
    assert!(unit(&read, "B5").is_none_or(|unit| unit == "kOhm") && unit(&read, "D5").is_none_or(|unit| unit == "GOhm"));
}

#[test]
fn units_before_their_numbers_are_not_those_of_the_numbers_before_them() {
    let read =
        Read::rows(&["Motor P-7, 03.02.1999, 1 min, 500 V", "", "Phase|Einheit|Wert", "U-E|kΩ|120", "V-E|MΩ|95"]);
    assert_eq!(read.reading("C4").map(|reading| reading.unit.value.ucum), Some("kOhm"));
    assert_eq!(read.reading("C5").map(|reading| reading.unit.value.ucum), Some("MOhm"));
}

#[test]
fn a_line_of_a_print_tells_all_of_the_value_behind_its_dots() {
    let rows = |again: &str| {
        Read::of(text_grid(&[
            "JOB CARD|W4471",
            "THEIR TAG : CV-8|conveyor head drive",
            "",
            "IN   02 NOV 1996",
            "Windings to core, 3 leads together, 500 V 1 min|3.5 meg|oily",
            "",
            "OUT|19 NOV 1996|(stator cold)",
            "Windings to core, 3 leads together, 1000 V 1 min|1800 meg",
            again,
        ]))
    };
    let read = rows("Same, 10 min|4900 meg");
    assert_eq!((read.volts("B5"), read.seconds("B5"), read.circuit("B5")), (Some(500.0), Some(60.0), Some("UVW-E")));
    assert_eq!(
        (read.volts("B8"), read.day("B8").as_deref(), read.tag("B8")),
        (Some(1000.0), Some("1996-11-19"), Some("CV-8"))
    );
    assert_eq!((read.volts("B9"), read.seconds("B9"), read.circuit("B9")), (Some(1000.0), Some(600.0), Some("UVW-E")));
    assert_eq!((read.day("B5").as_deref(), read.day("B9").as_deref()), (Some("1996-11-02"), Some("1996-11-19")));
    // A label of its own takes nothing over, and never the voltage of another section.
    let read = rows("Rotor to shaft, 10 min|4900 meg");
    assert_ne!(read.volts("B9"), Some(500.0));
    assert_ne!(read.circuit("B9"), Some("UVW-E"));
}

#[test]
fn a_limit_below_the_differences_of_a_surge_comparison_is_none_of_them() {
    let read = Read::of(text_grid(&[
        "Maschine|NP-3|Datum|21.03.2013",
        "",
        "Stoßvergleich|U-V|V-W|W-U",
        "Abweichung in %|0,8|1,1|0,7",
        "Grenze in %|4|4|4",
    ]));
    assert_eq!((read.quantity("B4"), read.circuit("C4")), (Some("surge_difference"), Some("V-W")));
    assert_eq!(read.reading("B5"), None);
}

#[test]
fn three_values_under_three_phases_to_earth_are_theirs() {
    let with = |head: &str, cell: &str| {
        Read::of(text_grid(&[
            "Insul. resistance (MΩ)",
            "",
            &format!("Motor|Date of test|{head}"),
            &format!("P-340|1985-12-06|{cell}"),
            "P-341|1987-09-20|127 / 132 / 138",
        ]))
    };
    let read = with("L1/L2/L3 to earth", "39.0 / 40.7 / 42.5");
    assert_eq!((read.circuit("C4"), read.reading("C4").map(|reading| reading.number)), (Some("U-E"), Some(39.0)));
    // Two values under three phases, and three under all of them together, are asked about.
    assert!(with("L1/L2/L3 to earth", "39.0 / 40.7").is_held("C4"));
    assert!(with("L1-L2-L3 to earth", "39.0 / 40.7 / 42.5").is_held("C4"));
}
