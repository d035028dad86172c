//! Formulas, which are never computed: their text matters only where the file holds no result.

use std::collections::BTreeMap;
use std::io::BufRead;

use windrow_model::place::a1;
use windrow_source::ReadError;
use windrow_source::spreadsheet::formula::refers_to_cells;

use crate::xml::{Tag, Xml};

/// The formula of a cell.
#[derive(Debug, Default)]
pub(crate) struct Formula {
    /// Whether the cell has one.
    pub(crate) is_there: bool,
    /// Text after the equals sign; blank where it is shared with another cell.
    pub(crate) text: String,
    /// Number of the formula that it shares.
    shared: Option<u32>,
}

/// Formulas that other cells share: text and place.
pub(crate) type Shared = BTreeMap<u32, (String, (u32, u32))>;

impl Formula {
    /// Forgets the formula of the cell before.
    pub(crate) fn clear(&mut self) {
        self.is_there = false;
        self.text.clear();
        self.shared = None;
    }

    /// What the element says of the formula, before its text.
    pub(crate) fn open(&mut self, tag: &Tag<'_>) -> Result<(), ReadError> {
        self.is_there = true;
        for attribute in tag.attributes() {
            if let ("si", value) = attribute? {
                self.shared = value.parse().ok();
            }
        }
        Ok(())
    }

    /// Reads the text of the formula of the cell at `place`.
    pub(crate) fn read<R: BufRead>(
        &mut self,
        xml: &mut Xml<R>,
        limit: usize,
        (place, shared): ((u32, u32), &mut Shared),
    ) -> Result<(), ReadError> {
        xml.text_into(&mut self.text, limit)?;
        if let Some(number) = self.shared.filter(|_| !self.text.is_empty()) {
            shared.entry(number).or_insert_with(|| (self.text.clone(), place));
        }
        Ok(())
    }

    /// Whether it refers to other cells; one that is shared does.
    pub(crate) fn refers(&self) -> bool {
        self.is_there && (self.text.is_empty() || refers_to_cells(&self.text))
    }

    /// The formula as a person reads it: `=B2*2`, and where it was filled from if it is shared.
    pub(crate) fn shown(&self, shared: &Shared) -> String {
        match self.shared.filter(|_| self.text.is_empty()).and_then(|number| shared.get(&number)) {
            Some((text, (row, column))) => format!("={text} filled from {}", a1(*row, *column)),
            None => format!("={}", self.text),
        }
    }
}
