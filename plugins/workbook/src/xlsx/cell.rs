//! One cell of a worksheet part.

use std::io::BufRead;

use windrow_model::place::a1;
use windrow_source::{Cell, Content, ReadError};

use crate::iso;
use crate::remarks::Remark;
use crate::style::Style;
use crate::xml::{Item, Tag, Xml};

use super::address;
use super::formula::{Formula, Shared};
use super::rich::{Rich, Run, decode_escapes, settle};
use super::sheet::Context;

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
    pub(crate) address: Option<(u32, u32)>,
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
        place: (u32, u32),
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

    fn content(&mut self, head: &Head, place: (u32, u32), context: &mut Context<'_>) -> Result<Option<Cell>, String> {
        let general = Style::default();
        let style = context.styles.get(head.style).unwrap_or(&general);
        let plain = |text: String, content| Some(Cell { content, ..texted(place, style, text) });
        let value = self.value.trim();
        let cell = match head.kind {
            Type::Shared if value.is_empty() => None,
            Type::Shared => {
                let found = value.parse().ok().and_then(|index| context.strings.get(index));
                let (text, runs) = found.ok_or_else(|| format!("there is no shared string \"{value}\""))?;
                text_cell(place, style, text, runs)
            }
            Type::Inline if self.inline.text.is_empty() => text_cell(place, style, &self.value, &[]),
            Type::Inline => text_cell(place, style, &self.inline.text, &self.inline.runs),
            Type::Text => {
                decode_escapes(&mut self.value, 0);
                text_cell(place, style, &self.value, &[])
                    .or_else(|| self.formula.is_there.then(|| self.without_text(place, style)))
            }
            _ if value.is_empty() => None,
            Type::Bool => plain(if value == "0" || value == "false" { "FALSE" } else { "TRUE" }.to_owned(), {
                Content::Bool(value != "0" && value != "false")
            }),
            Type::Error => plain(value.to_owned(), Content::Error),
            Type::Date => Some(iso::cell(value, context.book.epoch, texted(place, style, value.to_owned()))),
            Type::Number => Some(self.number(place, style, context)),
        };
        Ok(cell.or_else(|| self.formula.is_there.then(|| self.without_result(place, style))))
    }

    fn number(&self, place: (u32, u32), style: &Style, context: &mut Context<'_>) -> Cell {
        let value = self.value.trim();
        let Some(number) = value.parse::<f64>().ok().filter(|number| number.is_finite()) else {
            context.remarks.cell(Remark::NotANumber, context.name, place);
            return texted(place, style, value.to_owned());
        };
        if number == 0.0 && self.formula.is_there && context.book.computes_on_load {
            context.remarks.cell(Remark::Uncomputed, context.name, place);
            return self.without_result(place, style);
        }
        let (cell, is_small_date) = style.number(place, number, context.book.epoch);
        if is_small_date {
            context.remarks.cell(Remark::SmallDate, context.name, place);
        }
        if style.struck { Cell { struck: Some(cell.text.clone()), ..cell } } else { cell }
    }

    fn without_result(&self, place: (u32, u32), style: &Style) -> Cell {
        Cell { content: Content::NoResult, ..texted(place, style, self.formula.shown(&self.shared)) }
    }

    /// A formula whose result is a text without characters: there is a result, and it is blank.
    #[expect(clippy::unused_self, reason = "stands beside the other ways to have no value")]
    fn without_text(&self, place: (u32, u32), style: &Style) -> Cell {
        Cell { content: Content::NoResult, struck: None, ..texted(place, style, String::new()) }
    }
}

fn text_cell(place: (u32, u32), style: &Style, text: &str, runs: &[Run]) -> Option<Cell> {
    let (text, struck) = settle(text, runs, style.struck)?;
    Some(Cell { struck, format: style.format(), ..Cell::text(place.0, place.1, text) })
}

/// A cell with `text` and what its style says.
fn texted(place: (u32, u32), style: &Style, text: String) -> Cell {
    let struck = style.struck.then(|| text.clone());
    Cell { struck, format: style.format(), ..Cell::text(place.0, place.1, text) }
}
