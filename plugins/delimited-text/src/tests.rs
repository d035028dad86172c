use proptest::prelude::*;
use windrow_source::{Input, Limits, Probe, Workbook};

use crate::{claim::claim, read::read};

fn confidence(text: &[u8]) -> f64 {
    claim(&Probe { name: "x.txt", head: text, len: text.len(), zip_members: &[], ole_streams: &[], companion: None })
        .confidence
}

fn workbook(text: &[u8]) -> Workbook {
    read(&Input::alone("x.txt", text), &Limits::default()).unwrap()
}

fn cells(text: &[u8]) -> Vec<(String, String)> {
    let book = workbook(text);
    book.sheets[0].cells.iter().map(|cell| (cell.place().to_string(), cell.text.to_string())).collect()
}

fn check(text: &[u8], expected: &[(&str, &str)]) {
    let found = cells(text);
    for (place, content) in expected {
        let cell = found.iter().find(|cell| cell.0 == *place);
        assert_eq!(cell.map(|cell| cell.1.as_str()), Some(*content), "{place} of {found:?}");
    }
}

#[test]
fn records_are_physical_lines_blank_ones_included() {
    let text = b"Lindquay Board Mill\r\n\r\n\r\nTag;Date;MOhm\r\nRM-3;14.03.1987;5,2\r\n\r\nRM-4;15.03.1987;6,1\r\n";
    check(text, &[("A1", "Lindquay Board Mill"), ("A4", "Tag"), ("C5", "5,2"), ("C7", "6,1")]);
}

#[test]
fn commas_of_numbers_in_a_print_out_do_not_delimit() {
    let text = b"Spannungsrampe\r\nPruefspannung V   Ableitstrom uA\r\n            50         0,406\r\n           100         0,812\r\n";
    assert!(confidence(text) < 0.1);
    assert!(confidence(b"Tag,MOhm,kV\r\nRM-3,5,2\r\nRM-4,6,2\r\n") >= 0.6);
}

#[test]
fn decimal_commas_between_semicolons_do_not_delimit() {
    let text = b"Machine;Date;Phases;Peak;Difference (%)\nBA-31;20/03/2007;U-V;9,5;1,2\nBA-31;20/03/2007;V-W;9,5;1,8\n";
    check(text, &[("A2", "BA-31"), ("D2", "9,5"), ("E3", "1,8")]);
}

#[test]
fn a_quoted_field_with_line_breaks_is_one_record() {
    let text = b"Tag,Note,MOhm\nRM-3,\"wet,\nsee \"\"log\"\"\",5.2\nRM-4,,6.1\n";
    check(text, &[("B2", "wet,\nsee \"log\""), ("C2", "5.2"), ("C3", "6.1")]);
}

#[test]
fn line_ends_of_every_system_count_alike() {
    for end in ["\n", "\r\n", "\r"] {
        let text = ["Tag;Date;MOhm", "RM-3;14.03.1987;5,2", "", "RM-4;15.03.1987;6,1"].join(end);
        check(text.as_bytes(), &[("C2", "5,2"), ("C4", "6,1")]);
    }
}

#[test]
fn ditto_marks_are_no_quotes() {
    let text = b"Tag;Date;MOhm\nRM-3;14.03.1987;5,2\n\";15.03.1987;6,1\n\";\";6,3\n\";16.03.1987;\"\n";
    check(text, &[("A3", "\""), ("C3", "6,1"), ("B4", "\""), ("C4", "6,3"), ("A5", "\""), ("C5", "\"")]);
}

#[test]
fn a_quote_never_closed_swallows_nothing() {
    let text = b"Tag,Note,MOhm\nRM-3,\"wet,5.2\nRM-4,dry,6.1\nRM-5,dry,7.1\n";
    check(text, &[("B2", "\"wet"), ("C2", "5.2"), ("C3", "6.1")]);
    assert!(workbook(text).notes.iter().any(|note| note.contains("1 quotation marks are not closed")));
}

#[test]
fn a_declared_delimiter_is_obeyed_and_its_line_counts() {
    let text = b"sep=#\nTag#MOhm\nRM-3#5.2\n";
    assert!(confidence(text) > 0.8);
    let found = cells(text);
    assert_eq!(found[0], ("A2".to_owned(), "Tag".to_owned()));
    check(text, &[("B3", "5.2")]);
}

#[test]
fn padding_of_old_systems_is_no_content() {
    let text = b"Tag|Date|MOhm\nRM-3|14.03.1987|5.2\n\x0cRM-4|15.03.1987|6.1\n\x1a\0\0\0";
    let found = cells(text);
    assert_eq!(found.len(), 9);
    check(text, &[("A3", "RM-4"), ("C3", "6.1")]);
}

#[test]
fn ragged_rows_are_kept() {
    let text = b"Tag,Date,U,V,W,Note\nRM-3,14.03.1987,5,6,7\nRM-4,15.03.1987,5,6,7,wet\nRM-5,15.03.1987,5\n";
    check(text, &[("E2", "7"), ("F3", "wet"), ("C4", "5")]);
}

#[test]
fn numbers_torn_by_their_own_commas_are_refused() {
    let text = b"Maschine,Datum,Riso U,Riso V\nRM-3,14.03.1987,48,9,49,6\nRM-4,15.03.1987,750,602,5\n";
    let error = read(&Input::alone("x.csv", text), &Limits::default()).unwrap_err();
    assert!(error.to_string().contains("2 of 2 lines have more fields than the 4 of line 1"), "{error}");
}

#[test]
fn a_title_of_several_fields_does_not_count_the_fields_of_the_rows() {
    let text =
        b"HALDEN FERRY,MS OSPREY,as the mate gave it\nDate,Motor,kW,Stator,Rotor,Note\n03/02/97,Winch 1,55,18,1.1\n\
        04/02/97,Winch 2,55,12,2,washed\n";
    check(text, &[("D3", "18"), ("F4", "washed")]);
    let torn = b"HALDEN FERRY,MS OSPREY,as the mate gave it\nDate,Motor,kW,Stator\n03/02/97,Winch 1,55,18,1\n04/02/97,Winch 2,55,12,2\n";
    assert!(read(&Input::alone("x.csv", torn), &Limits::default()).is_err());
}

#[test]
fn prose_code_and_word_lists_are_refused() {
    let memo = "To: shift foremen\n\nPlease bring the test books, all of them, to the office.\nBook 3 is missing, and 7. Ring 5531.\n";
    let log = "On 3 May the pump was tested, result 5 megohms, and left running by the shift.\n\
        On 4 May the fan was dried, result 60 megohms after it, and put back by the shift.\n";
    let code = "fn main() {\n    let a = [1, 2, 3];\n    call(a, 5);\n    if a.len() > 3 { stop(); }\n}\n";
    let json = "{\"tag\": \"RM-3\", \"ir\": 5.2,\n \"u\": 5.3, \"v\": 5.4}\n";
    for text in [memo, log, code, json, "one\ntwo\nthree\n", ""] {
        assert!(confidence(text.as_bytes()) == 0.0, "{text}");
    }
}

#[test]
fn tables_are_claimed_whatever_their_encoding() {
    let table = "Maschine;Datum;Prüfspannung;MΩ\nRM-3;14.03.1987;500;5,2\nRM-4;15.03.1987;500;6,1\n";
    let utf16: Vec<u8> = table.encode_utf16().flat_map(u16::to_le_bytes).collect();
    for bytes in [table.as_bytes().to_vec(), utf16] {
        assert!((confidence(&bytes) - 0.6).abs() < 1e-9);
        check(&bytes, &[("C1", "Prüfspannung"), ("D2", "5,2")]);
    }
}

#[test]
fn limits_have_their_own_messages() {
    let limits = Limits { cells: 5, ..Limits::default() };
    let error = read(&Input::alone("x", b"a;1;2\nb;3;4\n"), &limits).unwrap_err();
    assert!(error.to_string().contains("more than 5 cells"), "{error}");
}

fn field() -> impl Strategy<Value = String> {
    "[A-Za-z0-9ÄÖÜäöüß .,;:'\"|/+%-]{0,12}".prop_map(|text| text.trim().to_owned())
}

proptest! {
    /// What an independent writer quotes by RFC 4180 comes back field by field.
    #[test]
    fn printed_records_come_back(rows in proptest::collection::vec(proptest::collection::vec(field(), 3), 2..8)) {
        let mut writer = csv::WriterBuilder::new().quote_style(csv::QuoteStyle::Always).from_writer(Vec::new());
        for row in &rows {
            writer.write_record(row).unwrap();
        }
        let text = String::from_utf8(writer.into_inner().unwrap()).unwrap();
        let records = crate::records::all(&text, crate::dialect::Delimiter(b','));
        // A field of nothing but commas or quotation marks reads as ditto marks; see `quotes`.
        prop_assume!(rows.iter().flatten().all(|text| !text.starts_with(',') || !text.ends_with(',')));
        let expected: Vec<(u32, Vec<String>)> = (0_u32..)
            .zip(rows)
            .filter(|(_, row)| row.iter().any(|text| !text.is_empty()))
            .collect();
        let found: Vec<(u32, Vec<String>)> = records.into_iter().map(|record| (record.number, record.fields)).collect();
        prop_assert_eq!(found, expected);
    }

    #[test]
    fn no_bytes_make_it_panic(bytes in proptest::collection::vec(any::<u8>(), 0..300)) {
        let _ = confidence(&bytes);
        let _ = read(&Input::alone("x", &bytes), &Limits::default());
    }

    #[test]
    fn no_text_makes_it_panic(text in "[a-c0-9;,|\t\"\r\n .sep=-]{0,120}") {
        let _ = confidence(text.as_bytes());
        let _ = read(&Input::alone("x", text.as_bytes()), &Limits::default());
    }

    /// Nothing that is visible in the text is lost: every letter and digit stands in some cell.
    #[test]
    fn no_character_is_lost(text in "[a-c0-9;\"\r\n ]{0,80}") {
        let visible = |text: &str| text.chars().filter(|c| c.is_alphanumeric()).count();
        let records = crate::records::all(&text, crate::dialect::Delimiter(b';'));
        let kept: usize = records.iter().flat_map(|record| &record.fields).map(|field| visible(field)).sum();
        prop_assert_eq!(kept, visible(&text));
    }
}
