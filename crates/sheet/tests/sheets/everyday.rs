//! Plain sheets of small offices: what any clerk reads at a glance. All sheets are invented; common practice in records, no source.

use crate::grid::{Read, grid};
use windrow_source::Area;

fn merged(rows: &[&str], areas: &[(u32, u32, u32, u32)]) -> Read {
    let mut grid = grid(rows);
    grid.merges = areas.iter().map(|&(top, left, bottom, right)| Area { top, left, bottom, right }).collect();
    grid.finish();
    Read::of(grid)
}

#[test]
fn rounds_of_a_year_under_merged_years_are_tests_of_their_own() {
    for (first, second) in [
        ("Antes de la cosecha", "Después de la cosecha"),
        ("vor der Ernte", "nach der Ernte"),
        ("avant vendange", "après vendange"),
        ("Before season", "After season"),
        ("Spring", "Autumn"),
        ("1. Hj", "2. Hj"),
    ] {
        let read = merged(
            &[
                "Insulation resistance of the presses (MΩ, 1 min, 500 V)||||||",
                "||||||",
                "Motor|HP|2021||2022||Notes",
                &format!("||{first}|{second}|{first}|{second}|"),
                "Press 1|30|410|120|380|95|",
                "Press 2|30|520|140|470|133|",
                "Destemmer|15|88|41|90|37|",
            ],
            &[(2, 2, 2, 3), (2, 4, 2, 5)],
        );
        assert_eq!(["C5", "D5", "F7"].map(|cell| read.value(cell)), [Some(410e6), Some(120e6), Some(37e6)], "{first}");
        assert_eq!(["C5", "F7"].map(|cell| read.tag(cell)), [Some("Press 1"), Some("Destemmer")], "{first}");
        assert_eq!(["C6", "E6"].map(|cell| read.date(cell).map(|date| date.first.year())), [Some(2021), Some(2022)]);
        assert!(read.found("C5").map(|(test, _)| test) != read.found("D5").map(|(test, _)| test), "{first}");
    }
}

#[test]
fn words_under_years_that_name_machines_are_no_rounds() {
    let read = merged(
        &[
            "Insulation resistance (MΩ)|||||",
            "Station|2021||2022||Notes",
            "|Pump 1|Pump 2|Pump 1|Pump 2|",
            "Weir Lane|410|120|380|95|",
            "Mill Road|520|140|470|133|",
            "Old Bridge|88|41|90|37|",
        ],
        &[(1, 1, 1, 2), (1, 3, 1, 4)],
    );
    assert!(["B4", "C4", "D5", "E6"].iter().all(|cell| read.tag(cell) != Some("Weir Lane")));
}

#[test]
fn machines_in_words_over_armature_and_field_with_dates_down_the_side() {
    let read = merged(
        &[
            "Isolationswiderstand gegen Masse, 500 V, in kΩ||||||",
            "Datum|Fahrmotor vorn||Fahrmotor hinten||Hubwerk|",
            "|Anker|Feld|Anker|Feld|Anker|Feld",
            "07.04.2019|1380|23000|1080|37000|810|20000",
            "08.11.2020|1400|23000|1350|33000|1020|15000",
            "09.04.2021|4740|16000|2850|24000|6320|36000",
        ],
        &[(1, 1, 1, 2), (1, 3, 1, 4), (1, 5, 1, 6)],
    );
    assert_eq!(
        ["B4", "E5", "G6"].map(|cell| read.tag(cell)),
        [Some("Fahrmotor vorn"), Some("Fahrmotor hinten"), Some("Hubwerk")]
    );
    assert_eq!(["B4", "C4"].map(|cell| read.circuit(cell)), [Some("A-E"), Some("F-E")]);
    assert_eq!(["B4", "E5"].map(|cell| read.value(cell)), [Some(1.38e6), Some(33e6)]);
}

#[test]
fn states_and_people_over_groups_name_no_machines() {
    for (one, other) in [("Herr Alt", "Frau Neu"), ("Halle Nord", "Halle Süd"), ("vor Reinigung", "nach Reinigung")] {
        let read = merged(
            &[
                "Fahrmotor FM 3, Isolationswiderstand gegen Masse, 500 V, in kΩ||||",
                &format!("Datum|{one}||{other}|"),
                "|Anker|Feld|Anker|Feld",
                "07.04.2019|1380|23000|1080|37000",
                "08.11.2020|1400|23000|1350|33000",
                "09.04.2021|4740|16000|2850|24000",
            ],
            &[(1, 1, 1, 2), (1, 3, 1, 4)],
        );
        assert!(["B4", "E5"].iter().all(|cell| read.tag(cell) != Some(one) && read.tag(cell) != Some(other)), "{one}");
    }
}

#[test]
fn names_over_nameplates_hold_for_the_dated_values_below() {
    for (corner, key, beside) in [
        ("Appareil", "Date de mesure", "Météo"),
        ("Machine", "Date of test", "Weather"),
        ("Maschine", "Messdatum", "Wetter"),
    ] {
        let read = Read::rows(&[
            "Insulation before opening, in MΩ|||||",
            &format!("{corner}|Téléski du Bois|Téléski Sud|Tapis école||"),
            "Puissance kW|355|132|30||",
            "Tension moteur V|400|400|400||",
            "|||||",
            &format!("{key}||||{beside}|"),
            "18.11.2019|804|144|71.7|pluie|",
            "19.11.2020|654|124|46.4|neige|",
            "21.11.2022|674|130|51|pluie|",
        ]);
        assert_eq!(
            ["B7", "C8", "D9"].map(|cell| read.tag(cell)),
            [Some("Téléski du Bois"), Some("Téléski Sud"), Some("Tapis école")],
            "{corner}"
        );
        assert_eq!(["B7", "D9"].map(|cell| read.value(cell)), [Some(804e6), Some(51e6)], "{corner}");
        assert_eq!(read.day("C8").as_deref(), Some("2020-11-19"), "{corner}");
        assert!(["B3", "C4"].iter().all(|cell| read.reading(cell).is_none()), "{corner}");
    }
}

#[test]
fn the_column_of_tags_names_the_machines_and_the_other_their_place() {
    for (place, kind) in [("Sondeo", "Bomba"), ("Forage", "Pompe"), ("Brunnen", "Pumpe"), ("Brunnen", "Gebläse")] {
        let read = Read::rows(&[
            "Insulation to earth (MΩ) at 500 V||||||",
            "||||||",
            &format!("{place}|{kind}|kW|Date|R|S|T"),
            "Las Eras|B-1|150|20.02.2024|211|229|238",
            "Las Eras|B-2|150|20.02.2024|329|353|326",
            "La Loma|B-3|220|20.02.2024|13.5|11.7|12.7",
            "La Loma|B-4|220|20.02.2024|395|430|443",
        ]);
        assert_eq!(["E4", "E5", "F6"].map(|cell| read.tag(cell)), [Some("B-1"), Some("B-2"), Some("B-3")], "{place}");
    }
}

#[test]
fn tags_that_come_at_two_places_are_told_apart_by_them() {
    let read = Read::rows(&[
        "Insulation to earth (MΩ) at 500 V||||||",
        "||||||",
        "Sondeo|Bomba|kW|Date|R|S|T",
        "Las Eras|B-1|150|20.02.2024|211|229|238",
        "Las Eras|B-2|150|20.02.2024|329|353|326",
        "La Loma|B-1|220|20.02.2024|13.5|11.7|12.7",
        "La Loma|B-2|220|20.02.2024|395|430|443",
    ]);
    assert!(read.tag("E4").is_none() || read.tag("E4") != read.tag("E6"), "{:?}", read.tag("E4"));
    assert_eq!(read.tag("E4"), Some("Las Eras B-1"));
}

#[test]
fn one_column_of_megohms_beside_names_is_a_table() {
    let read = Read::rows(&[
        "Shop motors, checked August 2025|||",
        "What|Where|Megohms|OK?",
        "Cooler compressor|North kitchen|310|Y",
        "Dish machine pump|North kitchen|4.5|keep an eye",
        "Mixer|South kitchen|75|Y",
        "Band saw|Wood shop|540|Y",
    ]);
    assert_eq!(["C3", "C5"].map(|cell| read.tag(cell)), [Some("Cooler compressor"), Some("Mixer")]);
    assert_eq!(["C3", "C4"].map(|cell| read.value(cell)), [Some(310e6), Some(4.5e6)]);
}

#[test]
fn one_column_of_megohms_beside_labels_names_no_machines() {
    let read = Read::rows(&["What|Where|Megohms|OK?", "U-E|board|310|Y", "V-E|board|4.5|Y", "W-E|board|75|Y"]);
    assert!(["C2", "C3", "C4"].iter().all(|cell| read.tag(cell).is_none()));
}

#[test]
fn to_earth_and_between_phases_are_two_readings() {
    for (earth, between) in [
        ("Phase - terre", "Entre phases"),
        ("Ph-E", "Ph-Ph"),
        ("gegen Erde", "zwischen den Phasen"),
        ("a tierra", "entre fases"),
        ("to earth", "between phases"),
    ] {
        let read = Read::rows(&[
            "Insulation resistance, MΩ, 14.10.2025|||",
            &format!("Motor|{earth}|{between}|Notes"),
            "SF-1|80.9|90.4|good",
            "SF-2|346|447|good",
            "SF-3|61.3|131|good",
        ]);
        assert_eq!(["B3", "C3"].map(|cell| read.value(cell)), [Some(80.9e6), Some(90.4e6)], "{earth}");
        assert_eq!(["B3", "C3"].map(|cell| read.circuit(cell)), [None, None], "{earth}");
    }
}

#[test]
fn two_columns_of_one_heading_are_still_asked_about() {
    let read = Read::rows(&[
        "Insulation resistance, MΩ, 14.10.2025|||",
        "Motor|to earth|to earth|Notes",
        "SF-1|80.9|90.4|good",
        "SF-2|346|447|good",
        "SF-3|61.3|131|good",
    ]);
    assert!(["B3", "C3"].iter().all(|cell| read.is_held(cell)));
}

#[test]
fn three_phases_tied_in_a_title_are_no_third_phase() {
    for title in [
        "U, V, W gebrückt gegen Gehäuse gemessen",
        "U, V, W tied together, measured to frame",
        "U, V, W puenteadas contra carcasa",
    ] {
        let read = Read::rows(&[
            title,
            "",
            "Maschine|Datum|R 60 s|Bemerkung",
            "||MΩ|",
            "HF-1|07.09.1988|1140|",
            "HF-2|09.07.1991|1300|",
            "HF-3|27.09.1994|1370|",
        ]);
        assert!(["C5", "C6"].iter().all(|cell| !matches!(read.circuit(cell), Some("W-E" | "U-E" | "V-E"))), "{title}");
    }
}

#[test]
fn a_nameplate_over_readings_is_no_voltage() {
    let read = Read::rows(&[
        "Motor|HY-1||Date|28.10.2005",
        "Plate|15 kW / 400 V / 985 rpm||Tested with|1000 V DC for 1 min",
        "Test to frame|Megohms||Between phases|Megohms",
        "Phase A|4300||A to B|6000",
        "Phase B|3700||B to C|5100",
        "Phase C|3000||C to A|4200",
    ]);
    for cell in ["B4", "B5", "E4"] {
        assert!(matches!(read.volts(cell), None | Some(1000.0)), "{cell} {:?}", read.volts(cell));
    }
}

#[test]
fn circumstances_between_dates_and_units_are_of_their_columns() {
    let read = Read::rows(&[
        "Fan F-3 stator, polarisation test, windings tied, to frame, 1000 V d.c.",
        "Date|17.09.2008|15.07.2011|23.11.2015",
        "Winding temp, deg C|23|29|8",
        "Minutes|MΩ|MΩ|MΩ",
        "0.5|442|261|472",
        "1|549|322|582",
        "2|682|399|719",
        "10|1130|653|1170",
    ]);
    assert_eq!(["B5", "C6", "D8"].map(|cell| read.value(cell)), [Some(442e6), Some(322e6), Some(1.17e9)]);
    assert_eq!(["B5", "C6", "D8"].map(|cell| read.seconds(cell)), [Some(30.0), Some(60.0), Some(600.0)]);
    assert_eq!(["B5", "D8"].map(|cell| read.celsius(cell)), [Some(23.0), Some(8.0)]);
    assert_eq!(read.day("C6").as_deref(), Some("2011-07-15"));
    assert!(read.reading("B3").is_none());
}

#[test]
fn a_phase_against_the_next_is_that_pair_and_between_phases_is_asked() {
    let rows = |head: &str| {
        Read::rows(&[
            "Motor GK-3, 23.08.2013, insulation resistance at 500 V, 1 min",
            &format!("Phase|to earth|{head}"),
            "|MΩ|MΩ",
            "U|1080|1510",
            "V|1090|1520",
            "W|863|1210",
        ])
    };
    let next = rows("to next phase");
    assert_eq!(["B4", "C4", "C6"].map(|cell| next.circuit(cell)), [Some("U-E"), Some("U-V"), Some("W-U")]);
    let between = rows("between phases");
    assert!(["C4", "C5"].iter().all(|cell| between.circuit(cell).is_none()));
}

#[test]
fn the_first_phase_keeps_the_unit_that_its_heading_tells() {
    let read = Read::rows(&[
        "Stepped d.c. test of generator GX-2, 16.05.2010",
        "Step|kV d.c.|A to frame, µA|B to frame, µA|C to frame, µA",
        "1|2|0.326|0.44|0.372",
        "2|4|0.653|0.882|0.745",
        "3|6|0.983|1.33|1.12",
    ]);
    assert_eq!(["C3", "D3"].map(|cell| read.value(cell)), [Some(0.326e-6), Some(0.44e-6)]);
    assert_eq!(["C3", "E5"].map(|cell| read.circuit(cell)), [Some("U-E"), Some("W-E")]);
}

#[test]
fn the_occasion_of_a_test_is_no_figure_of_a_bearing() {
    let read = Read::rows(&[
        "North Ridge||Machine|KX-3|",
        "Serial|76L39027|Rating|200 kW 400 V|",
        "||||",
        "When|What was done|Megohms to frame (leads tied, 1 min)|At volts|Stator °F",
        "09.10.1997|before start-up|3200|1000|59",
        "19.11.2000|after bearing change|2800|1000|59",
        "18.06.2001|new bearings, no test|||",
        "04.11.2004|yearly test|3400|1000|41",
    ]);
    assert_eq!(["C5", "C6", "C8"].map(|cell| read.value(cell)), [Some(3.2e9), Some(2.8e9), Some(3.4e9)]);
    let figures = Read::rows(&[
        "Machine|KX-3|",
        "Parameter|Megohms|Date",
        "Insulation to frame|3200|19.11.2000",
        "Bearing temperature|45|19.11.2000",
    ]);
    assert!(figures.reading("B4").is_none());
}

#[test]
fn a_title_of_place_unit_and_time_tells_of_three_listed_phases() {
    let read = Read::rows(&[
        "Oberwerk: U/V/W gegen Gehäuse, MΩ, 1 min||||",
        "",
        "Maschine|Datum|U / V / W|Wickl. °C|Prüfspannung",
        "OK-A02|14.03.1989|8000 / 9100 / 8600|14|500 V",
        "OK-P12|27.04.1989|1900 / 2000 / 2000|16|500 V",
        "OK-A03|22.05.1989|2300 / 1900 / 2300|17|500 V",
    ]);
    let of = |cell: &str| {
        let tests = read.0.tests.iter().flat_map(|test| &test.readings);
        tests.filter(|reading| reading.place.cell == cell).map(|reading| reading.number).collect::<Vec<_>>()
    };
    assert!(of("C4") == [8000.0, 9100.0, 8600.0] || read.is_held("C4"), "{:?}", of("C4"));
}

#[test]
fn deviations_under_the_name_of_a_surge_test_are_of_its_traces() {
    let read = Read::rows(&[
        "Essai d'onde de choc entre spires||",
        "Moteur :|TQ-7|",
        "Date :|23.09.2017|",
        "Tension crête :|2300 V|",
        "||",
        "Phases comparées|Écart de surface (%)|Avis",
        "U / V|2.6|conforme",
        "V / W|2.5|conforme",
        "W / U|4.8|conforme",
    ]);
    assert_eq!(["B7", "B9"].map(|cell| read.quantity(cell)), [Some("surge_difference"); 2]);
    assert_eq!(["B7", "B9"].map(|cell| read.circuit(cell)), [Some("U-V"), Some("W-U")]);
}

#[test]
fn codes_that_come_again_under_each_machine_are_parts_of_its_name() {
    let read = Read::rows(&[
        "Insulation to earth (MΩ) at 500 V|||",
        "Machine|Fan|Date|MΩ",
        "Dryer|V-1|20.02.2024|211",
        "Dryer|V-2|20.02.2024|329",
        "Cooler|V-1|20.02.2024|13.5",
        "Cooler|V-2|20.02.2024|395",
    ]);
    assert_eq!(
        ["D3", "D4", "D5"].map(|cell| read.tag(cell)),
        [Some("Dryer V-1"), Some("Dryer V-2"), Some("Cooler V-1")]
    );
}

#[test]
fn lines_that_only_an_unknown_column_of_tags_tells_apart_are_asked_about() {
    let read = Read::rows(&[
        "Insulation to earth (MΩ) at 500 V|||",
        "Machine|Zebra|Date|MΩ",
        "Dryer|V-1|20.02.2024|211",
        "Dryer|V-2|20.02.2024|329",
        "Cooler|V-1|20.02.2024|13.5",
        "Cooler|V-2|20.02.2024|395",
    ]);
    assert!(
        ["D3", "D4", "D5"]
            .iter()
            .all(|cell| read.is_held(cell) || read.tag(cell).is_some_and(|tag| tag.contains("V-")))
    );
}

#[test]
fn forms_side_by_side_a_line_apart_keep_their_own_terminals() {
    let read = Read::texts(&[
        "Molino Viejo - R. aisl., 500 V DC||||||||||||||||||||||",
        "||||||||||||||||||||||",
        "Motor:|5-M-77||Fecha:|10/02/1993||||Motor:|1-KL-79||||Motor: 1-KL-79|||||Motor:|4-F-70||Fecha:|10/02/1993",
        "Conexión|R. aisl.|||||||Fecha:|19/11/1995||||Fecha: 25/06/1990|||||Conexión|R. aisl.|||",
        "|MΩ||||||||||||Conexión|R. aisl.|||||MΩ|||",
        "A-tierra|120|||||||Conexión|R. aisl.|||||MΩ||||A-tierra|3890|||",
        "B-tierra|125||||||||MΩ||||A-tierra|627||||B-tierra|4060|||",
        "C-tierra|130|||||||A-tierra|491||||B-tierra|655||||C-tierra|4240|||",
        "A-B|201|||||||B-tierra|513||||C-tierra|683||||A-B|6540|||",
        "B-C|212|||||||C-tierra|535||||A-B|1050||||B-C|6910|||",
        "C-A|207|||||||A-B|826||||B-C|1110||||C-A|6600|||",
        "||||||||B-C|872||||C-A|1090||||||||",
        "||||||||C-A|851||||||||||||||",
    ]);
    for (cell, wanted) in [("O8", "V-E"), ("O9", "W-E"), ("O10", "U-V"), ("O12", "W-U"), ("J8", "U-E"), ("J13", "W-U")]
    {
        assert!(read.circuit(cell).is_none_or(|told| told == wanted), "{cell} {:?}", read.circuit(cell));
    }
    let beside = Read::rows(&[
        "Motor KL-1, 19.11.1995|||||",
        "Terminals|IR MΩ||Terminals|IR MΩ",
        "A-earth|491||A-B|655",
        "B-earth|513||B-C|683",
        "C-earth|535||C-A|1050",
    ]);
    for (cell, wanted) in [("B3", "U-E"), ("E3", "U-V"), ("E5", "W-U")] {
        assert!(beside.circuit(cell).is_none_or(|told| told == wanted), "{cell} {:?}", beside.circuit(cell));
    }
}
