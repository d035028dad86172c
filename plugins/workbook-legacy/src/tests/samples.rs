//! The samples: one thing a file.

use windrow_source::{Area, Content, Probe, Refusal};

use super::{at, cells, check, check_format, day, read, record, sample, sample_bytes, sample_path, words};
use crate::claim::claim;

#[test]
fn every_sample_ends_as_its_description_says() {
    let folder = sample_path("");
    let mut cases = 0;
    for entry in std::fs::read_dir(&folder).unwrap() {
        let path = entry.unwrap().path();
        let Some(name) = path.file_name().unwrap().to_str().unwrap().strip_suffix(".toml") else { continue };
        let told = std::fs::read_to_string(&path).unwrap();
        let found = match read(&sample_bytes(&format!("{name}.xls"))) {
            Ok(book) => {
                let cells: usize = book.sheets.iter().map(|sheet| sheet.cells.len()).sum();
                format!("expect = \"read\"\ncells = {cells}\n")
            }
            Err(_) if told.contains("refuse") => "expect = \"refuse\"\n".to_owned(),
            Err(_) => "expect = \"error\"\n".to_owned(),
        };
        assert!(told.ends_with(&found), "{name}: {found}");
        cases += 1;
    }
    assert!(cases >= 12, "{cases}");
}

#[test]
fn units_dates_and_strikes_of_excel_97_are_told() {
    let book = sample("motor-log.xls");
    let log = &book.sheets[0];
    check(log, "B4", "1987-03-14", day(31850.0));
    check(log, "B5", "1991-09-01", day(33482.0));
    check_format(log, "B5", "mmm-yy");
    check(log, "C4", "850.5", Content::Number(850.5));
    check_format(log, "C4", "0.0\" MΩ\"");
    check(log, "C5", "12", Content::Number(12.0));
    check_format(log, "C5", "0.0 Mohm");
    check(log, "E6", "0.075", Content::Number(0.075));
    check_format(log, "E6", "0.0%");
    check(log, "C8", "10:00:00", Content::Duration(36000.0));
    check(log, "E7", "TRUE", Content::Bool(true));
    check(log, "E8", "#N/A", Content::Error);
    check(log, "E4", "", Content::NoResult);
    assert_eq!((at(log, "C6").text.as_str(), at(log, "C6").struck.as_deref()), ("1200", Some("1500")));
    assert_eq!(at(log, "D6").struck.as_deref(), Some("900"));
    assert_eq!((log.merges[0], log.merges.len()), (Area { top: 0, left: 0, bottom: 0, right: 5 }, 1));
    assert_eq!((log.hidden_rows.as_slice(), log.hidden_columns.as_slice()), ([6].as_slice(), [4].as_slice()));
    assert!(!log.hidden && book.sheets[1].hidden);
}

#[test]
fn a_letter_in_the_symbol_font_is_the_greek_one_that_is_seen() {
    assert_eq!(at(&sample("motor-log.xls").sheets[0], "C7").text, "640 MΩ");
}

#[test]
fn a_date_format_on_a_small_number_is_passed_over_and_told() {
    let book = sample("motor-log.xls");
    check(&book.sheets[0], "D8", "5", Content::Number(5.0));
    assert!(book.notes.iter().any(|note| note.ends_with("Log!D8")), "{:?}", book.notes);
}

#[test]
fn formats_with_any_number_are_kept() {
    let book = sample("many-formats.xls");
    check(&book.sheets[0], "A1", "1987-03-14", day(31850.0));
    check_format(&book.sheets[0], "B1", "0.0\" GΩ\"");
}

#[test]
fn built_in_numbers_that_a_file_defines_anew_are_what_the_file_says() {
    let format = |id: u16, code: &str| {
        let length = u16::try_from(code.len()).unwrap();
        record(0x041E, &[words(&[id, length]), vec![0], code.as_bytes().to_vec()].concat())
    };
    let style = |format: u16| record(0x00E0, &words(&[0, format]));
    let globals = [format(57, "0.0%"), format(62, "h:mm"), style(57), style(62), style(14)];
    let number = |column: u16, style: u16, value: f64| {
        record(0x0203, &[words(&[0, column, style]), value.to_le_bytes().to_vec()].concat())
    };
    let sheet = [number(0, 0, 0.075), number(1, 1, 0.5), number(2, 2, 31850.0)];
    assert_eq!(cells(&globals, &sheet), ["A1 0.075", "B1 12:00:00", "C1 1987-03-14"]);
}

#[test]
fn the_calendar_of_1904_is_kept_apart() {
    let book = sample("calendar-1904.xls");
    check(&book.sheets[0], "A2", "1992-02-03", Content::Date { serial: 32175.0, is_1904: true });
}

#[test]
fn notes_are_told_in_every_release() {
    for name in ["notes-1996.xls", "notes-1999.xls"] {
        let book = sample(name);
        let sheet = &book.sheets[0];
        assert_eq!(at(sheet, "C3").note.as_deref(), Some("doors open, µ-meter hired"), "{name}");
        assert!(book.notes.iter().any(|note| note.contains("Prüfungen!D9 has the note \"ask the winder\"")), "{name}");
        check(sheet, "D4", "#DIV/0!", Content::Error);
        check(sheet, "E4", "", Content::NoResult);
        check(sheet, "F4", "feiner", Content::Text);
        assert!(book.sheets[1].hidden, "{name}");
    }
    assert_eq!(at(&sample("leakage-1991.xls").sheets[0], "A2").note.as_deref(), Some("nach Regen, 21"));
}

#[test]
fn a_workbook_that_is_there_twice_is_read_once() {
    assert_eq!(sample("both-1998.xls").sheets, sample("notes-1999.xls").sheets);
}

#[test]
fn bare_streams_of_excel_2_are_read_without_a_code_page() {
    let book = sample("card-1988.xls");
    let card = &book.sheets[0];
    assert_eq!(card.name, None);
    check(card, "C2", "MΩ bei 20 °C", Content::Text);
    check(card, "B3", "1987-03-14", day(31850.0));
    check_format(card, "C3", "0.0\" Mohm\"");
    assert_eq!(at(card, "A4").struck.as_deref(), Some("PM-2"));
    check(card, "C5", "über", Content::Text);
    assert_eq!((card.hidden_rows.as_slice(), card.hidden_columns.as_slice()), ([3].as_slice(), [1].as_slice()));
    assert!(book.notes[0].contains("no code page is declared; text read as cp437"), "{:?}", book.notes);
}

#[test]
fn sheets_of_an_excel_4_workspace_have_their_own_names_and_styles() {
    let book = sample("workspace-1992.xls");
    assert_eq!(
        book.sheets.iter().map(|sheet| sheet.name.as_deref()).collect::<Vec<_>>(),
        [Some("Résistance"), Some("Dates")]
    );
    check(&book.sheets[0], "A1", "Résistance à 40 °C", Content::Text);
    check(&book.sheets[0], "A3", "30000", Content::Number(30000.0));
    check_format(&book.sheets[0], "A2", "0.0\" MΩ\"");
    check(&book.sheets[1], "A2", "1987-03-14", Content::Date { serial: 30388.0, is_1904: true });
}

#[test]
fn passwords_are_told_from_damage() {
    assert_eq!(read(&sample_bytes("locked.xls")).unwrap_err().refusal, Refusal::Encrypted);
    assert_eq!(read(&sample_bytes("cut-short.xls")).unwrap_err().refusal, Refusal::Damaged);
}

#[test]
fn only_workbook_streams_are_claimed() {
    let bid = |head: &[u8], streams: &[&str]| {
        let ole_streams: Vec<String> = streams.iter().map(|name| (*name).to_owned()).collect();
        claim(&Probe {
            name: "log.xls",
            head,
            len: head.len(),
            zip_members: &[],
            ole_streams: &ole_streams,
            companion: None,
        })
        .confidence
    };
    assert!(bid(&sample_bytes("motor-log.xls"), &["/Workbook", "/\u{5}SummaryInformation"]) >= 0.9);
    assert!(bid(&sample_bytes("notes-1996.xls"), &["/BOOK"]) >= 0.9);
    for name in ["card-1988.xls", "leakage-1991.xls", "workspace-1992.xls"] {
        assert!(bid(&sample_bytes(name), &[]) >= 0.9, "{name}");
    }
    for (head, streams) in [
        (sample_bytes("tab-text.xls").as_slice(), [].as_slice()),
        (b"<html><table><tr><td>5</table>", &[]),
        (b"PK\x03\x04", &[]),
        (b"\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1", &["/WordDocument"]),
        (b"\x09\x00\x04\x00", &[]),
        (b"", &[]),
    ] {
        assert!(bid(head, streams) <= 0.0, "{head:?}");
    }
}
