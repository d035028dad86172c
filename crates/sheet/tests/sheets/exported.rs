//! What maintenance systems, histories and pivots export: codes in catalogues, withdrawn readings, outlines and hierarchies. Invented; common
//! practice, no source.

use crate::grid::{Read, grid};
use windrow_model::settings::Settings;
use windrow_source::{Grid, Workbook};

/// A workbook of records and a sheet that explains their codes.
fn with_catalogue(rows: &[&str], catalogue: &[&str]) -> Read {
    let catalogue = Grid { name: Some("Catalogue".to_owned()), ..grid(catalogue) };
    Read::of_book(&Workbook { sheets: vec![grid(rows), catalogue], ..Workbook::default() }, &Settings::default())
}

#[test]
fn a_column_of_codes_means_what_the_catalogue_under_the_same_heading_says() {
    let catalogue = [
        "Merkmal|Kurztext|Short text|Einheit",
        "410|Isolation U gegen PE, 500 V, 1 min|insulation U to PE|MΩ",
        "420|Isolation V gegen PE, 500 V, 1 min|insulation V to PE|MΩ",
        "510|Wicklungswiderstand U-V|winding resistance U-V|Ω",
        "900|Lagertemperatur|bearing temperature|°C",
    ];
    let rows = [
        "Los|Motor|Datum|Merkmal|Wert|Status",
        "7001|KR-11|2018-03-05|410|820|",
        "7001|KR-11|2018-03-05|420|790|",
        "7001|KR-11|2018-03-05|510|0.412|",
        "7001|KR-11|2018-03-05|900|41|",
    ];
    let read = with_catalogue(&rows, &catalogue);
    assert_eq!((read.circuit("E2"), read.value("E2"), read.volts("E2")), (Some("U-E"), Some(8.2e8), Some(500.0)));
    assert_eq!((read.circuit("E3"), read.seconds("E3")), (Some("V-E"), Some(60.0)));
    assert_eq!((read.quantity("E4"), read.circuit("E4")), (Some("winding_resistance"), Some("U-V")));
    assert!(read.reading("E5").is_none() && read.reading("A2").is_none(), "neither a bearing nor a lot number");
    // Under another heading the numbers are no such codes.
    let other: Vec<String> = rows.iter().map(|row| row.replace("Merkmal", "Gruppe")).collect();
    let read = with_catalogue(&other.iter().map(String::as_str).collect::<Vec<_>>(), &catalogue);
    assert!(["E2", "E3", "E4"].iter().all(|cell| read.reading(cell).is_none()));
}

#[test]
fn a_list_of_codes_beside_the_records_is_that_of_the_column_that_holds_codes() {
    let read = Read::rows(&[
        "No|Asset|Circuit code|Value|Unit|Date|Status|||Code|Meaning",
        "1|MX-1|1|640|MOhm|2011-05-03|V|||1|U to earth",
        "2|MX-1|2|610|MOhm|2011-05-03|V|||2|V to earth",
        "3|MX-1|3|655|MOhm|2011-05-03|V|||3|W to earth",
        "4|MX-2|1|12|MOhm|2011-05-04|A",
        "5|MX-2|1|710|MOhm|2011-05-04|R|||Status|Meaning",
        "6|MX-2|2|705|MOhm|2011-05-04|V|||V|valid",
        "7|MX-2|3|715|MOhm|2011-05-04|E|||A|cancelled",
        "8|MX-3|1|680|MOhm|2011-05-05|V|||R|repeat",
        "9|MX-3|2|690|MOhm|2011-05-05|V|||E|estimated",
    ]);
    assert_eq!(["D2", "D3", "D4"].map(|cell| read.circuit(cell)), [Some("U-E"), Some("V-E"), Some("W-E")]);
    assert!(read.reading("D5").is_none() && !read.is_held("D5"), "withdrawn by its status");
    assert_eq!(read.value("D6"), Some(7.1e8), "the repeat counts");
    assert!(read.is_held("D8"), "an estimate is asked about");
    assert_eq!(read.circuit("D7"), Some("V-E"), "what a list says in the same line says nothing of the record");
}

#[test]
fn a_table_of_values_is_no_list_of_codes() {
    let read = Read::texts(&[
        "N|Asset|Terminals|Secs|MOhm|Day",
        "1|FQ-1|L1-PE|60|431|2019-02-04",
        "2|FQ-1|L2-PE|60|418|2019-02-04",
        "3|FQ-1|L3-PE|60|440|2019-02-04",
    ]);
    assert_eq!((read.circuit("E2"), read.seconds("E2"), read.value("E2")), (Some("U-E"), Some(60.0), Some(4.31e8)));
}

#[test]
fn records_below_a_record_are_no_list_of_codes() {
    let read = Read::texts(&[
        "Asset|Date|Phase|Against|Secs|MOhm",
        "HW-1|2019-02-04|U|earth|60|431",
        "||V|earth|60|418",
        "||W|earth|60|440",
        "HW-2|2019-02-05|U|earth|60|531",
        "||V|earth|60|518",
        "||W|earth|60|540",
    ]);
    assert_eq!(["F5", "F6", "F7"].map(|cell| read.circuit(cell)), [Some("U-E"), Some("V-E"), Some("W-E")]);
}

#[test]
fn a_status_in_one_sentence_and_a_heading_for_engineering_units_are_understood() {
    let read = Read::texts(&[
        "Channels: IR.1 = U+V+W to earth, IR.2 = U to earth, RH.1 = relative humidity",
        "Insulation values after 1 min, 2500 V DC",
        "Status: G good, R repeat, V void",
        "",
        "Time|Asset|Channel|Value|EU|Status",
        "2016-02-04|SW-CM1|IR.1|2.41|GOhm|G",
        "2016-02-04|SW-CM1|IR.2|4.02|GOhm|V",
        "2016-02-04|SW-CM1|IR.2|4.12|GOhm|R",
        "2016-02-04|SW-CM1|RH.1|44|%|G",
        "2016-05-11|SW-CM1|IR.1|2.33|GOhm|G",
        "2016-05-11|SW-CM1|RH.1|51|%|G",
    ]);
    assert_eq!((read.value("D6"), read.circuit("D6")), (Some(2.41e9), Some("UVW-E")));
    assert!(read.reading("D7").is_none(), "void");
    assert_eq!((read.value("D8"), read.circuit("D8"), read.volts("D8")), (Some(4.12e9), Some("U-E"), Some(2500.0)));
    assert!(read.reading("D9").is_none() && read.reading("D11").is_none(), "humidity");
}

#[test]
fn a_remark_withdraws_the_one_value_of_its_line_and_asks_about_several() {
    let rows = |remark: &str| {
        Read::texts(&[
            "Tag|Date|Insulation U to earth (MΩ)|Remark",
            &format!("BX-4|2003-06-02|12|{remark}"),
            "BX-4|2003-06-02|410|repeat",
        ])
    };
    for remark in ["anulada: cable húmedo", "lead left on, void", "Wert storniert"] {
        let read = rows(remark);
        assert!(read.reading("C2").is_none() && !read.is_held("C2"), "{remark}");
        assert_eq!(read.value("C3"), Some(4.1e8));
    }
    assert_eq!(rows("void in the insulation repaired").value("C2"), Some(1.2e7));
    let several = Read::texts(&[
        "Tag|Date|Insulation U to earth (MΩ)|Insulation V to earth (MΩ)|Remark",
        "BX-4|2003-06-02|12|430|void",
        "BX-5|2003-06-02|410|420|",
    ]);
    assert!(several.is_held("C2") && several.is_held("D2") && several.value("C3").is_some());
}

#[test]
fn an_outline_names_the_machine_over_its_lines_and_the_plant_over_its_machines() {
    let read = Read::rows(&[
        "Readings by year",
        "",
        "Row Labels|Unit|2015|2016|2017",
        "Northlock",
        "QP-P-101 bilge pump",
        "IR windings-earth, 500 V, 1 min|MΩ|640|655|610",
        "Resistance U-V|Ω|0.411|0.412|0.413",
        "QP-P-102 ballast pump",
        "IR windings-earth, 500 V, 1 min|MΩ|540|555|510",
        "Southlock",
        "QP-P-101 drain pump",
        "IR windings-earth, 500 V, 1 min|MΩ|240|255|210",
        "Resistance U-V|Ω|0.611|0.612|0.613",
    ]);
    assert_eq!(["C6", "D9", "E12"].map(|cell| read.tag(cell)), [Some("QP-P-101"), Some("QP-P-102"), Some("QP-P-101")]);
    assert_eq!(
        (read.value("C6"), read.circuit("C6"), read.day("C6").as_deref()),
        (Some(6.4e8), Some("UVW-E"), Some("2015"))
    );
    assert_eq!(read.quantity("E13"), Some("winding_resistance"));
    let site = |cell: &str| read.found(cell)?.0.machine.site.as_ref().map(|told| told.value.to_string());
    assert_eq!((site("C6").as_deref(), site("C12").as_deref()), (Some("Northlock"), Some("Southlock")));
}

#[test]
fn lines_that_name_no_machine_make_no_outline() {
    let read = Read::rows(&[
        "Motor KX-7, readings by year",
        "",
        "Row Labels|Unit|2015|2016|2017",
        "before cleaning",
        "IR windings-earth, 500 V, 1 min|MΩ|640|655|610",
        "after cleaning",
        "IR windings-earth, 500 V, 1 min|MΩ|940|955|910",
    ]);
    for cell in ["C5", "C7"] {
        assert!(read.tag(cell).is_none_or(|tag| tag == "KX-7"), "{cell}");
    }
}

#[test]
fn lines_of_a_hierarchy_hold_for_what_stands_below_them() {
    let read = Read::rows(&[
        "Level|Key|Name|Unit|Day|Value",
        "1|FER|Fermenting cellar",
        "2|AG-11|Agitator",
        "3|AG-11/R60|Insulation all windings to earth, 500 V, after 60 s|MΩ",
        "4|M401|||2004-03-02|640",
        "4|M402|||2005-03-07|610",
        "3|AG-11/RUV|Winding resistance U-V|Ω",
        "4|M403|||2004-03-02|0.411",
        "2|AG-12|Agitator",
        "3|AG-12/R60|Insulation all windings to earth, 500 V, after 60 s|MΩ",
        "4|M404|||2004-03-02|540",
        "3|AG-12/TLA|Bearing temperature|°C",
        "4|M405|||2004-03-02|44",
        "3|AG-12/RUV|Winding resistance U-V|Ω",
        "4|M406|||2004-03-02|0.419",
    ]);
    assert_eq!((read.tag("F5"), read.value("F5"), read.circuit("F5")), (Some("AG-11"), Some(6.4e8), Some("UVW-E")));
    assert_eq!((read.day("F6").as_deref(), read.seconds("F6")), (Some("2005-03-07"), Some(60.0)));
    assert_eq!((read.quantity("F8"), read.circuit("F8")), (Some("winding_resistance"), Some("U-V")));
    assert_eq!((read.tag("F11"), read.value("F11")), (Some("AG-12"), Some(5.4e8)));
    assert!(read.reading("F13").is_none(), "the temperature of a bearing");
    assert_eq!((read.tag("F15"), read.value("F15")), (Some("AG-12"), Some(0.419)));
}

#[test]
fn steps_by_their_level_are_no_hierarchy() {
    let read = Read::rows(&[
        "Motor ZW-3, 2014-05-06, DC step test U to earth",
        "Level|kV|µA|Remark",
        "1|1|0.4|",
        "2|2|0.9|",
        "3|3|1.5|",
        "4|4|2.2|",
        "5|5|3.1|",
    ]);
    assert_eq!((read.value("C3"), read.volts("C4")), (Some(0.4e-6), Some(2000.0)));
}

#[test]
fn a_name_left_blank_beside_another_description_is_asked_about() {
    let rows = |last: &str| {
        Read::rows(&[
            "Machine|Description|Characteristic|Value|Unit|Date",
            "GE-01|Blower|Insulation U to PE, 1 min|640|MOhm|2012-03-05",
            "GE-01|Blower|Insulation V to PE, 1 min|655|MOhm|2012-03-05",
            "GE-02|Separator|Insulation U to PE, 1 min|740|MOhm|2012-03-06",
            "GE-02|Separator|Insulation V to PE, 1 min|755|MOhm|2012-03-06",
            last,
        ])
    };
    let read = rows("|Pump motor|Insulation U to PE, 1 min|540|MOhm|2012-03-07");
    assert!(read.is_held("D6"), "{:?}", read.tag("D6"));
    assert_eq!(rows("|Separator|Insulation W to PE, 1 min|540|MOhm|2012-03-06").tag("D6"), Some("GE-02"));
}

#[test]
fn of_two_columns_of_machines_the_one_of_apparatus_is_the_instrument() {
    let read = Read::rows(&[
        "Code équipement|Date|Isolement enroulements/masse 1 min (MΩ)|Isolement ramené à 40 °C (MΩ)|Temp. enroulement °C|Appareil n°",
        "BV-01|2016-02-04|640|160|20|XP-03",
        "BV-02|2016-02-05|655|164|20|XP-03",
        "BV-03|2016-02-06|610|153|20|XP-03",
    ]);
    assert_eq!(["C2", "C3", "C4"].map(|cell| read.tag(cell)), [Some("BV-01"), Some("BV-02"), Some("BV-03")]);
    assert_eq!(
        read.found("C2").and_then(|(test, _)| test.instrument.as_ref()).map(|told| told.value.as_str()),
        Some("XP-03")
    );
    // The corrected value names no terminals, and the line has but one pair of them.
    assert!(["D2", "D3", "D4"].iter().all(|cell| read.is_derived(cell)));
}

#[test]
fn positions_of_an_inspection_count_its_lines_and_name_no_machine() {
    let read = Read::rows(&[
        "Prüflos|80012|Motor|VT-11|Presse|Prüfdatum|2014-05-06",
        "Pos.|Prüfmerkmal|Soll|Toleranz|Ist|Einheit",
        "10|Isolationswiderstand U gegen PE, 500 V, 60 s|≥ 20||640|MΩ",
        "20|Wicklungswiderstand U-V|0.41|± 5 %|0.412|Ω",
        "30|Stoßspannungsvergleich U-V bei 2,4 kV, Abweichung|≤ 10||3.5|%",
    ]);
    assert_eq!((read.tag("E3"), read.value("E3")), (Some("VT-11"), Some(6.4e8)));
    assert_eq!((read.quantity("E5"), read.volts("E5")), (Some("surge_difference"), Some(2400.0)));
    assert!(read.reading("C4").is_none(), "the target");
}

#[test]
fn a_pair_below_the_table_of_a_phase_is_of_that_phase() {
    let table = |phase: &str| {
        [
            format!("Phase {phase} to earth, other phases earthed"),
            "Voltage (kV)|Capacitance (nF)|tan δ (%)|PD (pC)".to_owned(),
            "1.1|31.2|0.91|n.m.".to_owned(),
            "3.3|31.4|0.99|420".to_owned(),
            "5.5|31.6|1.12|980".to_owned(),
            "Tip-up (%)||0.21".to_owned(),
            "PD inception (kV)|3.1".to_owned(),
            "PD extinction (kV)|2.7".to_owned(),
            String::new(),
        ]
    };
    let head = ["Machine|MU-01|Date|2008-06-24".to_owned(), String::new()];
    let rows: Vec<String> = head.into_iter().chain(["U", "V", "W"].into_iter().flat_map(table)).collect();
    let read = Read::rows(&rows.iter().map(String::as_str).collect::<Vec<_>>());
    assert_eq!(["B9", "B18", "B27"].map(|cell| read.circuit(cell)), [Some("U-E"), Some("V-E"), Some("W-E")]);
}

#[test]
fn a_remark_names_the_terminals_that_nothing_else_of_the_line_does() {
    let read = Read::texts(&[
        "Machine|Libellé|Réalisé le|Mesure|Unité|Commentaire",
        "FK-01|Résistance enroulement|2012-03-05|0,411|Ohm|entre U et V, bobinage à 21 °C",
        "FK-01|Résistance enroulement|2012-03-05|0,412|Ohm|entre V et W, bobinage à 21 °C",
        "FK-01|Contrôle isolement|2012-03-05|640|MOhm|toutes phases/masse, 1 min sous 500 Vcc",
        "FK-02|Contrôle isolement|2012-03-06|540|MOhm|phase U réparée",
    ]);
    assert_eq!(["D2", "D3", "D4"].map(|cell| read.circuit(cell)), [Some("U-V"), Some("V-W"), Some("UVW-E")]);
    assert_eq!(read.circuit("D5"), None, "what was done to a phase");
}

#[test]
fn values_under_a_group_of_measurements_are_readings() {
    let read = Read::texts(&[
        "Prüfung|Prüfung|Messung|Messung|Messung",
        "Maschine|Prüfdatum|Merkmal|Wert|Einheit",
        "RD-11|2009-01-09|Isolationswiderstand UVW gegen PE, 1 min|640|MOhm",
        "RD-11|2009-01-09|Wicklungswiderstand U-V|0.411|Ohm",
        "RD-12|2009-01-12|Isolationswiderstand UVW gegen PE, 1 min|540|MOhm",
    ]);
    assert_eq!((read.value("D3"), read.tag("D5")), (Some(6.4e8), Some("RD-12")));
}

#[test]
fn the_place_over_a_column_tells_machines_of_one_name_apart() {
    let read = Read::rows(&[
        "Spot check, megohms at 1 min, 500 V DC",
        "Site|Elm Quay|Oak Quay",
        "Asset|QP-P-101|QP-P-101",
        "Date|2020-03-16|2020-03-19",
        "U to earth|640|240",
        "V to earth|655|255",
    ]);
    let site = |cell: &str| read.found(cell)?.0.machine.site.as_ref().map(|told| told.value.to_string());
    assert_eq!((site("B5").as_deref(), site("C5").as_deref()), (Some("Elm Quay"), Some("Oak Quay")));
}
