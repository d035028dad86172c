//! Cells as numbers: a place such as `C14` as its column and row, for no reading shares it with its neighbours, and a fleet has tens of thousands of
//! them to look up; anything else as the number of its text.

use windrow_model::Text;
use windrow_model::place::{a1, read_a1};

/// Marks a number that is a place and not that of a text.
const PLACE: u32 = 1 << 31;
/// Bits of the row.
const ROWS: u32 = 20;
/// Columns that fit in besides; one fewer than there is room for, so that no place has the number of what is not told.
const COLUMNS: u32 = (PLACE >> ROWS) - 1;

/// The number of a cell; `code` gives that of a text.
pub(super) fn code<'a>(text: &'a str, code: impl FnOnce(&'a str) -> u32) -> u32 {
    match read_a1(text).filter(|_| is_usual(text)) {
        Some((row, column)) if row < 1 << ROWS && column < COLUMNS => PLACE | column << ROWS | row,
        _ => code(text),
    }
}

/// Whether the row is written as usual; `C014` keeps its own text.
fn is_usual(text: &str) -> bool {
    !text.trim_start_matches(|letter: char| letter.is_ascii_uppercase()).starts_with('0')
}

/// Row and column, both from zero, where the number is a place.
pub(super) fn place(code: u32) -> Option<(u32, u32)> {
    let is_place = code & PLACE != 0 && code != u32::MAX;
    is_place.then_some((code & ((1 << ROWS) - 1), (code & !PLACE) >> ROWS))
}

/// The text of a place.
pub(super) fn text(code: u32) -> Option<Text> {
    place(code).map(|(row, column)| a1(row, column))
}

#[cfg(test)]
mod tests {
    use super::{code, place, text};
    use proptest::prelude::*;
    use windrow_fleet::UNTOLD;

    fn coded(told: &str) -> u32 {
        code(told, |_| 7)
    }

    #[test]
    fn only_places_as_they_are_usually_written_stand_for_themselves() {
        for told in ["A1", "C14", "XFD3", "AMJ1048576", "BZR1048576"] {
            let number = coded(told);
            assert!(number == 7 || text(number).is_some_and(|text| text == told), "{told}");
        }
        assert_eq!(place(coded("C14")), Some((13, 2)));
        for told in ["", "14:2", "C014", "B4:B20", "c14", "C", "14", "A1048577", "ABCDE1", "/a/b[1]"] {
            assert_eq!(coded(told), 7, "{told}");
        }
        assert_eq!((place(UNTOLD), place(7)), (None, None));
    }

    proptest! {
        #[test]
        fn a_place_comes_back_as_it_was(told in "[A-Z]{1,3}[0-9]{1,7}") {
            let number = coded(&told);
            prop_assert!(number != UNTOLD);
            prop_assert!(number == 7 || text(number).is_some_and(|text| text == told.as_str()));
        }
    }
}
