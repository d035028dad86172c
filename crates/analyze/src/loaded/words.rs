//! Texts and other things that stand many times, each kept once.

use std::collections::HashMap;
use std::hash::Hash;
use windrow_model::Text;

/// Code of a text that is not told.
pub(crate) const UNTOLD: u32 = u32::MAX;

/// Values by number, in the order in which they were met.
#[derive(Debug)]
pub(crate) struct Distinct<T> {
    codes: HashMap<T, u32>,
    values: Vec<T>,
}

impl<T> Default for Distinct<T> {
    fn default() -> Self {
        Self { codes: HashMap::new(), values: Vec::new() }
    }
}

impl<T: Clone + Eq + Hash> Distinct<T> {
    pub(crate) fn code(&mut self, value: T) -> u32 {
        if let Some(code) = self.codes.get(&value) {
            return *code;
        }
        let code = u32::try_from(self.values.len()).unwrap_or(UNTOLD);
        self.values.push(value.clone());
        self.codes.insert(value, code);
        code
    }

    pub(crate) fn get(&self, code: u32) -> Option<&T> {
        self.values.get(code as usize)
    }
}

/// Texts by number.
#[derive(Debug, Default)]
pub(crate) struct Words(Distinct<Text>);

impl Words {
    pub(crate) fn code(&mut self, text: Option<&str>) -> u32 {
        let Some(text) = text else { return UNTOLD };
        match self.0.codes.get(text) {
            Some(code) => *code,
            None => self.0.code(Text::new(text)),
        }
    }

    pub(crate) fn get(&self, code: u32) -> Option<&Text> {
        self.0.get(code)
    }
}
