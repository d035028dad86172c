use std::collections::BTreeSet;

use proptest::prelude::*;
use windrow_source::{Area, Grid, Input, Limits, Probe};

use crate::{claim::claim, read::read};

/// Invented: drives of a mill, each with tests, each with readings; units said once at the top.
const NESTED: &str = r#"<?xml version="1.0"?>
<mill name="Lindquay Board Mill" resistanceUnit="MOhm">
  <drive tag="RM-3">
    <test date="1987-03-14"><reading phase="U" seconds="60">1200</reading><reading phase="V" seconds="60">1180</reading><remark>dry</remark></test>
    <test date="1989-05-02"><reading phase="U" seconds="60">90.5</reading></test>
  </drive>
  <drive tag="RM-4"/>
</mill>"#;

fn try_sheet(text: &str) -> Result<Grid, String> {
    let mut book = read(&Input::alone("x.xml", text.as_bytes()), &Limits::default()).map_err(|e| e.to_string())?;
    Ok(book.sheets.remove(0))
}

fn sheet(text: &str) -> Grid {
    try_sheet(text).unwrap()
}

/// Text of the cell at a row and column, in brackets if it is a name.
fn at(grid: &Grid, row: u32, column: u32) -> String {
    let cell = grid.get(row, column);
    cell.map_or(String::new(), |cell| if cell.synthetic { format!("[{}]", cell.text) } else { cell.text.to_string() })
}

fn row(grid: &Grid, number: u32) -> Vec<String> {
    (0..=grid.extent().unwrap().right).map(|column| at(grid, number, column)).collect()
}

#[test]
fn records_become_rows_under_the_names_of_their_parts() {
    let grid = sheet(NESTED);
    assert_eq!(row(&grid, 0)[..2], ["[name]", "Lindquay Board Mill"]);
    assert_eq!(row(&grid, 1)[..2], ["[resistanceUnit]", "MOhm"]);
    assert_eq!(row(&grid, 3), ["[drive]", "[test]", "", "[reading]", "", ""]);
    assert_eq!(row(&grid, 4), ["[tag]", "[date]", "[remark]", "[phase]", "[seconds]", "[reading]"]);
    assert_eq!(row(&grid, 5), ["RM-3", "1987-03-14", "dry", "U", "60", "1200"]);
    assert_eq!(row(&grid, 6), ["", "", "", "V", "60", "1180"]);
    assert_eq!(row(&grid, 7), ["", "1989-05-02", "", "U", "60", "90.5"]);
    assert_eq!(row(&grid, 8), ["RM-4", "", "", "", "", ""]);
}

#[test]
fn what_an_enclosing_element_says_reaches_down_over_its_rows() {
    let merges = sheet(NESTED).merges;
    let down = |top, bottom, column| Area { top, left: column, bottom, right: column };
    for area in [down(5, 7, 0), down(5, 6, 1), down(5, 6, 2)] {
        assert!(merges.contains(&area), "{area:?} of {merges:?}");
    }
}

#[test]
fn what_holds_records_and_is_said_once_stands_over_their_names() {
    let grid = sheet(
        "<log><test date='2016-11-23'><ir unit='MOhm'><point conn='R-E'>52</point><point conn='Y-E'>53</point></ir></test>
         <test date='2016-11-24'><ir unit='MOhm'><point conn='R-E'>54</point></ir></test></log>",
    );
    assert_eq!(row(&grid, 0), ["", "", "[ir]", ""]);
    assert_eq!(row(&grid, 1), ["[test]", "[ir]", "[point]", ""]);
    assert_eq!(row(&grid, 2), ["[date]", "[unit]", "[conn]", "[point]"]);
    assert_eq!(row(&grid, 3), ["2016-11-23", "MOhm", "R-E", "52"]);
    assert_eq!(row(&grid, 5), ["2016-11-24", "MOhm", "R-E", "54"]);
    // A name in the plural says no more than the records' own.
    let plain = sheet("<log><points><point conn='R-E'>52</point><point conn='Y-E'>53</point></points></log>");
    assert_eq!(row(&plain, 0), ["[point]", ""]);
}

#[test]
fn addresses_are_xpaths_without_prefixes() {
    let grid = sheet(
        "<r:log xmlns:r='urn:x'><r:entry><r:ir value='5.2'/><r:tag>RM-3</r:tag></r:entry><r:entry><r:ir value='6.1'/></r:entry></r:log>",
    );
    let places: Vec<String> =
        grid.cells.iter().filter(|cell| !cell.synthetic).map(|cell| cell.place().to_string()).collect();
    assert_eq!(places, ["/log/entry[1]/ir/@value", "/log/entry[1]/tag", "/log/entry[2]/ir/@value"]);
}

#[test]
fn names_of_records_that_say_nothing_head_nothing() {
    let grid = sheet(
        "<log><entry><tag>RM-3</tag><ir value='5' unit='MOhm'/></entry><entry><tag>RM-4</tag><ir value='6' unit='MOhm'/></entry></log>",
    );
    assert_eq!(row(&grid, 0), ["", "[ir]", ""]);
    assert_eq!(row(&grid, 1), ["[tag]", "[value]", "[unit]"]);
}

#[test]
fn a_document_that_repeats_nothing_is_a_form() {
    let grid =
        sheet("<test><tag>RM-3</tag><oneMinute unit='MOhm'>1200</oneMinute><meter><serial>77</serial></meter></test>");
    let rows: Vec<Vec<String>> = (0..4).map(|number| row(&grid, number)).collect();
    assert_eq!(
        rows,
        [["[tag]", "RM-3"], ["[oneMinute unit]", "MOhm"], ["[oneMinute]", "1200"], ["[meter serial]", "77"]]
    );
}

#[test]
fn cells_that_only_their_order_tells_apart_are_columns() {
    let grid =
        sheet("<t><row><c>Tag</c><c>MOhm</c></row><row><c>RM-3</c><c>1200</c></row><row><c/><c>90</c></row></t>");
    assert_eq!(row(&grid, 2), ["Tag", "MOhm"]);
    assert_eq!(row(&grid, 3), ["RM-3", "1200"]);
    assert_eq!(row(&grid, 4), ["", "90"]);
    assert!(grid.cells.iter().all(|cell| !cell.synthetic));
}

#[test]
fn declared_encodings_are_obeyed() {
    let text = b"<?xml version='1.0' encoding='ISO-8859-1'?><log><e>Pr\xFCfung</e><e>k\xFChl</e></log>";
    let book = read(&Input::alone("x", text), &Limits::default()).unwrap();
    assert!(book.sheets[0].cells.iter().any(|cell| cell.text == "Prüfung"));
}

#[test]
fn broken_hostile_and_empty_documents_are_refused_with_their_reason() {
    for (text, words) in [
        ("<!DOCTYPE a [<!ENTITY b 'c'>]><a>&b;</a>", "document type"),
        ("<log><e>1</e><e>", "never closed"),
        ("<log><e/><e> </e></log>", "without any text"),
    ] {
        let error = try_sheet(text).unwrap_err();
        assert!(error.contains(words), "{error}");
    }
}

#[test]
fn other_formats_written_in_xml_are_left_to_their_readers() {
    let confidence = |text: &str| {
        let head = text.as_bytes();
        claim(&Probe { name: "x.xml", head, len: head.len(), zip_members: &[], ole_streams: &[], companion: None })
            .confidence
    };
    assert!((confidence(NESTED) - 0.6).abs() < 1e-9);
    for other in [
        "<html><table>",
        "<Workbook xmlns='urn:schemas-microsoft-com:office:spreadsheet'>",
        "<svg xmlns='http://www.w3.org/2000/svg'/>",
        "<o:document xmlns:o='urn:oasis:names:tc:opendocument:xmlns:office:1.0'>",
        "Tag;MOhm",
        "",
    ] {
        assert!(confidence(other) == 0.0, "{other}");
    }
}

/// A document of random elements, and how many texts and attributes it has.
fn document() -> impl Strategy<Value = (String, usize)> {
    let leaf = ("[ab]", prop::option::of("[1-9]"), prop::option::of("[1-9]")).prop_map(|(name, value, text)| {
        let count = usize::from(value.is_some()) + usize::from(text.is_some());
        let attribute = value.map(|value| format!(" v='{value}'")).unwrap_or_default();
        (format!("<{name}{attribute}>{}</{name}>", text.unwrap_or_default()), count)
    });
    leaf.prop_recursive(5, 40, 5, |inner| {
        ("[abc]", prop::collection::vec(inner, 1..5)).prop_map(|(name, parts)| {
            let count = parts.iter().map(|part| part.1).sum();
            let content: String = parts.into_iter().map(|part| part.0).collect();
            (format!("<{name}>{content}</{name}>"), count)
        })
    })
}

proptest! {
    /// Every attribute and text is one cell, at an address of its own, and no two cells share a place in the grid.
    #[test]
    fn every_value_is_one_cell((text, count) in document()) {
        let Ok(grid) = try_sheet(&text) else {
            prop_assert_eq!(count, 0);
            return Ok(());
        };
        let places: Vec<String> = grid.cells.iter().filter(|cell| !cell.synthetic).map(|cell| cell.place().to_string()).collect();
        let different: BTreeSet<&String> = places.iter().collect();
        prop_assert_eq!((places.len(), different.len()), (count, count));
    }

    #[test]
    fn no_bytes_make_it_panic(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        let _ = read(&Input::alone("x", &bytes), &Limits::default());
    }

    #[test]
    fn damage_never_panics(at in 0_usize..600, flip in any::<u8>(), is_cut in any::<bool>()) {
        let mut bytes = NESTED.as_bytes().to_vec();
        let at = at.min(bytes.len() - 1);
        if is_cut { bytes.truncate(at) } else { bytes[at] ^= flip }
        let _ = read(&Input::alone("x", &bytes), &Limits::default());
    }
}
