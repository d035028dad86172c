use std::fmt::Write as _;

use proptest::prelude::*;
use windrow_source::{Area, Input, Limits, Probe, Workbook};

use crate::{claim::claim, read::read};

/// An invented print-out of two pages; a ditto mark, a page average, a ruler, a heading over two columns.
const PRINTOUT: &str = "\
LINDQUAY BOARD MILL                                        PAGE  1
DRIVE MOTORS, TESTS TO EARTH

MOTOR     DATE          VOLTS      INSULATION       REMARKS
                        D.C.     1 MIN    10 MIN
                                MEGOHM    MEGOHM
-------------------------------------------------------------------
RM-3B     14-MAR-1987    2500     1200      4100    OK
  \"       02-MAY-1989    2500     90.5       120    WET, DRY AND TEST AGAIN
RM-4      02-MAY-1989     500    17000     58300
PAGE AVERAGE                    6096.8
\x0cLINDQUAY BOARD MILL                                        PAGE  2

MOTOR     DATE          VOLTS      INSULATION       REMARKS
                        D.C.     1 MIN    10 MIN
                                MEGOHM    MEGOHM
-------------------------------------------------------------------
RM-5      03-MAY-1989     500      800      1700    OK
RM-6      03-MAY-1989     500      900      1900    OK
";

fn confidence(text: &[u8]) -> f64 {
    claim(&Probe { name: "x.txt", head: text, len: text.len(), zip_members: &[], ole_streams: &[], companion: None })
        .confidence
}

fn workbook(text: &[u8]) -> Workbook {
    read(&Input::alone("x.txt", text), &Limits::default()).unwrap()
}

/// Column and text of the cell at `line:column`.
fn at(book: &Workbook, address: &str) -> (u32, String) {
    let cell = book.sheets[0].cells.iter().find(|cell| cell.place() == address);
    cell.map(|cell| (cell.column, cell.text.to_string())).unwrap_or_default()
}

fn check(text: &str, expected: &[(&str, u32, &str)]) {
    let book = workbook(text.as_bytes());
    let found: Vec<_> =
        book.sheets[0].cells.iter().map(|cell| (cell.place(), cell.column, cell.text.as_str())).collect();
    for (address, column, content) in expected {
        assert_eq!(at(&book, address), (*column, (*content).to_owned()), "{address} of {found:?}");
    }
}

/// A unit alone under the second of two headings, left of the numbers that it is of. Invented.
#[test]
fn a_unit_that_begins_where_its_heading_does_is_of_its_column() {
    let text = "\
Machine: M-1140

Test voltage (V)   Leakage current
                   nA
            1000             10200
            2000             20700
            3000             31500
            4000             42700
";
    check(text, &[("4:20", 1, "nA"), ("5:30", 1, "10200"), ("6:13", 0, "2000")]);
}

/// A list whose last column is headed and empty: its headings, wider than what they head, stay over their own columns. Invented.
#[test]
fn a_heading_over_nothing_leaves_the_others_over_their_columns() {
    let text = "\
            30 s                                   1 min
Equipment   R to earth   Y to earth   B to earth   R to earth   Y to earth   B to earth   Test date   Notes
            MOhm         MOhm         MOhm         MOhm         MOhm         MOhm
CWP0422            740          773          806         1070         1120         1160   06-Feb-07
P0420             4260         4450         4640         4650         4860         5060   15-Jan-08
M0421             27.8         29.1         30.3         39.7         41.5   >43.3        05-Oct-10
";
    check(
        text,
        &[
            ("2:26", 2, "Y to earth"),
            ("2:52", 4, "R to earth"),
            ("4:33", 2, "773"),
            ("6:78", 6, ">43.3"),
            ("2:103", 8, "Notes"),
        ],
    );
}

#[test]
fn columns_line_up_from_headings_to_the_last_page() {
    check(
        PRINTOUT,
        &[
            ("4:1", 0, "MOTOR"),
            ("5:34", 3, "1 MIN"),
            ("5:43", 4, "10 MIN"),
            ("8:35", 3, "1200"),
            ("8:45", 4, "4100"),
            ("9:3", 0, "\""),
            ("9:53", 5, "WET, DRY AND TEST AGAIN"),
            ("11:1", 0, "PAGE AVERAGE"),
            ("11:33", 3, "6096.8"),
            ("18:36", 3, "800"),
        ],
    );
}

#[test]
fn headings_wider_than_their_columns_head_one_each() {
    let text = "\
Date         Unit No.   30 s in MΩ   1 min in MΩ   10 min in MΩ                Test volts in kV       Polarization index
11/23/2013   CWP-070A         6980          8350                       15200                    2.5                   1.82
09/21/2019   CWP-070A          100           152                         606                    2.5                   3.99
01/16/2020   CWP-070A          516           697                        1900                    2.5                   2.73
11/21/2014   CWP-071A         9040         13100                       44100                      5                   3.37



                        Unit No.     Date          Winding temperature in °F   Wdg resistance U - V   Wdg resistance V - W   Wdg resistance W - U   Notes          Mean
                                                                               mΩ                     mΩ                     mΩ
                        CWP-070A     01/16/2020                           81                  315.9                  317.8                  319.7                  317.8
                        CWP-071A     11/21/2014                           55                   4319                   4345                   4371                   4345
                                     09/15/2017                           46                  274.1                  275.8                  277.4   damp weather   275.8
";
    let book = workbook(text.as_bytes());
    for (heading, value) in [("1 min in MΩ", "8350"), ("10 min in MΩ", "15200"), ("Wdg resistance W - U", "319.7")] {
        let column = |text: &str| {
            let cell = book.sheets[0].cells.iter().find(|cell| cell.text == text);
            cell.map(|cell| cell.column)
        };
        assert!(column(heading).is_some() && column(heading) == column(value), "{heading}: {:?}", book.sheets[0].cells);
    }
}

#[test]
fn a_name_over_a_group_stands_where_its_first_heading_begins() {
    let text = "R. aisl.
                             15 s                                   30 s
Motor      Fecha             R a tierra   Y a tierra   B a tierra   R a tierra   Y a tierra   B a tierra
                             MΩ           MΩ           MΩ           MΩ           MΩ           MΩ
PU0610     28/02/1997               296          309          323          362          379          395
P0611      28/02/1997      87,1+              91,0         94,9          110          115          120
M0612      28/02/1997               182          190          198          269          281          293
";
    check(
        text,
        &[("2:30", 2, "15 s"), ("2:69", 5, "30 s"), ("3:69", 5, "R a tierra"), ("4:43", 3, "MΩ"), ("5:76", 5, "362")],
    );
}

#[test]
fn titles_stay_whole_and_headings_of_groups_reach_over_their_columns() {
    let book = workbook(PRINTOUT.as_bytes());
    assert_eq!(at(&book, "2:1").1, "DRIVE MOTORS, TESTS TO EARTH");
    let (column, text) = at(&book, "4:36");
    assert_eq!((column, text.as_str()), (3, "INSULATION"));
    assert!(
        book.sheets[0].merges.contains(&Area { top: 3, left: 3, bottom: 3, right: 4 }),
        "{:?}",
        book.sheets[0].merges
    );
}

#[test]
fn names_of_terminals_over_groups_are_headings_and_no_body() {
    let text = [
        "                      L1 - L2                    L2 - L3",
        "MOTOR     DATE        PEAK VOLTS IN KV   DIFF %   PEAK VOLTS IN KV   DIFF %",
        "PU-116    26/11/2014              7.11      3.4               7.18      4.1",
        "M-112     26/11/2014              5.61      2.7               5.67      3.4",
    ];
    check(&text.join("\n"), &[("1:23", 2, "L1 - L2"), ("1:50", 4, "L2 - L3"), ("3:45", 3, "3.4"), ("3:63", 4, "7.18")]);
}

#[test]
fn terminals_that_look_like_values_stand_over_the_columns_that_they_begin_with() {
    let text = [
        "                                        L1/L2                                L2/L3",
        "MOTOR      TEST DATE    HUMIDITY (%)    PEAK VOLTAGE [kV]   DIFFERENCE [%]   PEAK VOLTAGE [kV]   DIFFERENCE [%]",
        "PU-116     26/11/2014             79                 5.00              2.3                5.05              3.0",
        "M-112      26/11/2014             55                 3.14              1.4                3.18              2.1",
    ];
    check(&text.join("\n"), &[("1:41", 3, "L1/L2"), ("1:78", 5, "L2/L3"), ("3:54", 3, "5.00"), ("3:72", 4, "2.3")]);
}

#[test]
fn dates_and_years_over_groups_are_headings_and_no_body() {
    for (first, second) in [("19-NOV-00", "12-SEP-01"), ("2014     ", "2016     ")] {
        let groups = format!("          {first}                      {second}");
        let text = [
            groups.as_str(),
            "MOTOR     IR IN GIGOHM   WDG TEMP IN C   IR IN GIGOHM   WDG TEMP IN C",
            "M-210B            3.24              52   -                         20",
            "M-211A            5.43              46           5.70              15",
            "PU-212            13.7              38         0.0452              19",
        ];
        check(&text.join("\n"), &[("1:11", 1, first.trim()), ("1:42", 3, second.trim()), ("3:68", 4, "20")]);
    }
}

#[test]
fn two_columns_far_apart_stay_two_however_steady_their_words() {
    let text = [
        "Conexión              Aislamiento in MOhm",
        "L1 a tierra                          1960",
        "L2 a tierra                          2050",
        "L1 - L2                              3300",
        "L2 - L3                              3490",
    ];
    check(&text.join("\n"), &[("2:1", 0, "L1 a tierra"), ("4:1", 0, "L1 - L2"), ("4:38", 1, "3300")]);
}

#[test]
fn lines_of_words_above_those_of_signs_are_of_their_table() {
    let text = "\
Conexion      Resistencia de aislamiento
A a tierra                           435
B a tierra                           455
C a tierra                           475
A - B                                733
B - C                                773
C - A                                755
";
    check(text, &[("2:1", 0, "A a tierra"), ("2:38", 1, "435"), ("5:1", 0, "A - B"), ("7:38", 1, "755")]);
}

#[test]
fn a_line_of_a_section_tears_no_column() {
    let text = "\
MOTOR   ANTRIEB                 DATUM         U       V
--- KESSEL 1
K1-SZ   SAUGZUG KESSEL 1        16.06.79      25      25
K1-FL   FRISCHLUEFTER KESSEL 1  15.06.79      35      30
--- KESSEL 2
K2-SZ   SAUGZUG KESSEL 2        16.06.79      40      40
K2-FL   FRISCHLUEFTER KESSEL 2  15.06.79      50      60
";
    check(
        text,
        &[("1:9", 1, "ANTRIEB"), ("3:1", 0, "K1-SZ"), ("3:9", 1, "SAUGZUG KESSEL 1"), ("5:1", 0, "--- KESSEL 2")],
    );
}

#[test]
fn rulers_take_no_row_so_that_headings_stand_on_their_columns() {
    let book = workbook(PRINTOUT.as_bytes());
    let row = |address: &str| book.sheets[0].cells.iter().find(|cell| cell.place() == address).unwrap().row;
    assert_eq!(row("8:1"), row("6:33") + 1);
}

#[test]
fn layouts_of_one_file_are_kept_apart() {
    let text = "\
MOTOR   DATE        MEGOHM
RM-3    14.03.1987    1200
RM-4    15.03.1987      90

SERIAL NO      KW   RPM  VOLTS  MAKER
81-4471       250  1485   3300  OWN SHOP
81-4502        55  2960    400  OWN SHOP
";
    check(text, &[("2:23", 2, "1200"), ("6:1", 0, "81-4471"), ("6:15", 1, "250"), ("7:33", 4, "OWN SHOP")]);
}

#[test]
fn a_blank_between_words_is_no_gutter() {
    let text = "\
PLACE           DATE        MEGOHM
pulper no 1     14.03.1987    1200
pulper no 2     15.03.1987      90
pulper no 3     16.03.1987     700
";
    check(text, &[("2:1", 0, "pulper no 1"), ("2:17", 1, "14.03.1987"), ("4:32", 2, "700")]);
}

#[test]
fn columns_one_blank_apart_are_told_by_headings_numbers_or_rulers() {
    let headed =
        "TAG  DATE     VOLT   U    V    W\nRM-3 14.03.87 2500 1200 1300 1250\nRM-4 15.03.87  500 9000 9100 9050\n";
    check(headed, &[("2:1", 0, "RM-3"), ("2:15", 2, "2500"), ("3:20", 3, "9000"), ("3:30", 5, "9050")]);
    let under_a_group = "TAG    R60s MOhm\n       U    V    W\n\nA1  2141 6066 9899\nA2  4254 9029 3844\n";
    check(under_a_group, &[("2:8", 1, "U"), ("4:5", 1, "2141"), ("4:10", 2, "6066"), ("5:15", 3, "3844")]);
    let bare = "1200 1300 1250\n9000 9100 9050\n8000 8100 8050\n";
    check(bare, &[("1:6", 1, "1300"), ("3:11", 2, "8050")]);
    let ruled = "\
TAG   COND MEGOHM
----- ---- ------
RM-30 WARM   1200
RM-31 COLD   9000
";
    check(ruled, &[("3:7", 1, "WARM"), ("4:14", 2, "9000")]);
}

#[test]
fn one_number_with_a_blank_for_thousands_stays_one() {
    let text = "MOTOR    MEGOHM  DATE\nRM-3     17 100  14 03 1987\nRM-4      3 250  15 03 1987\nRM-5    114 000  16 04 1987\n";
    check(text, &[("2:10", 1, "17 100"), ("2:18", 2, "14 03 1987"), ("4:9", 1, "114 000")]);
}

#[test]
fn a_unit_behind_the_headings_is_no_part_of_the_last_one() {
    let text = "MIN   U-E    V-E   MEGOHM\n0.5   259    806\n1     988    447\n";
    check(text, &[("1:14", 2, "V-E"), ("1:20", 3, "MEGOHM")]);
}

#[test]
fn words_in_a_row_are_the_last_resort() {
    let text = "TAG DATE MEGOHM\nRM-3 14.3.87 1200\nRM-14 5.12.1987 90\nP-2 15.12.1987 19000\n";
    check(text, &[("1:10", 2, "MEGOHM"), ("2:14", 2, "1200"), ("3:17", 2, "90")]);
}

#[test]
fn tabs_overprinting_and_printer_commands_leave_the_columns_alone() {
    let text = "\u{1B}ETAG\tDATE\t\tMEGOHM\u{1B}F\r______\r\nRM-3\t14.03.1987\t1200\r\nRM-4\t15.03.1987\t  90\r\n";
    check("RM 3  12  5\rRM 4  13  6\nRM 5  14  7\n", &[("1:1", 0, "RM 3"), ("1:13", 0, "RM 4"), ("2:7", 1, "14")]);
    check(text, &[("1:3", 0, "TAG"), ("2:6", 1, "14.03.1987"), ("2:17", 2, "1200"), ("3:19", 2, "90")]);
}

#[test]
fn frames_and_leaders_are_drawn_not_written() {
    let text = "\
┌──────┬────────────┬────────┐
│ TAG  │ DATE       │ MEGOHM │
├──────┼────────────┼────────┤
│ RM-3 │ 14.03.1987 │   1200 │
│ RM-4 │ 15.03.1987 │     90 │
└──────┴────────────┴────────┘
TESTED BY ........ O. QUILLFORD
";
    check(text, &[("4:3", 0, "RM-3"), ("5:27", 2, "90"), ("7:1", 0, "TESTED BY")]);
    assert_eq!(at(&workbook(text.as_bytes()), "7:20").1, "O. QUILLFORD");
}

#[test]
fn colons_set_under_each_other_stay_with_their_labels() {
    let text = "\
MOTOR        : RM-3
DATE         : 14.03.1987

TAG    DATE         MEGOHM
RM-3   14.03.1987     1200
RM-4   15.03.1987       90
";
    check(text, &[("5:1", 0, "RM-3"), ("6:25", 2, "90")]);
    assert!(workbook(text.as_bytes()).sheets[0].cells.iter().all(|cell| !cell.text.trim().starts_with(':')));
}

#[test]
fn printouts_are_claimed_and_forms_weakly() {
    assert!((confidence(PRINTOUT.as_bytes()) - 0.6).abs() < 1e-9);
    let form = "MOTOR: RM-3B\nDATE: 14-MAR-1987\nVOLTS: 2500\n1 MIN: 1200\n10 MIN: 4100\n";
    assert!((confidence(form.as_bytes()) - 0.3).abs() < 1e-9);
}

#[test]
fn prose_code_and_delimited_text_are_refused() {
    let memo = "To: shift foremen\nSubject: test books\n\nPlease bring the test books to the office by the 14th.\n\
        Books 3 and 11 are still missing. Room 204, ext. 5531.\n";
    let code = "fn main() {\n    let a = [1, 2, 3];\n    for i in 0..3 {\n        call(a, 5);\n    }\n}\n";
    let tabs = "Tag\tDate\tMOhm\nRM-3\t14.03.1987\t1200\nRM-4\t15.03.1987\t90\n";
    let semicolons = "Tag;Date;MOhm\nRM-3;14.03.1987;1200\nRM-4;15.03.1987;90\n";
    for text in [memo, code, tabs, semicolons, "one\ntwo\n", ""] {
        assert!(confidence(text.as_bytes()) == 0.0, "{text}");
    }
}

#[test]
fn code_page_437_is_read_with_its_units() {
    let text =
        b"MOTOR   DATE        M\xEA    \xF8C\r\nRM-3    14.03.1987  1200  20\r\nRM-4    15.03.1987    90  35\r\n";
    let book = workbook(text);
    assert_eq!(at(&book, "1:21"), (2, "MΩ".to_owned()));
    assert_eq!(at(&book, "1:27"), (3, "°C".to_owned()));
}

proptest! {
    #[test]
    fn no_bytes_make_it_panic(bytes in proptest::collection::vec(any::<u8>(), 0..300)) {
        let _ = confidence(&bytes);
        let _ = read(&Input::alone("x", &bytes), &Limits::default());
    }

    /// Whatever the layout, what is printed stands in some cell, once, and cells of a row stand in order.
    #[test]
    fn nothing_printed_is_lost_or_doubled(text in "([a-c0-9.]{1,5}[ ]{1,4}|\n|\r\n|\x0c|---- ---|\t){0,60}") {
        let book = workbook(text.as_bytes());
        let visible = |text: &str| text.chars().filter(|c| c.is_alphanumeric()).count();
        let kept: usize = book.sheets[0].cells.iter().map(|cell| visible(&cell.text)).sum();
        prop_assert_eq!(kept, visible(&text));
    }

    /// A printed table comes back cell by cell.
    #[test]
    fn printed_tables_come_back(
        rows in proptest::collection::vec(("[A-Z]{2}-[0-9]{1,3}", 1_u32..99_999, 1_u32..9_999, "[a-z]{0,6}"), 3..12)
    ) {
        let mut text = String::from("TAG         MEGOHM    VOLTS  NOTE\n");
        for (tag, reading, volts, note) in &rows {
            writeln!(text, "{tag:<10}{reading:>8}{volts:>9}  {note}").unwrap();
        }
        let book = workbook(text.as_bytes());
        for (row, (tag, reading, volts, note)) in (1_u32..).zip(&rows) {
            let get = |column| book.sheets[0].get(row, column).map(|cell| cell.text.clone()).unwrap_or_default();
            prop_assert_eq!([get(0), get(1), get(2), get(3)], [tag.clone(), reading.to_string(), volts.to_string(), note.clone()]);
        }
    }
}

#[test]
fn two_columns_of_decimal_commas_are_no_fields_between_commas() {
    let steps = (1..40).fold(String::new(), |mut text, step| {
        let _ = writeln!(text, "{:>20}{:>22}", format!("0,{step:02}"), format!("{},15", step * 2));
        text
    });
    let ramp = format!("Essai en rampe\nMachine:      P-212B\n\nTension de mesure kV   Courant de fuite uA\n{steps}");
    assert!(confidence(ramp.as_bytes()) >= 0.3);
    let fields = (1..40).fold(String::from("Motor,Date,IR MOhm\n"), |mut text, row| {
        let _ = writeln!(text, "P-{row},2019-03-{row:02},{}", row * 10);
        text
    });
    assert!(confidence(fields.as_bytes()) <= 0.0);
}

#[test]
fn four_lines_of_two_numbers_under_two_headings_are_a_print() {
    let print = |headings: &str| {
        format!(
            "PUMPWERK ESCHENRIED                    Blatt 2\nIsolationsmessung\n\n{headings}     0,5               260\n       1               395\n\
             \x20      2               610\n      10              1340\n\ngemessen: K.O.      gesehen: T. S.\n"
        )
    };
    let headed = print("    Zeit        Widerstand\n    min         MOhm\n    ----        ----------\n");
    assert!(confidence(headed.as_bytes()) >= 0.3);
    let book = workbook(headed.as_bytes());
    let texts = |row: u32| {
        let get = |column| book.sheets[0].get(row, column).map(|cell| cell.text.clone()).unwrap_or_default();
        [get(0), get(1)]
    };
    let at = book.sheets[0].cells.iter().find(|cell| cell.text == "Zeit").map_or(0, |cell| cell.row);
    assert_eq!(texts(at), ["Zeit", "Widerstand"]);
    assert_eq!((texts(at + 1), texts(at + 2)), (["min".into(), "MOhm".into()], ["0,5".into(), "260".into()]));
    // Numbers that nothing heads, among sentences, may be anything.
    let sentences = "Die Anlage wurde im Herbst geprüft und danach wieder übergeben.\n".repeat(8);
    assert!(confidence(format!("{sentences}{}{sentences}", print("")).as_bytes()) <= 0.0);
}
