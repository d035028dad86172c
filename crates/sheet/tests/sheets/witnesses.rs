//! What stands nearer to a reading than the title it was read by, and speaks against it; and what looks like it and does not.
//! Common practice in records, no source; all sheets are invented.

use crate::grid::{Read, text_grid};
use windrow_model::{Quantity, Question};

/// A register of one machine with this remark beside its second reading.
fn register(remark: &str) -> Read {
    Read::rows(&[
        "Register of insulation, megohms to earth, 500 V, 1 min",
        "Date|Machine|Reading|Remarks",
        "07.01.1994|FW-1|38|",
        &format!("22.04.1994|FW-1|31|{remark}"),
    ])
}

#[test]
fn a_remark_on_another_voltage_or_time_takes_that_of_the_title_away() {
    for (remark, volts, seconds) in [
        ("250 V (small tester)", Some(250.0), Some(60.0)),
        ("1000 volts this time", Some(1000.0), Some(60.0)),
        ("30 secs only, shift ended", Some(500.0), None),
        ("rewound for 4160 V", Some(500.0), Some(60.0)),
        ("as always at 500 V", Some(500.0), Some(60.0)),
        ("motor 1450 1/min", Some(500.0), Some(60.0)),
        ("cold, damp", Some(500.0), Some(60.0)),
    ] {
        let read = register(remark);
        assert_eq!((read.volts("C4"), read.seconds("C4")), (volts, seconds), "{remark}");
        assert_eq!((read.volts("C3"), read.seconds("C3")), (Some(500.0), Some(60.0)), "{remark}");
    }
}

#[test]
fn what_is_left_out_is_told_in_the_derivation() {
    let read = register("30 secs only, shift ended");
    let told = read.reading("C4").map(|reading| reading.steps.clone()).unwrap_or_default();
    let step = told.iter().find(|step| step.step == "left out").map(|step| step.detail.to_string());
    assert!(step.as_deref().is_some_and(|step| step.starts_with("60 s told by")), "{step:?}");
    assert!(register("cold").reading("C4").is_some_and(|reading| reading.steps.is_empty()));
}

#[test]
fn a_remark_that_names_another_unit_is_asked_about() {
    let read = register("GΩ, just rewound");
    assert_eq!((read.quantity("C4"), read.quantity("C3")), (None, Some("insulation_resistance")));
    assert!(read.is_held("C4"));
    assert_eq!(register("was 2 GΩ when new").value("C4"), Some(31e6));
}

#[test]
fn a_page_head_speaks_for_its_page_and_no_longer() {
    let page = |volts: &str, unit: &str, motor: &str| {
        vec![
            format!("TEST VOLTAGE {volts}|UNIT|{unit}|ALL PHASES TO GROUND"),
            "MOTOR|DATE|1 MIN|CREW".to_owned(),
            format!("{motor}|12.03.1998|1.85|GH"),
            format!("{motor}|01.03.1999|1.92|GH"),
        ]
    };
    let rows: Vec<String> =
        page("500 VDC", "MEGOHMS", "LT-1").into_iter().chain(page("2500 VDC", "GIGOHMS", "LT-2")).collect();
    let rows: Vec<&str> = rows.iter().map(String::as_str).collect();
    let read = Read::of(text_grid(&rows));
    for cell in ["C7", "C8"] {
        assert!(read.value(cell).is_none_or(|ohms| ohms > 1e9), "{cell}: {:?}", read.value(cell));
        assert!(read.volts(cell).is_none_or(|volts| (volts - 2500.0).abs() < 1e-9), "{cell}");
    }
    assert_eq!((read.value("C3"), read.value("C7")), (Some(1.85e6), Some(1.85e9)));
}

#[test]
fn a_note_between_two_parts_of_a_log_ends_the_voltage_of_its_title() {
    let rows = |note: &str| {
        let read = Read::rows(&[
            "Motor log, stator, 2500 V DC until further note",
            "Date|Motor|Megohms 1 min|By",
            "17.04.1986|K-1|2200|RT",
            "23.05.1988|K-1|2050|RT",
            note,
            "Date|Motor|Megohms 1 min|By",
            "24.08.1993|K-1|3100|JO",
            "16.09.1996|K-1|2700|JO",
        ]);
        assert_eq!(read.volts("C3"), Some(2500.0));
        read.volts("C7")
    };
    assert_ne!(rows("New tester. From here on 5000 V"), Some(2500.0));
    assert_eq!(rows("New paint on all 6.6 kV motors"), Some(2500.0));
}

#[test]
fn a_lone_pair_is_asked_about_unless_the_sheet_bears_it_out() {
    let rows = |first: &str, second: &str, third: &str| {
        Read::rows(&[
            &format!("Motor|Fecha|{first}|{second}|{third}"),
            "M-1|22.07.2018|340|350|360",
            "M-2|23.07.2018|34|35|36",
        ])
    };
    let read = rows("R-T (MΩ)", "S-T (MΩ)", "°C");
    assert!(read.circuit("C2").is_none(), "R against tierra, or R against T");
    assert!(read.is_held("C2"));
    assert_eq!(rows("U-V (MΩ)", "V-W (MΩ)", "W-U (MΩ)").circuit("C2"), Some("U-V"));
    assert_eq!(rows("entre U-V (MΩ)", "masa (MΩ)", "°C").circuit("C2"), Some("U-V"));
}

#[test]
fn a_day_that_nothing_explains_beside_the_one_of_a_title_is_asked_about() {
    let rows = |first: &str, second: &str| Read::rows(&[first, second, "Machine|MΩ at 500 V", "FW-1|340", "FW-2|295"]);
    assert!(rows("21.10.2019", "Begun|03.10.2019").is_held("B4"));
    assert_eq!(rows("21.10.2019", "Test date|03.10.2019").day("B4").as_deref(), Some("2019-10-03"));
    assert_eq!(rows("Printed 21.10.2019", "Begun|03.10.2019").day("B4").as_deref(), Some("2019-10-03"));
}

#[test]
fn a_table_that_tells_how_warm_it_was_takes_nothing_from_a_text_above_another() {
    let read = Read::rows(&[
        "1. Compressor V3, windings 26 °C",
        "Phase|U|V|W",
        "to earth in MΩ|1950|1960|1970",
        "2. Oil pump, all at 500 V",
        "Phase|U|V|W",
        "to earth in MΩ|780|765|790",
        "Winding temperature|31 °C|31 °C|31 °C",
    ]);
    assert!(read.celsius("B6").is_none_or(|celsius| (celsius - 31.0).abs() < 1e-9), "{:?}", read.celsius("B6"));
}

#[test]
fn a_deviation_of_one_pair_is_no_unbalance() {
    let rows = |head: &str, value: &str| {
        let line = |pair: &str, deviation: &str| format!("A-1|19.04.2016|{pair}|{value}|{deviation}");
        Read::rows(&[
            &format!("Motor|Date|Pair|{head}|Deviation %"),
            &line("U-V", "1.2"),
            &line("V-W", "0.9"),
            &line("W-U", "1.4"),
        ])
    };
    assert_ne!(rows("Peak kV", "2.1").quantity("E2"), Some("unbalance"));
    assert_eq!(rows("Winding resistance mΩ", "905").quantity("D2"), Some("winding_resistance"));
}

#[test]
fn a_phase_named_over_the_second_part_is_not_that_of_the_first() {
    let read = Read::of(text_grid(&[
        "MACHINE|UNIT 2",
        "DATE|21 SEP 1993",
        "PHASE A TO EARTH",
        "KV DC|MICROAMP",
        "4.0|0.62",
        "8.0|1.29",
        "PHASE B TO EARTH",
        "KV DC|MICROAMP",
        "4.0|0.81",
        "8.0|1.67",
    ]));
    assert_eq!(read.circuit("B5"), Some("U-E"));
    for cell in ["B9", "B10"] {
        assert!(read.circuit(cell).is_none_or(|circuit| circuit == "V-E"), "{cell}: {:?}", read.circuit(cell));
    }
}

#[test]
fn what_is_no_winding_lends_no_temperature() {
    let rows = |part: &str| {
        Read::rows(&[
            "Machine|Date|Point|Value|Unit",
            &format!("P-1|02.04.2019|{part}|46.5|°C"),
            "P-1|02.04.2019|Insulation resistance 1 min 1000 V|930|MΩ",
            &format!("P-2|02.04.2019|{part}|51.0|°C"),
            "P-2|02.04.2019|Insulation resistance 1 min 1000 V|412|MΩ",
        ])
        .celsius("D3")
    };
    for part in [
        "Bearing temp DE",
        "Lagertemperatur AS",
        "Temp. palier",
        "Temperatura de cojinetes",
        "Oil temp",
        "Cooling water temp",
    ] {
        assert_eq!(rows(part), None, "{part}");
    }
    assert_eq!(rows("Winding temp"), Some(46.5));
}

#[test]
fn three_phases_tied_in_a_label_are_one_circuit() {
    let read = Read::rows(&[
        "Medida|Unidad|G-1|BA-2",
        "Aislamiento estator a masa (U, V y W unidas), 500 V, 1 min|MΩ|85|6,2",
        "Resistencia U-V|mΩ|9,84|126",
        "Resistencia V-W|mΩ|9,87|127",
        "Los devanados estaban a 20 °C.",
    ]);
    for cell in ["C2", "D2"] {
        assert!(read.circuit(cell).is_none_or(|circuit| circuit == "UVW-E"), "{cell}: {:?}", read.circuit(cell));
    }
}

#[test]
fn a_number_behind_a_label_names_no_machine() {
    let read = Read::rows(&[
        "Equip. No.:|CWP-1570||Applied voltage (V):|2500",
        "Date:|2011-05-03||Phase to earth:|all three",
        "Minute:|1||MΩ:|850",
    ]);
    for cell in ["B3", "E3"] {
        assert_ne!(read.tag(cell), Some("2500"), "{cell}");
    }
}

#[test]
fn one_of_two_machines_is_asked_about() {
    let rows = |name: &str| {
        Read::rows(&["Motor|Datum|MΩ", "Lift Mulde|3. Oktober 2011|650", &format!("{name}|5. Oktober 2011|3")])
            .tag("C3")
            .map(str::to_owned)
    };
    assert_eq!(rows("Lift Mulde oder Egg (Schild fehlt)"), None);
    assert_eq!(rows("Lift Egg").as_deref(), Some("Lift Egg"));
}

#[test]
fn a_line_of_lowest_values_is_no_machine() {
    let read = Read::rows(&[
        "YEARLY INSULATION CHECKS. Megohms, 500 V DC, one minute, windings to earth",
        "",
        "Machine|HP|1993|1994|1995",
        "PEACH ELEV|5|200|180|150",
        "SYRUP AGIT|3|n/t|60|55",
        "SEAMER LINE A|7.5|110|105|o/s",
        "lowest||110|60|55",
    ]);
    for cell in ["C7", "D7", "E7"] {
        assert_eq!(read.quantity(cell), None, "{cell}");
    }
    assert_eq!(read.tag("C6"), Some("SEAMER LINE A"));
}

#[test]
fn a_night_of_two_days_is_asked_about_and_a_longer_span_is_its_month() {
    let rows = |title: &str| Read::rows(&[title, "Machine|MΩ at 500 V", "FW-1|340", "FW-2|295"]);
    let read = rows("Night round of 11 to 12 December 1978");
    assert!(read.is_held("B3") && read.is_held("B4"));
    let asked = read.0.holds.iter().find(|hold| hold.question == Question::Date).map(|hold| hold.choices.clone());
    assert_eq!(asked.unwrap_or_default(), ["1978-12-11", "1978-12-12"]);
    assert_eq!(rows("Overhaul, 3 to 14 May 2003").day("B3").as_deref(), Some("2003-05"));
}

#[test]
fn a_unit_column_speaks_for_the_readings_whose_headings_tell_none() {
    let read = Read::rows(&[
        "Machine|Date|Insulation to earth|Unit|U-V (mΩ)|V-W (mΩ)|W-U (mΩ)",
        "FW-1|29.06.2010|880|MΩ|84.1|84.3|84.0",
        "FW-2|30.06.2010|1.1|GΩ|83.8|83.9|83.7",
    ]);
    let value = |cell: &str| read.reading(cell).map(|reading| (reading.quantity.value, reading.unit.value.symbol));
    assert_eq!(value("C3"), Some((Quantity::InsulationResistance, "GΩ")));
    assert_eq!(value("E2"), Some((Quantity::WindingResistance, "mΩ")));
    // What stands before the unit column is its own, and an index needs no unit.
    let read = Read::rows(&["Machine|Date|R (MΩ)|Unit|PI", "FW-1|29.06.2010|880|MΩ|2.1", "FW-2|30.06.2010|1.1|GΩ|2.4"]);
    assert!(read.reading("C3").is_none_or(|reading| reading.unit.value.symbol == "GΩ"));
}

#[test]
fn times_below_numbers_head_what_follows_and_their_quotient_is_computed() {
    let read = Read::rows(&[
        "Motor|M-1",
        "Winding resistance (mohm)|U1-V1|V1-W1|W1-U1|winding °C",
        "cold, before the run|12.41|12.44|12.40|21",
        "hot, 40 s after stop|16.02|16.06|16.01|96",
        "",
        "Insulation at 1000 V (megohm)|15 s|60 s|60/15",
        "cold|1900|3400|1.79",
    ]);
    assert_eq!(read.reading("C7").and_then(|reading| reading.elapsed_s.as_ref()).map(|told| told.value), Some(60.0));
    assert!(read.reading("D7").is_none());
    let cold = read.reading("B3").map(|reading| (reading.quantity.value, reading.elapsed_s.is_some()));
    assert_eq!(cold, Some((Quantity::WindingResistance, false)));
}

#[test]
fn a_note_that_cuts_a_table_speaks_of_the_lines_below_it() {
    let read = Read::rows(&["Date|Rotor (GΩ)", "26.04.2005|0.047", "from here on in megohms again", "14.12.2016|44"]);
    assert!(read.is_held("B4") || read.reading("B4").is_some_and(|reading| reading.unit.value.symbol == "MΩ"));
    let doubted = Read::rows(&[
        "Motor|Date|MΩ",
        "B-1|14.03.2006|240",
        "B-2|14.03.2006|650",
        "",
        "Some rows are in GΩ though the heading says MΩ",
    ]);
    assert!(doubted.is_held("C2"));
}

#[test]
fn ohms_between_the_ends_of_a_phase_are_those_of_its_conductor() {
    let read = Read::rows(&[
        "Motor|Date|R U1-U2 (Ω)|R V1-V2 (Ω)|R W1-W2 (Ω)|Insulation 500 V (MΩ)",
        "H-220|12.05.1998|1.84|1.85|1.83|300",
        "H-231|25.05.1998|0.92|0.92|0.93|250",
    ]);
    let told = |cell: &str| read.reading(cell).map(|reading| (reading.quantity.value, reading.number));
    assert_eq!(told("C2"), Some((Quantity::WindingResistance, 1.84)));
    assert_eq!((read.circuit("C2"), read.circuit("E3")), (Some("U"), Some("W")));
    assert_eq!(told("F3"), Some((Quantity::InsulationResistance, 250.0)));
}

#[test]
fn a_heading_with_its_key_under_a_letterhead_begins_the_table() {
    let read = Read::rows(&[
        "TRACK DRAINAGE, CARD 7||SUMP PUMP SP 7|(LOW POINT)",
        "20 H.P.|400 V|960 R.P.M.|VERTICAL SPINDLE",
        "",
        "DATE|1/2 MIN|1 MIN|10 MIN MΩ",
        "22.10.1963|14|17|31",
        "20.04.1964|12|15|26",
    ]);
    let told = read.reading("D5").map(|reading| reading.elapsed_s.as_ref().map(|told| told.value));
    assert_eq!((told, read.day("D5").as_deref()), (Some(Some(600.0)), Some("1963-10-22")));
}

#[test]
fn a_matrix_of_phases_under_the_name_of_its_machine_tells_pairs() {
    let read = Read::rows(&[
        "Insulation, 1000 V, 60 s, in MΩ",
        "KP-1|L1|L2|L3|Earth",
        "L1|—|980|1010|520",
        "L2||—|990|515",
        "L3|||—|530",
    ]);
    assert_eq!((read.circuit("C3"), read.circuit("D4"), read.circuit("E5")), (Some("U-V"), Some("V-W"), Some("W-E")));
    assert_eq!(read.tag("D4"), Some("KP-1"));
}

#[test]
fn steps_under_a_title_of_their_own_are_no_lines_of_the_times_above() {
    let read = Read::rows(&[
        "Machine|BK1-M|Date|18.06.2013",
        "1/ Stator insulation, 5 kV, 3 ph joined, to earth",
        "Time|30 s|1 min|3 min|5 min",
        "MΩ|2450|3100|5600|7250",
        "",
        "2/ Steps, leakage current µA after 60 s, U V W linked to earth",
        "kV|3|6|9|12",
        "µA|0.9|1.9|3.05|4.4",
    ]);
    assert_eq!((read.volts("C4"), read.circuit("C4")), (Some(5000.0), Some("UVW-E")));
    assert!(read.reading("C8").is_none_or(|_| read.volts("C8") == Some(6000.0)), "{:?}", read.volts("C8"));
    assert!(read.circuit("C8").is_none_or(|circuit| circuit == "UVW-E"));
}
