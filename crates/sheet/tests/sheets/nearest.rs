//! What stands beside a value, in its line or in its own form, against what is told farther away. Common practice in records, no
//! source; all sheets are invented.

use crate::grid::Read;
use windrow_model::Reported;

#[test]
fn a_table_in_milliohms_between_terminals_is_of_conductors_whatever_title_stands_above() {
    let read = Read::rows(&[
        "Insulation resistance, all phases to frame, 1000 V d.c., windings at 20 °C.",
        "Stage|1 min|10 min",
        "Before oven|520|1140",
        "Values in MΩ unless otherwise written.",
        "",
        "Terminals|Resistance (mΩ) at 20 °C",
        "T1-T2|21.42",
        "T2-T3|21.38",
        "T3-T1|21.47",
    ]);
    for cell in ["B7", "B8", "B9"] {
        assert!(read.quantity(cell).is_none_or(|quantity| quantity == "winding_resistance"), "{cell}");
        let reported = read.reading(cell).map(|reading| reading.as_reported);
        assert!(reported.is_none_or(|reported| reported == Reported::AsRead), "{cell}: {reported:?}");
    }
}

#[test]
fn a_value_in_megohms_is_no_label_of_the_next() {
    let read = Read::rows(&[
        "Tag|FAN-14|Date|1992-01-26",
        "Time|R. insul. R-PE|R. insul. S-PE|R. insul. T-PE|R. insul. R/S|R. insul. S/T|R. insul. T/R",
        "R60|78.2 Megohms|81.8 Megohms|85.3 Megohms|132 Megohms|139 Megohms|136 Megohms",
        "R600|222 Megohms|232 Megohms|242 Megohms|373 Megohms|394 Megohms|385 Megohms",
    ]);
    let told: Vec<_> = ["B3", "C3", "D3", "E3", "F3", "G3"].map(|cell| read.circuit(cell)).into();
    assert_eq!(told, ["U-E", "V-E", "W-E", "U-V", "V-W", "W-U"].map(Some));
}

#[test]
fn what_stands_behind_a_value_of_a_form_tells_its_voltage() {
    let read = Read::rows(&[
        "Machine:|Generator G1||Date:|15.10.2013",
        "Stator, test voltage:|2500 V DC||Field, test voltage:|500 V DC",
        "",
        "Exciter armature to frame:|12.4 MΩ|(1 min, 500 V)",
    ]);
    assert!(read.volts("B4").is_none_or(|volts| (volts - 500.0).abs() < 0.5), "{:?}", read.volts("B4"));
    assert_eq!(read.tag("B4"), Some("Generator G1 Exciter"));
}

#[test]
fn c_in_nanofarads_is_a_capacitance_beside_a_phase() {
    let read = Read::rows(&[
        "Tan delta and capacitance, one phase to earth with the others earthed",
        "Machine|Date|Phase|kV|C nF|tan δ %",
        "Unit 1 gen|9.3.2010|A|3.2|412.6|0.71",
        "Unit 1 gen|9.3.2010|B|3.2|409.8|0.70",
        "Unit 1 gen|9.3.2010|C|3.2|410.1|0.72",
    ]);
    for (cell, circuit) in [("E3", "U-E"), ("E4", "V-E"), ("E5", "W-E")] {
        assert!(read.circuit(cell).is_none_or(|told| told == circuit), "{cell}: {:?}", read.circuit(cell));
    }
}

#[test]
fn a_rotor_with_its_field_winding_is_the_field() {
    let read = Read::rows(&[
        "Unit 3, 2014-03-27",
        "Rotor (field winding) to earth, 500 V d.c.",
        "1 min|135|MΩ",
        "10 min|310|MΩ",
    ]);
    assert!(read.circuit("B3").is_none_or(|told| told == "F-E"), "{:?}", read.circuit("B3"));
}

#[test]
fn a_mark_in_quotes_changes_the_unit_of_the_numbers_that_bear_it_only() {
    let read = Read::rows(&[
        "isolement en M ohms sauf \"k\" = kilohms",
        "",
        "DATE|POMPE 1|POMPE 2",
        "14.03.79|12|9",
        "20.03.80|900k|8,5",
    ]);
    assert_eq!(read.value("B4"), Some(12e6));
    assert!(read.value("B5").is_none_or(|value| (value - 900e3).abs() < 1.0), "{:?}", read.value("B5"));
    assert_eq!(read.value("C5"), Some(8.5e6));
}

#[test]
fn a_table_with_heads_of_its_own_does_not_go_on_with_the_one_above() {
    let read = Read::rows(&[
        "Measurement|U-V|V-W|W-U|Unit",
        "Winding resistance|15.62|15.60|15.66|mΩ",
        "Inductance|2.41|2.44|2.40|mH",
        "",
        "Insulation resistance of the whole winding to frame, 500 V DC:",
        "Date|Value",
        "before drying|0.4 MΩ",
        "after drying|2.6 GΩ",
    ]);
    for cell in ["B7", "B8"] {
        assert_ne!(read.circuit(cell), Some("U-V"), "{cell}");
    }
}

#[test]
fn volts_of_a_unit_in_brackets_leave_the_unit() {
    let read = Read::rows(&[
        "Measured on|21.01.2008",
        "",
        "Motor no.|Service|R insul. (MΩ, 500 V)",
        "C1|Mixer|64",
        "C2|Elevator|58",
    ]);
    assert_eq!(read.value("C4"), Some(64e6));
    assert_eq!(read.volts("C4"), Some(500.0));
}

#[test]
fn a_code_and_words_in_two_lines_of_a_form_are_one_machine() {
    let read = Read::rows(&[
        "MOTOR SHEET",
        "Tag no.:|VF-2",
        "Machine:|Kiln fan",
        "Date:|12 June 2006",
        "",
        "Measured|1 min (MΩ)|10 min (MΩ)",
        "U / frame|420|1050",
    ]);
    assert_eq!(read.tag("B7"), Some("VF-2"));
    // One code with several names is that of a plant.
    let read = Read::rows(&[
        "Tag no.:|KW-3",
        "Machine:|Kiln fan",
        "Date:|12 June 2006",
        "U / frame, MΩ|420",
        "",
        "Tag no.:|KW-3",
        "Machine:|Cooler fan",
        "Date:|12 June 2006",
        "U / frame, MΩ|95",
    ]);
    let (one, other) = (read.tag("B4"), read.tag("B9"));
    assert!(one.is_none() || other.is_none() || one != other, "{one:?} {other:?}");
}

#[test]
fn serial_numbers_tell_machines_of_one_name_apart() {
    let read = Read::rows(&[
        "Checks at 500 V, 3 phases to earth, Mohm",
        "Lift|Motor|Serial no.|Date|Insulation",
        "TSD Combe|main|44-018|2 Oct 2015|310",
        "TSD Combe|spare|44-022|2 Oct 2015|88.5",
        "TSF Lauze|main|39-101|5 Oct 2015|45",
        "TSD Combe|main|44-018|3 Oct 2016|305",
        "TSF Lauze|main|39-101|4 Oct 2016|52",
    ]);
    let (one, other) = (read.tag("E3"), read.tag("E5"));
    assert!(one.is_none() || other.is_none() || one != other, "{one:?} {other:?}");
}

#[test]
fn remarks_say_whether_a_value_is_this_visits() {
    let read = Read::rows(&[
        "Round of 6.2.2019, 500 V",
        "Motor|Insulation (MΩ)|Remarks",
        "P-1|60|",
        "P-2|22|value from September 2018, running today",
        "P-3|75|not tested, running",
        "P-4|33|or was it P-5? plates alike",
        "P-5|80|corrected to 20 °C",
        "P-6|90|entry corrected by the foreman",
    ]);
    assert_eq!(read.value("B3"), Some(60e6));
    for cell in ["B4", "B5", "B6"] {
        assert!(read.is_held(cell), "{cell}");
    }
    let reported = read.reading("B7").map(|reading| reading.as_reported);
    assert_eq!(reported, Some(Reported::Corrected));
    let reported = read.reading("B8").map(|reading| reading.as_reported);
    assert_eq!(reported, Some(Reported::AsRead));
}

#[test]
fn where_damage_was_is_not_what_was_measured() {
    let read = Read::rows(&[
        "Motor DB-2, 26 February 2021",
        "Earth fault in phase U near the slot exit. Stator stripped and rewound to original data.",
        "",
        "After rewind, all phases to frame, 1000 V d.c.|30 s|1 min|10 min",
        "MΩ|1850|2600|9100",
    ]);
    assert!(read.circuit("B5").is_none_or(|told| told == "UVW-E"), "{:?}", read.circuit("B5"));
}

#[test]
fn residual_volts_in_a_list_are_no_voltage_of_a_test() {
    let read = Read::rows(&[
        "rec|stamp|equip|fn|conn|t_s|result|unit",
        "1|2019-03-12 14:45:26|CAR DK FAN 4|IR|U-PE|60|18.6|GOhm",
        "2|2019-03-12 14:52:39|CAR DK FAN 4|VDC|U-PE||0.4|V",
    ]);
    assert_eq!(read.volts("G2"), None);
    assert!(read.seconds("G2").is_none_or(|seconds| (seconds - 60.0).abs() < 0.5));
}

#[test]
fn the_title_of_a_phase_begins_the_next_table_under_one_header() {
    let read = Read::rows(&[
        "Group G1, tan delta and capacitance, 5 October 2017",
        "Phase U to earth, the other two earthed",
        "U (kV)|tan δ|C (µF)",
        "2.76|0.0063|0.4121",
        "5.52|0.0071|0.4128",
        "",
        "Phase V to earth, the other two earthed",
        "U (kV)|tan δ|C (µF)",
        "2.76|0.0062|0.4118",
        "5.52|0.0070|0.4125",
    ]);
    assert_eq!((read.circuit("B4"), read.circuit("B9"), read.circuit("C10")), (Some("U-E"), Some("V-E"), Some("V-E")));
}

#[test]
fn kilovolts_of_the_line_come_before_those_of_a_title() {
    for head in ["U in kV", "Spannungsstufe in kV"] {
        let read = Read::texts(&[
            "Motor|RM2-A1|3,8 MW|6,6 kV",
            "Datum|21.02.2017||",
            "",
            &format!("{head}|Strang|tan d [10^-3]|C [nF]"),
            "1,32|U gegen VW+Gehäuse|12,4|61,20",
            "1,32|V gegen UW+Gehäuse|12,9|61,35",
            "1,32|W gegen UV+Gehäuse|12,1|61,18",
        ]);
        for cell in ["C5", "D7"] {
            assert!(read.volts(cell).is_none_or(|volts| (volts - 1320.0).abs() < 0.5), "{head} {:?}", read.volts(cell));
        }
    }
}

#[test]
fn kilovolts_in_a_list_of_results_are_those_of_the_test_and_few_volts_are_not() {
    for (result, unit, volts) in [("5", "kV", Some(5000.0)), ("0.4", "V", None), ("3", "V", None)] {
        let read = Read::texts(&[
            "rec|stamp|equip|fn|conn|t_s|result|unit",
            "1|2019-03-12 14:45:26|CAR DK FAN 4|IR|U-PE|60|18.6|GOhm",
            &format!("2|2019-03-12 14:52:39|CAR DK FAN 4|VDC|U-PE||{result}|{unit}"),
        ]);
        let told = read.volts("G2");
        assert!(told.is_none() || told == volts, "{result} {unit}: {told:?}");
    }
}

#[test]
fn a_time_of_day_is_not_how_long_the_voltage_was_on() {
    let read = Read::rows(&["Motor:|M-7", "Date:|12 June 2006", "Time:|01:30:00", "", "U / frame, MΩ|420"]);
    assert_eq!(read.seconds("B5"), None);
    let read = Read::texts(&[
        "Motor|Date|Time|R (MΩ)",
        "M-7|12.06.2006|01:30:00|420",
        "M-8|12.06.2006|01:45:00|380",
        "M-9|12.06.2006|02:10:00|410",
    ]);
    for cell in ["D2", "D3", "D4"] {
        assert_eq!(read.seconds(cell), None, "{cell}");
    }
}

#[test]
fn an_excitation_winding_is_no_exciter() {
    let read = Read::rows(&["Maschine:|GM 3", "Datum:|12.06.2006", "", "Erreger gegen Masse:|12,4 MΩ"]);
    assert_eq!((read.tag("B4"), read.circuit("B4")), (Some("GM 3"), Some("F-E")));
}

#[test]
fn degrees_of_the_air_over_columns_are_not_the_windings() {
    for (heads, celsius) in [("Luft 18 °C|Luft 31 °C", None), ("kalt, 18 °C|warm, 31 °C", Some(18.0))] {
        let read = Read::texts(&[
            "Motor P-3, 12.06.2006, Isolationswiderstand in MΩ",
            &format!("Strang|{heads}"),
            "U|420|310",
            "V|410|300",
            "W|430|305",
        ]);
        let told = read.celsius("B3");
        assert!(told.is_none() || told == celsius, "{heads}: {told:?}");
    }
}
