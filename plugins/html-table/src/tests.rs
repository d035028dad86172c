use proptest::prelude::*;
use windrow_source::{Area, Content, Grid, Input, Limits, Probe, Workbook};

use crate::{claim::claim, read::read};

fn confidence(text: &str) -> f64 {
    let head = text.as_bytes();
    claim(&Probe { name: "x.xls", head, len: head.len(), zip_members: &[], ole_streams: &[], companion: None })
        .confidence
}

fn workbook(text: &str) -> Workbook {
    read(&Input::alone("x.xls", text.as_bytes()), &Limits::default()).unwrap()
}

fn sheet(text: &str) -> Grid {
    workbook(text).sheets.remove(0)
}

fn listed(grid: &Grid) -> Vec<(String, &str)> {
    grid.cells.iter().map(|cell| (cell.place().to_string(), cell.text.as_str())).collect()
}

fn check(html: &str, expected: &[(&str, &str)]) {
    let grid = sheet(html);
    let found = listed(&grid);
    let found: Vec<(&str, &str)> = found.iter().map(|(place, text)| (place.as_str(), *text)).collect();
    assert_eq!(found, expected);
}

/// The example of spans in HTML 5.2, section 4.9.12: a cell that reaches down pushes those of the next rows to the right.
#[test]
fn spans_push_cells_to_their_places() {
    let html =
        "<table><tr><td rowspan=2>Motor<td colspan=2>MOhm<tr><td>1 min<td>10 min<tr><td>RM-3<td>1200<td>4100</table>";
    check(
        html,
        &[
            ("A1", "Motor"),
            ("B1", "MOhm"),
            ("B2", "1 min"),
            ("C2", "10 min"),
            ("A3", "RM-3"),
            ("B3", "1200"),
            ("C3", "4100"),
        ],
    );
    let areas = [Area { top: 0, left: 0, bottom: 1, right: 0 }, Area { top: 0, left: 1, bottom: 0, right: 2 }];
    assert_eq!(sheet(html).merges, areas);
}

#[test]
fn spans_beyond_the_table_end_with_it() {
    let html = "<table><tr><td rowspan=900>A<td>1<tr><td>2</table><table><tr><td rowspan=0>B<td>3<tr><td>4</table>";
    for grid in workbook(html).sheets {
        assert_eq!(grid.merges, [Area { top: 0, left: 0, bottom: 1, right: 0 }]);
    }
}

#[test]
fn text_around_a_table_is_kept_and_moves_no_address() {
    let html = "<html><head><title>Export</title></head><body><h1>Lindquay Board Mill</h1><p>Rod mill <b>RM-3</b>,<br>14 March 1987</p>\
        <table><caption>Readings in MOhm</caption><tr><th>1 min<th>10 min<tr><td>1200<td>4100</table><p>dry weather</body></html>";
    check(
        html,
        &[
            ("/html/body/h1", "Lindquay Board Mill"),
            ("/html/body/p", "Rod mill RM-3,"),
            ("/html/body/p/text()[2]", "14 March 1987"),
            ("/html/body/table/caption", "Readings in MOhm"),
            ("A1", "1 min"),
            ("B1", "10 min"),
            ("A2", "1200"),
            ("B2", "4100"),
            ("/html/body/p[2]", "dry weather"),
        ],
    );
    assert_eq!(workbook(html).notes, ["title of the page: Export"]);
}

#[test]
fn a_table_that_arranges_others_is_text_around_them() {
    let html = "<table><tr><td>Lindquay Board Mill<td><table><tr><td>RM-3<td>1200<tr><td>RM-4<td>90</table>seen by O. Quillford</table>";
    check(
        html,
        &[
            ("/html/body/table/tbody/tr/td", "Lindquay Board Mill"),
            ("A1", "RM-3"),
            ("B1", "1200"),
            ("A2", "RM-4"),
            ("B2", "90"),
            ("/html/body/table/tbody/tr/td[2]", "seen by O. Quillford"),
        ],
    );
    assert_eq!(sheet(html).name, None);
}

#[test]
fn a_table_with_a_small_table_in_a_cell_stays_a_table() {
    let html = "<table><tr><td>RM-3<td>1200<tr><td>RM-4<td>90<tr><td>RM-5<td>80<td><table><tr><td>wet</table></table>";
    let book = workbook(html);
    let names: Vec<_> = book.sheets.iter().map(|sheet| sheet.name.as_deref()).collect();
    assert_eq!(names, [Some("Table 1"), Some("Table 2")]);
    assert_eq!(listed(&book.sheets[0]).len(), 6);
    assert_eq!(listed(&book.sheets[1]), [("A1".to_owned(), "wet")]);
}

#[test]
fn kept_numbers_count_where_the_text_is_that_number() {
    let html = "<table><tr><td x:num='1234.5'>1,234.5<td x:num>14<td sdval='5.25'>5.3<td x:num='0.075'>7.5 %<td x:num='5.2'>5.2 M&Omega;\
        <td x:num='31850'>14-03-1988</table>";
    let grid = sheet(html);
    let contents: Vec<Content> = grid.cells.iter().map(|cell| cell.content).collect();
    let numbers = [Content::Number(1234.5), Content::Number(14.0), Content::Number(5.25)];
    assert_eq!(contents[..3], numbers);
    assert!(contents[3..].iter().all(|content| *content == Content::Text));
    assert_eq!(grid.cells[4].text, "5.2 MΩ");
}

/// 31840 is 4 March 1987 in the 1900 calendar, 30378 in that of 1904.
#[test]
fn kept_days_settle_which_number_is_the_month() {
    let html = "<table><tr><td x:num='31840'>03/04/87<td x:num='30378'>4 March 1987<td x:num='31840'>04/05/87<td>03/04/87</table>";
    let texts: Vec<String> = sheet(html).cells.into_iter().map(|cell| cell.text.to_string()).collect();
    assert_eq!(texts, ["1987-03-04", "1987-03-04", "04/05/87", "03/04/87"]);
}

#[test]
fn scripts_are_no_text_and_struck_text_is_told_apart() {
    let html = "<table><style>td {}</style><tr><td><script>x()</script>RM-3<td><s>900</s> 1200<td><del>90</del><tr style='display: none'><td>RM-4</table>";
    let grid = sheet(html);
    assert_eq!(
        listed(&grid),
        [("A1".to_owned(), "RM-3"), ("B1".to_owned(), "1200"), ("C1".to_owned(), "90"), ("A2".to_owned(), "RM-4")]
    );
    assert_eq!(grid.cells[1].struck.as_deref(), Some("900"));
    assert_eq!(grid.cells[2].struck.as_deref(), Some("90"));
    assert_eq!(grid.hidden_rows, [1]);
}

#[test]
fn declared_encodings_are_obeyed() {
    let html = b"<html><meta charset='windows-1252'><table><tr><td>20 \xB0C</table>";
    let book = read(&Input::alone("x", html), &Limits::default()).unwrap();
    assert_eq!(book.sheets[0].cells[0].text, "20 °C");
}

#[test]
fn pages_with_tables_are_claimed_and_others_refused() {
    assert!(confidence("\u{FEFF}<!DOCTYPE html>\n<!-- saved > from --><HTML><body><TABLE><tr><td>1</table>") > 0.8);
    assert!(confidence("<table><tr><td>1</table>") > 0.8);
    for other in [
        "<html><p>No table here.</p></html>",
        "<?xml version='1.0'?><log><table/></log>",
        "Tag;MOhm\nRM-3;5\n",
        "",
        "a < b <table>",
    ] {
        assert!(confidence(other) == 0.0, "{other}");
    }
    let error = read(&Input::alone("x", b"<table><tr><td> </table>"), &Limits::default()).unwrap_err();
    assert!(error.to_string().contains("without a table that holds anything"), "{error}");
}

#[test]
fn elements_too_deep_and_cells_too_many_are_refused() {
    let deep = "<div>".repeat(500) + "<table><tr><td>1</table>";
    let unclosed = "<div>".repeat(100_000) + "<table><tr><td>1</table>";
    let limits = Limits { cells: 2, ..Limits::default() };
    let wide = "<table><tr><td>1<td>2<td>3</table>";
    for (html, words) in [(deep.as_str(), "deep"), (unclosed.as_str(), "100001 elements"), (wide, "more cells")] {
        let error = read(&Input::alone("x", html.as_bytes()), &limits).unwrap_err();
        assert!(error.to_string().contains(words), "{error}");
    }
}

proptest! {
    #[test]
    fn no_bytes_make_it_panic(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
        let _ = read(&Input::alone("x", &bytes), &Limits::default());
    }

    /// Pieces of pages in any order: no panic, and every word that can be seen stands in some cell.
    #[test]
    fn nothing_seen_is_lost(pieces in proptest::collection::vec(
        prop::sample::select(vec![
            "<table>", "</table>", "<tr>", "</tr>", "<td>", "</td>", "<td rowspan=3>", "<th colspan=2>", "<p>", "</p>", "<b>",
            "</b>", "<br>", "<s>gone</s>", "word ", "more ",
        ]), 0..40)) {
        let html = format!("<body>{}</table><table><tr><td>last</table>", pieces.concat());
        let book = workbook(&html);
        let cells = book.sheets.iter().flat_map(|sheet| &sheet.cells);
        let kept: String = cells.map(|cell| match &cell.struck {
            Some(struck) if cell.text == *struck => struck.clone(),
            Some(struck) => cell.text.to_string() + struck,
            None => cell.text.to_string(),
        }).collect();
        let count = |text: &str| ["word", "more", "gone"].map(|word| text.matches(word).count());
        prop_assert_eq!(count(&kept), count(&html));
    }
}
