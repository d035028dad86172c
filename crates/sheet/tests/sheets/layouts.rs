//! A layout file tells what the engine cannot know, is credited with it, and says what it misses.

use crate::grid::{Read, grid, reading};
use windrow_model::layout::{Column, Field, Layout, Stands, Table};
use windrow_model::raw::{Understood, Via};
use windrow_model::settings::Settings;
use windrow_model::{Circuit, Decision, Flag, Quantity, Question, Unit};
use windrow_sheet::{Context, draft_layouts, layout};
use windrow_source::Workbook;

fn book(rows: &[&str]) -> Workbook {
    Workbook { sheets: vec![grid(rows)], ..Workbook::default() }
}

fn read(rows: &[&str], settings: &Settings) -> Understood {
    Read::under(grid(rows), settings).0
}

fn with(layout: Layout) -> Settings {
    assert_eq!(layout::check(&layout), Ok(()));
    Settings { layouts: vec![layout], ..Settings::default() }
}

fn column(under: &[&str], is: &str) -> Column {
    Column { under: under.iter().map(|text| (*text).to_owned()).collect(), is: is.to_owned(), ..Column::default() }
}

fn table(columns: Vec<Column>) -> Table {
    Table { turned: false, columns }
}

/// Words of a language that no vocabulary here has: machine, day, value.
const FINNISH: [&str; 4] =
    ["Kone|Pvm|Lukema|Lämpö", "KM-101|1994-03-04|850|21", "KM-102|1994-03-05|900|23", "KM-103|1994-03-06|950|22"];

fn finnish() -> Layout {
    Layout {
        name: "pumppaamo".to_owned(),
        tables: vec![table(vec![
            column(&["Kone"], "tag"),
            column(&["Pvm"], "date"),
            Column {
                unit: Some("MOhm".to_owned()),
                circuit: Some("UVW-E".to_owned()),
                elapsed_s: Some(60.0),
                ..column(&["Lukema"], "insulation_resistance")
            },
            Column { unit: Some("Cel".to_owned()), ..column(&["Lämpö"], "winding_temperature") },
        ])],
        ..Layout::default()
    }
}

/// Case one: a log in a language that the vocabulary lacks.
#[test]
fn a_log_in_an_unknown_language_is_read_and_the_layout_is_credited() {
    let alone = read(&FINNISH, &Settings::default());
    assert!(alone.tests.iter().all(|test| test.readings.is_empty()), "else this test shows nothing");
    let understood = read(&FINNISH, &with(finnish()));
    let reading = reading(&understood, "C3").expect("a reading");
    assert_eq!(
        (reading.number, reading.unit.value, reading.quantity.value),
        (900.0, Unit::MEGOHM, Quantity::InsulationResistance)
    );
    assert_eq!(reading.circuit.as_ref().map(|told| (told.value, told.via)), Some((Circuit::AllToEarth, Via::Layout)));
    assert_eq!(reading.elapsed_s.as_ref().map(|told| told.value), Some(60.0));
    for (via, text) in [(reading.unit.via, &reading.unit.text), (reading.quantity.via, &reading.quantity.text)] {
        assert_eq!(via, Via::Layout);
        assert!(text.contains("\"Lukema\"") && text.contains("pumppaamo"), "{text}");
    }
    assert!(reading.flags.contains(&Flag::LayoutFile));
    let test = &understood.tests[1];
    assert_eq!(test.machine.tag.as_ref().map(|told| told.value.as_str()), Some("KM-102"));
    assert_eq!(test.performed.as_ref().map(|told| told.value.to_string()).as_deref(), Some("1994-03-05"));
    assert_eq!(test.winding_temperature_c.as_ref().map(|told| told.value), Some(23.0));
    assert!(test.flags.contains(&Flag::LayoutFile), "its degrees are Celsius by the layout");
}

/// Case two: a form whose values stand below labels that nothing knows.
#[test]
fn fields_are_found_below_and_beside_their_labels() {
    let rows = ["Kone||Pvm", "KM-7||1994-03-04", "", "Insulation resistance 1 min MΩ|850"];
    let field = |label: &str, is: &str| Field { label: label.to_owned(), is: is.to_owned(), stands: Stands::Below };
    let layout = Layout { fields: vec![field("Kone", "tag"), field("Pvm", "date")], ..Layout::default() };
    let understood = read(&rows, &with(layout));
    let test = understood.tests.first().expect("a test");
    assert_eq!(test.machine.tag.as_ref().map(|told| told.value.as_str()), Some("KM-7"));
    assert_eq!(test.performed.as_ref().map(|told| told.value.to_string()).as_deref(), Some("1994-03-04"));
}

/// Case three: headings that do not say the unit.
#[test]
fn a_unit_that_headings_lack_comes_from_the_layout_but_what_a_cell_tells_itself_is_nearer() {
    let rows = ["Tag|Date|Insulation resistance", "P-101|1994-03-04|850", "P-102|1994-03-05|2 GΩ"];
    assert_eq!(reading(&read(&rows, &Settings::default()), "C2"), None, "without a unit it is asked");
    let ir = Column { unit: Some("MOhm".to_owned()), ..column(&["Insulation resistance"], "insulation_resistance") };
    let understood = read(&rows, &with(Layout { tables: vec![table(vec![ir])], ..Layout::default() }));
    let unit = |cell: &str| reading(&understood, cell).map(|reading| (reading.unit.value, reading.unit.via));
    assert_eq!(unit("C2"), Some((Unit::MEGOHM, Via::Layout)));
    assert_eq!(unit("C3"), Some((Unit::GIGOHM, Via::Cell)));
    assert!(understood.holds.is_empty());
}

#[test]
fn a_heading_that_tells_another_unit_is_believed_and_that_is_noted() {
    let rows = ["Tag|Date|IR MΩ", "P-101|1994-03-04|850", "P-102|1994-03-05|900"];
    let ir = Column { unit: Some("GOhm".to_owned()), ..column(&["IR MΩ"], "insulation_resistance") };
    let understood = read(&rows, &with(Layout { tables: vec![table(vec![ir])], ..Layout::default() }));
    assert_eq!(reading(&understood, "C2").map(|reading| reading.unit.value), Some(Unit::MEGOHM));
    assert!(understood.notes.iter().any(|note| note.contains("the heading was believed")), "{:?}", understood.notes);
}

#[test]
fn a_ruling_comes_before_a_layout() {
    let ruling = Decision {
        question: Question::Unit,
        answer: "GOhm".to_owned(),
        file: None,
        sheet: None,
        cells: Some("C2".to_owned()),
        text: None,
        by: None,
        on: None,
        why: None,
    };
    let settings = Settings { decisions: vec![ruling], ..with(finnish()) };
    let understood = read(&FINNISH, &settings);
    let unit = |cell: &str| reading(&understood, cell).map(|reading| (reading.unit.value, reading.unit.via));
    assert_eq!(unit("C2"), Some((Unit::GIGOHM, Via::Decision)));
    assert_eq!(unit("C3"), Some((Unit::MEGOHM, Via::Layout)));
}

#[test]
fn a_layout_that_almost_fits_says_which_text_is_missing_and_is_not_used() {
    let mut rows = FINNISH;
    rows[0] = "Kone|Pvm|Mittaus|Lämpö";
    let understood = read(&rows, &with(finnish()));
    let note = understood.notes.first().expect("a note");
    assert!(note.contains("\"pumppaamo\" was not used") && note.ends_with("no cell reads \"Lukema\""), "{note}");
    assert!(understood.tests.iter().all(|test| test.readings.is_empty()));
    let other = read(&["Tag|Date|IR MΩ", "P-101|1994-03-04|850", "P-102|1994-03-05|900"], &with(finnish()));
    assert!(other.notes.is_empty(), "a sheet of another kind is not its business: {:?}", other.notes);
}

#[test]
fn what_a_layout_may_not_say_is_refused_with_what_is_expected() {
    let refused = |layout: Layout, words: &str| {
        let wrong = layout::check(&layout).expect_err("refused");
        assert!(wrong.contains(words), "{wrong}");
    };
    let of = |column: Column| Layout { tables: vec![table(vec![column])], ..Layout::default() };
    refused(Layout::default(), "no text to know its sheets by");
    refused(of(column(&["IR"], "resistivity")), "\"resistivity\" is not known");
    refused(of(Column { unit: Some("uA".to_owned()), ..column(&["IR"], "insulation_resistance") }), "no unit of");
    refused(of(Column { unit: Some("Megs".to_owned()), ..column(&["IR"], "insulation_resistance") }), "UCUM");
    refused(of(Column { circuit: Some("X".to_owned()), ..column(&["IR"], "insulation_resistance") }), "circuit");
    refused(of(column(&[], "tag")), "stands under no text");
}

#[test]
fn a_draft_pins_what_headings_tell_and_nothing_that_a_title_tells() {
    let rows = [
        "Phase U to earth, 500 V",
        "Date:|1994-03-04",
        "",
        "Tag|1 min MΩ|10 min MΩ|Winding °C",
        "P-101|850|2100|21",
        "P-102|900|2300|23",
    ];
    let settings = Settings::default();
    let context = Context { source_file: "a.xlsx", settings: &settings, folder: None };
    let drafts = draft_layouts(&book(&rows), &context);
    let [draft] = drafts.as_slice() else { panic!("one sheet, one layout") };
    let minute = draft.tables[0].columns.iter().find(|column| column.under == ["1 min MΩ"]).expect("the column");
    assert_eq!((minute.unit.as_deref(), minute.elapsed_s), (Some("MOhm"), Some(60.0)));
    assert_eq!((minute.circuit.as_deref(), minute.voltage_v), (None, None), "another sheet may be about phase V");
    assert_eq!(draft.fields, [Field { label: "Date:".to_owned(), is: "date".to_owned(), stands: Stands::Right }]);
    let numbers = |settings: &Settings| -> Vec<_> {
        let tests = read(&rows, settings).tests;
        let readings = tests.iter().flat_map(|test| &test.readings);
        readings
            .map(|reading| (reading.place.cell.clone(), reading.number.to_bits(), reading.unit.value.ucum))
            .collect()
    };
    assert_eq!(numbers(&settings).len(), 4);
    assert_eq!(numbers(&with(draft.clone())), numbers(&settings));
}

#[test]
fn a_cell_that_tells_a_unit_of_another_kind_is_no_reading_of_its_column() {
    let mut rows = FINNISH;
    rows[2] = "KM-102|1994-03-05|15 °C|23";
    let understood = read(&rows, &with(finnish()));
    assert_eq!(reading(&understood, "C3"), None);
    assert_eq!(reading(&understood, "C4").map(|reading| reading.number), Some(950.0));
}
