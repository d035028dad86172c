use proptest::prelude::*;
use windrow_source::{Area, Cell, Content, Input, Limits, Probe, Workbook};

use crate::{claim::claim, read::read};

const HEAD: &str = "<?xml version=\"1.0\"?><?mso-application progid=\"Excel.Sheet\"?>\
    <Workbook xmlns=\"urn:schemas-microsoft-com:office:spreadsheet\" xmlns:ss=\"urn:schemas-microsoft-com:office:spreadsheet\" \
    xmlns:x=\"urn:schemas-microsoft-com:office:excel\" xmlns:html=\"http://www.w3.org/TR/REC-html40\">";

/// A workbook with one sheet of `rows`.
fn document(styles: &str, rows: &str) -> String {
    format!("{HEAD}<Styles>{styles}</Styles><Worksheet ss:Name=\"Drives\"><Table>{rows}</Table></Worksheet></Workbook>")
}

fn try_read(text: &str) -> Result<Workbook, String> {
    read(&Input::alone("x.xml", text.as_bytes()), &Limits::default()).map_err(|error| error.to_string())
}

fn cells(styles: &str, rows: &str) -> Vec<Cell> {
    try_read(&document(styles, rows)).unwrap().sheets.remove(0).cells
}

fn check(rows: &str, expected: &[(&str, &str)]) {
    let found: Vec<(String, String)> =
        cells("", rows).into_iter().map(|cell| (cell.place().to_string(), cell.text.to_string())).collect();
    let found: Vec<(&str, &str)> = found.iter().map(|(place, text)| (place.as_str(), text.as_str())).collect();
    assert_eq!(found, expected);
}

#[test]
fn gaps_and_spans_move_what_follows() {
    check(
        "<Row><Cell ss:MergeAcross='2'><Data ss:Type='String'>Lindquay Board Mill</Data></Cell><Cell><Data ss:Type='String'>1990</Data></Cell></Row>\
         <Row ss:Index='4'><Cell ss:Index='2'><Data ss:Type='String'>RM-3 &amp; 4</Data></Cell><Cell><Data ss:Type='Number'>1200</Data></Cell></Row>\
         <Row/><Row><Cell/><Cell><Data ss:Type='Number'>90.5</Data></Cell></Row>",
        &[("A1", "Lindquay Board Mill"), ("D1", "1990"), ("B4", "RM-3 & 4"), ("C4", "1200"), ("B6", "90.5")],
    );
}

#[test]
fn merged_areas_are_told() {
    let rows = "<Row><Cell ss:MergeAcross='1' ss:MergeDown='2'><Data ss:Type='String'>U-E</Data></Cell></Row>";
    let book = try_read(&document("", rows)).unwrap();
    assert_eq!(book.sheets[0].merges, [Area { top: 0, left: 0, bottom: 2, right: 1 }]);
}

/// Serial numbers from the table of dates in design notes of spreadsheet programs: 31850 is 14 March 1987 in the 1900 system.
#[test]
fn types_are_kept_with_the_formats_of_their_styles() {
    let styles = "<Style ss:ID='Default'/><Style ss:ID='u'><NumberFormat ss:Format='0.0&quot; MΩ&quot;'/></Style>\
        <Style ss:ID='v' ss:Parent='u'/><Style ss:ID='d'><NumberFormat ss:Format='Short Date'/></Style>";
    let rows = "<Row><Cell ss:StyleID='v'><Data ss:Type='Number'>5.2</Data></Cell>\
        <Cell ss:StyleID='d'><Data ss:Type='DateTime'>1987-03-14T00:00:00.000</Data></Cell>\
        <Cell ss:StyleID='d'><Data ss:Type='Number'>31850</Data></Cell>\
        <Cell><Data ss:Type='DateTime'>1987-03-14T12:00:00.000</Data></Cell>\
        <Cell><Data ss:Type='Boolean'>1</Data></Cell><Cell><Data ss:Type='Error'>#N/A</Data></Cell></Row>";
    let cells = cells(styles, rows);
    assert_eq!((cells[0].content, cells[0].format.as_deref()), (Content::Number(5.2), Some("0.0\" MΩ\"")));
    let day = Content::Date { serial: 31850.0, is_1904: false };
    assert_eq!((cells[1].content, cells[1].text.as_str()), (day, "1987-03-14"));
    assert_eq!(cells[2].content, day);
    assert_eq!(cells[3].text, "1987-03-14T12:00:00");
    assert_eq!((cells[4].content, cells[4].text.as_str()), (Content::Bool(true), "TRUE"));
    assert_eq!((cells[5].content, cells[5].text.as_str()), (Content::Error, "#N/A"));
}

#[test]
fn styles_of_rows_and_columns_apply_to_cells_without_their_own() {
    let styles = "<Style ss:ID='u'><NumberFormat ss:Format='0.0&quot; MΩ&quot;'/></Style><Style ss:ID='k'><NumberFormat ss:Format='0&quot; V&quot;'/></Style>";
    let rows = "<Column ss:Index='2' ss:StyleID='u'/><Row><Cell/><Cell><Data ss:Type='Number'>5</Data></Cell></Row>\
        <Row ss:StyleID='k'><Cell/><Cell><Data ss:Type='Number'>500</Data></Cell></Row>";
    let formats: Vec<_> = cells(styles, rows).into_iter().map(|cell| cell.format).collect();
    assert_eq!(formats, [Some("0.0\" MΩ\"".into()), Some("0\" V\"".into())]);
}

#[test]
fn the_1904_calendar_is_obeyed() {
    let text = document(
        "<Style ss:ID='d'><NumberFormat ss:Format='dd/mm/yyyy'/></Style>",
        "<Row><Cell ss:StyleID='d'><Data ss:Type='Number'>30388</Data></Cell><Cell ss:StyleID='d'><Data ss:Type='DateTime'>1987-03-14T00:00:00.000</Data></Cell></Row>",
    )
    .replace("<Styles>", "<x:ExcelWorkbook><x:Date1904/></x:ExcelWorkbook><Styles>");
    let cells = try_read(&text).unwrap().sheets.remove(0).cells;
    for cell in cells {
        assert_eq!(
            (cell.content, cell.text.as_str()),
            (Content::Date { serial: 30388.0, is_1904: true }, "1987-03-14")
        );
    }
}

#[test]
fn comments_strikes_and_hidden_parts_are_kept() {
    let rows = "<Column ss:Hidden='1' ss:Span='1'/><Row ss:Hidden='1'><Cell><Data ss:Type='Number'>90</Data>\
        <Comment ss:Author='oq'><ss:Data><html:B>wet</html:B> weather</ss:Data></Comment></Cell>\
        <Cell><ss:Data ss:Type='String'><html:S>900</html:S> 1200</ss:Data></Cell>\
        <Cell><Comment><ss:Data>see book 3</ss:Data></Comment></Cell></Row>";
    let text = document("", rows)
        .replace("</Table>", "</Table><x:WorksheetOptions><x:Visible>SheetHidden</x:Visible></x:WorksheetOptions>");
    let book = try_read(&text).unwrap();
    let sheet = &book.sheets[0];
    assert!(sheet.hidden);
    assert_eq!((sheet.hidden_rows.as_slice(), sheet.hidden_columns.as_slice()), (&[0][..], &[0, 1][..]));
    assert_eq!(sheet.cells[0].note.as_deref(), Some("wet weather"));
    assert_eq!((sheet.cells[1].text.as_str(), sheet.cells[1].struck.as_deref()), ("1200", Some("900")));
    assert_eq!(book.notes, ["sheet Drives, cell C1 is empty but has the note: see book 3"]);
}

#[test]
fn a_formula_without_a_result_is_told() {
    let rows =
        "<Row><Cell ss:Formula='=R[-1]C*2'/><Cell ss:Formula='=1+1'><Data ss:Type='Number'>2</Data></Cell></Row>";
    let contents: Vec<Content> = cells("", rows).into_iter().map(|cell| cell.content).collect();
    assert_eq!(contents, [Content::NoResult, Content::Number(2.0)]);
    let formula = |text: &str| format!("<Row><Cell ss:Formula='{text}'><Data ss:Type='Number'>2</Data></Cell></Row>");
    let is_computed = |text: &str| cells("", &formula(text)).first().is_some_and(|cell| cell.computed);
    assert!(
        is_computed("=RC[-1]/1000") && !is_computed("=1+1"),
        "only a formula that refers to other cells computes from them"
    );
}

#[test]
fn only_this_format_is_claimed() {
    let confidence = |text: &str| {
        let head = text.as_bytes();
        claim(&Probe { name: "x.xls", head, len: head.len(), zip_members: &[], ole_streams: &[], companion: None })
            .confidence
    };
    assert!(confidence(HEAD) > 0.8);
    for other in ["<?xml version='1.0'?><log/>", "<Workbook/>", "<html><table>", "Tag;MOhm", ""] {
        assert!(confidence(other) == 0.0, "{other}");
    }
}

#[test]
fn impossible_numbers_and_cut_files_are_refused() {
    let index = document("", "<Row ss:Index='99999999999'/>");
    assert!(try_read(&index).unwrap_err().contains("Index of \"99999999999\""));
    let tall = document("", &"<Row ss:Hidden='1' ss:Span='1000000'/>".repeat(5_000));
    assert!(try_read(&tall).unwrap_err().contains("more than 1048576 rows"));
    let wide = document("", "<Row><Cell ss:Index='20000'><Data ss:Type='Number'>1</Data></Cell></Row>");
    assert!(try_read(&wide).unwrap_err().contains("16384 columns"));
    assert!(try_read(&index[..HEAD.len() + 8]).unwrap_err().contains("never closed"));
}

proptest! {
    #[test]
    fn no_bytes_make_it_panic(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
        let _ = read(&Input::alone("x", &bytes), &Limits::default());
    }

    /// Cutting or flipping a byte anywhere gives cells or a reason.
    #[test]
    fn damage_never_panics(at in 0_usize..900, flip in any::<u8>(), is_cut in any::<bool>()) {
        let rows = "<Row ss:Index='4'><Cell ss:MergeDown='2' ss:Index='2'><Data ss:Type='Number'>1200</Data></Cell><Cell ss:StyleID='d'>\
            <Data ss:Type='DateTime'>1987-03-14T00:00:00.000</Data></Cell></Row>";
        let mut bytes = document("<Style ss:ID='d' ss:Parent='d'/>", rows).into_bytes();
        let at = at.min(bytes.len() - 1);
        if is_cut { bytes.truncate(at) } else { bytes[at] ^= flip }
        let _ = read(&Input::alone("x", &bytes), &Limits::default());
    }
}
