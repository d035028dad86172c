use std::io::{Cursor, Write};
use std::path::Path;

use proptest::prelude::*;
use windrow_source::{Area, Cell, Input, Limits, ReadError, Refusal, Workbook};
use zip::write::SimpleFileOptions;

use crate::read::read;

fn sample(name: &str) -> Vec<u8> {
    std::fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join("samples").join(name)).unwrap()
}

fn book(bytes: &[u8]) -> Result<Workbook, ReadError> {
    read(&Input::alone("x.docx", bytes), &Limits::default())
}

fn package(parts: &[(&str, &str)]) -> Vec<u8> {
    let mut writer = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, content) in parts {
        writer.start_file(*name, SimpleFileOptions::default()).unwrap();
        writer.write_all(content.as_bytes()).unwrap();
    }
    writer.finish().unwrap().into_inner()
}

/// A document with the given body.
fn document(body: &str) -> Workbook {
    book(&package(&[("word/document.xml", &format!("<w:document xmlns:w=\"w\"><w:body>{body}</w:body></w:document>"))]))
        .unwrap()
}

fn paragraph(text: &str) -> String {
    format!("<w:p><w:r><w:t>{text}</w:t></w:r></w:p>")
}

fn texts(book: &Workbook) -> Vec<String> {
    book.sheets[0].cells.iter().map(|cell| format!("{},{} {}", cell.row, cell.column, cell.text)).collect()
}

fn cell<'b>(book: &'b Workbook, text: &str) -> &'b Cell {
    book.sheets[0].cells.iter().find(|cell| cell.text == text).unwrap_or_else(|| panic!("no {text}"))
}

#[test]
fn captions_stand_above_their_tables_and_cells_keep_their_places() {
    let book = book(&sample("test-report.docx")).unwrap();
    let (caption, head, value) = (cell(&book, "Insulation resistance in MΩ"), cell(&book, "Motor"), cell(&book, "850"));
    assert!(caption.row < head.row && head.row < value.row, "{:?}", texts(&book));
    assert_eq!((value.place().as_str(), head.place().as_str()), ("table1:B3", "table1:A1"));
    assert_eq!(cell(&book, "Lindquay Board Mill (invented)").place(), "header1:paragraph1");
    assert_eq!(cell(&book, "Form 12, sheet 1").row, book.sheets[0].cells.last().unwrap().row);
    assert_eq!(value.note.as_deref(), Some("meter was changed"));
    // Motor over two rows; the readings over two columns.
    let areas: Vec<Area> = book.sheets[0].merges.clone();
    assert_eq!(areas.len(), 2, "{areas:?}");
    assert!(areas[0].bottom == areas[0].top + 1 && areas[1].right == areas[1].left + 1, "{areas:?}");
}

#[test]
fn what_was_deleted_or_struck_through_is_no_text() {
    let body = "<w:p><w:del><w:r><w:delText>1500</w:delText></w:r></w:del><w:ins><w:r><w:t>150</w:t></w:r></w:ins></w:p>\
        <w:p><w:r><w:rPr><w:strike/></w:rPr><w:t>7.7</w:t></w:r><w:r><w:t>8.8</w:t></w:r></w:p>\
        <w:p><w:r><w:rPr><w:strike w:val=\"0\"/></w:rPr><w:t>9.9</w:t></w:r></w:p>";
    let book = document(body);
    assert_eq!(texts(&book), ["0,0 150", "1,0 8.8", "2,0 9.9"]);
    assert_eq!(cell(&book, "150").struck.as_deref(), Some("1500"));
    assert_eq!(cell(&book, "8.8").struck.as_deref(), Some("7.7"));
    assert_eq!(cell(&book, "9.9").struck, None);
    assert!(book.notes.iter().any(|note| note.contains("2 cells have text that was struck")), "{:?}", book.notes);
}

#[test]
fn units_typed_in_the_font_of_symbols_are_units() {
    let body = "<w:p><w:r><w:t>5 M</w:t></w:r><w:r><w:rPr><w:rFonts w:ascii=\"Symbol\"/></w:rPr><w:t>W</w:t></w:r>\
        <w:r><w:t>, 3 </w:t></w:r><w:r><w:sym w:font=\"Symbol\" w:char=\"F06D\"/><w:t>A</w:t></w:r></w:p>";
    assert_eq!(texts(&document(body)), ["0,0 5 MΩ, 3 μA"]);
}

#[test]
fn labels_and_values_apart_by_tabulators_stand_in_columns() {
    let body = "<w:p><w:pPr><w:tabs><w:tab w:val=\"left\"/></w:tabs></w:pPr><w:r><w:t>Motor</w:t><w:tab/><w:t>RM-3</w:t></w:r></w:p>";
    assert_eq!(texts(&document(body)), ["0,0 Motor", "0,1 RM-3"]);
}

#[test]
fn tables_within_cells_and_text_boxes_are_read_once() {
    let inner =
        format!("<w:tbl><w:tr><w:tc>{}</w:tc><w:tc>{}</w:tc></w:tr></w:tbl>", paragraph("IR"), paragraph("5.2"));
    let outer = format!("<w:tbl><w:tr><w:tc>{}{inner}{}</w:tc></w:tr></w:tbl>", paragraph("Motor RM-3"), paragraph(""));
    assert_eq!(texts(&document(&outer)), ["0,0 Motor RM-3", "2,0 IR", "2,1 5.2"]);
    let boxed = format!(
        "<w:p><w:r><mc:AlternateContent><mc:Choice><w:txbxContent>{0}</w:txbxContent></mc:Choice>\
         <mc:Fallback><w:txbxContent>{0}</w:txbxContent></mc:Fallback></mc:AlternateContent><w:t>around</w:t></w:r></w:p>",
        paragraph("in the box")
    );
    let book = document(&boxed);
    assert_eq!(texts(&book), ["0,0 in the box", "1,0 around"]);
    assert_ne!(book.sheets[0].cells[0].place(), book.sheets[0].cells[1].place());
}

#[test]
fn text_under_a_merged_cell_is_told() {
    let cell = |merge: &str, text: &str| format!("<w:tc><w:tcPr>{merge}</w:tcPr>{}</w:tc>", paragraph(text));
    let table = format!(
        "<w:tbl><w:tr>{}</w:tr><w:tr>{}</w:tr></w:tbl>",
        cell("<w:vMerge w:val=\"restart\"/>", "RM-3"),
        cell("<w:vMerge/>", "left over")
    );
    let book = document(&table);
    assert_eq!(texts(&book), ["0,0 RM-3"]);
    assert!(book.notes.iter().any(|note| note.contains("under a merged area")), "{:?}", book.notes);
}

#[test]
fn broken_empty_and_oversized_documents_are_refused_with_their_reason() {
    let refused = |bytes: &[u8], limits: &Limits, refusal: Refusal, words: &str| {
        let error = read(&Input::alone("x", bytes), limits).unwrap_err();
        assert_eq!(error.refusal, refusal, "{error}");
        assert!(error.found.contains(words), "{error}");
    };
    let usual = Limits::default();
    refused(&package(&[("word/other.xml", "<a/>")]), &usual, Refusal::Damaged, "no part with the document");
    refused(&package(&[("word/document.xml", "<a><b></a>")]), &usual, Refusal::Damaged, "broken in line 1");
    refused(&package(&[("word/document.xml", "<a/>")]), &usual, Refusal::Empty, "without text");
    let bomb = package(&[("word/document.xml", &"x".repeat(1 << 20))]);
    let small = Limits { member_bytes: 1000, ..Limits::default() };
    refused(&bomb, &small, Refusal::TooLarge, "unpacks to 1048576 bytes, the limit is 1000");
    let wide = format!(
        "<w:tbl><w:tr><w:tc><w:tcPr><w:gridSpan w:val=\"4000000000\"/></w:tcPr>{}</w:tc></w:tr></w:tbl>",
        paragraph("5")
    );
    let wide = package(&[("word/document.xml", &format!("<w:document>{wide}</w:document>"))]);
    refused(&wide, &usual, Refusal::TooLarge, "beyond its last possible column");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn cut_and_changed_files_end_in_cells_or_in_an_error(
        cut in any::<prop::sample::Index>(),
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 0..6),
    ) {
        let mut bytes = sample("test-report.docx");
        for (at, byte) in changes {
            let at = at.index(bytes.len());
            bytes[at] = byte;
        }
        bytes.truncate(bytes.len() - cut.index(bytes.len()) / 4);
        drop(book(&bytes));
    }

    #[test]
    fn no_markup_makes_it_panic(
        pieces in prop::collection::vec(
            prop::sample::select(vec![
                "<w:tbl>", "</w:tbl>", "<w:tr>", "</w:tr>", "<w:tc>", "</w:tc>", "<w:p>", "</w:p>", "<w:r>", "</w:r>", "<w:t>5", "</w:t>",
                "<w:vMerge/>", "<w:gridSpan w:val=\"3\"/>", "<w:gridBefore w:val=\"2\"/>", "<w:del>", "</w:del>", "<w:tab/>", "<w:br/>",
            ]),
            0..40,
        ),
    ) {
        let text = format!("<w:document>{}</w:document>", pieces.concat());
        drop(book(&package(&[("word/document.xml", &text)])));
    }
}

#[test]
fn the_cells_of_an_only_table_have_no_name_but_their_own() {
    let cell_of = |text: &str| format!("<w:tc>{}</w:tc>", paragraph(text));
    let row = |texts: &[&str]| format!("<w:tr>{}</w:tr>", texts.iter().map(|text| cell_of(text)).collect::<String>());
    let table = format!("<w:tbl>{}{}</w:tbl>", row(&["Motor", "MΩ"]), row(&["P-101", "850"]));
    let one = document(&format!("{}{table}", paragraph("Insulation")));
    assert_eq!((cell(&one, "850").place().as_str(), cell(&one, "Insulation").place().as_str()), ("B2", "paragraph1"));
    let two = document(&format!("{table}{}", table.replace("850", "420")));
    assert_eq!((cell(&two, "850").place().as_str(), cell(&two, "420").place().as_str()), ("table1:B2", "table2:B2"));
}
