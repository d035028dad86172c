//! Letters, comparisons and forms of contractors whose hands never saw the engine, and what looks like them and is not.
//! Common practice in records, no source; all sheets are invented.

use crate::grid::{Read, grid, text_grid};
use windrow_source::{Area, Grid};

/// The same with headings over several columns: row, first and last column, from 0.
fn merged(mut grid: Grid, wide: &[(u32, u32, u32)]) -> Read {
    grid.merges.extend(wide.iter().map(|(row, left, right)| Area {
        top: *row,
        left: *left,
        bottom: *row,
        right: *right,
    }));
    Read::of(grid)
}

#[test]
fn days_without_a_year_are_of_the_year_over_their_group() {
    let rows = |over: [&str; 2]| {
        let grid = text_grid(&[
            "Insulation phase by phase, 500 V, 1 min, MΩ",
            "",
            &format!("Tag|{}|||{}", over[0], over[1]),
            "|Date|L1|L2|Date|L1|L2",
            "ZK-1|17/04|310|290|28/04|260|255",
            "ZK-2|18/04|44|41|28/04|27|25",
        ]);
        merged(grid, &[(2, 1, 3), (2, 4, 6)])
    };
    let read = rows(["Campaign 2018", "Campaign 2019"]);
    assert_eq!(read.day("C5").as_deref(), Some("2018-04-17"));
    assert_eq!(read.day("G6").as_deref(), Some("2019-04-28"));
    // Two years in one heading, or the year of something else, tell none.
    let read = rows(["Campaign 2018/2019", "Rewound 2019"]);
    assert_eq!((read.day("C5"), read.day("G6")), (None, None));
}

#[test]
fn last_year_beside_its_own_dates_is_dated() {
    let rows = |first: &str| {
        let grid = grid(&[
            "Motors of the dryer line - insulation to earth, 1 min at 1000 V",
            "",
            "Motor|LAST YEAR||THIS YEAR||Temp °C|Remarks",
            "|Date|MΩ|Date|GΩ||",
            &format!("HK-31|{first}|1900|2016-09-14|1.8|31|cleaned"),
            "HK-32|2015-09-08|720|2016-09-14|0.83|31|",
        ]);
        merged(grid, &[(2, 1, 2), (2, 3, 4)])
    };
    let read = rows("2015-09-08");
    assert_eq!(read.day("C5").as_deref(), Some("2015-09-08"));
    assert_eq!(read.day("E5").as_deref(), Some("2016-09-14"));
    assert_eq!(read.reading("E5").map(|reading| reading.unit.value.to_stored(reading.number)), Some(1.8e9));
    // What stands behind both is told of this year's.
    assert_eq!((read.celsius("C5"), read.celsius("E5")), (None, Some(31.0)));
    // A blank date of last year's is not this year's.
    let read = rows("");
    assert!(read.is_held("C5"), "{:?}", read.day("C5"));
    assert_eq!(read.day("E5").as_deref(), Some("2016-09-14"));
}

#[test]
fn this_year_over_a_group_hides_no_circuit() {
    let rows = |over: &str| {
        let grid = grid(&[
            "Vergleich der Isolation (Wicklung gegen Masse, 500 V, 1 Minute)",
            &format!("Motor|Vorjahr||{over}|"),
            "|Datum|MΩ|Datum|MΩ",
            "SW1|14.03.2005|210|13.03.2006|185",
            "SW2|14.03.2005|330|13.03.2006|320",
        ]);
        merged(grid, &[(1, 1, 2), (1, 3, 4)])
    };
    let read = rows("dieses Jahr");
    assert_eq!((read.circuit("C4"), read.circuit("E4")), (Some("UVW-E"), Some("UVW-E")));
    assert_eq!(read.day("C5").as_deref(), Some("2005-03-14"));
    // Words that nothing explains may name another winding.
    assert_eq!(rows("Zwischenkreis").circuit("E4"), None);
}

#[test]
fn capitals_under_motor_are_its_tags() {
    let read = Read::rows(&[
        "Insulation at 500 V DC for one minute on 6 May 2013, megohms",
        "",
        "Motor|Drive|kW|U to earth|V to earth|W to earth|Remarks",
        "DS-ID|Induced draught fan|90|61|58|66|dried",
        "DS-FD|Forced draught fan|45|330|340|315|",
        "DS-CWP-A|Cooling water pump A|30|8.2|9.1|7.7|a little damp",
    ]);
    assert_eq!((read.tag("D4"), read.tag("E5"), read.tag("F6")), (Some("DS-ID"), Some("DS-FD"), Some("DS-CWP-A")));
    assert_eq!(read.circuit("E5"), Some("V-E"));
    // Terminals under the same word are none.
    let read =
        Read::rows(&["Pump motor KP-7, 6 May 2013, 500 V DC, 1 min", "", "Motor|MΩ", "U-PE|61", "V-PE|72", "W-PE|65"]);
    assert_eq!((read.tag("B4"), read.circuit("B5")), (Some("KP-7"), Some("V-E")));
}

#[test]
fn roman_months_under_a_word_for_them() {
    let rows = |word: &str| {
        let grid = text_grid(&[
            "Ersatzmotoren im Magazin, Isolation 2006 in MΩ (500 V)",
            &format!("Lagerplatz|Motor-Nr.|{word}"),
            "||III|VI|IX|XII",
            "R1/a|2204-07|910|880|340|120",
            "R1/b|2204-09|1350|1310|720|n.g.",
            "R2/a|5180-02|> 2000|> 2000|1600|1250",
        ]);
        merged(grid, &[(1, 2, 5)])
    };
    let read = rows("Monat");
    let date = read.date("D5").map(|date| date.to_string());
    assert_eq!((date.as_deref(), read.tag("D5")), (Some("2006-06"), Some("2204-09")));
    assert_eq!(read.reading("C4").map(|reading| reading.unit.value.to_stored(reading.number)), Some(9.1e8));
    // The shelf "R1/a" is no reading after one minute.
    assert_eq!(read.seconds("C4"), None);
    // Numbered steps, phases or machines are no months.
    let read = rows("Stufe");
    assert!(read.date("D5").is_none_or(|date| date.to_string() != "2006-06"));
}

#[test]
fn a_letter_behind_the_bracket_of_a_unit_is_a_phase_among_all_three() {
    let read = Read::rows(&[
        "Loss factor, 50 Hz, phase to earth",
        "Date|2013-08-21||Winding temp|27 °C|||Motor|KG-2",
        "",
        "U [kV]|tan δ [%] U|tan δ [%] V|tan δ [%] W|C [nF] U",
        "1.1|0.81|0.84|0.79|212.4",
        "2.2|0.88|0.92|0.86|212.9",
    ]);
    assert_eq!((read.circuit("B5"), read.circuit("C5"), read.circuit("D6")), (Some("U-E"), Some("V-E"), Some("W-E")));
    assert_eq!((read.quantity("E5"), read.circuit("E5")), (Some("capacitance"), Some("U-E")));
    // One letter without its fellows may be anything.
    let read =
        Read::rows(&["Motor KG-2, 21 August 2013", "", "U [kV]|C [nF] U|I [µA] X", "1.1|212.4|1.2", "2.2|212.9|2.4"]);
    assert_eq!(read.circuit("B4"), None);
}

#[test]
fn one_head_line_speaks_for_tables_side_by_side() {
    let rows = |head: &str| {
        Read::rows(&[
            "Motor generator KG-2 - stator diagnosis",
            head,
            "",
            "Loss factor, phase U to earth||||DC in steps, phase U to earth, current after 1 min",
            "U [kV]|tan δ [%]|||U [kV]|I [µA]",
            "1.1|0.81|||1|0.33",
            "2.2|0.88|||2|0.69",
            "3.3|0.97|||3|1.08",
        ])
    };
    let read = rows("Date|2013-08-21|||Winding temp.|27 °C");
    assert_eq!((read.celsius("B6"), read.celsius("F6")), (Some(27.0), Some(27.0)));
    // Each with its own: what stands over one is not the other's.
    let read = rows("Winding temp.|31 °C|||Winding temp.|27 °C");
    assert_eq!((read.celsius("B6"), read.celsius("F6")), (Some(31.0), Some(27.0)));
}

#[test]
fn forms_side_by_side_may_say_more_in_their_second_line() {
    let read = Read::of(text_grid(&[
        "Water mill - test after the overhaul, April 2007",
        "",
        "Machine|G1|||Machine|SP-1",
        "Data|Generator 1, 400 V, 180 kVA|||Data|Feed pump 1, 400 V, 30 kW",
        "Test voltage|500 V|||Test voltage|500 V",
        "Winding temp.|28 °C|||Winding temp.|29 °C",
        "Insulation resistance 1 min, MΩ||||Insulation resistance 1 min, MΩ|",
        "U - earth|330|||U - earth|57",
        "V - earth|340|||V - earth|62",
        "W - earth|325|||W - earth|54",
        "Winding resistance, ohm||||Winding resistance, ohm|",
        "U1-U2|0.0241|||U1-U2|0.208",
        "V1-V2|0.0243|||V1-V2|0.207",
        "W1-W2|0.0241|||W1-W2|0.214",
    ]));
    assert_eq!((read.tag("B8"), read.tag("F9")), (Some("G1"), Some("SP-1")));
    assert_eq!((read.circuit("B9"), read.circuit("F10"), read.seconds("F8")), (Some("V-E"), Some("W-E"), Some(60.0)));
    assert_eq!((read.quantity("B12"), read.quantity("F14")), (Some("winding_resistance"), Some("winding_resistance")));
    assert_eq!((read.celsius("B8"), read.celsius("F8")), (Some(28.0), Some(29.0)));
    assert_eq!((read.volts("B8"), read.volts("B12")), (Some(500.0), None));
    // Tables side by side begin so as well, and have no values beside their labels.
    let read = Read::of(text_grid(&[
        "Machine|G1|||Machine|SP-1",
        "Date|MΩ|||Date|MΩ",
        "01.03.2004|210|||01.03.2004|38",
        "01.03.2005|220|||01.03.2005|41",
    ]));
    assert_eq!((read.tag("B3"), read.tag("F4")), (Some("G1"), Some("SP-1")));
    assert_eq!(read.day("F4").as_deref(), Some("2005-03-01"));
}

#[test]
fn a_unit_over_terminals_holds_for_the_times_beside() {
    let read = Read::rows(&[
        "Tag|VK-21||Date|2018-09-11",
        "Test voltage|5000 V||Winding temp.|19 °C",
        "",
        "Insulation resistance (MΩ)|1 min|10 min|PI",
        "Phase U / frame|2200|6400|2.91",
        "Phase V / frame|2150|6300|2.93",
        "Phase W / frame|2260|6500|2.88",
    ]);
    assert_eq!(read.reading("B5").map(|reading| reading.unit.value.to_stored(reading.number)), Some(2.2e9));
    assert_eq!((read.seconds("C6"), read.circuit("C6")), (Some(600.0), Some("V-E")));
    // The index has no unit.
    assert!(read.reading("D5").is_none_or(|reading| reading.number < 10.0));
}

#[test]
fn a_note_says_which_blank_cells_are_as_above() {
    let rows = |note: &str| {
        Read::of(text_grid(&[
            "Messliste Walzwerk",
            note,
            "Datum|Motor|U|Wicklung geg. Erde|Notiz",
            "9.2.11|WK-01|1 kV|4,1 GΩ|",
            "|WK-02||3,65 GΩ|",
            "|WK-03||720 MΩ|Filter neu",
            "16.2.11|RG-11|500 V|58 MΩ|",
            "|RG-12||680 kΩ|gesperrt",
        ]))
    };
    let read = rows("leere Felder in Datum und U = wie darüber");
    assert_eq!((read.volts("D5"), read.volts("D8"), read.circuit("D5")), (Some(1000.0), Some(500.0), Some("UVW-E")));
    // A note on other columns, or one that says the contrary, fills nothing.
    assert_eq!(rows("leere Felder in Datum = wie darüber").volts("D5"), None);
    assert_eq!(rows("leere Felder in U = nicht notiert").volts("D5"), None);
}

#[test]
fn a_condition_beside_the_name_of_a_test_tells_the_winding_s_temperature() {
    let rows = |condition: &str| {
        Read::of(text_grid(&[
            "Contrôle des deux alternateurs, 8 juin 2015",
            "Essai|Conditions|Alternateur A1|Alternateur A2",
            "Isolement 1 min|1000 V|1,7 GΩ|930 MΩ",
            &format!("Résistance U-V|{condition}|22,13 mΩ|22,31 mΩ"),
            &format!("Résistance V-W|{condition}|22,10 mΩ|22,36 mΩ"),
        ]))
    };
    let read = rows("bobinage à 24 °C");
    assert_eq!((read.celsius("C4"), read.celsius("D5"), read.celsius("C3")), (Some(24.0), Some(24.0), None));
    // What it was brought to is not what was measured; the room is not the winding.
    assert_eq!(rows("ramenée à 20 °C").celsius("C4"), None);
    assert_eq!(rows("ambiance 24 °C").celsius("C4"), None);
}

#[test]
fn a_remark_behind_a_value_parts_no_record() {
    let read = Read::of(text_grid(&[
        "Surge tests, 2nd quarter",
        "",
        "Motor|VK-08|Date|15/05/2018",
        "Pair|Peak kV|Difference %|Verdict",
        "U-V|2.6|2.1|good",
        "V-W|2.6|1.4|good",
        "W-U|2.6|1.9|good",
        "Insulation to frame (MOhm)|510|before the surge",
        "",
        "Motor|VK-09|Date|26/05/2018",
        "Pair|Peak kV|Difference %|Verdict",
        "U-V|2.6|0.7|good",
        "V-W|2.6|14.1|phase W ?",
        "W-U|2.6|13.2|phase W ?",
        "Insulation to frame (MOhm)|0.42|before the surge",
        "",
        "Motor|VK-10 or VK-11 (label lost)|Date|27/05/2018",
        "Insulation to frame (MOhm)|96|no surge",
    ]));
    assert_eq!((read.tag("B8"), read.tag("B15")), (Some("VK-08"), Some("VK-09")));
    assert_eq!(
        (read.quantity("B8"), read.quantity("B15")),
        (Some("insulation_resistance"), Some("insulation_resistance"))
    );
    assert_eq!(read.day("B15").as_deref(), Some("2018-05-26"));
    // Of two names in one cell neither is taken, nor the one above.
    assert!(read.is_held("B18") || read.tag("B18").is_none(), "{:?}", read.tag("B18"));
}

#[test]
fn pairs_of_a_comparison_of_surges() {
    let read = Read::of(grid(&[
        "Hauptmotor HP5, 11.09.2017",
        "",
        "Stoßspannungsvergleich, Scheitelwert 2600 V",
        "Paar|Abweichung in %",
        "U/V|1.4",
        "V/W|0.8",
        "W/U|2.3",
    ]));
    assert_eq!((read.quantity("B5"), read.circuit("B6")), (Some("surge_difference"), Some("V-W")));
    assert_eq!(
        read.reading("B7").map(|reading| (reading.unit.value.to_stored(reading.number) * 1e4).round()),
        Some(230.0)
    );
    // Under the resistance of a winding it is that one's.
    let read = Read::of(grid(&[
        "Hauptmotor HP5, 11.09.2017",
        "",
        "Wicklungswiderstand",
        "Paar|mΩ",
        "U/V|7.251",
        "V/W|7.243",
        "W/U|7.268",
    ]));
    assert_eq!((read.quantity("B5"), read.circuit("B6")), (Some("winding_resistance"), Some("V-W")));
}

#[test]
fn a_name_again_with_its_state_is_the_same_machine_later() {
    let read = Read::of(text_grid(&[
        "Valeurs relevées jeudi 9 juin 2016, 1000 V continu, enroulements contre masse, en MΩ",
        "Moteur|kW|1 min|10 min|IP|Avis",
        "P1|200|1250|3600|2,88|bon",
        "P4|355|84|118|1,40|à l'étuve",
        "P4 après étuvage (21/06/2016)|355|640|1820|2,84|bon",
    ]));
    assert_eq!((read.tag("C5"), read.day("C5").as_deref()), (Some("P4"), Some("2016-06-21")));
    assert_eq!((read.tag("C4"), read.day("C4").as_deref()), (Some("P4"), Some("2016-06-09")));
    // A name that no line above has is not cut.
    let read = Read::of(text_grid(&[
        "Valeurs relevées jeudi 9 juin 2016, 1000 V continu, enroulements contre masse, en MΩ",
        "Moteur|kW|1 min|10 min|IP|Avis",
        "P1|200|1250|3600|2,88|bon",
        "P5 après étuvage (21/06/2016)|355|640|1820|2,84|bon",
    ]));
    assert_ne!(read.tag("C4"), Some("P5"));
}

#[test]
fn what_is_told_below_a_table_is_none_of_its_lines() {
    let read = Read::of(text_grid(&[
        "ESSAI PAR PALIERS EN TENSION CONTINUE - STATOR DU GROUPE 2",
        "Essai du 12 mars 2003|||Opérateurs : J.M. / N.C.",
        "Trois phases réunies, contre masse. Courant lu à la fin de chaque palier d'une minute.",
        "",
        "Palier|Tension|Courant de fuite|R calculée",
        "n°|kV|µA|Mohm",
        "1|2|0,85|2353",
        "2|4|1,75|2286",
        "3|6|2,80|2143",
        "Isolement avant essai, 1 min sous 2500 V :|||2 610 Mohm",
        "Température des bobinages 26 °C",
    ]));
    assert_eq!(
        (read.quantity("C8"), read.volts("C8"), read.celsius("C8")),
        (Some("leakage_current"), Some(4000.0), Some(26.0))
    );
    assert_eq!((read.quantity("D10"), read.volts("D10")), (Some("insulation_resistance"), Some(2500.0)));
    assert_eq!(read.seconds("D10"), Some(60.0));
    assert_eq!(read.quantity("D8"), None);
}

#[test]
fn a_connection_to_earth_beside_its_label_is_what_was_measured() {
    let rows = |connection: &str| {
        Read::of(text_grid(&[
            "Isolationsmessung Ständerwicklung",
            "Maschine 5|Motorgenerator 6,3 kV / 18 MVA",
            "Datum:|4. Mai 2001",
            "Messspannung:|5000 V Gleichspannung",
            "Wicklung:|33 °C (Nutthermometer)",
            &format!("Schaltung:|{connection}"),
            "",
            "Zeit|Widerstand",
            "min|MOhm",
            "0,5|260",
            "1|395",
            "2|610",
        ]))
    };
    let read = rows("U, V, W verbunden gegen Erde");
    assert_eq!(
        (read.circuit("B11"), read.seconds("B10"), read.celsius("B11")),
        (Some("UVW-E"), Some(30.0), Some(33.0))
    );
    assert_eq!((read.tag("B11"), read.volts("B12")), (Some("Maschine 5"), Some(5000.0)));
    // Star or delta is of the machine.
    assert_eq!(rows("Stern").circuit("B11"), None);
}
#[test]
fn degrees_in_capitals_over_a_line_of_words_are_told() {
    let rows = |told: &str| {
        Read::of(text_grid(&[
            "STATOR STEP VOLTAGE TEST",
            "MACHINE|UNIT 4 MOTOR-GENERATOR",
            "DATE|16 MAY 1991",
            &format!("{told}|RH 45 PCT"),
            "CONNECTION|PHASE A TO EARTH, OTHER PHASES EARTHED",
            "",
            "KV DC|MICROAMP",
            "3.0|0.41",
            "6.0|0.86",
        ]))
    };
    assert_eq!(rows("WINDING TEMP 27 DEG C").celsius("B8"), Some(27.0));
    // The oven's are not the winding's, and degrees of an angle are none.
    assert_eq!(rows("OVEN TEMP 90 DEG C").celsius("B8"), None);
    assert_eq!(rows("WINDING PITCH 27 DEG").celsius("B8"), None);
}

#[test]
fn a_percentage_beside_the_name_of_a_surge_test_is_its_difference() {
    let rows = |test: &str, values: &str| {
        Read::of(text_grid(&[
            "Contrôle des deux alternateurs, 8 juin 2015",
            "Essai|Conditions|Alternateur A1|Alternateur A2",
            "Isolement 1 min|1000 V|1,7 GΩ|930 MΩ",
            "Isolement 10 min|1000 V|4,2 GΩ|1,9 GΩ",
            "Résistance U-V|bobinage à 24 °C|22,13 mΩ|22,31 mΩ",
            "Résistance V-W|bobinage à 24 °C|22,10 mΩ|22,36 mΩ",
            &format!("{test}|crête 1700 V|{values}"),
        ]))
    };
    let read = rows("Onde de choc, écart maximal entre phases", "2,1 %|5,9 %");
    assert_eq!((read.quantity("C7"), read.quantity("D7")), (Some("surge_difference"), Some("surge_difference")));
    // In kilovolts the same line tells the peak.
    let read = rows("Onde de choc", "1,7 kV|1,7 kV");
    assert_ne!(read.quantity("C7"), Some("surge_difference"));
}
