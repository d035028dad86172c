//! What words, letters and abbreviations of other authors tell: sheets on which the engine was wrong once.
//! Common practice in records, no source; all sheets are invented.

use crate::grid::{Read, text_grid};
use windrow_model::raw::RawTest;
use windrow_model::{Question, Stage};

fn test<'r>(read: &'r Read, cell: &str) -> Option<&'r RawTest> {
    read.0.tests.iter().find(|test| test.readings.iter().any(|reading| reading.place.cell == cell))
}

fn ohms(read: &Read, cell: &str) -> Option<f64> {
    read.reading(cell).map(|reading| reading.unit.value.to_stored(reading.number))
}

#[test]
fn a_bare_k_under_megohms_is_a_thousand_of_them_where_its_neighbours_are_of_that_size() {
    let rows = |last: &str| {
        let last = format!("P-18|5/24/90|1000|5K|{last}");
        Read::of(text_grid(&[
            "MOTOR|DATE|VDC|1 MIN MEGOHMS|10 MIN MEGOHMS",
            "P-17|6/14/88|1000|1210|3480",
            "P-17|5/23/90|1000|1300|3500",
            &last,
        ]))
    };
    let read = rows("8K+");
    assert_eq!((ohms(&read, "D4"), ohms(&read, "E4")), (Some(5e9), Some(8e9)));
    // A wet winding of 700 kΩ beside dry ones of gigohms, or 700 GΩ: nobody knows.
    let read = rows("700K");
    assert!(read.reading("E4").is_none() && read.is_held("E4"));
    assert!(read.0.holds.iter().any(|hold| hold.question == Question::UnitConflict));
}

#[test]
fn a_bare_k_among_kilohms_is_kilohms() {
    let read =
        Read::rows(&["Motor|Date|IR 1 min (MΩ)", "P-17|1988-06-14|0.5", "P-18|1988-06-14|0.9", "P-19|1988-06-15|776K"]);
    assert_eq!(ohms(&read, "C4"), Some(776e3));
}

#[test]
fn a_lone_r_over_ohms_is_a_resistance_and_letters_over_units_are_what_they_abbreviate() {
    let read = Read::of(text_grid(&[
        "Objekt|M17 Kesselspeisepumpe",
        "Datum|28.07.2014",
        "",
        "t [s]|U [V]|I [nA]|R [GOhm]",
        "15|2502|3387,1|0,739",
        "60|2502|2085,0|1,1",
        "600|2502|931,3|2,2",
    ]));
    assert_eq!((read.quantity("C6"), read.circuit("C6")), (Some("leakage_current"), None));
    assert_eq!((read.seconds("D6"), read.volts("D6"), read.circuit("D6")), (Some(60.0), Some(2502.0), None));
    // Beside its fellows it is a phase.
    let read = Read::of(text_grid(&[
        "Motor|Datum|R (MΩ)|S (MΩ)|T (MΩ)",
        "M1|14.03.1990|850|900|870",
        "M2|14.03.1990|85|90|87",
    ]));
    assert_eq!((read.circuit("C2"), read.circuit("E3")), (Some("U-E"), Some("W-E")));
}

#[test]
fn timed_names_of_resistances_tell_their_time() {
    let read = Read::of(text_grid(&[
        "KKS|Datum|R15s [MΩ]|R60s [MΩ]|R10min [GΩ]",
        "1HAD20AP001|14.03.1997|410|820|2,9",
        "1HAD20AP002|14.03.1997|390|775|2,45",
    ]));
    let seconds = ["C2", "D2", "E3"].map(|cell| read.seconds(cell));
    assert_eq!(seconds, [Some(15.0), Some(60.0), Some(600.0)]);
    assert_eq!((read.circuit("D2"), ohms(&read, "E3")), (None, Some(2.45e9)));
}

#[test]
fn phases_in_the_plural_against_earth_are_all_of_them() {
    for head in
        ["Isol. phases/masse à 1 mn (MΩ)", "R iso Phasen gegen Erde 1 min (MΩ)", "Aisl. fases-tierra 1 min (MΩ)"]
    {
        let first = format!("Motor|Date|{head}");
        let read = Read::of(text_grid(&[&first, "M-1|14.03.1997|410", "M-2|14.03.1997|390"]));
        assert_eq!((read.circuit("C2"), read.seconds("C2")), (Some("UVW-E"), Some(60.0)), "{head}");
    }
}

#[test]
fn remarks_tell_temperature_and_stage_where_no_column_does() {
    let read = Read::of(text_grid(&[
        "Repère|Date essai|Isolement (MΩ)|Observations",
        "BR-101|12.06.2003|850|T° enroulement 24°C",
        "BR-102|10.06.2004|35|moteur humide 20°C",
        "BR-102|24.06.2004|320|après séchage, 35°C",
        "BR-103|24.06.2004|410|étuvé à 75 °C en 2001",
    ]));
    assert_eq!(read.celsius("C2"), Some(24.0));
    assert_eq!(read.celsius("C3"), Some(20.0));
    assert_eq!(read.celsius("C4"), Some(35.0));
    assert_eq!(test(&read, "C4").and_then(|test| test.stage.as_ref()).map(|told| told.value), Some(Stage::AfterDrying));
    assert_eq!(read.celsius("C5"), None);
    let read = Read::of(text_grid(&[
        "Tag|Date|Wdg °C|IR MΩ|Remarks",
        "P-1|2003-06-12|31|850|ambient 18 °C, cubicle 25 °C",
        "P-2|2003-06-12|30|850|as found",
    ]));
    assert_eq!(read.celsius("D2"), Some(31.0));
}

#[test]
fn titles_tell_temperature_humidity_and_a_machine_by_its_number() {
    let read = Read::of(text_grid(&[
        "POLARIZATION INDEX TEST  GEN 2 STATOR",
        "Date 14-Jan-2009   Winding temp 27 C   Test volts 5 kV dc   RH 45%",
        "Minutes|Phase A|Phase B|Phase C",
        "|Megohms",
        "1|1318|1435|1552",
        "10|3365|3664|3963",
    ]));
    assert_eq!((read.tag("B5"), read.day("B5").as_deref()), (Some("GEN 2"), Some("2009-01-14")));
    assert_eq!((read.celsius("C6"), read.volts("C6")), (Some(27.0), Some(5000.0)));
    let humidity = test(&read, "B5").and_then(|test| test.relative_humidity_pct.as_ref()).map(|told| told.value);
    assert_eq!(humidity, Some(45.0));
    let read = Read::of(text_grid(&[
        "Winding resistance between terminals (mΩ)  --  all at 21 °C",
        "Tag|Date|U1-V1|V1-W1|W1-U1",
        "P-4401|2011-10-04|152.1|152.4|152.2",
        "P-4402|2011-10-04|149.9|155.8|150.2",
    ]));
    assert_eq!((read.celsius("C3"), read.circuit("D4")), (Some(21.0), Some("V-W")));
}

#[test]
fn a_rating_in_a_title_is_no_unit_of_the_readings() {
    let read = Read::of(text_grid(&[
        "Informe de ensayos – Motor P-3307 (6,6 kV / 900 kW)",
        "Fecha: 12 de marzo de 2014 · Temperatura del bobinado: 27 °C",
        "Fase|Aislamiento a tierra (5 kV)||Resistencia óhmica (mΩ)",
        "|1 min (GΩ)|10 min (GΩ)|",
        "U|3,1|10,2|412,5",
        "V|2,9|9,8|412,9",
        "W|3,0|10,1|412,2",
    ]));
    assert_eq!((ohms(&read, "B5"), read.circuit("B5"), read.volts("B5")), (Some(3.1e9), Some("U-E"), Some(5000.0)));
    assert_eq!((read.seconds("C6"), read.celsius("C6"), read.tag("C6")), (Some(600.0), Some(27.0), Some("P-3307")));
    assert_eq!((read.quantity("D7"), read.seconds("D7"), read.volts("D7")), (Some("winding_resistance"), None, None));
}

#[test]
fn a_title_of_two_resistances_settles_neither() {
    let read = Read::of(text_grid(&[
        "Jahresmessungen 2012 – Riso (1 min, 1 kV) in MΩ und Wicklungswiderstand in mΩ",
        "Motor|Messung am|Riso UVW-PE|R U-V|R V-W|R W-U",
        "M-101|13.5.2012|1200|45,1|45,2|45,0",
        "M-102|14.5.2012|350|88,4|88,5|91,9",
    ]));
    assert_eq!((ohms(&read, "C3"), read.circuit("C3")), (Some(1.2e9), Some("UVW-E")));
    assert!(read.quantity("D3").is_none_or(|quantity| quantity == "winding_resistance"));
}

#[test]
fn of_two_names_the_one_made_as_tags_are_is_the_tag() {
    let read = Read::of(text_grid(&[
        "Rép.|Moteur|Date|Ph1-T (MΩ)|Ph2-T (MΩ)|Ph3-T (MΩ)",
        "M12|Coupe-racines|28/08/02|250|240|260",
        "M13|Râperie|28/08/02|4,5|4,2|5",
    ]));
    assert_eq!((read.tag("D2"), read.circuit("D2"), read.circuit("F3")), (Some("M12"), Some("U-E"), Some("W-E")));
}

#[test]
fn a_word_for_low_among_headings_heads_a_column_and_names_may_hold_a_word_for_machines() {
    let read = Read::of(text_grid(&[
        "ANNUAL MOTOR TESTS 1998",
        "Machine|Tested|Volts|Meg A-G|Meg B-G|Meg C-G|Low|Deg C",
        "Capstan motor fwd|1998-03-04|500|210|215|212|210|24",
        "Capstan motor aft|1998-03-04|500|33|35|36|33|24",
    ]));
    assert_eq!(
        (read.tag("D3"), read.circuit("E4"), read.volts("D3")),
        (Some("Capstan motor fwd"), Some("V-E"), Some(500.0))
    );
}

#[test]
fn a_form_under_a_title_of_two_cells_is_no_table() {
    let read = Read::of(text_grid(&[
        "Prüfprotokoll Isolationsmessung|||Nr. 2009/117",
        "Anlage:|Block B|KKS:|2LAC20AP001-M01",
        "Prüfdatum:|17.06.2009|Prüfspannung:|2500 V DC",
        "",
        "Messstrecke|R 60 s [GΩ]|R 10 min [GΩ]",
        "U gegen Masse|2,4|8,9",
        "V gegen Masse|2,3|8,8",
    ]));
    assert_eq!((read.tag("B6"), read.circuit("C7")), (Some("2LAC20AP001-M01"), Some("V-E")));
}

#[test]
fn points_are_day_first_whatever_slashes_of_other_files_say() {
    use windrow_sheet::{Context, Pools, understand};
    let settings = windrow_model::settings::Settings::default();
    let folder = Pools { date_order: windrow_sheet::pool::Count { first: 0, second: 3 }, ..Pools::default() };
    let context = Context { source_file: "folder/file.csv", settings: &settings, folder: Some(&folder) };
    let mut into = windrow_model::raw::Understood::blank("folder/file.csv", windrow_model::raw::SourceStatus::Read);
    let grid = text_grid(&["Motor|Datum|Riso (MΩ)", "M-1|08.07.2014|120", "M-2|09.07.2014|130"]);
    let book = windrow_source::Workbook { sheets: vec![grid], ..windrow_source::Workbook::default() };
    understand(&book, &context, &[], &mut into);
    let read = Read(into);
    assert_eq!(read.day("C2").as_deref(), Some("2014-07-08"));
}

/// What a sheet makes of two dates that prove nothing themselves, in a folder whose other files are month first.
fn among_month_first(years: [&str; 2], short_years: u32) -> Read {
    use windrow_sheet::{Context, Pools, understand};
    let settings = windrow_model::settings::Settings::default();
    let month_first = |second| windrow_sheet::pool::Count { first: 0, second };
    let folder = Pools { date_order: month_first(3), short_years: month_first(short_years), ..Pools::default() };
    let context = Context { source_file: "folder/file.csv", settings: &settings, folder: Some(&folder) };
    let mut into = windrow_model::raw::Understood::blank("folder/file.csv", windrow_model::raw::SourceStatus::Read);
    let rows = years.map(|year| format!("M-1|05/04/{year}|120"));
    let grid = text_grid(&["Motor|Date|IR (MΩ)", &rows[0], &rows[1]]);
    let book = windrow_source::Workbook { sheets: vec![grid], ..windrow_source::Workbook::default() };
    understand(&book, &context, &[], &mut into);
    Read(into)
}

#[test]
fn another_file_tells_the_order_only_of_dates_written_like_its_own() {
    assert_eq!(among_month_first(["2014", "2015"], 0).day("C2").as_deref(), Some("2014-05-04"));
    assert_eq!(among_month_first(["97", "98"], 3).day("C2").as_deref(), Some("1997-05-04"));
    for other_hand in [among_month_first(["97", "98"], 0), among_month_first(["2014", "2015"], 3)] {
        assert!(other_hand.0.holds.iter().any(|hold| hold.question == windrow_model::Question::DateOrder));
    }
}

#[test]
fn windings_of_direct_current_machines_are_told_by_their_names() {
    let read = Read::of(text_grid(&[
        "Isolationswiderstände in kΩ",
        "Maschine|Datum|Anker–Erde|Erregung–Erde|Anker–Erregung",
        "G 12|13.05.1996|850|1200|2300",
        "G 13|13.05.1996|90|1150|1500",
    ]));
    assert_eq!((read.circuit("C3"), read.circuit("D3")), (Some("A-E"), Some("F-E")));
    assert!(read.reading("E3").is_none_or(|reading| reading.circuit.is_none()));
}

#[test]
fn letters_glued_to_the_name_of_a_resistance_are_the_three_phases_together() {
    let read = Read::of(text_grid(&[
        "MOTOR|PRDATUM|UPRUEF|RU_MOHM|RV_MOHM|RW_MOHM",
        "VP-401|1992-06-16|500|210.5|198|205",
        "VP-402|1992-06-16|500|8.25|7.9|8.1",
    ]));
    for (cell, circuit, value) in [("D2", "U-E", 210.5e6), ("E2", "V-E", 198e6), ("F2", "W-E", 205e6)] {
        assert_eq!((read.quantity(cell), read.circuit(cell)), (Some("insulation_resistance"), Some(circuit)));
        assert_eq!((ohms(&read, cell), read.volts(cell)), (Some(value), Some(500.0)));
    }
}

#[test]
fn a_name_of_capitals_whose_first_letters_abbreviate_a_quantity_labels_no_line() {
    let read = Read::of(text_grid(&[
        "Insulation to frame, one minute at 500 V d.c.",
        "",
        "Motor|As found 12 Aug 2009 MΩ|After drying 19 Aug 2009 MΩ",
        "RW-PUMP-A|0.02|480",
        "SCREEN-1|0.5|>1000",
    ]));
    assert_eq!((read.quantity("B4"), read.tag("B4")), (Some("insulation_resistance"), Some("RW-PUMP-A")));
    assert_eq!(ohms(&read, "C4"), Some(480e6));
}
