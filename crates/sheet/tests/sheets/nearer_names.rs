//! Labels and notes that stand nearer to a reading than what it was taken from. Common practice in records, no source; all sheets are
//! invented.

use crate::grid::Read;
use windrow_model::Reported;

#[test]
fn a_code_for_an_index_beside_ohms_is_asked_about() {
    let read = Read::texts(&[
        "Record|Date|Machine|Test|Connection|Test voltage (V)|Result|Unit",
        "1041|2022-03-15|DL2-HO-M1|IR|ALL-E|1000|684|Mohm",
        "1042|2022-03-15|DL2-HO-M1|PI|ALL-E|1000|1.92|Gohm",
        "1043|2022-03-15|DL2-HO-M3|IR|U-E|1000|212|Mohm",
    ]);
    assert_eq!(read.value("G2"), Some(684e6));
    assert_eq!(read.quantity("G3"), None);
    assert!(read.is_held("G3"));
}

#[test]
fn an_extinction_voltage_below_discharges_is_no_discharge() {
    let read = Read::rows(&[
        "Converter motor UM1, 27.03.2019, each phase to earth",
        "U [kV]|PD magnitude [pC]||",
        "|U1|V1|W1",
        "2|120|110|140",
        "4|480|450|610",
        "TE-Aussatz [kV]|2.1|2.2|1.9",
    ]);
    assert_ne!(read.quantity("B6"), Some("pd_magnitude"));
    assert_ne!(read.quantity("D6"), Some("pd_magnitude"));
}

#[test]
fn what_a_title_tells_of_warmth_or_of_a_limit_corrects_nothing() {
    for title in [
        "Winding resistance, milliohms, lead to lead, winding at 20 °C both times",
        "Limit: R > (Un/kV + 1) MΩ at 40 °C",
    ] {
        let read =
            Read::rows(&[title, "Motor LD-12, 24.05.2012", "Leads|mΩ", "U - V|61.2", "V - W|58.9", "W - U|61.4"]);
        let reported = read.reading("B4").map(|reading| reading.as_reported);
        assert_eq!(reported, Some(Reported::AsRead), "{title}");
    }
}

#[test]
fn hours_in_the_oven_and_megohms_are_no_times() {
    let read = Read::rows(&[
        "Motors dried in the oven, stator to frame, 500 V, 1 min",
        "Job|Motor|Date before|MΩ|Date after|MΩ|Drying time h",
        "16-044|M 4471|01.03.2016|0.8|03.03.2016|350|36",
        "16-051|M 2209|21.03.2016|2.4|23.03.2016|780|40",
    ]);
    assert_ne!(read.seconds("D3"), Some(36.0));
    assert!(read.seconds("F4").is_none_or(|seconds| (seconds - 60.0).abs() < 0.5), "{:?}", read.seconds("F4"));
    let read = Read::rows(&[
        "Quarterly checks 2017, 1000 V, one minute, to frame. M = megohm, G = gigohm",
        "Motor|Duty|14.03.2017|20.06.2017",
        "SP-11|Pump 1|450M|430M",
        "SP-12|Pump 2|1.2G|1.1G",
        "QF-1|Fan|75M|61M",
    ]);
    assert!(read.seconds("C4").is_none_or(|seconds| (seconds - 60.0).abs() < 0.5), "{:?}", read.seconds("C4"));
    assert_eq!(read.value("C3"), Some(450e6));
}

#[test]
fn two_leads_in_two_cells_are_a_pair() {
    let read = Read::rows(&[
        "Pump RP-2, each reading at 500 V d.c. for one minute, 12 June 2008",
        "Lead|to|MΩ",
        "T1|earth|1.1",
        "T1|T2|2.6",
        "T3|T1|2.9",
    ]);
    for (cell, pair) in [("C4", "U-V"), ("C5", "W-U")] {
        assert!(read.circuit(cell).is_none_or(|circuit| circuit == pair), "{cell}: {:?}", read.circuit(cell));
    }
}

#[test]
fn each_part_of_a_page_writes_dates_as_it_says() {
    let read = Read::rows(&[
        "NORTH HALL day/month/year||||SOUTH HALL (agency) month/day/year||",
        "Tested|Pump|MΩ||Tested|Pump|MΩ",
        "04/05/09|N-1|210||05/06/09|S-1|88",
        "11/05/09|N-3|75||05/07/09|S-2|12",
    ]);
    assert_eq!(read.day("C3").as_deref(), Some("2009-05-04"));
    assert_eq!(read.day("G3").as_deref(), Some("2009-05-06"));
}

#[test]
fn a_unit_below_a_reading_is_not_that_of_the_reading_where_another_stands_above() {
    let read = Read::rows(&[
        "TEST SHEET||",
        "Motor:|M 4711|",
        "Date:|19.02.2020|",
        "1. Winding resistance||mΩ",
        "U1-V1||38.2",
        "V1-W1||38.3",
        "W1-U1||38.1",
        "||",
        "2. Insulation resistance||MΩ",
        "Winding U-V-W to frame, 1000 V, 60 s||2400",
    ]);
    assert!(read.value("C5").is_none_or(|ohms| (ohms - 0.0382).abs() < 1e-9), "{:?}", read.value("C5"));
}

#[test]
fn a_label_is_no_machine() {
    let read = Read::rows(&[
        "Asset No. :|BF-1574||Test voltage, V :|5000",
        "Date of test|14-Jun-01|14-Jun-01|15-Nov-02|15-Nov-02",
        "Winding|U-GND|V-GND|U-GND|V-GND",
        "IR, MOhm|790|825|n/a|579",
    ]);
    for cell in ["B4", "C4", "E4"] {
        assert!(read.tag(cell).is_none_or(|tag| tag == "BF-1574"), "{cell}: {:?}", read.tag(cell));
    }
}

#[test]
fn a_name_that_begins_a_line_speaks_against_the_machine_of_a_title() {
    let rows = |time: &str| {
        [
            "Ins. res., 1 kV DC".to_owned(),
            "Date: 20.03.2004||".to_owned(),
            format!("{time}|1|10"),
            "C1570 (kΩ)|58500|84700".to_owned(),
            "BF1571 (kΩ)|579000|1440000".to_owned(),
            "CWP1572 (kΩ)|1680000|not tested".to_owned(),
            "||".to_owned(),
            "Date: 15.02.2005||".to_owned(),
            format!("{time}|1|10"),
            "C1570 (kΩ)|207000|661000".to_owned(),
            "CWP1572 (kΩ)|2820000|7560000".to_owned(),
        ]
    };
    let rows = rows("Duration (min)");
    let rows: Vec<&str> = rows.iter().map(String::as_str).collect();
    let read = Read::texts(&rows);
    for (cell, tag) in [("B10", "C1570"), ("B11", "CWP1572"), ("C11", "CWP1572")] {
        assert!(read.reading(cell).is_none_or(|_| read.tag(cell) == Some(tag)), "{cell}: {:?}", read.tag(cell));
    }
}

#[test]
fn a_key_to_signs_names_no_machine() {
    let read = Read::texts(&[
        "Dt|Mc|V|is1",
        "12.06.83|dé 1|500|40",
        "12.06.83|dé 2|500|33",
        "Dt : jour-mois-année. Mc : machine (dé = délayeur). V : tension de la magnéto. is1 : isolement à la masse, mégohms, à 1 minute.",
    ]);
    for cell in ["D2", "D3"] {
        assert!(read.tag(cell).is_none_or(|tag| tag.starts_with("dé")), "{cell}: {:?}", read.tag(cell));
    }
}

#[test]
fn the_voltage_of_the_stator_is_not_that_of_the_rotor() {
    let read = Read::texts(&[
        "Date|Stator, 3 phases joined / earth (MΩ)|Rotor / earth (MΩ)|Stator voltage (V)",
        "19.02.1974|480|35|1000",
        "18.02.1975|455|31|1000",
    ]);
    assert_eq!((read.volts("B2"), read.volts("C2")), (Some(1000.0), None));
    assert_eq!(read.value("C3"), Some(31e6));
}

#[test]
fn a_title_keeps_its_machine_and_its_day_whatever_else_it_tells() {
    for title in [
        "Motor P-101: T = 21 °C, RH = 40 %, U = 500 V, 12.03.2004",
        "2 x 22 kW pumps, P-101, tested 12.03.2004 with 500 V",
    ] {
        let read = Read::texts(&[title, "Phase|MΩ 1 min", "U-E|500", "V-E|510"]);
        assert_eq!((read.tag("B3"), read.day("B3").as_deref()), (Some("P-101"), Some("2004-03-12")), "{title}");
    }
}

#[test]
fn hours_of_drying_beside_minutes_do_not_unmake_them() {
    let read = Read::texts(&["Motor|P-1|Date|12.03.2004", "Time (min, after 24 h drying)|MΩ", "1|500", "10|900"]);
    assert_eq!((read.seconds("B3"), read.seconds("B4")), (Some(60.0), Some(600.0)));
}

#[test]
fn what_is_left_out_says_why() {
    let read = Read::texts(&[
        "Date|Stator, 3 phases joined / earth (MΩ)|Rotor / earth (MΩ)|Stator voltage (V)",
        "19.02.1974|480|35|1000",
        "18.02.1975|455|31|1000",
    ]);
    let steps = read.reading("C2").map(|reading| reading.steps.clone()).unwrap_or_default();
    assert!(steps.iter().any(|step| step.step == "left out" && step.detail.contains("stator")), "{steps:?}");
}

#[test]
fn where_two_orders_are_stated_and_none_before_a_date_it_is_asked_about() {
    let read = Read::texts(&[
        "|Tested|Pump|MΩ|Made (dd/mm/yy)|Sent (mm/dd/yy)",
        "|04/05/09|N-1|210|01/02/99|03/04/09",
        "|11/05/09|N-3|75|02/03/98|04/05/09",
    ]);
    assert!(read.day("D2").is_none(), "{:?}", read.day("D2"));
}

#[test]
fn forms_beside_each_other_keep_their_own_dates() {
    let read = Read::texts(&[
        "Unit No.:|MTR-1100||Date:|20131123|||Unit No.:|MTR-1100||Date:|20150222",
        "Test V in V:|500||Tested by:|K.O.|||Test V in V:|500||Tested by:|K.O.",
        "|",
        "Ins. res.|||||||Ins. res.|||",
        "A to earth:|126000 kΩ||||||A to earth:|231000 kΩ||",
        "B to earth:|131000 kΩ||||||B to earth:|242000 kΩ||",
        "C to earth:|137000 kΩ||||||C to earth:|n/a||",
    ]);
    assert_eq!(read.day("B5").as_deref(), Some("2013-11-23"));
    for cell in ["I5", "I6"] {
        assert!(read.day(cell).is_none_or(|day| day == "2015-02-22"), "{cell}: {:?}", read.day(cell));
    }
}

#[test]
fn a_serial_number_is_of_the_machine_beside_it_and_not_of_another_one_below() {
    let read = Read::texts(&[
        "Isolation gegen Masse, MΩ",
        "",
        "Motor|Fabr.-Nr.|Datum|U|V|W",
        "Hubwerk|268524|14.06.1996|2,6|2,8|2,2",
        "||16.06.1996|17|19|13",
        "Greifer||21.08.1996|12|13|12",
        "Katze (Kr. 6 oder 7 ?)||21.08.1996|14|15|16",
    ]);
    let serial =
        |cell: &str| read.found(cell).map(|(test, _)| test.machine.serial.as_ref().map(|told| told.value.to_string()));
    assert_eq!(serial("D5"), Some(Some("268524".to_owned())));
    assert_eq!(serial("D6"), Some(None), "another machine, whose number nobody wrote");
    assert!(read.is_held("D7") && read.reading("D7").is_none(), "of which crane it is nobody knows");
}

#[test]
fn a_motion_is_of_the_machine_that_the_title_names() {
    let read = Read::texts(&[
        "Reclaimer SR1, overhaul: motors as found",
        "Insulation to earth, megohms",
        "",
        "Motion|Date|1 min",
        "Slew|09.02.1998|9,8",
        "Luff hoist|10.02.1998|12",
    ]);
    assert_eq!((read.tag("C5"), read.tag("C6")), (Some("SR1 Slew"), Some("SR1 Luff hoist")));
}
