//! Long exports of home-made databases: what was measured stands in each line as a code that a list above explains. Invented; common
//! practice, no source.

use crate::grid::Read;

#[test]
fn codes_of_a_list_above_tell_quantity_circuit_time_and_unit_of_each_line() {
    let read = Read::texts(&[
        "Werk Ahlhof|Messwerte",
        "Kennungen",
        "ISO1|Isolationswiderstand nach 1 min, MΩ, alle Wicklungen gegen Gehäuse",
        "ISO10|dito nach 10 min, GΩ",
        "WUV / WVW / WWU|Widerstand zwischen den Klemmen, mΩ",
        "ISOL|Isolation Läufer gegen Welle, 500 V, 1 min, kΩ",
        "",
        "Blatt|Motor|Datum|Kennung|Wert|U Prüf (V)|Prüfer",
        "B1|WP-3|04.03.2011|ISO1|640|2500|KL",
        "B1|WP-3|04.03.2011|ISO10|1,9|2500|KL",
        "B1|WP-3|04.03.2011|WUV|31,2||KL",
        "B1|WP-3|04.03.2011|WVW|31,4||KL",
        "B1|WP-3|04.03.2011|WWU|31,3||KL",
        "B1|WP-3|04.03.2011|ISOL|2700|500|KL",
        "B2|WP-4|09.07.2012|ISO1|820|2500|KL",
        "B2|WP-4|09.07.2012|WUV|30,2||KL",
    ]);
    assert_eq!((read.value("E9"), read.seconds("E9"), read.circuit("E9")), (Some(6.4e8), Some(60.0), Some("UVW-E")));
    assert_eq!(
        (read.value("E10"), read.seconds("E10"), read.circuit("E10")),
        (Some(1.9e9), Some(600.0), Some("UVW-E"))
    );
    let wound = ["E11", "E12", "E13"].map(|cell| (read.quantity(cell), read.circuit(cell), read.volts(cell)));
    let each = |circuit| (Some("winding_resistance"), Some(circuit), None);
    assert_eq!(wound, [each("U-V"), each("V-W"), each("W-U")]);
    assert_eq!(read.value("E16"), Some(0.0302));
    assert_eq!((read.value("E14"), read.circuit("E14"), read.volts("E14")), (Some(2.7e6), Some("R-E"), Some(500.0)));
}

#[test]
fn a_line_whose_code_no_list_explains_takes_nothing_from_the_list() {
    let read = Read::texts(&[
        "Codes",
        "K1|insulation resistance after 1 min, kΩ",
        "K2|insulation resistance after 10 min, MΩ",
        "",
        "Motor|Date|Code|Value",
        "P-1|04.03.2011|K1|64000",
        "P-1|04.03.2011|K9|840",
        "P-2|04.03.2011|K8|39",
        "P-2|04.03.2011|K7|41",
    ]);
    for cell in ["D7", "D8", "D9"] {
        assert!(read.reading(cell).is_none(), "{cell}: {:?}", read.reading(cell));
    }
}

#[test]
fn the_unit_of_the_first_pair_of_terminals_is_that_of_the_pairs_beside_it_and_no_column_of_units() {
    let read = Read::texts(&[
        "Isolationswiderstand nach 1 Min., Wicklung gegen Gehäuse",
        "Motor|Datum|Riso|Einh|Ohm U-V|V-W|W-U",
        "WP-3|07.03.84|1040|MOhm|0,1480|0,1477|0,1471",
        "WP-4|21.08.84|404|kOhm|0,1501|0,1494|0,1496",
        "WP-5|24.12.84|64,8|MOhm|---|---|---",
    ]);
    assert_eq!((read.value("C3"), read.value("C4")), (Some(1.04e9), Some(4.04e5)));
    let wound = ["E3", "F3", "G4"].map(|cell| (read.quantity(cell), read.value(cell)));
    let told = |value| (Some("winding_resistance"), Some(value));
    assert_eq!(wound, [told(0.148), told(0.1477), told(0.1496)]);
}

#[test]
fn a_text_that_explains_one_heading_is_that_heading_and_no_title_of_all_numbers() {
    let read = Read::texts(&[
        "Gleichspannung 1000 V, 1 Minute, Megohm, jeder Strang gegen Masse",
        "TWK = WICKLUNGSTEMPERATUR IN °C",
        "",
        "MOTOR|DATUM|U|V|W|TWK|BEMERKUNG",
        "WP-3|15.01.1971|680|870|830|10|-",
        "WP-4|21.04.1971|790|750|650|33|-",
        "WP-5|03.06.1971|290|340|300|9|LAGER NEU",
    ]);
    assert_eq!((read.value("C5"), read.circuit("C5"), read.celsius("C5")), (Some(6.8e8), Some("U-E"), Some(10.0)));
    assert_eq!((read.value("E7"), read.celsius("E7")), (Some(3e8), Some(9.0)));
    assert!(read.reading("F5").is_none());
    let unit = Read::texts(&[
        "Unit = MΩ",
        "",
        "Motor|Date|Insulation|Unit",
        "WP-3|15.01.1971|680|GΩ",
        "WP-4|21.04.1971|790|GΩ",
    ]);
    assert_ne!(unit.value("C4"), Some(6.8e8), "the column of units is told by its cells");
}

#[test]
fn times_with_their_units_are_the_times_of_the_readings_whatever_letter_heads_them() {
    let read = Read::texts(&[
        "Insulation, 3 phases joined against frame",
        "TAG|WP-3",
        "DATE|17/11/2017",
        "",
        "hour|t|R|unit",
        "08:20:30|30 s|676.6|MΩ",
        "08:21:00|60 s|964.7|MΩ",
        "08:22:00|120 s|1.284|GΩ",
        "08:30:00|600 s|2.487|GΩ",
    ]);
    assert_eq!(["C6", "C7", "C9"].map(|cell| read.seconds(cell)), [Some(30.0), Some(60.0), Some(600.0)]);
    assert_eq!(read.value("C9"), Some(2.487e9));
    assert!(["B6", "B7", "B9"].iter().all(|cell| read.reading(cell).is_none()));
}

#[test]
fn the_machine_and_day_over_a_block_are_those_of_all_its_columns() {
    let read = Read::rows(&[
        "DC steps, phases joined against earth",
        "",
        "BP-1|2014-04-09|Twdg 23 °C|||BP-3|2014-04-10|Twdg 26 °C|",
        "kV|t from start (s)|I (µA)|R (MΩ)||kV|t from start (s)|I (µA)|R (MΩ)",
        "1|60|0.323|3096||1|60|0.556|1799",
        "2|120|0.671|2981||2|120|1.16|1724",
        "3|180|1.05|2857||3|180|1.8|1667",
        "4|240|1.45|2759||4|240|2.49|1606",
    ]);
    let told = |cell| (read.tag(cell), read.day(cell), read.volts(cell), read.seconds(cell), read.celsius(cell));
    assert_eq!(told("C6"), (Some("BP-1"), Some("2014-04-09".to_owned()), Some(2000.0), Some(120.0), Some(23.0)));
    assert_eq!(told("H8"), (Some("BP-3"), Some("2014-04-10".to_owned()), Some(4000.0), Some(240.0), Some(26.0)));
    assert!(read.is_derived("D6") && read.is_derived("I6"), "volts over amperes");
    let years = Read::rows(&[
        "Insulation to earth, MΩ",
        "BP-1|2014-04-09|2015-04-09",
        "Phase|MΩ|MΩ",
        "U|610|590",
        "V|640|600",
        "W|700|620",
    ]);
    assert_eq!(years.day("C4"), Some("2015-04-09".to_owned()), "two days head a column each");
}

#[test]
fn minutes_and_seconds_before_min_are_one_time() {
    let read = Read::texts(&[
        "DC steps, motor WP-7, armature to frame, 22.05.2013",
        "Time from start|U in V|I in µA",
        "1:00 min|500|8.89",
        "1:30 min|1000|18.7",
        "3:00 min|1500|29.3",
    ]);
    assert_eq!(["C3", "C4", "C5"].map(|cell| read.seconds(cell)), [Some(60.0), Some(90.0), Some(180.0)]);
}

#[test]
fn titles_side_by_side_over_another_line_of_titles_are_read() {
    let read = Read::texts(&[
        "Insulation curves|all phases joined against earth",
        "Values in GΩ|voltage 5000 V DC",
        "Responsible|electrical workshop",
        "",
        "Motor|Date|15 s|30 s|1 min|10 min",
        "BP-1|20/12/2013|1.35|2.05|3.15|9.72",
        "BP-2|24/01/2014|1.10|1.61|2.38|6.66",
    ]);
    assert_eq!((read.value("C6"), read.volts("C6"), read.seconds("F7")), (Some(1.35e9), Some(5000.0), Some(600.0)));
}

#[test]
fn deviations_under_the_surge_voltage_of_a_form_are_those_of_its_traces() {
    let read = Read::texts(&[
        "Motor|LM-3",
        "Datum|02.11.2004",
        "R U-V|1,859 Ohm",
        "R V-W|1,856 Ohm",
        "R W-U|1,853 Ohm",
        "Stoßspannung|1500 V",
        "Abweichung U-V|3,4 %",
        "Abweichung V-W|4,6 %",
        "Abweichung W-U|3,0 %",
    ]);
    for cell in ["B7", "B8", "B9"] {
        assert_eq!(read.quantity(cell), Some("surge_difference"), "{cell}");
    }
}
