//! Forms, reports and print-outs: cards side by side, wrapped tables, lines of circumstances, parts of the rated voltage. Invented; common
//! practice, no source.

use crate::grid::Read;

/// Two cards, the second one beyond an empty column.
const CARDS: [&str; 8] = [
    "Winter overhaul, insulation at 500 V DC",
    "",
    "Motor No.|41/1||Rating kW|40||Motor No.|41/2||Rating kW|40",
    "Date|3 May 2004||Winding temp. °C|15||Date|4 May 2004||Winding temp. °C|16",
    "",
    "Insulation MΩ|30 s|60 s||||Insulation MΩ|30 s|60 s",
    "Armature to earth|12|14||||Armature to earth|31|36",
    "Interpoles to earth|55|61||||Interpoles to earth|44|52",
];

#[test]
fn cards_side_by_side_keep_what_each_tells() {
    let read = Read::texts(&CARDS);
    assert_eq!((read.tag("B7"), read.tag("H7")), (Some("41/1"), Some("41/2")));
    assert_eq!((read.day("C8"), read.day("I8")), (Some("2004-05-03".into()), Some("2004-05-04".into())));
    assert_eq!((read.value("B8"), read.value("I8"), read.seconds("I8")), (Some(5.5e7), Some(5.2e7), Some(60.0)));
    assert_eq!((read.celsius("B7"), read.celsius("H7"), read.volts("H7")), (Some(15.0), Some(16.0), Some(500.0)));
}

#[test]
fn tables_of_the_same_machines_side_by_side_are_no_cards() {
    let read = Read::texts(&[
        "Motor|Insulation MΩ, 1 min, 500 V||Motor|Winding temp °C|Resistance U-V mΩ",
        "P-1|120||P-1|20|210",
        "P-2|130||P-2|21|215",
        "P-3|140||P-3|22|220",
    ]);
    assert_eq!((read.tag("B3"), read.value("B3")), (Some("P-2"), Some(1.3e8)));
}

#[test]
fn a_wrapped_table_goes_on_below_itself() {
    let read = Read::texts(&[
        "19/05/86|MOT. TB-3|DRIER FAN 1",
        "500 V|U V W / MASA|T.AMB 24 C",
        "SEG|MOHM|SEG|MOHM",
        "15|21,8|180|48,4",
        "30|27,2|240|53,0",
        "60|34,2|600|71,2",
    ]);
    assert_eq!(["B4", "B6", "D4", "D6"].map(|cell| read.seconds(cell)), [15.0, 60.0, 180.0, 600.0].map(Some));
    assert_eq!(["B4", "D6"].map(|cell| read.value(cell)), [Some(2.18e7), Some(7.12e7)]);
    assert_eq!(["B4", "D6"].map(|cell| read.tag(cell)), [Some("TB-3"); 2]);
    assert_eq!(["B4", "D6"].map(|cell| read.volts(cell)), [Some(500.0); 2]);
    let apart = Read::texts(&["SEG|MOHM|SEG|MOHM", "15|21,8|15|48,4", "30|27,2|30|53,0", "60|34,2|60|71,2"]);
    assert!(
        apart.value("D3").is_none() || apart.seconds("D3") == Some(30.0),
        "times that begin again are of another run"
    );
}

#[test]
fn parts_of_the_rated_voltage_are_no_volts() {
    let read = |first: &'static str, second: &'static str| {
        Read::texts(&[
            "1 Insulation phase to frame, 2500 V",
            "Phase|after 1 min GΩ|after 10 min GΩ",
            "U|5.2|22",
            "V|2.9|9.8",
            "",
            "2 Dissipation factor and capacitance, phase U to frame",
            "Test voltage|kV|C in nF|tan δ in 10⁻³",
            first,
            second,
        ])
    };
    let both = read("0,2 Un|1.2|42.77|8.2", "0,4 Un|2.4|42.80|8.6");
    assert_eq!(["C8", "C9"].map(|cell| both.volts(cell)), [Some(1200.0), Some(2400.0)]);
    // Two columns that contradict each other: the voltage of the insulation above is no answer.
    let rivals = read("0,9 kV|1.2|42.77|8.2", "1,8 kV|2.4|42.80|8.6");
    assert!(!["C8", "C9"].iter().any(|cell| rivals.volts(cell) == Some(2500.0)));
}

#[test]
fn ohms_under_a_title_on_insulation_are_the_windings_where_megohms_stand_beside() {
    let rows = [
        "Insulation at 500 V, 1 min, to frame",
        "Mot. no.|FP-1|Date|15.01.2001",
        "",
        "Circuit|before cleaning|after cleaning|Resistance Ω",
        "Armature to frame|910 kΩ|20 MΩ|0.171",
        "Field to frame|670 kΩ|12 MΩ|97.4",
    ];
    let read = Read::texts(&rows);
    assert_eq!(["D5", "D6"].map(|cell| read.quantity(cell)), [Some("winding_resistance"); 2]);
    assert_eq!(
        (read.quantity("B6"), read.value("B6"), read.circuit("B6")),
        (Some("insulation_resistance"), Some(6.7e5), Some("F-E"))
    );
    let alone = Read::texts(&["Insulation at 500 V, 1 min", "Motor|Resistance Ω", "FP-1|97.4", "FP-2|95.1"]);
    assert_ne!(alone.quantity("B3"), Some("insulation_resistance"), "so few ohms may be the winding's");
}

#[test]
fn an_unknown_label_among_windings_is_no_reading_of_theirs() {
    let read = Read::texts(&[
        "Motor DC-4, tested 7 April 2008",
        "Insulation at 500 V, MΩ|1 min",
        "Armature to frame|180",
        "Field to frame|450",
        "Armature to field|600",
        "Hours spent|46",
    ]);
    assert_eq!((read.value("B3"), read.value("B5")), (Some(1.8e8), Some(6e8)));
    assert!(read.reading("B6").is_none());
}

#[test]
fn a_form_of_a_print_out_heads_nothing() {
    let read = Read::texts(&[
        "TEST NO 31|STEP VOLTAGE|11.06.1991",
        "PRUEFLING|UMFORMERSATZ A, GENERATOR",
        "KENNZEICHEN UF-A|WICKLUNG U GEGEN ERDE",
        "WICKLUNGSTEMPERATUR 21 GRAD C",
        "",
        "STUFE|U/KV|I/UA",
        "1|0,5|0,15",
        "2|1,0|0,32",
        "3|1,5|0,49",
    ]);
    assert_eq!((read.tag("C8"), read.circuit("C8"), read.volts("C8")), (Some("UF-A"), Some("U-E"), Some(1000.0)));
    assert_eq!(read.day("C8"), Some("1991-06-11".into()));
}

#[test]
fn words_behind_a_code_describe_its_machine() {
    let read = Read::texts(&[
        "Motor|C-02|Cooking boiler",
        "|Before|After",
        "Date|17.04.1989|15.05.1989",
        "U-earth MΩ (500 V, 1 min)|6.7|120",
        "V-earth MΩ (500 V, 1 min)|7.1|130",
    ]);
    assert_eq!((read.tag("B4"), read.tag("C4")), (Some("C-02"), Some("C-02")));
    assert_eq!((read.day("B4"), read.day("C4")), (Some("1989-04-17".into()), Some("1989-05-15".into())));
}

#[test]
fn what_was_converted_is_in_the_unit_before_it_and_derived() {
    let read = Read::texts(&[
        "Motor A1, tested 26/07/1993",
        "Résistance Ω|à froid|°C|à 20 °C",
        "Induit|0,3159|23|0,3122",
        "Inducteur|119,6|23|118,2",
    ]);
    assert_eq!((read.value("B3"), read.value("B4"), read.celsius("B4")), (Some(0.3159), Some(119.6), Some(23.0)));
    assert!(read.reading("D3").is_none() && read.reading("D4").is_none());
}

#[test]
fn phases_that_one_heading_lists_are_those_of_the_three_values_beside() {
    let read = Read::texts(&[
        "Machine|Date|Phases A / B / C to earth after 1 min at 1000 V|After 10 min",
        "WF-20|16 February 1995|420 / 434 / 424 MΩ|873 / 1120 / 922 MΩ",
        "WF-21|16 February 1995|210 / 220 / 230 MΩ|379 / 463 / 398 MΩ",
    ]);
    assert_eq!((read.seconds("C2"), read.volts("C2"), read.seconds("D2")), (Some(60.0), Some(1000.0), Some(600.0)));
    assert_eq!((read.circuit("C2"), read.circuit("D2")), (Some("U-E"), Some("U-E")));
}

#[test]
fn a_day_that_is_repeated_in_the_next_form_is_that_of_the_form_above() {
    let read = Read::texts(&[
        "Motor no.|FP-1",
        "Date|15.01.2001",
        "U-E MΩ|12",
        "V-E MΩ|13",
        "",
        "Motor no.|FP-2",
        "Date|dto.",
        "U-E MΩ|22",
        "V-E MΩ|23",
    ]);
    assert_eq!((read.tag("B8"), read.day("B8")), (Some("FP-2"), Some("2001-01-15".into())));
}

#[test]
fn deviations_below_zero_are_no_unbalance() {
    let read = Read::texts(&[
        "Motor ZF-1, tested 17 November 1999",
        "Terminals|measured mΩ|Deviation %",
        "U-V|262.3|0.58",
        "V-W|260.6|-0.75",
        "W-U|260.9|-0.11",
    ]);
    assert_eq!(read.value("B3"), Some(0.2623));
    assert!(["C3", "C4", "C5"].iter().all(|cell| read.reading(cell).is_none()));
}
