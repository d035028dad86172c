//! Machines named in several columns, or by the line and the column together, and circumstances told once for each. Common practice in records,
//! no source; all sheets are invented.

use crate::grid::Read;

#[test]
fn a_temperature_below_each_machine_is_of_that_machine() {
    let rows = |lines: &[&str]| {
        let mut all = vec!["Winding resistance in mΩ", "Motor||1992|1994|1997"];
        all.extend(lines);
        Read::rows(&all)
    };
    let each = rows(&[
        "Lower lift||36.1|36.2|36.4",
        "|winding temp. °C|13|12|14",
        "Upper lift||26.6|25.9|26.2",
        "|winding temp. °C|11|4|5",
    ]);
    assert_eq!((each.celsius("C3"), each.celsius("D5"), each.celsius("E5")), (Some(13.0), Some(4.0), Some(5.0)));
    // Once below all of them it is of all.
    let all = rows(&["Lower lift||36.1|36.2|36.4", "Upper lift||26.6|25.9|26.2", "winding temp. °C||11|4|5"]);
    assert_eq!((all.celsius("C3"), all.celsius("C4")), (Some(11.0), Some(11.0)));
    // A machine without a line of its own has none.
    let some = rows(&[
        "Lower lift||36.1|36.2|36.4",
        "|winding temp. °C|13|12|14",
        "Upper lift||26.6|25.9|26.2",
        "Valley lift||31.0|31.2|31.5",
        "|winding temp. °C|11|4|5",
    ]);
    assert_eq!((some.celsius("C3"), some.celsius("C5"), some.celsius("C6")), (Some(13.0), None, Some(11.0)));
}

#[test]
fn a_word_for_machine_and_instrument_heads_machines_where_they_stand_below() {
    let rows = |head: &str, names: [&str; 3]| {
        let lines = names.map(|name| format!("{name}|520|480|455"));
        let mut all = vec!["Isolement en MΩ, sous 500 V", head];
        all.extend(lines.iter().map(String::as_str));
        Read::rows(&all)
    };
    let names = ["TS Grand Pré", "TS Petit Bois", "TC Les Crêtes"];
    assert_eq!(rows("Appareil|1992|1994|1997", names).tag("B3"), Some("TS Grand Pré"));
    // Instruments that were compared are no machines, nor is what is called an instrument alone.
    assert_eq!(rows("Appareil|1992|1994|1997", ["Magnéto 500 V", "Magnéto 1000 V", "Pile 500 V"]).tag("B3"), None);
    assert_eq!(rows("Instrument|1992|1994|1997", names).tag("B3"), None);
}

#[test]
fn a_place_told_once_over_its_machines_tells_them_from_those_of_the_next() {
    let read = Read::rows(&[
        "Insulation to earth in MΩ",
        "Building|Fan|May 1996|November 1996",
        "Chemistry|FX 1|75|90",
        "|FX 2|65|55",
        "|FX 3|66|57",
        "Biology|FX 1|260|250",
        "|FX 2|34|28",
    ]);
    let tags = ["C3", "C4", "C6", "C7"].map(|cell| read.tag(cell));
    assert_eq!(tags, [Some("Chemistry FX 1"), Some("Chemistry FX 2"), Some("Biology FX 1"), Some("Biology FX 2")]);
    let stations = Read::rows(&[
        "Aislamiento en MΩ",
        "Estación|Escalera|Fase|03/1997|06/1997",
        "Puerto|E1|R|30|19",
        "||S|31|24",
        "||T|32|26",
        "|E2|R|49|60",
        "||S|38|38",
        "||T|35|39",
        "Plaza|E1|R|13|10",
        "||S|12|12",
        "||T|14|18",
        "|E2|R|8|9",
    ]);
    let site = |cell: &str| stations.found(cell)?.0.machine.site.as_ref().map(|told| told.value.as_str());
    assert_eq!(["D3", "D6", "D7", "D12"].map(site), [Some("Puerto"), Some("Puerto"), Some("Puerto"), Some("Plaza")]);
}

#[test]
fn the_numbers_of_a_cars_motors_are_part_of_their_names() {
    let rows = |head: &str| {
        Read::rows(&[
            "Aislamiento en MΩ (1000 V)",
            &format!("Coche|{head}|Fecha|Inducido-masa"),
            "M-401|1|16.03.1992|99",
            "|2||125",
            "M-402|1|23.06.1992|57",
            "|2||14",
        ])
    };
    let read = rows("Mot.");
    assert_eq!(["D3", "D4", "D6"].map(|cell| read.tag(cell)), [Some("M-401 1"), Some("M-401 2"), Some("M-402 2")]);
    // Numbers of tests are no motors.
    assert_ne!(rows("Ensayo").tag("D4"), Some("M-401 2"));
}

#[test]
fn motions_are_parts_of_the_machine_before_them() {
    let read = Read::rows(&[
        "Unloader GU7, overhaul: insulation in MΩ",
        "M/c|Motion|Date|Mohm",
        "GU7|Long travel|09.02.1998|9.8",
        "|Slew|15.02.1998|5.9",
        "|Luff hoist|18.02.1998|4.6",
    ]);
    assert_eq!((read.tag("D3"), read.tag("D5")), (Some("GU7 Long travel"), Some("GU7 Luff hoist")));
}

#[test]
fn tables_side_by_side_begin_where_the_headings_are_repeated() {
    let read = Read::rows(&[
        "Isolationswiderstand in MΩ",
        "Werk Oberau|||||Werk Niederau|||",
        "Pumpe|2007|2009|2011||Pumpe|2007|2009|2011",
        "P1|830|590|750||P1|130|80|49",
        "P2|560|430|460||P2|2700|2500|2200",
        "P3|870|640|530||P3|320|220|260",
    ]);
    let site = |cell: &str| read.found(cell)?.0.machine.site.as_ref().map(|told| told.value.as_str());
    assert_eq!((read.tag("C5"), read.tag("H5")), (Some("P2"), Some("P2")));
    assert_eq!((read.day("C5"), read.day("H5")), (Some("2009".to_owned()), Some("2009".to_owned())));
    assert_eq!((site("C5"), site("H5")), (Some("Werk Oberau"), Some("Werk Niederau")));
}

#[test]
fn columns_headed_by_drives_are_of_the_machine_that_the_line_names() {
    let rows = |title: &str, head: &str| {
        Read::rows(&[
            title,
            "",
            head,
            "Goods lift|14.03.1987|19|48",
            "|20.09.1987|21|32",
            "Staff lift|14.03.1987|15|25",
            "|20.09.1987|22|24",
        ])
    };
    let head = "Lift|Tested|Hoist mtr|M-G set";
    let read = rows("Insulation of hoist motors and sets, megohms, 500 volt", head);
    assert_eq!((read.tag("C4"), read.tag("D7")), (Some("Goods lift Hoist mtr"), Some("Staff lift M-G set")));
    assert_eq!((read.value("D7"), read.volts("D7")), (Some(24e6), Some(500.0)));
    // What a title says nothing of is no reading, nor is what stands under other words.
    assert!(rows("Lifts and their motors", head).reading("C4").is_none());
    assert!(rows("Insulation in megohms", "Lift|Tested|Persons|Floors").reading("C4").is_none());
    assert!(rows("Insulation in megohms", "Lift|Tested|Hoist mtr kW|M-G set kW").reading("C4").is_none());
}

#[test]
fn a_word_of_judgement_before_a_resistance_is_its_remark() {
    let read = Read::rows(&[
        "Isolement contre terre",
        "Moteur|12/03/2001|15/10/2001",
        "Broyeur|bon, 380 MΩ|450 MΩ",
        "Crible|o.k. > 1 GΩ|faible, 940 kΩ",
        "Trémie|correct 75 MΩ|80 MΩ",
    ]);
    assert_eq!(
        ["B3", "B4", "C4", "B5"].map(|cell| read.value(cell)),
        [Some(380e6), Some(1e9), Some(940e3), Some(75e6)]
    );
    assert_eq!(read.reading("B4").map(|reading| reading.bound), Some(windrow_model::Bound::AtLeast));
    let remark =
        read.found("C4").map(|(test, _)| test.remarks.iter().map(|told| told.value.as_str()).collect::<Vec<_>>());
    assert_eq!(remark, Some(vec!["faible"]));
}

#[test]
fn a_word_for_over_range_ends_where_a_note_says_and_no_other_word_does() {
    let read = Read::rows(&[
        "Isolement en MΩ. « infini » = aiguille en butée, soit plus de 500 MΩ",
        "Moteur|12/03/2001|15/10/2001",
        "Broyeur|380|infini",
        "Crible|hors échelle|410",
    ]);
    assert_eq!(
        (read.value("C3"), read.reading("C3").map(|reading| reading.bound)),
        (Some(500e6), Some(windrow_model::Bound::AtLeast))
    );
    assert!(read.reading("B4").is_none() && read.is_held("B4"));
}

#[test]
fn pumps_of_one_name_are_told_apart_by_their_shafts() {
    let read = Read::rows(&[
        "Bombas sumergibles, aislamiento en kΩ",
        "Línea|Pozo|Bomba|2006|2007|2008",
        "L1|Almenas|B1|980|950|900",
        "||B2|630|280|380",
        "|Molino|B1|165|150|180",
        "||B2|150|105|140",
        "L2|Aduana|B1|920|850|760",
        "||B2|480|270|430",
    ]);
    let tags = ["D3", "D4", "D6", "E7"].map(|cell| read.tag(cell));
    assert_eq!(tags, [Some("Almenas B1"), Some("Almenas B2"), Some("Molino B2"), Some("Aduana B1")]);
    assert_eq!((read.circuit("D3"), read.circuit("E7")), (None, None));
}

#[test]
fn voltages_above_groups_of_machines_are_of_the_group_below() {
    let read = Read::rows(&[
        "Insulation resistance in megohms",
        "Drive|Conv.|1986|1987|1993",
        "Test volts d.c. (HV motors)||1000|1000|2500",
        "P-11|C1|780|1200|570",
        "P-12|C1|820|610|540",
        "Test volts d.c. (LV motors)||500|500|500",
        "P-21|C3|300|330|240",
        "P-22|C4|100|110|90",
    ]);
    assert_eq!(
        ["C4", "E5", "C7", "E8"].map(|cell| read.volts(cell)),
        [Some(1e3), Some(2.5e3), Some(500.0), Some(500.0)]
    );
}

#[test]
fn a_unit_in_the_corner_over_machines_is_that_of_their_readings() {
    let rows = |names: [&str; 4]| {
        let lines = names.map(|name| format!("{name}|75|110|75"));
        let mut all = vec!["Isolationswiederstände der Antriebe", "MOhm|1979|1981|1983"];
        all.extend(lines.iter().map(String::as_str));
        Read::rows(&all)
    };
    let read = rows(["Ofen I, Gebläse", "Ofen II, Gebläse", "Kollergang Süd", "Schleuderrad"]);
    assert_eq!(
        (read.tag("B3"), read.value("C4"), read.quantity("D6")),
        (Some("Ofen I, Gebläse"), Some(110e6), Some("insulation_resistance"))
    );
    // States of one machine are no machines.
    assert_eq!(rows(["vor Reinigung", "nach Reinigung", "trocken", "warm"]).tag("B3"), None);
}

#[test]
fn a_title_that_names_a_place_before_a_colon_labels_nothing() {
    let read = Read::rows(&[
        "Isolationswiderstand in MΩ, 1000 V",
        "Pumpwerk Oberau|||||Pumpwerk Niederau|||",
        "Pumpe|2007|2009|2011||Pumpe|2007|2009|2011",
        "P1|830|590|750||P1|130|80|49",
        "P2|560|430|460||P2|2700|2500|2200",
        "",
        "Pumpwerk Niederau: Messung der Tauchmotoren (kΩ, 500 V)",
        "Motor|12.03.2013|18.06.2013",
        "T1|440|560",
        "T2|360|230",
    ]);
    let site = |cell: &str| read.found(cell)?.0.machine.site.as_ref().map(|told| told.value.as_str());
    assert_eq!(
        ["B4", "G4", "B9"].map(site),
        [Some("Pumpwerk Oberau"), Some("Pumpwerk Niederau"), Some("Pumpwerk Niederau")]
    );
    assert_eq!((read.value("B9"), read.volts("B9")), (Some(440e3), Some(500.0)));
}

#[test]
fn how_many_machines_were_tested_is_no_reading() {
    let read = Read::rows(&[
        "Insulation resistance in megohms",
        "Drive|1986|1987|1988",
        "P-11|780|120|760",
        "P-12|820|610|730",
        "No. of motors tested|2|2|2",
    ]);
    assert!(read.reading("C4").is_some() && read.reading("C5").is_none());
}
