//! Rounds, seasons, campaigns and quarters as headings, and ratios without a name. Common practice in records, no source; all sheets are
//! invented.

use crate::grid::Read;
use windrow_model::{Bound, Reported};

#[test]
fn two_rounds_of_each_year_head_a_register() {
    let rows = [
        "Half-yearly insulation round, Mohm to earth, 500 V",
        "",
        "Motor|Spring 93|Autumn 93|Spring 94|Autumn 94",
        "Heating pump 1|70|85|55|70",
        "Heating pump 2|90|145|80|120",
        "Booster set|24|49|28|42",
    ];
    let read = Read::rows(&rows);
    assert_eq!((read.value("C4"), read.day("C4").as_deref()), (Some(85e6), Some("1993")));
    assert_eq!((read.value("E6"), read.day("E6").as_deref()), (Some(42e6), Some("1994")));
    assert_eq!(read.0.tests.len(), 12, "two rounds of a year are two tests");

    let mut explained = rows;
    explained[1] = "Spring round: April. Autumn round: October.";
    let read = Read::rows(&explained);
    assert_eq!(read.day("B4").as_deref(), Some("1993-04"));
    assert_eq!(read.day("E6").as_deref(), Some("1994-10"));
}

#[test]
fn a_season_of_two_years_is_dated_where_the_sheet_explains_it() {
    let told = Read::rows(&[
        "Isolement des moteurs, en MΩ, les trois phases / masse, 500 V",
        "Mesures en octobre (saison 88/89 : octobre 1988)",
        "",
        "Moteur|kW|88/89|89/90|99/00",
        "Treuil nord|250|200|130|135",
        "Pompe de frein|4|60|47|39",
    ]);
    assert_eq!((told.value("C5"), told.day("C5").as_deref()), (Some(200e6), Some("1988-10")));
    assert_eq!((told.value("E6"), told.day("E6").as_deref()), (Some(39e6), Some("1999-10")));

    let untold = Read::rows(&[
        "Isolement des moteurs, en MΩ, les trois phases / masse, 500 V",
        "",
        "Moteur|kW|88/89|89/90|99/00",
        "Treuil nord|250|200|130|135",
        "Pompe de frein|4|60|47|39",
    ]);
    assert!(untold.value("C4").is_none() && untold.is_held("C4"), "which year is asked about");

    let campaigns = Read::rows(&[
        "Aislamiento de motores (MΩ, devanado completo a tierra)",
        "Se mide en agosto: campaña 95/96 = agosto de 1995, y así las demás",
        "",
        "Sección|Motor|CV|Camp. 95/96|Camp. 96/97",
        "Recepción|Sinfín 1|15|26|31",
        "|Sinfín 2|15|21|22",
    ]);
    assert_eq!((campaigns.value("E5"), campaigns.day("E5").as_deref()), (Some(31e6), Some("1996-08")));
}

#[test]
fn numerals_to_four_under_each_year_are_its_quarters() {
    let read = Read::rows(&[
        "Isolationswiderstand gegen Erde, Messspannung 500 V DC",
        "",
        "Pumpe|Bauart|Einh.|1998|||||1999||||",
        "|||I|II|III|IV|Ø|I|II|III|IV|Ø",
        "RWP 1|Trocken|MΩ|230|240|230|260|240|230|190|150|140|177,5",
        "UWP 1|Unterwasser|kΩ|1000|790|1000|1100|972,5|700|1100|690|790|820",
    ]);
    assert_eq!((read.value("D5"), read.day("D5").as_deref()), (Some(230e6), Some("1998 Q1")));
    assert_eq!((read.value("L6"), read.day("L6").as_deref()), (Some(790e3), Some("1999 Q4")));
    assert!(read.value("H5").is_none() && read.value("M6").is_none(), "means are no readings");
}

#[test]
fn a_letter_and_a_year_is_a_quarter_unless_it_may_be_a_terminal() {
    let quarters = Read::rows(&[
        "Résistance d'isolement en GΩ sous 1000 V, stator / masse",
        "",
        "Rep.|Désignation|T1 2010|T2 2010|T3 2010|T4 2010",
        "V101|Ventilateur|6,8|3,7|4,5|3,5",
        "V102|Pompe|2,4|2,1|1,9|1,7",
    ]);
    assert_eq!((quarters.value("D4"), quarters.day("D4").as_deref()), (Some(3.7e9), Some("2010 Q2")));
    let terminals = Read::rows(&[
        "Résistance d'isolement en GΩ sous 1000 V",
        "",
        "Rep.|Désignation|T1 2010|T2 2010|T3 2010",
        "V101|Ventilateur|6,8|3,7|4,5",
        "V102|Pompe|2,4|2,1|1,9",
    ]);
    assert!(terminals.value("D4").is_none() && terminals.is_held("D4"));
}

#[test]
fn a_column_of_quotients_is_a_ratio_whatever_it_is_called() {
    let read = Read::rows(&[
        "Isolationsliste. Alle Werte in MΩ, Wicklung gegen Erde. K = R60/R15.",
        "",
        "Motor|Datum|Volt|Isolationswiderstand|||Wetter",
        "|||15 s|60 s|K|",
        "M-11|09.04.1998|500|23|31|1,35|Nebel",
        "M-12|17.06.2001|500|18|27|1,5|",
        "M-13|24.04.2004|500|130|170|1,31|trocken",
        "M-14|15.08.2007|500|27|37|1,37|Regen",
        "M-15|11.07.1998|500|18|21|1,17|Nebel",
    ]);
    assert_eq!((read.value("D5"), read.value("E9")), (Some(23e6), Some(21e6)));
    assert_ne!(read.value("F5"), Some(1.35e6), "no megohms");

    let measured = Read::rows(&[
        "Alle Werte in MΩ, Wicklung gegen Erde",
        "",
        "Motor|Datum|Volt|Isolationswiderstand||",
        "|||U|V|W",
        "M-11|09.04.1998|500|4,2|2,1|2,0",
        "M-12|17.06.2001|500|9,0|3,0|3,0",
        "M-13|24.04.2004|500|8,8|2,2|4,0",
        "M-14|15.08.2007|500|7,5|3,0|2,5",
        "M-15|11.07.1998|500|6,6|1,2|5,5",
    ]);
    assert_eq!((measured.value("F5"), measured.circuit("F9")), (Some(2.0e6), Some("W-E")), "a phase is measured");
}

#[test]
fn a_section_right_below_a_line_of_years_names_no_machine() {
    let read = Read::rows(&[
        "Isolation MΩ",
        "",
        "Motor|kW|1988|1989|1990",
        "HALLEN||||",
        "Pumpe Nord|25|200|130|135",
        "Pumpe Süd|4|60|47|39",
        "KELLER||||",
        "Pumpe West|15|90|85|70",
    ]);
    assert_eq!(
        (read.value("C5"), read.tag("C5"), read.day("E6").as_deref()),
        (Some(200e6), Some("Pumpe Nord"), Some("1990"))
    );
    assert_eq!(read.tag("D8"), Some("Pumpe West"));
}

#[test]
fn a_machine_whose_name_has_a_word_for_time_is_a_machine() {
    let read = Read::rows(&[
        "Insulation Mohm to earth, 500 V",
        "",
        "Motor|1993|1994",
        "Pump 1|70|85",
        "Hot water sec. pump|24|49",
    ]);
    assert_eq!((read.value("B5"), read.tag("B5")), (Some(24e6), Some("Hot water sec. pump")));
}

#[test]
fn years_of_two_lists_beside_each_other_are_of_each() {
    let read = Read::rows(&[
        "Isolation gegen Erde in MΩ, 1000 V",
        "",
        "Pumpe|2007|2009|2011||Pumpe|2007|2009|2011",
        "L1|830|590|750||W1|130|80|49",
        "L2|560|430|460||W2|2700|2500|2200",
        "",
        "Ständerwiderstände, mΩ, gemessen am 18.11.2011",
        "Pumpe|Klemmen|mΩ",
        "L1|U1-V1|84,7",
        "|V1-W1|83,4",
    ]);
    assert_eq!((read.tag("H4"), read.day("H4").as_deref(), read.value("H4")), (Some("W1"), Some("2009"), Some(80e6)));
    assert_eq!((read.tag("B5"), read.day("B5").as_deref()), (Some("L2"), Some("2007")));
}

#[test]
fn groups_that_come_back_over_another_list_head_it() {
    let read = Read::rows(&[
        "Isolation MOhm",
        "",
        "||500 V|||1000 V||",
        "Antrieb|kW|1999|2001|2003|1999|2001|2003",
        "Wender|11|120|85|70|100|80|80",
        "Band|4|34|33|19|43|35|23",
        "",
        "Hallenkrane|||||||",
        "||500 V|||1000 V||",
        "Kran / Motor|kW|1999|2001|2003|1999|2001|2003",
        "Kran 1, Hubwerk|45|22|17|18|13|15|13",
        "Kran 2, Hubwerk|45|30|34|22|31|30|19",
    ]);
    assert_eq!(
        (read.value("D11"), read.volts("D11"), read.day("D11").as_deref()),
        (Some(17e6), Some(500.0), Some("2001"))
    );
    assert_eq!((read.value("H12"), read.volts("H12")), (Some(19e6), Some(1000.0)));
}

#[test]
fn a_plus_before_a_resistance_is_a_bound_or_a_question() {
    let read = Read::texts(&[
        "Aislamiento a tierra en megohmios, 500 V",
        "",
        "MOTOR|FECHA|LECTURA|NOTA",
        "Elevador|24/08/1981|10|",
        "Bomba|20/08/1982|+ 50|fuera de escala (50)",
        "Prensa|29/08/1983|+ 50|",
        "Filtro|30/08/1983|12|",
        "Tolva|30/08/1983|14|",
    ]);
    let bound = |cell: &str| read.reading(cell).map(|reading| reading.bound);
    assert_eq!((bound("C4"), bound("C5")), (Some(Bound::Exact), Some(Bound::AtLeast)));
    assert!(bound("C6").is_none() && read.is_held("C6"));
}

#[test]
fn a_title_on_corrected_insulation_corrects_no_current() {
    let read = Read::rows(&[
        "Aislación de 1 min corregida a 40 °C, en MΩ",
        "",
        "TAG|Equipo|1999|2000|2001",
        "M-1|Chancador|846|940|999",
        "M-2|Molino|669|518|629",
        "",
        "Tensión escalonada octubre 2005: corriente de fuga [µA] al minuto de cada escalón",
        "kVcc||M-1|M-2",
        "2||1,05|0,73",
        "4||2,2|1,53",
    ]);
    let reported = |cell: &str| read.reading(cell).map(|reading| reading.as_reported);
    assert_eq!((reported("C4"), reported("C9")), (Some(Reported::Corrected), Some(Reported::AsRead)));
}

#[test]
fn an_a_beside_b_and_c_before_a_time_is_a_phase() {
    let read = Read::rows(&[
        "Ins. res. to ground [Gohm]",
        "",
        "A 30 s|A 1 min|B 30 s|B 1 min|C 30 s|C 1 min|Test voltage [V]|Equipment|Date tested",
        "0.18|0.244|0.188|0.255|0.196|0.266|2500|C-1120B|1987-06-23",
        "0.0385|0.051|0.0402|0.0537|0.0419|0.056|2500|P-1122B|1987-06-24",
    ]);
    assert_eq!((read.value("A4"), read.circuit("A4"), read.seconds("A4")), (Some(0.18e9), Some("U-E"), Some(30.0)));
    assert_eq!(read.quantity("B5"), Some("insulation_resistance"));
    let currents = Read::rows(&["Motor|Date|A 30 s|A 1 min", "P-1|1987-06-23|0.0000018|0.0000012"]);
    assert_ne!(currents.circuit("C2"), Some("U-E"), "alone it may be amperes");
}
