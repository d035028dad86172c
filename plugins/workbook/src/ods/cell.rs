//! One cell of a table.

use std::io::BufRead;

use windrow_source::number_format::{Epoch, clock};
use windrow_source::spreadsheet::formula::refers_to_cells;
use windrow_source::spreadsheet::iso;
use windrow_source::spreadsheet::remarks::Remark;
use windrow_source::spreadsheet::style::{Place, Style};
use windrow_source::{Area, Cell, Content, ReadError};

use crate::xml::{Item, Tag, Xml};

use super::paragraph::Words;
use super::{Context, shown};

/// What the element of a cell says.
#[derive(Debug, Default)]
pub(crate) struct Head {
    /// How many cells it stands for.
    pub(crate) repeated: u32,
    /// Name of its style.
    pub(crate) style: String,
    spanned: (u32, u32),
    kind: String,
    is_error: bool,
    /// Value, as its type writes it.
    value: Option<String>,
    formula: Option<String>,
}

impl Head {
    /// Reads the attributes.
    pub(crate) fn of(tag: &Tag<'_>) -> Result<Self, ReadError> {
        let mut head = Self { repeated: 1, spanned: (1, 1), ..Self::default() };
        for attribute in tag.attributes() {
            match attribute? {
                ("number-columns-repeated", value) => head.repeated = value.parse().unwrap_or(1),
                ("number-rows-spanned", value) => head.spanned.0 = value.parse().unwrap_or(1),
                ("number-columns-spanned", value) => head.spanned.1 = value.parse().unwrap_or(1),
                ("style-name", value) => head.style = value.into_owned(),
                // Said beside the type for programs that know no errors, which read it as text.
                ("value-type", value) if value == "error" => head.is_error = true,
                ("value-type", value) => head.kind = value.into_owned(),
                ("value" | "date-value" | "time-value" | "boolean-value" | "string-value", value) => {
                    head.value = Some(value.into_owned());
                }
                ("formula", value) => head.formula = Some(value.into_owned()),
                _ => {}
            }
        }
        Ok(head)
    }

    /// Whether the cell is empty, if nothing stands between its tags.
    fn is_empty(&self) -> bool {
        self.value.is_none() && self.formula.is_none()
    }

    /// The merged area that begins here.
    pub(crate) fn merged(&self, (top, left): (u32, u32)) -> Option<Area> {
        let (rows, columns) = (self.spanned.0.max(1), self.spanned.1.max(1));
        let area = Area { top, left, bottom: top.saturating_add(rows - 1), right: left.saturating_add(columns - 1) };
        (rows > 1 || columns > 1).then_some(area)
    }
}

/// What stands between the tags of a cell.
#[derive(Debug, Default)]
pub(crate) struct Body {
    words: Words,
    note: Option<String>,
}

/// Reads what stands in the cell just opened.
pub(crate) fn read<R: BufRead>(xml: &mut Xml<R>, context: &Context<'_>) -> Result<Body, ReadError> {
    let mut body = Body::default();
    loop {
        match xml.next()? {
            Item::Open(tag) => match tag.name() {
                "p" => body.words.paragraph(xml, &context.styles, context.limits.cell_text_bytes)?,
                "annotation" => body.note = annotation(xml, context)?,
                _ => xml.skip()?,
            },
            Item::Close | Item::End => return Ok(body),
            Item::Text(_) | Item::Aside => {}
        }
    }
}

impl Body {
    /// Whether the cell is empty.
    pub(crate) fn is_empty(&self, head: &Head) -> bool {
        head.is_empty() && self.words.text.is_empty() && self.note.is_none()
    }
}

/// The cell at `place` under the style of name `style`; `None` if it is empty.
pub(crate) fn make((head, body): (&Head, &Body), style: &str, place: Place, context: &mut Context<'_>) -> Option<Cell> {
    let general = Style::default();
    let found = context.styles.cell(style).unwrap_or(&general);
    let (cell, remark) = content(head, place, (found, &body.words), context.epoch);
    if let Some(remark) = remark {
        context.remarks.cell(remark, &context.sheet, place);
    }
    if let (None, Some(note)) = (&cell, &body.note) {
        context.remarks.stray_note(&context.sheet, place, note);
    }
    let computed = head.formula.as_deref().is_some_and(refers_to_cells);
    cell.map(|cell| Cell { computed, note: body.note.clone(), ..cell })
}

fn annotation<R: BufRead>(xml: &mut Xml<R>, context: &Context<'_>) -> Result<Option<String>, ReadError> {
    let mut words = Words::default();
    loop {
        match xml.next()? {
            Item::Open(tag) if tag.name() == "p" => {
                words.paragraph(xml, &context.styles, context.limits.cell_text_bytes)?;
            }
            Item::Open(_) => xml.skip()?,
            Item::Close | Item::End => break,
            Item::Text(_) | Item::Aside => {}
        }
    }
    let text = words.text.trim();
    Ok((!text.is_empty()).then(|| text.to_owned()))
}

fn content(
    head: &Head,
    place: Place,
    (style, words): (&Style, &Words),
    epoch: Epoch,
) -> (Option<Cell>, Option<Remark>) {
    let value = head.value.as_deref().unwrap_or_default().trim();
    let (cell, remark) = match head.kind.as_str() {
        _ if head.is_error || (head.formula.is_some() && is_error(&words.text)) => {
            (Some(style.cell(place, words.text.trim().to_owned(), Content::Error)), None)
        }
        "float" | "percentage" | "currency" => number(value, place, (style, words), epoch),
        "date" => style.date(place, value, epoch),
        "time" => (Some(time(value, place, style)), None),
        "boolean" => (Some(style.boolean(place, value == "true")), None),
        _ => (text(head, place, words, style), None),
    };
    let cell = cell.filter(|cell| !cell.text.trim().is_empty());
    (cell.or_else(|| without_value(head, place, style)), remark)
}

fn number(value: &str, place: Place, (style, words): (&Style, &Words), epoch: Epoch) -> (Option<Cell>, Option<Remark>) {
    let Some(number) = value.parse::<f64>().ok().filter(|number| number.is_finite()) else {
        let cell = style.text(place, value, &[]).or_else(|| style.text(place, &words.text, &words.runs));
        let remark = cell.as_ref().map(|_| Remark::NotANumber);
        return (cell, remark);
    };
    let (mut cell, remark) = style.number(place, number, epoch);
    if style.is_general() {
        cell.format = shown::code(&words.text, number).map(Into::into);
    }
    (Some(cell), remark)
}

fn time(value: &str, place: Place, style: &Style) -> Cell {
    match iso::seconds(value) {
        Some(seconds) => style.cell(place, clock(seconds), Content::Duration(seconds)),
        None => style.cell(place, value.to_owned(), Content::Text),
    }
}

/// The text as shown, or as stored where nothing is shown.
fn text(head: &Head, place: Place, words: &Words, style: &Style) -> Option<Cell> {
    let stored = || head.value.as_deref().and_then(|value| style.text(place, value, &[]));
    style.text(place, &words.text, &words.runs).or_else(stored)
}

/// Whether the result of a formula is an error, which some programs store as text.
fn is_error(text: &str) -> bool {
    let known = ["#NULL!", "#DIV/0!", "#VALUE!", "#REF!", "#NAME?", "#NUM!", "#N/A"];
    known.contains(&text.trim()) || text.trim().strip_prefix("Err:").is_some_and(|code| code.parse::<u16>().is_ok())
}

/// A formula without a value, which says so.
fn without_value(head: &Head, place: Place, style: &Style) -> Option<Cell> {
    let formula = head.formula.as_deref()?;
    if head.kind == "string" {
        return Some(style.without_text(place));
    }
    // The part before the equals sign names the language of the formula.
    let shown = formula.split_once(":=").map_or_else(|| formula.to_owned(), |(_, rest)| format!("={rest}"));
    Some(style.cell(place, shown, Content::NoResult))
}
