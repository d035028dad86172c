//! Numbers that the source computed from others of the sheet, told by where they stand. Ratios as defined by IEEE Std 43-2013 (10 min over
//! 1 min); absorption ratios and tables of steps as is common practice, no source. All sheets are invented.

use crate::grid::Read;

#[test]
fn ratios_below_columns_of_phases_are_computed_though_no_machine_is_named() {
    let read = Read::rows(&[
        "Stator, each phase to earth, others earthed, 2500 V",
        "Date|12.05.2011||",
        "|||",
        "Time|U (MΩ)|V (MΩ)|W (MΩ)",
        "30 s|310|305|312",
        "1 min|455|450|460",
        "10 min|1540|1500|1570",
        "PI|3.4|3.3|3.4",
        "DAR|1.47|1.48|1.47",
    ]);
    for cell in ["B8", "C8", "D8", "B9", "C9", "D9"] {
        assert_eq!(read.quantity(cell), None, "{cell}");
        assert!(read.is_derived(cell), "{cell}");
    }
    assert_eq!(read.value("C7"), Some(1500e6));
}

#[test]
fn a_ratio_below_the_table_of_its_readings_is_computed_if_it_is_theirs() {
    let with = |index: &str| {
        Read::rows(&[
            "Tested 19.04.2012 with 1000 V",
            "Time|R",
            "30 s|0.61 GΩ",
            "60 s|1.02 GΩ",
            "600 s|3.3 GΩ",
            "|",
            &format!("PI:|{index}"),
        ])
    };
    assert!(with("3.24").is_derived("B7"));
    assert_eq!(with("1.90").quantity("B7"), Some("polarization_index"), "another test's");
}

#[test]
fn a_ratio_of_another_day_or_without_its_readings_is_read() {
    let read =
        Read::rows(&["Date|Motor|1 min, MΩ|10 min, MΩ|PI", "03.04.2006|P-1|6.5|12.4|1.9", "09.04.2008|P-1|7.1||2.2"]);
    assert!(read.is_derived("E2"));
    assert_eq!(read.quantity("E3"), Some("polarization_index"));
}

#[test]
fn what_a_heading_or_label_calls_an_index_is_one_under_any_unit() {
    let read = Read::rows(&[
        "Blowers, 1000 V, MΩ",
        "Motor|SU-A|tested|22/05/2012|||",
        "Time|15 s|30 s|1 min|5 min|10 min|PI",
        "Insulation|390|520|640|910|1090|1.7",
    ]);
    assert!(read.is_derived("G4"), "{:?}", read.quantity("G4"));
    let read = Read::rows(&[
        "Pumps, 6 kV, winding to earth, 2500 V",
        "Insulation at 1 minute (GΩ)||",
        "Motor|2014|2015",
        "EL-1|4.2|4",
        "EL-2|2.8|2.9",
        "||",
        "Polarization index||",
        "Motor|2014|2015",
        "EL-1|3.1|3",
        "EL-2|1.9|1.7",
    ]);
    assert_eq!((read.quantity("B9"), read.value("C10")), (Some("polarization_index"), Some(1.7)));
    assert_eq!(read.value("B4"), Some(4.2e9));
}

#[test]
fn resistances_that_are_voltage_over_current_are_computed_however_the_table_runs() {
    let upright = Read::rows(&[
        "Alternator 2, U V W joined to earth, 27/11/2012",
        "kV|µA|MΩ",
        "1|1.4|714",
        "2|3.1|645",
        "3|5.1|588",
    ]);
    let turned = Read::rows(&[
        "Alternator 2, U V W joined to earth, 27/11/2012",
        "kV|1|2|3",
        "µA|1.4|3.1|5.1",
        "MΩ|714|645|588",
    ]);
    assert!(upright.is_derived("C3") && upright.is_derived("C5"));
    assert!(turned.is_derived("B4") && turned.is_derived("D4"));
    assert_eq!((upright.quantity("B3"), turned.quantity("C3")), (Some("leakage_current"), Some("leakage_current")));
}

#[test]
fn a_corrected_value_beside_or_below_the_measured_one_is_its_copy() {
    let read = Read::rows(&[
        "Machine|Date|Measured 1 min, MΩ|Winding °C|Corrected to 40 °C, MΩ",
        "TG-A|13.10.2010|2400|24|792",
        "TG-B|19.10.2011||24|690",
    ]);
    assert!(read.is_derived("E2"));
    assert_eq!(read.value("E3"), Some(690e6), "alone it is all that is left");
}

#[test]
fn what_is_picked_out_below_its_table_or_is_the_greatest_of_it_is_no_reading_again() {
    let read = Read::rows(&[
        "Tag|REV-M1",
        "Start|2021-06-30 09:41:12",
        "Connection|U+V+W to PE",
        "",
        "t_s|V_out|R_MOhm",
        "15|1003|402",
        "30|1003|561",
        "60|1002|738",
        "600|1001|2190",
        "",
        "R60|738|MOhm",
        "R600|2190|MOhm",
        "PI|2.97",
    ]);
    assert_eq!(read.tag("C8"), Some("REV-M1"));
    assert_eq!(read.volts("C8"), Some(1002.0));
    assert_eq!(read.seconds("C8"), Some(60.0));
    for cell in ["B11", "B12", "B13"] {
        assert!(read.is_derived(cell), "{cell}");
    }
    let read = Read::rows(&[
        "Surge test",
        "|CT-08||CT-09|",
        "Date|14/09/2016||15/09/2016|",
        "Pair|Peak kV|Diff. %|Peak kV|Diff. %",
        "U-V|2.2|1.4|2.2|1.9",
        "V-W|2.2|1.7|1.8|17.3",
        "W-U|2.2|1.5|1.8|16.1",
        "Max.||1.7||17.3",
    ]);
    for cell in ["C8", "E8"] {
        assert_eq!(read.value(cell), None, "{cell}");
    }
}

#[test]
fn times_in_hours_minutes_and_seconds_make_a_ratio_below_them_derived() {
    let read = Read::texts(&[
        "Drive|GV31||",
        "Begin|17.02.2022||",
        "Run|R (GOhm)",
        "00:00:15|0.88",
        "00:00:30|1.21",
        "00:01:00|1.64",
        "00:05:00|3.55",
        "00:10:00|4.72",
        "",
        "PI (10/1)|2.88",
    ]);
    assert_eq!(read.seconds("B6"), Some(60.0));
    assert!(read.is_derived("B10"));
}
