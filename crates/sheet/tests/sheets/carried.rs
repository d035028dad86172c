//! What a careful engineer carries over without asking: a unit told once, days that take turns with readings, lists of instruments, letters
//! that are no units. Common practice in records, no source; all sheets are invented.

use crate::grid::Read;

#[test]
fn a_unit_told_among_the_headings_of_remarks_is_that_of_the_readings() {
    let read = Read::rows(&[
        "Código|Máquina|Fecha|Tensión prueba (V)|R-tierra|S-tierra|T-tierra|Obs (valores en Mohm)",
        "QX-1|Prensa|27-10-2009|1000|45,2|44,0|46,1|",
        "QX-2|Cinta|28-10-2009|1000|210|205|208|limpia",
    ]);
    assert_eq!((read.value("E2"), read.circuit("F3")), (Some(45.2e6), Some("V-E")));
}

#[test]
fn a_unit_and_a_voltage_beside_each_other_are_a_title_and_no_label_with_its_value() {
    let read = Read::rows(&[
        "Motor|QX-7|950 kW",
        "Aislamiento de cada fase a tierra||en MΩ|1000 Vcc",
        "",
        "Fecha|R - tierra|S - tierra|T - tierra",
        "12.04.2009|640|655|630",
        "26.05.2013|590|600|575",
    ]);
    assert_eq!((read.value("B5"), read.volts("D6")), (Some(640e6), Some(1000.0)));
}

#[test]
fn capitals_with_a_number_are_a_name_and_initials_are_no_units() {
    let read = Read::rows(&[
        "Isolement des moteurs (MΩ, 500 V, 1 min), recopié par T.W.",
        "",
        "Ventilateur|ACC 21|||",
        "Date|U/masse|V/masse|W/masse|",
        "2010-10-19|300|310|305|",
        "2012-10-23|280|285|270|",
    ]);
    assert_eq!((read.value("B5"), read.seconds("C6")), (Some(300e6), Some(60.0)));
    let read = Read::rows(&[
        "Maschine|QX-2",
        "Datum|26.08.1998",
        "Prüfer|E.-M. V.",
        "t in min|U-PE|V-PE|W-PE",
        "|MΩ|MΩ|MΩ",
        "1|620|605|590",
        "10|2010|1960|1880",
    ]);
    assert_eq!((read.value("B7"), read.seconds("D6")), (Some(2010e6), Some(60.0)));
}

#[test]
fn direct_current_machines_in_a_title_name_no_leakage() {
    let read = Read::rows(&[
        "Moteurs à courant continu de la presse",
        "Mesure à 500 V, en MΩ",
        "",
        "Moteur|date|induit / masse|inducteur / masse",
        "Groupe 1|12/05/1986|12|25",
        "Groupe 2|13/05/1986|18|30",
    ]);
    assert_eq!((read.value("C5"), read.circuit("D6")), (Some(12e6), Some("F-E")));
}

#[test]
fn a_leak_found_and_told_below_readings_in_megohms_names_no_currents() {
    let read = Read::rows(&[
        "Devanados, 1000 V, 60 s, megaohmios.",
        "",
        "Motor|Fecha|U-tierra|V-tierra|W-tierra",
        "QX-1|26/9/2017|2600|2550|2700",
        "QX-2|27/9/2017|340|12|355",
        "",
        "QX-2, fase V: fuga en el paso de borne, cambiado el 3/10/2017",
    ]);
    assert_eq!((read.value("D5"), read.value("C4")), (Some(12e6), Some(2600e6)));
}

#[test]
fn memories_of_instruments_are_read_whatever_their_small_names_mean_elsewhere() {
    let read = Read::rows(&[
        "ID|FECHA_HORA|EQUIPO|CONEXION|V_PRUEBA|t_s|VALOR|UNI",
        "102|2022-10-05T09:22|QX-1|U-T|500|15|1.10|GOhm",
        "103|2022-10-05T09:33|QX-1|V-T|500|60|1.86|GOhm",
        "104|2022-10-05T09:44|QX-1|W-T|500|600|440|MOhm",
    ]);
    assert_eq!((read.value("G2"), read.seconds("G3"), read.volts("G4")), (Some(1.1e9), Some(60.0), Some(500.0)));
    assert_eq!(read.value("G4"), Some(440e6));
    let read = Read::rows(&[
        "Nr;|Datum|Messstelle|Prüfart|Anschluss|Prüfspannung [V]|Messwert|Einheit",
        "1|18.04.2019|Brunnenpumpe 3|Riso|L1-PE|500|1240|MOhm",
        "2|18.04.2019|Brunnenpumpe 4|Riso|L1-PE|500|870|MOhm",
        "3|18.04.2019|Brunnenpumpe 4|Riso|L2-PE|500|905|MOhm",
    ]);
    assert_eq!((read.tag("G2"), read.tag("G4")), (Some("Brunnenpumpe 3"), Some("Brunnenpumpe 4")));
}

#[test]
fn days_and_readings_in_turn_belong_together() {
    let read = Read::rows(&[
        "Job|Recd|Motor|HP|Meg as recd (500V)|Completed|Meg after bake (500V)",
        "2201|17 Jan 1988|QX-1|5|0.2|25 Jan 1988|150",
        "2202|18 Jan 1988|QX-2|3|12|22 Jan 1988|200",
        "2203|23 Jan 1988|QX-3|7|0.5|2 Feb 1988|180",
    ]);
    assert_eq!((read.day("E2"), read.day("G2")), (Some("1988-01-17".to_owned()), Some("1988-01-25".to_owned())));
    assert_eq!((read.value("E4"), read.value("G4")), (Some(0.5e6), Some(180e6)));
}

#[test]
fn a_heading_over_nothing_names_what_stands_under_the_terminals_beside_it() {
    let read = Read::rows(&[
        "Moteur n°|QX-1||Date|17 mars 2011",
        "",
        "Résistance entre bornes (mΩ)|U-V|V-W|W-U",
        "|36.12|36.18|36.09",
        "",
        "Isolement 1000 V, 1 min (GΩ)|U/masse|V/masse|W/masse",
        "|5.6|5.4|5.7",
    ]);
    assert_eq!((read.value("B4"), read.value("C7")), (Some(0.03612), Some(5.4e9)));
    assert_eq!((read.volts("C7"), read.seconds("D7")), (Some(1000.0), Some(60.0)));
}

#[test]
fn a_title_with_terminals_of_its_own_begins_a_table_though_its_headings_are_the_same() {
    let read = Read::rows(&[
        "Isolationswiderstand in MOhm, 500 V",
        "",
        "Phase U gegen Masse",
        "Motor|12.10.1987|9.11.1994",
        "QX-A|1200|1150",
        "QX-B|640|590",
        "",
        "Phase V gegen Masse",
        "Motor|12.10.1987|9.11.1994",
        "QX-A|1180|7,5",
        "QX-B|655|600",
    ]);
    assert_eq!((read.circuit("B5"), read.circuit("B10"), read.value("C10")), (Some("U-E"), Some("V-E"), Some(7.5e6)));
}

#[test]
fn the_temperature_that_heads_resistances_is_that_of_the_winding() {
    let read = Read::rows(&[
        "Wicklungswiderstände vom 25.11.2015, Angaben in mΩ",
        "Motor|Klemmen|kalt, 18 °C|warm, 74 °C",
        "Zentrifuge 1|U-V|25,31|30,85",
        "Zentrifuge 1|V-W|25,28|30,80",
        "Zentrifuge 1|W-U|25,35|30,88",
    ]);
    assert_eq!((read.value("C3"), read.celsius("C3"), read.celsius("D3")), (Some(0.02531), Some(18.0), Some(74.0)));
}

#[test]
fn a_residual_voltage_is_none_that_was_applied() {
    let read = Read::texts(&[
        "rec|stamp|equip|fn|conn|Vout|t_s|result|unit",
        "1|2019-03-12 13:21|QX-1|IR|L1-PE|500|60|812|MOhm",
        "2|2019-03-12 13:28|QX-1|IR|L2-PE|500|60|795|MOhm",
        "3|2019-03-12 13:35|QX-1|IR|L3-PE|500|60|1.04|GOhm",
        "4|2019-03-12 13:42|QX-1|VDC|L3-PE|||0.4|V",
    ]);
    assert_eq!((read.value("H4"), read.volts("H4")), (Some(1.04e9), Some(500.0)));
    assert!(read.reading("H5").is_none());
}

#[test]
fn surges_between_phases_are_told_by_their_title() {
    let read = Read::rows(&[
        "Windungsprüfung (Stoßvergleich), Werkstatt, 14.09.2022",
        "",
        "Maschine|U gegen V||V gegen W||W gegen U||Urteil",
        "|kV Sp.|Abw. %|kV Sp.|Abw. %|kV Sp.|Abw. %|",
        "QX-1|2.1|1.2|2.1|0.9|2.1|1.4|i.O.",
        "QX-2|2.1|2.8|2.1|14.5|2.1|13.9|n.i.O.",
    ]);
    assert_eq!((read.value("B5"), read.value("E6")), (Some(2100.0), Some(0.145)));
}

#[test]
fn forms_side_by_side_under_titles_are_no_table() {
    let read = Read::rows(&[
        "Tag:|QX-1||Date of test:|2018-10-16",
        "Test voltage:|500 V d.c.||Duration:|1 min",
        "",
        "Phases to earth|||Between phases",
        "U - E|350|MΩ|U - V|520|MΩ",
        "V - E|342|MΩ|V - W|515|MΩ",
        "W - E|361|MΩ|W - U|533|MΩ",
    ]);
    assert_eq!((read.value("B5"), read.circuit("E6")), (Some(350e6), Some("V-W")));
}

#[test]
fn days_with_a_unit_head_what_was_read_on_them() {
    let read =
        Read::rows(&["Chamber fans, insulation", "Fan|14/02/2018 MΩ|15/02/2017 MΩ", "QX-11|220|260", "QX-12|4.4|180"]);
    assert_eq!((read.value("B4"), read.day("C3")), (Some(4.4e6), Some("2017-02-15".to_owned())));
}

#[test]
fn found_and_left_are_two_readings_of_one_day() {
    let read = Read::rows(&[
        "All tests with 500 volt hand generator. Readings in megohms, 1 minute.",
        "Date|Machine|HP|Found|Left|Remarks",
        "5 Feb 1968|QX-1|15|0.8|35|dried",
        "6 Feb 1968|QX-2|25|12|40|",
    ]);
    assert_eq!((read.value("D3"), read.value("E4")), (Some(0.8e6), Some(40e6)));
}
