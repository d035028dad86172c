//! Registers of whole shops: years and shutdowns across, a head that comes back with another unit, cars and their motors, letters of machines
//! with a commutator. Common practice in records, no source; all sheets are invented.

use crate::grid::{Read, grid};
use windrow_model::Question;
use windrow_source::Cell;

#[test]
fn a_year_with_a_unit_heads_what_was_read_in_it() {
    let read = Read::rows(&[
        "High voltage motors, insulation, 2500 V, 1 minute, Mohm",
        "",
        "Motor|HP|kV|2012|2013|2014 Gohm|2015 Gohm|Notes",
        "Main fan A|600|3.3|4300|3200|2.1|3.4|",
        "Pump 1|250|3.3|450|in rewind|0.4|1.4|",
        "Pump 2|400|3.3|1800|1600|1.6|1.7|",
    ]);
    assert_eq!((read.value("D4"), read.day("D4").as_deref()), (Some(4300e6), Some("2012")));
    assert_eq!((read.value("F4"), read.day("F4").as_deref()), (Some(2.1e9), Some("2014")));
    assert_eq!(read.value("G6"), Some(1.7e9));
    let values =
        Read::rows(&["Motor|Date|MΩ", "P-1|2012-04-03|2014 MΩ", "P-2|2012-04-03|1990 MΩ", "P-3|2012-04-03|2012 MΩ"]);
    assert_eq!(values.value("C2"), Some(2014e6), "below a heading it is a value");
}

#[test]
fn a_word_and_a_year_over_the_phases_of_named_machines_is_when() {
    let read = Read::rows(&[
        "Aislamiento, cada fase contra carcasa, 60 s, MΩ",
        "",
        "TAG|V prueba|Parada 2013|||Parada 2014||",
        "||R|S|T|R|S|T",
        "MCV-100|500|560|490|480|260|280|270",
        "MMO-107|500|>2000|>2000|>2000|310|300|305",
    ]);
    assert_eq!(
        (read.tag("D5"), read.day("D5").as_deref(), read.circuit("D5")),
        (Some("MCV-100"), Some("2013"), Some("V-E"))
    );
    assert_eq!(read.day("H6").as_deref(), Some("2014"));
}

#[test]
fn a_head_that_comes_back_with_another_unit_begins_another_table() {
    let read = Read::rows(&[
        "All tests 1000 V, phases to frame",
        "Station|Set|Date|Insulation|",
        "|||1 min|10 min",
        "|||Mohm|Mohm",
        "Alder Mere|No. 1|2011-04-12|126|308",
        "Bracken Sike|No. 1|2011-04-27|799|1200",
        "",
        "Page 2",
        "Station|Set|Date|Insulation|",
        "|||1 min|10 min",
        "|||Gohm|Gohm",
        "Lowmarsh|No. 1|2012-08-04|0.81|2.1",
        "Mossop Road|No. 1|2012-07-05|0.37|0.656",
    ]);
    let site = |cell: &str| read.found(cell).and_then(|(test, _)| Some(test.machine.site.as_ref()?.value.to_string()));
    assert_eq!((read.value("D5"), read.value("D12"), read.seconds("E13")), (Some(126e6), Some(0.81e9), Some(600.0)));
    assert_eq!((site("D5").as_deref(), site("E13").as_deref()), (Some("Alder Mere"), Some("Mossop Road")));
}

#[test]
fn two_numbers_with_a_stroke_or_hyphen_under_a_word_for_machines_are_a_name() {
    for sign in ['/', '-'] {
        let read = Read::texts(
            &[
                "Wagen|Motor Nr.|Datum|Feld gegen Masse MOhm".to_owned(),
                format!("41|41{sign}1|03.05.2003|3,2"),
                format!("dto.|41{sign}2|dto.|17,3"),
                format!("42|42{sign}1|16.02.2003|5,4"),
            ]
            .each_ref()
            .map(String::as_str),
        );
        assert_eq!(read.tag("D3"), Some(format!("41{sign}2").as_str()));
        assert_eq!(read.day("D3").as_deref(), Some("2003-05-03"), "and no month of 2041");
    }
}

#[test]
fn beside_a_field_the_letter_a_is_the_armature() {
    let read = Read::rows(&["Motor|Date|A-G MOhm|F-G MOhm|A-F MOhm", "TM-1|2003-05-03|3.2|2.9|3.4"]);
    assert_eq!((read.circuit("C2"), read.circuit("D2"), read.circuit("E2")), (Some("A-E"), Some("F-E"), None));
    let phases = Read::rows(&["Motor|Date|A-G MOhm|B-G MOhm|C-G MOhm", "TM-1|2003-05-03|3.2|2.9|3.4"]);
    assert_eq!(phases.circuit("C2"), Some("U-E"));
    let short = Read::rows(&[
        "Aislamiento en Mohm a 1000 V",
        "Motor|Fecha|Ind/masa|Campo/masa|Ind/campo",
        "TM-1|2003-05-03|13|10|7.9",
    ]);
    assert_eq!((short.quantity("C3"), short.circuit("C3")), (Some("insulation_resistance"), Some("A-E")));
}

#[test]
fn names_under_a_word_for_drives_are_each_of_their_own_line() {
    let read = Read::texts(&[
        "Usine B - Minoterie",
        "",
        "Entraînement|Relevé le|Riso MΩ / 500 V",
        "Broyeur B1|02/03/14|83",
        "Broyeur B2|22/12/15|110",
        "Élévateur|05/07/14|160",
        "Convertisseur|05/06/15|30",
    ]);
    assert_eq!((read.tag("C4"), read.tag("C6")), (Some("Broyeur B1"), Some("Élévateur")));
    let bare = Read::texts(&[
        "Mühle|||",
        "Zeit|Zementmühle 1 (MΩ)|Zementmühle 2 (MΩ)",
        "15 s|210|95",
        "1 min|385|140",
        "10 min|1080|171",
    ]);
    assert_eq!((bare.tag("B4"), bare.tag("C5")), (Some("Zementmühle 1"), Some("Zementmühle 2")));
}

#[test]
fn one_value_in_a_line_of_three_is_not_the_first_pairs() {
    let rows = [
        "Aislamiento con 500 V, un minuto, las tres fases a masa",
        "Nº de serie|LE7502|Fecha|7 de mayo de 2008",
        "Medida|U-V|V-W|W-U",
        "R entre bornes (Ω)|3.8|3.765|3.807",
        "Aislamiento (MΩ)|1100||",
    ];
    let read = Read::rows(&rows);
    assert_eq!((read.circuit("C4"), read.circuit("B5")), (Some("V-W"), Some("UVW-E")));
    let untitled = Read::rows(&rows[1..]);
    assert!(untitled.reading("B4").is_none() && untitled.0.holds.iter().any(|hold| hold.question == Question::Circuit));
}

#[test]
fn a_title_listed_by_a_letter_tells_no_amperes_and_initials_tell_no_ohms() {
    let read = Read::rows(&[
        "Motor:|Soplante 1|Fecha:|2021-11-03",
        "A) Tensión escalonada c.c., fases unidas contra masa",
        "kV|I 30 s|I 1 min",
        "|µA|µA",
        "1|0.989|0.892",
        "2|1.85|1.6",
        "3|2.81|2.6",
    ]);
    assert_eq!((read.value("B5"), read.volts("C6")), (Some(0.989e-6), Some(2000.0)));
    let read = Read::rows(&[
        "Motor|Datum|Riso in MΩ||",
        "||L1-PE|L2-PE|L3-PE",
        "P-1|16.04.2019|25|27|26",
        "ab hier Fr. W., Datum von Hand",
        "P-2|12.06.2019|4|3.7|4.4",
    ]);
    assert_eq!(read.value("D5"), Some(3.7e6));
}

#[test]
fn how_a_test_ended_is_no_voltage_of_the_readings_below() {
    let read = Read::rows(&[
        "Machine|HPP-3|Test date|2019-08-22",
        "No breakdown, stopped at 10 kV.",
        "Before the steps: insulation resistance at 5000 V|GΩ",
        "1 min|4.6",
        "10 min|17.9",
    ]);
    assert_eq!((read.value("B4"), read.volts("B4"), read.volts("B5")), (Some(4.6e9), Some(5000.0), Some(5000.0)));
}

#[test]
fn the_title_of_a_form_speaks_of_the_terminals_below_it() {
    let read = Read::rows(&[
        "Planta|Lácteos|Código|HOM-1",
        "Accionamiento|Homogeneizador|Fecha|2015-04-22",
        "Potencia|22 kW|Tensión nominal|400 V",
        "",
        "Resistencia de devanados (Ω)",
        "U-V|0.3412|Temp. devanado|25 °C",
        "V-W|0.342||",
        "W-U|0.3409||",
        "Promedio|0.3414||",
        "",
        "Aislamiento a masa (500 V, 1 min)|480|MΩ|",
        "Técnico|M.S.||",
    ]);
    assert_eq!((read.quantity("B6"), read.value("B6")), (Some("winding_resistance"), Some(0.3412)));
    assert_eq!((read.quantity("B11"), read.value("B11")), (Some("insulation_resistance"), Some(480e6)));
}

#[test]
fn letters_beside_the_first_phase_take_over_what_its_heading_says() {
    let read = Read::rows(&[
        "Drive|Tested|Volts|Meg ph-gnd A|B|C",
        "JIG 1|2015-01-28|500|87|88|100",
        "JIG 2|2015-01-28|500|24|27|24",
    ]);
    assert_eq!((read.value("E2"), read.circuit("F3")), (Some(88e6), Some("W-E")));
}

#[test]
fn temperatures_of_sheets_in_other_languages_than_english_are_in_celsius() {
    let sheet = |motor: &str, heading: &str| {
        Read::rows(&[
            &format!("{motor}|Date|{heading}|Riso MΩ") as &str,
            "P-1|2014-05-20|16|390",
            "P-2|2014-05-20|23|320",
        ])
    };
    assert_eq!(sheet("Repère", "T° bobinage").celsius("D2"), Some(16.0));
    assert_eq!(sheet("Repère", "T° bobinage").celsius("D3"), Some(23.0));
    let warm = Read::rows(&["Repère|Date|T° bobinage|Riso MΩ", "P-1|2014-05-20|68|390"]);
    assert!(warm.0.holds.iter().any(|hold| hold.question == Question::TemperatureUnit), "a room has 68 °F");
    let open = sheet("Motor", "Winding temp");
    assert!(open.0.holds.iter().any(|hold| hold.question == Question::TemperatureUnit), "{:?}", open.0.holds);
}

#[test]
fn oil_is_no_overload() {
    let read = Read::rows(&["Motor|Datum|Riso MΩ|Bemerkung", "P-1|16.04.2019|25|Öl", "P-2|12.06.2019|4|"]);
    assert_eq!(read.value("C2"), Some(25e6));
}

#[test]
fn headings_that_were_torn_in_a_print_are_asked_about() {
    let mut sheet = grid(&[
        "Insulation resistance, 2500 V",
        "Motor|Date|R to earth|Y to earth   B|to earth",
        "||MOhm|MOhm|MOhm",
        "P-1|2007-02-06|740|773|806",
        "P-2|2007-02-06|145|152|158",
    ]);
    let place = |cell: &Cell| format!("{}:{}", cell.row + 1, cell.column * 12 + 1);
    sheet.cells = sheet
        .cells
        .into_iter()
        .map(|cell| {
            let at = place(&cell);
            cell.at(at)
        })
        .collect();
    let read = Read::of(sheet);
    assert!(read.0.tests.iter().all(|test| test.readings.is_empty()), "{:?}", read.0.tests.len());
    assert!(
        read.0.holds.iter().any(|hold| hold.question == Question::Layout && hold.context.contains("set them apart"))
    );
}

#[test]
fn the_text_at_the_left_of_a_line_of_pairs_says_what_they_are() {
    let read = Read::rows(&[
        "OUTGOING TEST||Job|J-8801|Date|2018-01-08",
        "Serial no|660120|HP|75|Volts|460",
        "Winding temp|69|deg F||||",
        "Resistance, ohm|T1-T2|0.1413|T2-T3|0.142|T3-T1|0.1419",
        "Insulation all leads to frame|1000 V DC|1 min|920|Mohm|10 min|3400|Mohm",
        "Surge peak 2000 V, difference %|1-2|3.1|2-3|3.9|3-1|3.4",
    ]);
    assert_eq!((read.quantity("E4"), read.value("E4")), (Some("winding_resistance"), Some(0.142)));
    assert_eq!((read.value("G5"), read.volts("G5"), read.circuit("D5")), (Some(3400e6), Some(1000.0), Some("UVW-E")));
    assert_eq!((read.quantity("E6"), read.circuit("E6")), (Some("surge_difference"), Some("V-W")));
}

#[test]
fn deviations_below_a_peak_voltage_are_of_waves() {
    let read = Read::rows(&[
        "Moteur BP-11|",
        "Tension crête|1500 V",
        "Écart L1-L2|1,1 %",
        "Écart L2-L3|17,5 %",
        "Écart L3-L1|16,8 %",
    ]);
    assert_eq!((read.quantity("B4"), read.circuit("B4")), (Some("surge_difference"), Some("V-W")));
}

/// The place that the machine of a cell is said to stand in.
fn site(read: &Read, cell: &str) -> Option<String> {
    let (test, _) = read
        .0
        .tests
        .iter()
        .find_map(|test| Some((test, test.readings.iter().find(|reading| reading.place.cell == cell)?)))?;
    Some(test.machine.site.as_ref()?.value.to_string())
}

#[test]
fn titles_of_tables_that_look_alike_tell_where_their_machines_are() {
    let rows = |first: &'static str, second: &'static str| {
        Read::rows(&[
            "Fleet binder, 500 V, phases to hull",
            "",
            first,
            "Motor|Date|1 min megohms",
            "Fire pump|1994-02-23|88",
            "Windlass|1994-07-09|11",
            "",
            second,
            "Motor|Date|1 min megohms",
            "Fire pump|1994-11-27|100",
            "Ballast pump|1994-10-26|7.8",
        ])
    };
    let read = rows("M.V. Sandpiper", "M.V. Turnstone");
    assert_eq!(
        (site(&read, "C5").as_deref(), site(&read, "C10").as_deref()),
        (Some("M.V. Sandpiper"), Some("M.V. Turnstone"))
    );
    let one = rows("Motors of the year", "Motors of the year (continued)");
    assert_eq!(site(&one, "C5"), site(&one, "C10"), "a list that goes on is one");
}

#[test]
fn a_page_of_another_ship_is_no_page_of_the_same_table() {
    let page = |ship: &'static str, day: &'static str| {
        [ship, "", "Motor|Date|U-E MOhm", "DP-1|1999-01-01|18", "DP-2|1999-01-01|82"]
            .map(|row| row.replace("1999-01-01", day))
    };
    let rows: Vec<String> =
        page("DREDGER OTTERBANK", "2011-10-17").into_iter().chain(page("DREDGER LANNER", "2013-09-25")).collect();
    let rows: Vec<&str> = rows.iter().map(String::as_str).collect();
    let read = Read::rows(&rows);
    assert_eq!(
        (site(&read, "C4").as_deref(), site(&read, "C9").as_deref()),
        (Some("DREDGER OTTERBANK"), Some("DREDGER LANNER"))
    );
}

#[test]
fn sheets_in_whose_titles_alike_in_all_else_their_names_stand_are_places() {
    let sheet = |name: &str, title: &str| {
        let mut sheet = grid(&[title, "", "Equipo|Fecha|MΩ U-T", "Sierra 1|2015-05-22|70", "Cadena 1|2015-05-22|120"]);
        sheet.name = Some(name.to_owned());
        sheet
    };
    let sites = |sheets: Vec<windrow_source::Grid>| -> Vec<Option<String>> {
        let book = windrow_source::Workbook { sheets, ..windrow_source::Workbook::default() };
        let read = Read::of_book(&book, &windrow_model::settings::Settings::default());
        read.0.tests.iter().map(|test| Some(test.machine.site.as_ref()?.value.to_string())).collect()
    };
    let title = |place: &str| format!("Medición de aislamiento - {place}");
    let places =
        sites(vec![sheet("Planta Quilmo", &title("PLANTA QUILMO")), sheet("Planta Ribera", &title("PLANTA RIBERA"))]);
    assert!(
        places.contains(&Some("Planta Quilmo".to_owned())) && places.contains(&Some("Planta Ribera".to_owned())),
        "{places:?}"
    );
    assert!(
        sites(vec![sheet("Registro", &title("Registro"))]).iter().all(Option::is_none),
        "the name of a list is no place"
    );
    let years = sites(vec![sheet("Año 2014", &title("Año 2014")), sheet("Año 2015", &title("Año 2015"))]);
    assert!(years.iter().all(Option::is_none), "{years:?}");
}

#[test]
fn a_country_is_told_by_headings_and_an_assumed_unit_says_so() {
    let told = |rows: &[&str]| {
        let read = Read::rows(rows);
        read.found("D2").and_then(|(test, _)| Some(test.winding_temperature_c.as_ref()?.via))
    };
    let metric = ["Repère|Date|T° bobinage|Riso MΩ", "P-1|2014-05-20|16|390"];
    assert_eq!(told(&metric), Some(windrow_model::raw::Via::Assumed), "the test bears a flag then");
    let person = ["Motor|Date|Winding temp|IR MΩ|Tested by", "P-1|2014-05-20|40|390|José Núñez"];
    assert_eq!(told(&person), None, "a name is no country");
}

#[test]
fn two_units_of_a_title_are_asked_about_however_one_of_them_is_written() {
    let read = Read::rows(&[
        "Insulation resistance, Megs or GΩ",
        "Motor|Date|1 min",
        "P-1|2014-05-20|3.1",
        "P-2|2014-05-20|4.2",
    ]);
    assert!(read.reading("C3").is_none(), "{:?}", read.value("C3"));
}

#[test]
fn a_day_and_its_month_under_a_word_for_days_are_no_machine() {
    let read = Read::texts(&["Motor P-101, Isolation 2014", "Tag|MΩ", "12/3|390", "14/5|320", "15/9|310"]);
    for cell in ["B3", "B4", "B5"] {
        assert!(read.tag(cell).is_none_or(|tag| tag == "P-101"), "{cell}: {:?}", read.tag(cell));
    }
}

#[test]
fn readings_that_are_counted_are_no_machines() {
    let read = Read::rows(&["Motor P-101", "Zeit|Messung 1 (MΩ)|Messung 2 (MΩ)", "1 min|385|140", "10 min|1080|171"]);
    for cell in ["B3", "C4"] {
        assert!(read.tag(cell).is_none_or(|tag| tag == "P-101"), "{cell}: {:?}", read.tag(cell));
    }
    let pumps = Read::rows(&["Plant|Pump 2001|Pump 2002", "North mill|385|140", "South mill|310|171"]);
    assert!(pumps.day("B2").is_none(), "a pump's number is no year");
}

#[test]
fn the_end_of_a_scale_over_a_column_is_no_year() {
    let read = Read::rows(&["Motor|Date|2000 MΩ|PI", "P-1|2014-05-20|390|2.1", "P-2|2014-05-21|320|1.9"]);
    assert!(read.day("C2").is_none_or(|day| day == "2014-05-20"), "{:?}", read.day("C2"));
}

#[test]
fn states_turns_and_parts_over_tables_that_look_alike_are_no_places() {
    for (first, second) in [
        ("Cold", "Warm"),
        ("Spring", "Autumn"),
        ("Low speed", "High speed"),
        ("Stator", "Rotor"),
        ("Erste Messung", "Zweite Messung"),
    ] {
        let read = Read::rows(&[
            "Insulation, 500 V, MΩ",
            "",
            first,
            "Motor|Date|1 min MΩ",
            "Fire pump|1994-02-23|88",
            "Windlass|1994-07-09|11",
            "",
            second,
            "Motor|Date|1 min MΩ",
            "Fire pump|1994-11-27|100",
            "Windlass|1994-10-26|7.8",
        ]);
        assert_eq!(site(&read, "C5"), site(&read, "C10"), "{first}, {second}");
    }
}
