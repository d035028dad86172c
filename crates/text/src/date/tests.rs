//! Spellings of dates (record-keeping dictionary, section 10: common practice, no source) and properties.

use super::{Order, find_all, find_in, impossible, read};
use proptest::prelude::*;

fn only(text: &str) -> String {
    let found = read(text);
    assert_eq!(found.len(), 1, "{text}: {found:?}");
    found.first().map(|meaning| meaning.date.to_string()).unwrap_or_default()
}

#[test]
fn days_that_only_one_order_fits() {
    for (text, expected) in [
        ("14/3/87", "1987-03-14"),
        ("3/14/87", "1987-03-14"),
        ("03-14-87", "1987-03-14"),
        ("3.14.87", "1987-03-14"),
        ("14.3.1987", "1987-03-14"),
        ("14-03-1987", "1987-03-14"),
        ("14 03 1987", "1987-03-14"),
        ("14/3-87", "1987-03-14"),
        ("14/3/'87", "1987-03-14"),
        ("87/3/14", "1987-03-14"),
        ("1987-03-14", "1987-03-14"),
        ("1987/3/14", "1987-03-14"),
        ("1987.03.14.", "1987-03-14"),
        ("1987-03-14T00:00:00.000", "1987-03-14"),
        ("1987-03-14 10:30", "1987-03-14"),
        ("14.3.1987, 10:30 Uhr", "1987-03-14"),
        ("10:30 14/3/87", "1987-03-14"),
        ("Mon 14/3/87", "1987-03-14"),
        ("Sa., 14.3.1987", "1987-03-14"),
        ("14. 3. 1987", "1987-03-14"),
        ("06/06/01", "2001-06-06"),
    ] {
        assert_eq!(only(text), expected, "{text}");
    }
}

#[test]
fn days_with_month_names() {
    for (text, expected) in [
        ("14MAR87", "1987-03-14"),
        ("14-MAR-87", "1987-03-14"),
        ("14 Mar 87", "1987-03-14"),
        ("14 Mar. '87", "1987-03-14"),
        ("14th March 1987", "1987-03-14"),
        ("the 14th of March, 1987", "1987-03-14"),
        ("March 14, 1987", "1987-03-14"),
        ("Mar 14 87", "1987-03-14"),
        ("1987 March 14", "1987-03-14"),
        ("87-Mar-14", "1987-03-14"),
        ("1er mars 1987", "1987-03-01"),
        ("le 14 févr. 1987", "1987-02-14"),
        ("14. März 1987", "1987-03-14"),
        ("14. Maerz 1987", "1987-03-14"),
        ("3. Jänner 1987", "1987-01-03"),
        ("14 de marzo de 1987", "1987-03-14"),
        ("1º de setiembre de 1987", "1987-09-01"),
        ("14-set-1987", "1987-09-14"),
        ("14 de março de 1987", "1987-03-14"),
        ("14 gennaio 1987", "1987-01-14"),
        ("14 mei 1987", "1987-05-14"),
        ("14 października 1987", "1987-10-14"),
        ("14 maj 1987", "1987-05-14"),
        ("14.III.87", "1987-03-14"),
        ("7.I.78", "1978-01-07"),
        ("14-XII-1987", "1987-12-14"),
        ("Sun 01/Jul/84", "1984-07-01"),
        ("23rd Jun 1984", "1984-06-23"),
        ("14 PrÃ¼f", ""),
        ("14 MÃ¤rz 1987", "1987-03-14"),
    ] {
        if expected.is_empty() {
            assert!(read(text).is_empty(), "{text}");
        } else {
            assert_eq!(only(text), expected, "{text}");
        }
    }
}

#[test]
fn periods_keep_their_precision() {
    for (text, expected) in [
        ("Mar-87", "1987-03"),
        ("Mar '87", "1987-03"),
        ("MAR87", "1987-03"),
        ("März 1987", "1987-03"),
        ("marzo de 1987", "1987-03"),
        ("Mar-12", "2012-03"),
        ("Jun 05", "2005-06"),
        ("3/87", "1987-03"),
        ("3/1987", "1987-03"),
        ("07.1982", "1982-07"),
        ("87-3", "1987-03"),
        ("1987-03", "1987-03"),
        ("III/87", "1987-03"),
        ("Q1/87", "1987 Q1"),
        ("1Q87", "1987 Q1"),
        ("Q2 1992", "1992 Q2"),
        ("1992 Q2", "1992 Q2"),
        ("1. Quartal 1992", "1992 Q1"),
        ("IV. Quartal 92", "1992 Q4"),
        ("2e trimestre 1992", "1992 Q2"),
        ("first quarter 1992", "1992 Q1"),
        ("1987", "1987"),
        ("'87", "1987"),
        ("Spring 91", "1991"),
        ("Frühjahr 1991", "1991"),
        ("otoño 1991", "1991"),
        ("early 1987", "1987"),
        ("ca. 1987", "1987"),
        ("1H90", "1990"),
        ("wk 23/95", "1995-06"),
        ("KW 5 1995", "1995 Q1"),
        ("87-132", "1987-05-12"),
        ("132/87", "1987-05-12"),
        ("1987-132", "1987-05-12"),
    ] {
        assert_eq!(only(text), expected, "{text}");
    }
}

#[test]
fn an_open_order_gives_every_meaning() {
    let orders = |text: &str| read(text).iter().map(|meaning| meaning.order).collect::<Vec<_>>();
    assert_eq!(orders("03/04/87"), [Order::DayFirst, Order::MonthFirst]);
    assert_eq!(orders("03.04.1987"), [Order::DayFirst, Order::MonthFirst]);
    assert_eq!(orders("10-11-12"), [Order::DayFirst, Order::MonthFirst, Order::YearFirst]);
    assert!(read("03/04/87").iter().all(|meaning| meaning.two_digit_year));
    // The same day either way must not vote for an order.
    assert_eq!(orders("06/06/01"), [Order::Named]);
}

#[test]
fn bare_numbers_say_so() {
    for (text, expected) in [
        // worked example UN-12: serial 36526 is 2000-01-01 in the 1900 system
        ("36526", "2000-01-01"),
        ("31849.5", "1987-03-13"),
        ("1987", "1987"),
        ("19870314", "1987-03-14"),
        ("14031987", "1987-03-14"),
        ("140387", "1987-03-14"),
        ("870314", "1987-03-14"),
        ("198703", "1987-03"),
        ("87132", "1987-05-12"),
        ("1987132", "1987-05-12"),
    ] {
        assert_eq!(only(text), expected, "{text}");
        assert!(read(text).iter().all(|meaning| meaning.bare_number), "{text}");
    }
    assert!(read("11.1982").iter().all(|meaning| meaning.bare_number), "a number with four decimals");
}

#[test]
fn what_is_no_date_is_none() {
    for text in [
        "P-101A",
        "10:30",
        "1,130",
        "620 580",
        "FY87",
        "58554-5801",
        "2?0",
        "",
        "12",
        "1.2",
        "Jan",
        "850 MΩ",
        "2.45",
        "3.87",
        "1.9876",
        "12.132",
        "8-12",
        "7/22",
        "3/4",
        "12 Mar",
        "Mar 12",
        "Mar 101",
        "GEN 12",
        "SET 5",
        "450/470/465",
        "62/70/85",
        "4/5/6",
        "1.2.3",
        "T1",
        "Q1",
        "1850",
        "2150-01-01",
        "0.00694",
        "14/3/87 and 15/3/87",
        "1987-88 season",
        "M-12-87A",
        "192.168.1.1",
        "1/2",
        "87",
        "V.",
        "C-51",
        "FIN-87",
        "90 H",
        "1987E",
        "Fri 1987",
        "I",
    ] {
        assert!(read(text).is_empty(), "{text}: {:?}", read(text));
    }
}

#[test]
fn impossible_days_are_told_from_other_texts() {
    for text in [
        "31/11/92",
        "30.2.1988",
        "00/05/91",
        "14/17/1992",
        "30 Feb 1992",
        "29 Feb 1991",
        "31. Juni 1990",
        "32/1/90",
        "1987-02-30",
        "31 nov. 92",
    ] {
        assert!(read(text).is_empty() && impossible(text), "{text}");
    }
    for text in [
        "58554-5801",
        "14/3/87",
        "1.2.3",
        "62/70/85",
        "450/470/465",
        "P-101",
        "12-34-56A",
        "30 units",
        "MAR-101",
        "29 Feb 1992",
    ] {
        assert!(!impossible(text), "{text}");
    }
}

#[test]
fn a_date_in_a_sentence_is_found_once() {
    let found = |text: &str| find_in(text).and_then(|found| found.first().map(|meaning| meaning.date.to_string()));
    assert_eq!(found("tested on 14 March 1987 by R.K.").as_deref(), Some("1987-03-14"));
    assert_eq!(found("Prüfung vom 14.3.1987, Werk Nord").as_deref(), Some("1987-03-14"));
    assert_eq!(found("Date: 14/3/87").as_deref(), Some("1987-03-14"));
    assert_eq!(found("Holt Power Station - March 1987").as_deref(), Some("1987-03"));
    assert_eq!(found("insulation, 1 min, 5000 V"), None);
    assert_eq!(found("14 March 1987 and 15 March 1988"), None);
    assert_eq!(found("veda ago-24").as_deref(), Some("2024-08"));
    assert_eq!((found("generator set-12"), found("two years ago, 24 mm")), (None, None));
    assert_eq!(find_in("03/04/87 tests").map(|meanings| meanings.len()), Some(2));
}

#[test]
fn every_date_of_a_text_is_found_with_its_place() {
    let text = "Survey 1994; motor rewound 14 Mar 1987 (report of 2.4.87)";
    let found: Vec<_> = find_all(text)
        .into_iter()
        .map(|(range, meaning)| (text.get(range).unwrap_or("").to_owned(), meaning.date.to_string()))
        .collect();
    let expected =
        [("1994", "1994"), ("14 Mar 1987", "1987-03-14"), ("2.4.87", "1987-04-02"), ("2.4.87", "1987-02-04")];
    assert_eq!(found, expected.map(|(text, date)| (text.to_owned(), date.to_owned())));
}

const MONTHS: [&str; 9] = [
    "January February March April May June July August September October November December",
    "Januar Februar März April Mai Juni Juli August September Oktober November Dezember",
    "janv. févr. mars avril mai juin juil. août sept. oct. nov. déc.",
    "ene feb mar abr may jun jul ago sep oct nov dic",
    "janeiro fevereiro março abril maio junho julho agosto setembro outubro novembro dezembro",
    "gennaio febbraio marzo aprile maggio giugno luglio agosto settembre ottobre novembre dicembre",
    "januari februari maart april mei juni juli augustus september oktober november december",
    "stycznia lutego marca kwietnia maja czerwca lipca sierpnia września października listopada grudnia",
    "januari februari mars april maj juni juli augusti september oktober november december",
];

proptest! {
    #[test]
    fn no_text_panics(text in "\\PC{0,60}") {
        let _ = (read(&text), impossible(&text), find_all(&text), super::clock(&text));
    }

    /// Good dates with one character lost, doubled or replaced.
    #[test]
    fn no_damaged_date_panics(pick in 0..8_usize, at in 0..20_usize, with in "\\PC?") {
        let good = ["14/3/87", "14. März 1987", "1987-03-14T10:30:00Z", "Q1/87", "14.III.87", "wk 23/95", "31849.5", "1er mars '87"][pick];
        let text: String = good.chars().enumerate().flat_map(|(index, c)| if index == at { with.chars().collect::<Vec<_>>() } else { vec![c] }).collect();
        let _ = (read(&text), impossible(&text), find_all(&text));
    }

    #[test]
    fn printed_dates_read_back(year in 1930_i16..2040, month in 1_i8..=12, day in 1_i8..=28) {
        let iso = format!("{year:04}-{month:02}-{day:02}");
        let short = year % 100;
        prop_assert_eq!(only(&iso), iso.clone());
        for text in [
            format!("{day}.{month}.{year}"), format!("{month}/{day}/{year}"), format!("{day:02}-{month:02}-{year}"), format!("{year}/{month}/{day}"),
            format!("{year}{month:02}{day:02}"), format!("{day:02}{month:02}{short:02}"),
        ] {
            let same = |date: String| date.get(2..) == iso.get(2..);
            prop_assert!(read(&text).iter().any(|meaning| same(meaning.date.to_string())), "{}", text);
        }
        for names in MONTHS {
            let word = names.split(' ').nth(usize::try_from(month - 1).unwrap_or(0)).unwrap_or("");
            for text in [format!("{day}. {word} {year}"), format!("{day}-{word}-{year}"), format!("{word} {day}, {year}"), format!("{day} de {word} de {year}")] {
                prop_assert_eq!(only(&text), iso.clone(), "{}", text);
            }
            prop_assert_eq!(only(&format!("{word} {year}")), iso.get(..7).unwrap_or(""));
        }
    }
}

#[test]
fn a_mark_between_thousands_makes_no_century() {
    for text in ["24'100", "34'600", "87'132"] {
        assert_eq!(super::read(text), [], "{text}");
    }
    assert!(!super::read("14 Mar'87").is_empty() && !super::read("3 '87").is_empty());
}

#[test]
fn a_dash_between_blanks_parts_a_number_from_the_date_behind_it() {
    let found = super::find_in("MOTORS - LINE 4 - 16 JUN 1992 - 500 V").unwrap_or_default();
    assert_eq!(found.first().map(|meaning| meaning.date.to_string()).as_deref(), Some("1992-06-16"));
}

#[test]
fn numbers_with_powers_of_ten_are_no_dates() {
    for text in ["3.08E-04", "2.15E+09", "1,2e-05", "4E-03"] {
        assert!(read(text).is_empty(), "{text}");
        assert!(crate::measure::read(text).is_some(), "{text}");
    }
}

#[test]
fn a_span_of_days_tells_either_of_two_or_the_period_that_holds_them() {
    let period =
        |text: &str| read(text).iter().map(|meaning| meaning.date.to_string()).collect::<Vec<_>>().join(" or ");
    for (text, expected) in [
        ("11 to 12 December 1978", "1978-12-11 or 1978-12-12"),
        ("3/4 May 2003", "2003-05-03 or 2003-05-04"),
        ("3 - 5 May 2003", "2003-05"),
        ("May 3-5, 2003", "2003-05"),
        ("03.-04.05.2003", "2003-05-03 or 2003-05-04"),
        ("3./4.5.2003", "2003-05-03 or 2003-05-04"),
        ("03.05.-04.06.2003", "2003 Q2 or 2003"),
        ("30/11/2004 au 02/12/2004", "2004 Q4"),
        ("30.6. bis 2.7.2004", "2004"),
        ("31. Mai/1. Juni 2004", "2004-05-31 or 2004-06-01"),
        ("12 Jan 1971 and 14 Jan 1971", ""),
        ("30. - 2.12.2004", "2004 Q4"),
        ("del 3 al 5 de mayo de 2003", "2003-05"),
        ("du 1er au 3 mars 1991", "1991-03"),
        ("nuit du 11 au 12 décembre 1978", "1978-12-11 or 1978-12-12"),
        ("Mai/Juni 2003", "2003 Q2"),
        ("2003-05-03 to 2003-05-05", "2003-05"),
        ("28.12.2003 - 3.1.2004", ""),
        ("2003/2004", ""),
        ("3/4", ""),
        ("4-16", ""),
        ("P-3/4 May", ""),
    ] {
        assert_eq!(period(text), expected, "{text}");
    }
}

#[test]
fn a_span_in_a_sentence_is_no_one_day() {
    let found = |text: &str| find_in(text).and_then(|found| found.first().map(|meaning| meaning.date.to_string()));
    for (text, expected) in [
        ("TOURNÉE DE NUIT DU 11 AU 12 DÉCEMBRE 1978", Some("1978-12-11")),
        ("Insulation tests 3 - 5 May 2003, 500 V", Some("2003-05")),
        ("Mesures du 30/11/2004 au 02/12/2004 sous 500 V", Some("2004 Q4")),
        ("Mediciones del 3 y 5 de mayo de 2003, 500 V", Some("2003-05")),
        ("Revision vom 12. bis 23.08.1996", Some("1996-08")),
        ("Messungen Mai/Juni 2003", Some("2003 Q2")),
        ("Shutdown 28 Dec 2003 to 3 Jan 2004", None),
        ("Line 4 - 16 Jun 1992", Some("1992-06-16")),
        ("2 x 22 kW pumps, tested 12.05.2004", Some("2004-05-12")),
        ("2 x 22 kW pumps", None),
        ("Generator 4, 12 September 2016", Some("2016-09-12")),
        ("Pump 2 and 3, 12 May 2016", Some("2016-05-12")),
    ] {
        assert_eq!(found(text).as_deref(), expected, "{text}");
    }
}
