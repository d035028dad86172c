//! Quarters by their letter in French and Spanish tables: "T2 2010", "2T 2010", "T3/2011".

use super::{DateMeaning, Order, small, year};
use windrow_model::PartialDate;

/// The quarter that a text tells so. A year of four digits stands apart: "T1-87" and "T2" are terminals and tags.
pub(super) fn read(text: &str) -> Option<DateMeaning> {
    let (quarter, year_text) = text.trim().split_once([' ', '/', '\u{a0}'])?;
    let digit = quarter.strip_prefix(['T', 't']).or_else(|| quarter.strip_suffix(['T', 't']))?;
    let (number, two_digit_year) = year(year_text.trim()).filter(|_| digit.len() == 1)?;
    let date = PartialDate::quarter(number, small(digit)?).filter(|_| !two_digit_year)?;
    Some(DateMeaning { date, order: Order::Named, two_digit_year, bare_number: false })
}

#[cfg(test)]
mod tests {
    use crate::date::read;

    #[test]
    fn a_letter_before_a_year_is_its_quarter() {
        let told = |text: &str| read(text).iter().map(|meaning| meaning.date.to_string()).collect::<Vec<_>>();
        assert_eq!(told("T2 2010"), ["2010 Q2"]);
        assert_eq!((told("3T 2011"), told("T4/2011")), (vec!["2011 Q3".to_owned()], vec!["2011 Q4".to_owned()]));
        for text in ["T5 2010", "T1-2010", "T1 87", "T1", "MT1 2010"] {
            assert!(told(text).is_empty(), "{text}");
        }
        let found = crate::date::find_all("Transformer T2 2015, motors");
        assert!(
            found.iter().all(|(_, meaning)| meaning.date.precision == windrow_model::Precision::Year),
            "no quarter"
        );
    }
}
