//! Spellings of dates (record-keeping dictionary, section 10: common practice, no source) and properties.

use super::{Order, find_in, impossible, read};
use proptest::prelude::*;

fn only(text: &str) -> String {
    let found = read(text);
    assert_eq!(found.len(), 1, "{text}: {found:?}");
    found[0].date.to_string()
}

#[test]
fn unambiguous_spellings() {
    for (text, expected) in [
        ("14/3/87", "1987-03-14"),
        ("3/14/87", "1987-03-14"),
        ("14.3.1987", "1987-03-14"),
        ("1987-03-14", "1987-03-14"),
        ("1987-03-14T00:00:00.000", "1987-03-14"),
        ("1987-03-14 10:30", "1987-03-14"),
        ("14MAR87", "1987-03-14"),
        ("14 Mar 87", "1987-03-14"),
        ("14th March 1987", "1987-03-14"),
        ("March 14, 1987", "1987-03-14"),
        ("1er mars 1987", "1987-03-01"),
        ("14. März 1987", "1987-03-14"),
        ("14 de marzo de 1987", "1987-03-14"),
        ("14.III.87", "1987-03-14"),
        ("7.I.78", "1978-01-07"),
        ("Sun 01/Jul/84", "1984-07-01"),
        ("23rd Jun 1984", "1984-06-23"),
        ("Mar-87", "1987-03"),
        ("Mar '87", "1987-03"),
        ("3/87", "1987-03"),
        ("07.1982", "1982-07"),
        ("87-3", "1987-03"),
        ("Q1/87", "1987 Q1"),
        ("1. Quartal 1992", "1992 Q1"),
        ("1987", "1987"),
        ("'87", "1987"),
        ("87-132", "1987-05-12"),
        ("Spring 91", "1991"),
        ("06/06/01", "2001-06-06"),
    ] {
        assert_eq!(only(text), expected, "{text}");
    }
}

#[test]
fn an_open_order_gives_both() {
    let found = read("03/04/87");
    let orders: Vec<Order> = found.iter().map(|meaning| meaning.order).collect();
    assert_eq!(orders, [Order::DayFirst, Order::MonthFirst]);
    assert!(found.iter().all(|meaning| meaning.two_digit_year));
}

#[test]
fn bare_numbers_say_so() {
    // worked example UN-12: serial 36526 is 2000-01-01 in the 1900 system
    let serial = read("36526");
    assert_eq!(serial[0].date.to_string(), "2000-01-01");
    assert!(serial[0].bare_number && read("1987")[0].bare_number && read("19870314")[0].bare_number);
}

#[test]
fn what_is_no_date_is_none() {
    for text in ["P-101A", "10:30", "1,130", "620 580", "FY87", "58554-5801", "2?0", "", "12", "1.2", "Jan", "850 MΩ"]
    {
        assert!(read(text).is_empty(), "{text}: {:?}", read(text));
    }
    for text in ["31/11/92", "30.2.1988", "00/05/91", "14/17/1992", "30 Feb 1992"] {
        assert!(impossible(text), "{text}");
    }
    assert!(!impossible("58554-5801") && !impossible("14/3/87") && !impossible("1.2.3"));
}

#[test]
fn a_date_in_a_sentence_is_found_once() {
    assert_eq!(find_in("tested on 14 March 1987 by R.K.").unwrap()[0].date.to_string(), "1987-03-14");
    assert_eq!(find_in("insulation, 1 min, 5000 V"), None);
    assert_eq!(find_in("14 March 1987 and 15 March 1988"), None);
}

proptest! {
    #[test]
    fn no_text_panics(text in "\\PC{0,60}") {
        let _ = (read(&text), impossible(&text), find_in(&text));
    }

    #[test]
    fn printed_dates_read_back(year in 1930_i16..2040, month in 1_i8..=12, day in 1_i8..=28) {
        let iso = format!("{year:04}-{month:02}-{day:02}");
        prop_assert_eq!(only(&iso), iso.clone());
        for text in [format!("{day}.{month}.{year}"), format!("{month}/{day}/{year}")] {
            prop_assert!(read(&text).iter().any(|meaning| meaning.date.to_string() == iso));
        }
        for name in ["Januar Februar März April Mai Juni Juli August September Oktober November Dezember",
            "janv févr mars avr mai juin juil août sept oct nov déc", "ene feb mar abr may jun jul ago sep oct nov dic"] {
            let word = name.split(' ').nth(usize::try_from(month - 1).unwrap()).unwrap();
            prop_assert_eq!(only(&format!("{day}. {word} {year}")), iso.clone());
        }
    }
}
