//! Extracts of maintenance systems and memories of instruments: a quantity in each line, headings that are codes. Invented; common practice,
//! no source.

use crate::grid::Read;
use windrow_model::Bound;

#[test]
fn an_extract_names_what_was_measured_line_by_line() {
    let german = Read::texts(&[
        "Auftrag|Techn. Platz|Termin|Merkmal|Istwert|ME|Sollgrenze|Rückmeldetext",
        "810001|KW-P201A|03.05.2021|RISO_L1_2500V|8.400,5|MOhm|50|Messung gegen Erde",
        "810001|KW-P201A|03.05.2021|RISO_L2_2500V|7.950,5|MOhm|50|Messung gegen Erde",
        "810001|KW-P201A|03.05.2021|RISO_L3_2500V|955|MOhm|50|Messung gegen Erde",
        "810002|KW-P201B|04.05.2021|RWI_L1L2|0,412|Ohm||Wicklung 23 °C",
        "810002|KW-P201B|04.05.2021|RWI_L2L3|0,415|Ohm||Wicklung 23 °C",
        "810002|KW-P201B|04.05.2021|SCHWINGUNG|2,4|mm/s||",
    ]);
    assert_eq!(["E2", "E3", "E4"].map(|cell| german.circuit(cell)), [Some("U-E"), Some("V-E"), Some("W-E")]);
    assert_eq!(
        (german.value("E2"), german.volts("E2"), german.tag("E2")),
        (Some(8.4005e9), Some(2500.0), Some("KW-P201A"))
    );
    assert_eq!((german.quantity("E5"), german.circuit("E5")), (Some("winding_resistance"), Some("U-V")));
    assert_eq!((german.celsius("E6"), german.circuit("E6")), (Some(23.0), Some("V-W")));
    assert!(german.reading("E7").is_none() && german.reading("G2").is_none(), "neither vibration nor limit");

    let english = Read::texts(&[
        "Doc|Func. location|Meas. point|Read on|Value|UoM|Text",
        "1|HS-PU-01|IR STATOR-EARTH AT 500V/60S|05.11.2019|850.0|MOHM|",
        "2|HS-PU-02|IR STATOR-EARTH AT 500V/60S|05.11.2019|640.0|KOHM|box flooded",
        "3|HS-PU-02|BEARING TEMP DE|05.11.2019|54.0|DEGC|",
        "4|HS-PU-02|IR STATOR-EARTH AT 500V/60S|19.11.2019|410.0|MOHM|dried",
    ]);
    assert_eq!(["E2", "E3"].map(|cell| english.value(cell)), [Some(8.5e8), Some(6.4e5)]);
    assert_eq!(
        (english.tag("E3"), english.seconds("E3"), english.volts("E3")),
        (Some("HS-PU-02"), Some(60.0), Some(500.0))
    );
    assert!(english.reading("E4").is_none());

    let french = Read::texts(&[
        "OT|EQPT|DT_REAL|PT_MES|VAL|UNITE|COMMENT",
        "7001|MTR-12|20140305|ISO INDUIT/MASSE|4,2|MOHM|essai 1000 V",
        "7001|MTR-12|20140305|ISO INDUCTEUR/MASSE|18|MOHM|essai 1000 V après étuve",
        "7002|MTR-14|20140306|USURE BALAIS|31|MM|",
    ]);
    assert_eq!(["E2", "E3"].map(|cell| french.circuit(cell)), [Some("A-E"), Some("F-E")]);
    assert_eq!(french.volts("E3"), Some(1000.0), "whatever was done before");
    assert!(french.reading("E4").is_none() && !french.is_held("E4"));
}

#[test]
fn headings_that_are_codes_mean_what_a_text_says_of_them() {
    let english = Read::texts(&[
        "# memory dump, insulation tester",
        "# ID = object; PH = terminals to earth; UT = test voltage V; TS = elapsed s; RX = resistance; EX = unit of RX (6 = Mohm; 9 = Gohm)",
        "# TW = winding temperature degC; ST: 0 ok / 1 over range (RX is then the range end)",
        "N|ID|DT|PH|UT|TS|RX|EX|TW|ST",
        "1|FAN-3|2021-05-12T08:04|L1|2500|60|4.31|9|27|0",
        "2|FAN-3|2021-05-12T08:08|L2|2500|60|912|6|27|0",
        "3|FAN-3|2021-05-12T08:12|L3|2500|60|200|9|27|1",
    ]);
    assert_eq!(["G5", "G6", "G7"].map(|cell| english.value(cell)), [Some(4.31e9), Some(9.12e8), Some(2e11)]);
    assert_eq!(english.reading("G7").map(|reading| reading.bound), Some(Bound::AtLeast));
    assert_eq!(
        (english.circuit("G6"), english.volts("G6"), english.seconds("G6")),
        (Some("V-E"), Some(2500.0), Some(60.0))
    );
    assert_eq!(english.celsius("G5"), Some(27.0));

    let german = Read::texts(&[
        "OBJ = Antrieb|KL = Klemmen",
        "UP = Prüfspannung in V|T = Zeit nach Anlegen in s",
        "R = Widerstand|EH = Einheit (M = MOhm, G = GOhm)",
        "",
        "NR|DATUM|OBJ|KL|UP|T|R|EH",
        "001|07.03.2017|B6-A1|U-PE|1000|15|412|M",
        "002|07.03.2017|B6-A1|U-PE|1000|60|1,94|G",
    ]);
    assert_eq!(["G6", "G7"].map(|cell| german.value(cell)), [Some(4.12e8), Some(1.94e9)]);
    assert_eq!(["G6", "G7"].map(|cell| german.seconds(cell)), [Some(15.0), Some(60.0)]);
    assert_eq!(
        (german.tag("G6"), german.circuit("G6"), german.volts("G6")),
        (Some("B6-A1"), Some("U-E"), Some(1000.0))
    );

    let spanish = Read::texts(&[
        "; MAQ maquina / CX conexion: 7 = U-tierra; 8 = V-tierra; 9 = W-tierra",
        "; KV tension aplicada en kV / SEG segundos / I corriente de fuga en microamperios",
        "FECHA|MAQ|CX|KV|SEG|I",
        "2023/05/16|SOP-8|7|12|60|2.15",
        "2023/05/16|SOP-8|8|12|60|2.04",
        "2023/05/16|SOP-8|9|12|60|2.31",
    ]);
    assert_eq!(["F4", "F5", "F6"].map(|cell| spanish.circuit(cell)), [Some("U-E"), Some("V-E"), Some("W-E")]);
}

#[test]
fn texts_with_phases_and_values_explain_no_headings() {
    let read = Read::texts(&[
        "Motor: RW-9",
        "Date: 4 October 2011",
        "Values in megohms, each phase to ground",
        "Polarization index A 3.33, B 3.24, C 3.32. Minimum accepted 2.0.",
        "Time, min|A|B|C",
        "1|780|760|790",
        "10|2600|2460|2620",
    ]);
    assert_eq!(["B6", "C6", "D6"].map(|cell| read.circuit(cell)), [Some("U-E"), Some("V-E"), Some("W-E")]);
}

#[test]
fn places_and_drives_name_machines_where_nothing_else_does() {
    let driven = Read::texts(&[
        "LINIE|ANTRIEB|DATUM|MOHM",
        "A|BAND 3 ANTR 1|17.04.1991|210",
        "|BAND 3 ANTR 2|17.04.1991|185",
        "B|ABSETZER FAHRW|22.04.1991|33",
    ]);
    assert_eq!(["D2", "D4"].map(|cell| driven.tag(cell)), [Some("BAND 3 ANTR 1"), Some("ABSETZER FAHRW")]);
    assert_eq!(driven.circuit("D2"), None, "A is a line of the pit and no phase");

    let rain = Read::texts(&[
        "Isolement à la masse en mégohms, 500 V - 1997",
        "Mois|PI-01|PI-02|Pluie mm",
        "janvier 1997|14|22|61",
        "mars 1997|18|25|40",
    ]);
    assert!(rain.reading("D3").is_none() && rain.reading("D4").is_none(), "rain is measured on no machine");
}
