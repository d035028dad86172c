use std::path::Path;

use proptest::prelude::*;
use windrow_source::{Content, Input, Limits, ReadError, Refusal, Workbook};

use crate::read::read;

fn sample(name: &str) -> Vec<u8> {
    std::fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join("samples").join(name)).unwrap()
}

fn book(bytes: &[u8]) -> Result<Workbook, ReadError> {
    read(&Input::alone("x.slk", bytes), &Limits::default())
}

fn of(records: &str) -> Workbook {
    book(format!("ID;PX\n{records}E\n").as_bytes()).unwrap()
}

fn texts(book: &Workbook) -> Vec<String> {
    book.sheets[0].cells.iter().map(|cell| format!("{} {}", cell.place(), cell.text)).collect()
}

#[test]
fn dates_units_notes_and_hidden_columns_are_kept() {
    let book = book(&sample("ir-log.slk")).unwrap();
    let grid = &book.sheets[0];
    // 31850 is 14 March 1987 by the count of serial numbers of ECMA-376 part 1, 18.17.4.1.
    assert_eq!(grid.get(2, 1).unwrap().text, "1987-03-14");
    assert_eq!(grid.get(2, 1).unwrap().content, Content::Date { serial: 31850.0, is_1904: false });
    assert_eq!(grid.get(2, 2).unwrap().format.as_deref(), Some("0.0\" M\u{3A9}\""));
    assert_eq!(grid.get(3, 2).unwrap().note.as_deref(), Some("meter was changed; see log"));
    assert_eq!(grid.get(1, 3).unwrap().text, "20 °C");
    assert_eq!(grid.hidden_columns, [4]);
}

#[test]
fn the_other_epoch_is_obeyed() {
    let book = of("P;PGeneral\nP;Pyyyy\\-mm\\-dd\nO;L;V4\nF;P1;C1\nC;Y1;X1;K30388\n");
    assert_eq!(texts(&book), ["A1 1987-03-14"]);
}

#[test]
fn rows_and_columns_stay_and_semicolons_are_doubled() {
    let book = of("C;Y2;X3;K\"a;;b\"\nC;X4;K\"say \"\"x\"\"\"\nC;Y3;K5.20\nC;Y4;X1;K#N/A\nC;X2;KTRUE\nC;X3;K5,2\n");
    assert_eq!(texts(&book), ["C2 a;b", "D2 say \"x\"", "D3 5.2", "A4 #N/A", "B4 TRUE", "C4 5,2"]);
    let contents: Vec<Content> = book.sheets[0].cells.iter().map(|cell| cell.content).collect();
    assert_eq!(contents[2..], [Content::Number(5.2), Content::Error, Content::Bool(true), Content::Text]);
}

#[test]
fn a_formula_without_a_result_is_told_and_one_with_a_result_is_its_result() {
    let book = of("C;Y1;X1;ER1C2*2\nC;X2;K8;ER1C3*2\n");
    assert_eq!(texts(&book), ["A1 =R1C2*2", "B1 8"]);
    assert_eq!(book.sheets[0].cells[0].content, Content::NoResult);
    assert!(book.sheets[0].cells[1].computed && !of("C;Y1;X1;K8;E4*2\n").sheets[0].cells[0].computed);
}

#[test]
fn what_is_cut_or_out_of_place_is_refused() {
    for (text, words) in [
        ("ID;PX\nC;Y1;X1;K5\n", "before the record of its end"),
        ("ID;PX\nC;Y0;X1;K5\nE\n", "line 2: Y0 is no number of a row"),
        ("ID;PX\nC;Y1;Xa;K5\nE\n", "line 2: Xa is no number"),
    ] {
        let error = book(text.as_bytes()).unwrap_err();
        assert_eq!(error.refusal, Refusal::Damaged);
        assert!(error.found.contains(words), "{error}");
    }
    assert_eq!(book(b"ID;PX\nE\n").unwrap_err().refusal, Refusal::Empty);
    assert_eq!(book(b"ID;PX\nC;Y1;X70000;K5\nE\n").unwrap_err().refusal, Refusal::TooLarge);
}

proptest! {
    #[test]
    fn cut_and_changed_files_end_in_cells_or_in_an_error(
        cut in any::<prop::sample::Index>(),
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 0..6),
    ) {
        let mut bytes = sample("ir-log.slk");
        for (at, byte) in changes {
            let at = at.index(bytes.len());
            bytes[at] = byte;
        }
        bytes.truncate(bytes.len() - cut.index(bytes.len()) / 2);
        drop(book(&bytes));
    }

    #[test]
    fn no_records_make_it_panic(text in "([CFPOB](;[XYKEAPFWMRCV][0-9\"a;\u{1B}N:.]{0,6}){0,4}\n){0,12}") {
        if let Ok(book) = book(format!("ID;PX\n{text}E\n").as_bytes()) {
            for cell in &book.sheets[0].cells {
                prop_assert!(!cell.text.trim().is_empty() || cell.content == Content::NoResult);
            }
        }
    }
}
