//! Texts and other things that stand many times, each kept once.

use foldhash::fast::FixedState;
use indexmap::{Equivalent, IndexSet};
use std::hash::Hash;
use windrow_fleet::UNTOLD;
use windrow_model::Text;

/// Values by number, in the order in which they were met. That order tells nothing of their hashes, so that a quick one will do.
#[derive(Debug)]
pub(crate) struct Distinct<T>(IndexSet<T, FixedState>);

impl<T> Default for Distinct<T> {
    fn default() -> Self {
        Self(IndexSet::default())
    }
}

impl<T: Eq + Hash> Distinct<T> {
    pub(crate) fn code(&mut self, value: T) -> u32 {
        number(self.0.insert_full(value).0)
    }

    /// Number of a value that was met before.
    pub(crate) fn known<Q: Hash + Equivalent<T> + ?Sized>(&self, value: &Q) -> u32 {
        self.0.get_index_of(value).map_or(UNTOLD, number)
    }

    /// Number of a value that mostly is there already; it is made where it is not.
    pub(crate) fn code_of<Q>(&mut self, told: &Q, value: impl FnOnce() -> T) -> u32
    where
        Q: ?Sized + Hash + Equivalent<T>,
    {
        match self.0.get_index_of(told) {
            Some(place) => number(place),
            None => self.code(value()),
        }
    }

    /// Gives back what is held in reserve.
    pub(crate) fn shrink(&mut self) {
        self.0.shrink_to_fit();
    }

    /// All values in the order of their numbers.
    pub(crate) fn iter(&self) -> impl Iterator<Item = &T> {
        self.0.iter()
    }

    pub(crate) fn get(&self, code: u32) -> Option<&T> {
        self.0.get_index(code as usize)
    }
}

/// Texts by number.
#[derive(Debug, Default)]
pub(crate) struct Words(Distinct<Text>);

impl Words {
    pub(crate) fn code(&mut self, text: &str) -> u32 {
        self.0.code_of(text, || Text::new(text))
    }

    /// Number of a text that was met before.
    pub(crate) fn known(&self, text: &str) -> u32 {
        self.0.known(text)
    }

    /// Gives back what is held in reserve.
    pub(crate) fn shrink(&mut self) {
        self.0.shrink();
    }

    pub(crate) fn get(&self, code: u32) -> Option<&Text> {
        self.0.get(code)
    }
}

/// Texts of a table that is being read, by number.
impl<'a> Distinct<&'a str> {
    /// The number of a text that mostly is the one whose number `before` is: neighbours are often alike. [`UNTOLD`] for none.
    pub(crate) fn code_beside(&mut self, text: Option<&'a str>, before: Option<u32>) -> u32 {
        match (text, before) {
            (Some(text), Some(before)) if self.get(before) == Some(&text) => before,
            (Some(text), _) => self.code(text),
            (None, _) => UNTOLD,
        }
    }
}

/// Numbers that stand many times, by their bits; what is not told has the code [`UNTOLD`].
pub(crate) type Numbers = Distinct<u64>;

impl Numbers {
    pub(crate) fn code_of_number(&mut self, number: f64) -> u32 {
        if number.is_nan() { UNTOLD } else { self.code(number.to_bits()) }
    }

    pub(crate) fn number(&self, code: u32) -> Option<f64> {
        self.get(code).copied().map(f64::from_bits)
    }
}

/// The first bytes of a text as a number that has the order of the texts, as far as they tell it: to sort by it no text need be looked at that
/// begins otherwise.
pub(crate) fn beginning(text: &str) -> u64 {
    let mut bytes = [0; size_of::<u64>()];
    bytes.iter_mut().zip(text.bytes()).for_each(|(byte, told)| *byte = told);
    u64::from_be_bytes(bytes)
}

fn number(place: usize) -> u32 {
    u32::try_from(place).unwrap_or(UNTOLD)
}

#[cfg(test)]
mod tests {
    use super::{Distinct, beginning};
    use windrow_fleet::UNTOLD;

    #[test]
    fn a_text_has_one_number_whatever_stood_before_it() {
        let mut words: Distinct<&str> = Distinct::default();
        let (first, second) = (words.code("day"), words.code("month"));
        for before in [None, Some(first), Some(second), Some(UNTOLD)] {
            assert_eq!(words.code_beside(Some("month"), before), second);
            assert_eq!(words.code_beside(None, before), UNTOLD);
        }
        assert_eq!(words.code_beside(Some("year"), Some(first)), words.known("year"));
    }

    #[test]
    fn texts_never_stand_against_the_order_of_their_beginnings() {
        let mut texts = ["", "\0", "a", "a\0", "ab", "m0000001", "m0000001x", "m0000002", "pümp", "Ω", "Ωmega-Ω"];
        texts.sort_unstable();
        assert!(texts.is_sorted_by_key(|text| beginning(text)));
        assert!(beginning("m0000001") < beginning("m0000002"));
    }
}
