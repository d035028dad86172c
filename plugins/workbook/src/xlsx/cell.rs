//! One cell of a worksheet part.

use std::io::BufRead;

use windrow_model::place::a1;
use windrow_source::spreadsheet::remarks::Remark;
use windrow_source::spreadsheet::style::{Place, Style};
use windrow_source::{Cell, Content, ReadError};

use crate::xml::{Item, Tag, Xml};

use super::address;
use super::formula::{Formula, Shared};
use super::rich::{Rich, decode_escapes};
use super::sheet::Context;
use super::workbook::Book;

/// Type of a cell, as its element says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Type {
    /// A number, or nothing.
    #[default]
    Number,
    /// A string of the table, by number.
    Shared,
    /// A string in the cell.
    Inline,
    /// The text result of a formula.
    Text,
    /// True or false.
    Bool,
    /// An error value.
    Error,
    /// A date in ISO 8601.
    Date,
}

/// The attributes of a cell.
#[derive(Debug, Default)]
pub(crate) struct Head {
    /// Address; a cell without one follows the cell before.
    pub(crate) address: Option<Place>,
    style: usize,
    kind: Type,
}

impl Head {
    /// Reads the attributes.
    pub(crate) fn of(tag: &Tag<'_>) -> Result<Self, ReadError> {
        let mut head = Self::default();
        for attribute in tag.attributes() {
            match attribute? {
                ("r", value) => {
                    let place = address::place(&value);
                    head.address =
                        Some(place.ok_or_else(|| tag.broken(&format!("\"{value}\" is no address of a cell")))?);
                }
                ("s", value) => head.style = value.parse().unwrap_or(0),
                ("t", value) => {
                    head.kind = match &*value {
                        "s" => Type::Shared,
                        "inlineStr" => Type::Inline,
                        "str" => Type::Text,
                        "b" => Type::Bool,
                        "e" => Type::Error,
                        "d" => Type::Date,
                        _ => Type::Number,
                    }
                }
                _ => {}
            }
        }
        Ok(head)
    }
}

/// Reads cells; keeps its buffers from cell to cell.
#[derive(Debug, Default)]
pub(crate) struct CellReader {
    formula: Formula,
    shared: Shared,
    value: String,
    inline: Rich,
}

impl CellReader {
    /// Reads the cell just opened; `None` if it is empty.
    pub(crate) fn read<R: BufRead>(
        &mut self,
        xml: &mut Xml<R>,
        head: &Head,
        place: Place,
        context: &mut Context<'_>,
    ) -> Result<Option<Cell>, ReadError> {
        self.formula.clear();
        self.value.clear();
        self.inline.text.clear();
        self.inline.runs.clear();
        let limit = context.limits.cell_text_bytes;
        loop {
            match xml.next()? {
                Item::Open(tag) => match tag.name() {
                    "v" => xml.text_into(&mut self.value, limit)?,
                    "f" => {
                        self.formula.open(&tag)?;
                        self.formula.read(xml, limit, (place, &mut self.shared))?;
                    }
                    "is" => self.inline.read(xml, limit)?,
                    _ => xml.skip()?,
                },
                Item::Close | Item::End => break,
                Item::Text(_) | Item::Aside => {}
            }
        }
        self.content(head, place, context).map_err(|what| xml.broken(&format!("cell {}: {what}", a1(place.0, place.1))))
    }

    fn content(&mut self, head: &Head, place: Place, context: &mut Context<'_>) -> Result<Option<Cell>, String> {
        let general = Style::default();
        let style = context.styles.get(head.style).unwrap_or(&general);
        let value = self.value.trim();
        let cell = match head.kind {
            Type::Inline if self.inline.text.is_empty() => style.text(place, &self.value, &[]),
            Type::Inline => style.text(place, &self.inline.text, &self.inline.runs),
            Type::Text => {
                decode_escapes(&mut self.value, 0);
                style.text(place, &self.value, &[]).or_else(|| self.formula.is_there.then(|| style.without_text(place)))
            }
            _ if value.is_empty() => None,
            Type::Shared => {
                let found = value.parse().ok().and_then(|index| context.strings.get(index));
                let (text, runs) = found.ok_or_else(|| format!("there is no shared string \"{value}\""))?;
                style.text(place, text, runs)
            }
            Type::Bool => Some(style.boolean(place, !matches!(value, "0" | "false"))),
            Type::Error => Some(style.cell(place, value.to_owned(), Content::Error)),
            Type::Date => {
                let (cell, remark) = style.date(place, value, context.book.epoch);
                context.remark(remark, place);
                cell
            }
            Type::Number => {
                let (cell, remark) = self.number(place, style, context.book);
                context.remark(remark, place);
                Some(cell)
            }
        };
        let cell = cell.map(|cell| Cell { computed: self.formula.refers(), ..cell });
        Ok(cell.or_else(|| self.without_result(place, style)))
    }

    fn number(&self, place: Place, style: &Style, book: &Book) -> (Cell, Option<Remark>) {
        let value = self.value.trim();
        let Some(number) = value.parse::<f64>().ok().filter(|number| number.is_finite()) else {
            return (style.cell(place, value.to_owned(), Content::Text), Some(Remark::NotANumber));
        };
        let placeholder = (number == 0.0 && book.computes_on_load).then(|| self.without_result(place, style)).flatten();
        match placeholder {
            Some(cell) => (cell, Some(Remark::Uncomputed)),
            None => style.written_number(place, (number, value), book.epoch),
        }
    }

    /// A formula for which the file holds no result, if the cell has a formula at all.
    fn without_result(&self, place: Place, style: &Style) -> Option<Cell> {
        self.formula.is_there.then(|| style.cell(place, self.formula.shown(&self.shared), Content::NoResult))
    }
}
