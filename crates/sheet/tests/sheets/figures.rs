//! Numbers that nobody measured on a winding: limits, promised values, changes, calculated columns, counts, the noise behind partial
//! discharges, heaters and cables, columns copied from another year. Common practice in records, no source; all sheets are invented.

use crate::grid::Read;
use windrow_model::Disposition;

#[track_caller]
fn none_of(read: &Read, cells: &[&str]) {
    for cell in cells {
        assert!(read.reading(cell).is_none(), "{cell} is no reading");
        let mark = read.0.cells.iter().find(|mark| mark.place.cell == *cell);
        assert!(mark.is_some_and(|mark| mark.disposition != Disposition::Value), "{cell} stays visible");
    }
}

#[track_caller]
fn all_of(read: &Read, cells: &[&str]) {
    for cell in cells {
        assert!(read.reading(cell).is_some(), "{cell} is a reading");
    }
}

#[test]
fn what_is_demanded_below_the_readings_is_no_machine() {
    for word in ["Soll", "Mini", "Norma", "Exigence", "Requirement"] {
        let limit = format!("{word}|||>0.1|>0.1|>0.1");
        let read = Read::texts(&[
            "Motor|Datum|Wickl. °C|U-PE [GΩ]|V-PE [GΩ]|W-PE [GΩ]",
            "KM-31|11.01.2022|22|7.4|7.6|7.1",
            "KM-32|12.01.2022|21|0.72|0.68|0.75",
            &limit,
        ]);
        all_of(&read, &["D2", "F3"]);
        none_of(&read, &["D4", "E4", "F4"]);
    }
}

#[test]
fn a_limit_with_its_unit_behind_it_ends_no_table_and_is_none_of_its_readings() {
    let read = Read::texts(&[
        "Maschine: UP 9||",
        "Datum: 27.08.2013||",
        "Klemmen|Messwert|Einheit",
        "U - PE|2,35|GΩ",
        "V - PE|2,41|GΩ",
        "W - PE|2,28|GΩ",
        "Mindestwert|100|MΩ",
    ]);
    all_of(&read, &["B4", "B6"]);
    none_of(&read, &["B7"]);
}

#[test]
fn a_rated_value_in_the_column_before_the_measured_one_is_no_reading() {
    let read = Read::texts(&[
        "Anlage|NEA 7||",
        "Prüfdatum|06.11.2023||",
        "",
        "Größe|Nennwert|Messwert|Bemerkung",
        "Rw U-V mΩ|5,1|5,06|",
        "Rw V-W mΩ|5,1|5,08|",
        "Rw W-U mΩ|5,1|5,05|",
        "Riso gegen Erde, 500 V, 1 min|≥ 5 MΩ|860 MΩ|",
    ]);
    none_of(&read, &["B5", "B6", "B7", "B8"]);
    all_of(&read, &["C5", "C6", "C7", "C8"]);
}

#[test]
fn a_limit_that_a_sentence_of_the_form_tells_is_no_difference() {
    let read = Read::texts(&[
        "Pump 7C|28-Feb-2007||",
        "Leads|peak V|difference %",
        "1-2|2200|2",
        "2-3|2200|3",
        "3-1|2200|2",
        "",
        "Shop limit for difference: 10 %||",
    ]);
    none_of(&read, &["A7"]);
}

#[test]
fn a_change_between_steps_is_none_of_the_steps() {
    for word in ["Tip-up %", "Anstieg", "Incr. 2-6", "Δtg δ", "Accroissement", "Increase, max."] {
        let change = format!("{word}||0.12");
        let read = Read::texts(&[
            "Machine: G-4||",
            "Date: 2005-11-23||",
            "U kV|C nF|tan d %",
            "2|88.12|0.71",
            "4|88.20|0.74",
            "6|88.41|0.83",
            &change,
        ]);
        all_of(&read, &["B4", "C6"]);
        none_of(&read, &["C7"]);
    }
}

#[test]
fn a_column_of_changes_is_known_by_its_heading_and_by_its_signs() {
    let read = Read::texts(&[
        "Insulation, MΩ at 1000 V||||",
        "Motor|2009|2010|Évolution %|",
        "C7|310|295|-4,8|",
        "B2|1800|1650|-8,3|",
        "K1|95|1400|1373,7|",
    ]);
    all_of(&read, &["B3", "C5"]);
    none_of(&read, &["D3", "D4", "D5"]);
    let read = Read::texts(&[
        "Phase|U kV|2008 tan δ %|2013 tan δ %|shift tan δ %",
        "U|2|0.78|0.85|+0.07",
        "U|4|0.84|0.96|+0.12",
        "U|6|1.03|1.31|+0.28",
    ]);
    none_of(&read, &["E2", "E3", "E4"]);
}

#[test]
fn a_single_negative_number_is_no_resistance_and_takes_no_other_along() {
    let read = Read::texts(&["Motor|Date|IR MΩ", "P-1|12.03.2014|640", "P-2|13.03.2014|-640", "P-3|13.03.2014|60"]);
    none_of(&read, &["C3"]);
    all_of(&read, &["C2", "C4"]);
}

#[test]
fn a_calculated_column_beside_the_measured_one_is_computed_and_an_index_is_read() {
    for word in ["calc", "berechnet", "calculé", "calculado"] {
        let head = format!("kV|µA|{word} MΩ");
        let read = Read::texts(&[
            "Motor: P-31",
            "Date: 2009-10-21",
            "Readings after 60 s, U to earth",
            &head,
            "2|0.42|4762",
            "4|0.90|4444",
            "6|1.37|4380",
        ]);
        all_of(&read, &["B5", "B7"]);
        none_of(&read, &["C5", "C6", "C7"]);
    }
    let read =
        Read::texts(&["Motor|Date|IR 1 min MΩ|PI calculated", "P-1|12.03.2014|640|2.9", "P-2|13.03.2014|60|1.8"]);
    all_of(&read, &["C2", "D2", "D3"]);
}

#[test]
fn the_noise_behind_discharges_and_shares_of_the_rated_voltage_are_none() {
    for word in ["Grundstörpegel", "Background noise", "Bruit de fond", "Ruido de fondo"] {
        let noise = format!("{word}|||120|");
        let read = Read::texts(&[
            "Generator G-3, 01.03.2018||||",
            "Phase|PDIV kV|PDEV kV|Q pC at 3.6 kV|",
            "U|3.1|2.7|850|",
            "V|3.3|2.9|640|",
            "W|2.4|1.9|2300|",
            &noise,
        ]);
        all_of(&read, &["B3", "D5"]);
        none_of(&read, &["D6"]);
    }
    let read = Read::texts(&[
        "Generator G-3, 19 August 2015|||",
        "kV to earth|Phase A|Phase B|Phase C",
        "Inception, kV|4.1|3.0|3.9",
        "Ratio to Un/√3|0.65|0.47|0.61",
    ]);
    none_of(&read, &["B4", "C4", "D4"]);
}

#[test]
fn a_count_of_the_lines_is_none_of_them() {
    let rows = |count: &str| {
        let foot = format!("|Readings taken:|{count}");
        Read::texts(&["Motor|Date|IR MΩ", "P-1|12.03.2014|640", "P-2|13.03.2014|75", "P-3|14.03.2014|60", &foot])
    };
    none_of(&rows("3"), &["C5"]);
}

#[test]
fn heaters_cables_bearings_and_brush_gear_are_no_windings() {
    let read = Read::texts(&[
        "Motor: BR-7|",
        "Date: 2019-02-05|",
        "U-E at 500 V, 1 min|850 MΩ",
        "V-E at 500 V, 1 min|830 MΩ",
        "Résistance de réchauffage|96 Ω",
        "Isolement de la réchauffe|35 MΩ",
        "Space heater to frame|22 MΩ",
        "Aislamiento de los cojinetes|60 MΩ",
    ]);
    all_of(&read, &["B3", "B4"]);
    none_of(&read, &["B5", "B6", "B7", "B8"]);
    let read = Read::texts(&[
        "Motor|Date|Test|MΩ",
        "FM-1|11.07.2000|Läuferwicklung gegen Welle|12,5",
        "FM-1|11.07.2000|Bürstenbrücke gegen Masse|1,8",
        "FM-1|11.07.2000|Lagerisolation B-Seite|50",
    ]);
    all_of(&read, &["D2"]);
    none_of(&read, &["D3", "D4"]);
    let read = Read::texts(&["Motor|Date|1 min MΩ|Feeder, mΩ", "CH-1|12.03.2014|1850|41", "CH-2|12.03.2014|920|44"]);
    all_of(&read, &["C2", "C3"]);
    none_of(&read, &["D2", "D3"]);
    let read = Read::texts(&[
        "Faja|Fecha|Parte|V cc|Lectura 1 min|Unidad|Comentario",
        "F-201|20.11.2006|estator|5000|3,2|GΩ|",
        "F-201|20.11.2006|cable|5000|12|GΩ|",
        "F-202|20.11.2006|estator|5000|1,9|GΩ|",
        "F-202|20.11.2006|estator|5000|11|GΩ|sólo cable",
    ]);
    all_of(&read, &["E2", "E4"]);
    none_of(&read, &["E3", "E5"]);
}

#[test]
fn a_winding_measured_with_its_heaters_on_is_a_winding() {
    let read = Read::texts(&[
        "Motor|Date|Test|MΩ",
        "P-1|12.03.2014|Stator to earth, heaters on|640",
        "P-2|13.03.2014|Stator to earth, heater off|75",
    ]);
    all_of(&read, &["D2", "D3"]);
}

#[test]
fn a_section_on_the_heater_tells_of_no_winding() {
    let read = Read::texts(&[
        "Motor|ST-2|Tested|2019-11-05",
        "1. Insulation, all phases to frame, 1000 V|||",
        "30 s|1 min|10 min|",
        "2.9 GΩ|4.4 GΩ|18.1 GΩ|",
        "",
        "2. Space heater|||",
        "Cold resistance|53 ohm|OK|",
    ]);
    all_of(&read, &["A4", "B4", "C4"]);
    none_of(&read, &["B7"]);
}

#[test]
fn a_column_whose_footnote_says_that_it_was_copied_is_not_of_its_year() {
    for note in [
        "* 1998 nicht gemessen, Spalte aus 1996 übernommen",
        "* not measured in 1998, figures carried over",
        "* 1998 non mesuré, valeurs reprises de 1996, recopiées",
        "* 1998 no medido; valores copiados de 1996",
    ] {
        let read = Read::texts(&[
            "Insulation, MΩ, 1 min, 2500 V||||",
            "Tag|1994|1996|1998*|2001",
            "K-01|2350|2200|2200|2050",
            "K-02|1800|1500|1500|820",
            "P-05|940|905|905|955",
            "",
            note,
        ]);
        all_of(&read, &["B3", "C4", "E5"]);
        none_of(&read, &["D3", "D4", "D5"]);
    }
}

#[test]
fn kilowatts_and_metres_of_depth_are_no_resistances() {
    let read = Read::texts(&[
        "Borehole pumps, resistance of motor and cable to earth (MΩ), 500 V|||||||",
        "",
        "Well|Pump|Set depth m|12 Mar 2009|14 Sep 2009|9 Mar 2010|20 Sep 2010|Notes",
        "W1|37 kW|84|120|110|96|88|",
        "W2|37 kW|84|45|41|PULLED|350|new motor June 2010",
        "W3|22 kW|61|7.5|6.1|3.8|2.2|watch",
        "W5|45 kW|102|210|-|205|198|no access, flood",
    ]);
    none_of(&read, &["B4", "B5", "B6", "B7", "C4", "C5", "C6", "C7"]);
}
