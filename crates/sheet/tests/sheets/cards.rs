//! Cards, print-outs and lists of plants whose hands never saw the engine: sheets on which it was wrong or at a loss once.
//! Common practice in records, no source; all sheets are invented.

use crate::grid::{Read, text_grid};

#[test]
fn years_under_the_name_of_a_machine_are_dates() {
    let read = Read::of(text_grid(&[
        "Riso Strang gegen Erde in GΩ, 60 s, 1 kV",
        "",
        "Lüfter B1|U|V|W|Wicklung °C",
        "2008|1,2|1,3|1,1|16",
        "2010|1,0|1,1|0,95|18",
        "",
        "Lüfter B2|U|V|W|Wicklung °C",
        "2008|2,2|2,3|2,2|16",
        "2012|>10|>10|9,8|17",
    ]));
    assert_eq!(read.reading("A4"), None);
    assert_eq!((read.day("B4").as_deref(), read.tag("B4")), (Some("2008"), Some("B1")));
    assert_eq!((read.day("D9").as_deref(), read.tag("D9")), (Some("2012"), Some("B2")));
    assert_eq!((read.circuit("C5"), read.celsius("C5")), (Some("V-E"), Some(18.0)));
}

#[test]
fn cards_side_by_side_tell_voltage_and_time_in_one_cell_and_units_behind_values() {
    let read = Read::of(text_grid(&[
        "Prüfkarte|Nr. 101|||Prüfkarte|Nr. 102|",
        "Motor|Saugzug links|||Motor|Saugzug rechts|",
        "Prüftag|8. Nov. 1983|||Prüftag|9. Nov. 1983|",
        "Meßspannung|1000 V, 1 min|||Meßspannung|500 V, 1 min|",
        "U – Erde|180|MOhm||U – Erde|41|MOhm",
        "V – Erde|175|MOhm||V – Erde|dto.|MOhm",
    ]));
    assert_eq!((read.tag("B5"), read.day("B5").as_deref()), (Some("Saugzug links"), Some("1983-11-08")));
    assert_eq!((read.tag("F6"), read.day("F6").as_deref()), (Some("Saugzug rechts"), Some("1983-11-09")));
    assert_eq!((read.volts("B6"), read.seconds("B6"), read.circuit("B6")), (Some(1000.0), Some(60.0), Some("V-E")));
    assert_eq!((read.volts("F5"), read.seconds("F5"), read.circuit("F5")), (Some(500.0), Some(60.0), Some("U-E")));
    assert_eq!(read.reading("F6").map(|reading| reading.number), Some(41.0));
}

#[test]
fn comments_at_the_head_of_a_file_tell_unit_and_voltage() {
    let rows = |mark: &str| {
        Read::of(text_grid(&[
            "# Polarisationsindex Kühlwasserpumpen",
            "# Prüfspannung 5 kV, Werte in MOhm",
            "# Wicklungstemperatur siehe Spalte Tw",
            "Motor|Datum|Tw/°C|15 s|60 s|600 s",
            &format!("HKP-1|18.05.2011|24,5|510|1000{mark}|3100"),
            "HKP-2|18.05.2011|24,5|95,5|140|201",
        ]))
    };
    let read = rows("");
    assert_eq!((read.volts("D5"), read.seconds("D5"), read.celsius("D5")), (Some(5000.0), Some(15.0), Some(24.5)));
    assert_eq!(read.reading("F6").map(|reading| reading.unit.value.ucum), Some("MOhm"));
    // A value that bears the sign makes the line its footnote.
    assert!(rows("#").is_held("D5"));
}

#[test]
fn cells_tell_units_behind_values_and_terminals_under_a_vague_word() {
    let read = Read::of(text_grid(&[
        "Lüfter und Wasserhaltung – Iso-Werte 24 V-Meldeanlage nicht enthalten",
        "Gerät|geprüft|Messung|Wert||Anm.",
        "WH 1|07.03.05|U1–PE|450|MΩ|",
        "WH 1|28.03.05|UVW–PE|1,9²|GΩ|",
        "GL 1|28.03.05|UVW–PE|6,3||Einheit?",
        "GL 2|28.03.05|UVW–PE|780|kΩ|",
        "",
        "alle Werte: 60 s, 500 V",
        "² mit 1000 V gemessen",
    ]));
    assert_eq!((read.circuit("D3"), read.volts("D3"), read.seconds("D3")), (Some("U-E"), Some(500.0), Some(60.0)));
    assert_eq!((read.day("D3").as_deref(), read.tag("D3")), (Some("2005-03-07"), Some("WH 1")));
    assert_eq!((read.volts("D4"), read.reading("D4").map(|reading| reading.number)), (Some(1000.0), Some(1.9)));
    assert_eq!(read.reading("D6").map(|reading| reading.unit.value.ucum), Some("kOhm"));
    assert!(read.is_held("D5"));
}

#[test]
fn the_same_units_under_each_group_make_it_the_terminals_of_all_of_them() {
    let read = Read::of(text_grid(&[
        "Ständerwicklung Gen 7, 02.09.2015",
        "",
        "U1-U2 gegen Masse|||V1-V2 gegen Masse||",
        "kV|µA|GΩ|kV|µA|GΩ",
        "2,5|0,42|5,95|2,5|0,40|6,25",
        "5,0|0,90|5,56|4,0|0,86|4,65",
        "",
        "TE-Einsetzspannung (50 Hz)|kV|TE-Aussetzspannung|kV",
        "U|6,4|U|5,8",
        "V|6,6|V|6,0",
        "W|4,1|W|3,5",
    ]));
    assert_eq!(
        (read.circuit("B6"), read.volts("B6"), read.quantity("B6")),
        (Some("U-E"), Some(5000.0), Some("leakage_current"))
    );
    assert_eq!(
        (read.circuit("E6"), read.volts("E6"), read.quantity("E6")),
        (Some("V-E"), Some(4000.0), Some("leakage_current"))
    );
    assert_eq!(
        (read.quantity("B9"), read.quantity("D10")),
        (Some("pd_inception_voltage"), Some("pd_extinction_voltage"))
    );
}

#[test]
fn a_number_sign_before_a_number_begins_no_comment() {
    let read = Read::of(text_grid(&[
        "# IR in megohms, 500 V",
        "#3 Boiler feed pump",
        "Date|U-E|V-E|W-E",
        "14.03.2001|120|130|125",
        "15.03.2002|118|128|121",
    ]));
    assert_eq!((read.volts("B4"), read.quantity("B4")), (Some(500.0), Some("insulation_resistance")));
}

#[test]
fn a_step_before_groups_is_no_group() {
    let read = Read::of(text_grid(&[
        "Generator G-7, 02.09.2015",
        "",
        "Step|U gegen Masse||V gegen Masse||W gegen Masse|",
        "No.|kV|µA|kV|µA|kV|µA",
        "1|2,5|0,42|2,4|0,40|2,5|0,44",
        "2|5,0|0,90|5,1|0,86|5,0|0,95",
    ]));
    assert_eq!((read.circuit("C5"), read.volts("C5")), (Some("U-E"), Some(2500.0)));
    assert_eq!((read.circuit("E6"), read.volts("E6")), (Some("V-E"), Some(5100.0)));
    assert_eq!((read.circuit("G6"), read.volts("G6")), (Some("W-E"), Some(5000.0)));
}

#[test]
fn a_machine_named_as_a_terminal_is_no_phase_beside_the_three() {
    let read = Read::of(text_grid(&[
        "Aislamiento a tierra en GΩ, 60 s, 1 kV",
        "",
        "Ventilador V1|U|V|W|Temp. devanado °C",
        "2008|1,2|1,3|1,1|16",
        "2010|1,0|1,1|0,95|18",
        "2011|rebobinado",
    ]));
    assert_eq!((read.circuit("C4"), read.day("C4").as_deref()), (Some("V-E"), Some("2008")));
    assert_eq!(read.tag("D5"), Some("Ventilador V1"));
    assert!(read.reading("A4").is_none() && read.reading("A6").is_none());
}

#[test]
fn a_resistance_named_with_each_of_r_s_and_t_is_of_a_phase_and_not_of_a_pair() {
    let rows = |names: &str| {
        Read::of(text_grid(&[
            &format!("TAG|FECHA|VPRUEBA|{names}"),
            "M-1|16/06/1992|500|210,5|198|205",
            "M-2|17/06/1992|500|150|152|148",
        ]))
    };
    let read = rows("RR_MOHM|RS_MOHM|RT_MOHM");
    assert_eq!([read.circuit("D2"), read.circuit("E2"), read.circuit("F2")], [Some("U-E"), Some("V-E"), Some("W-E")]);
    let read = rows("RS_MOHM|ST_MOHM|TR_MOHM");
    assert_eq!([read.circuit("D2"), read.circuit("E2"), read.circuit("F2")], [Some("U-V"), Some("V-W"), Some("W-U")]);
}
