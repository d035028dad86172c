//! Styles: what they say of the number format of cells, of struck-through text, and of hidden tables.

use std::collections::{BTreeMap, BTreeSet};
use std::io::BufRead;

use windrow_source::ReadError;
use windrow_source::spreadsheet::style::Style;

use crate::xml::{Item, Tag, Xml};

use super::format::{self, DataStyle};

/// Styles standing on each other.
const ANCESTORS: usize = 32;

/// The styles of a document.
#[derive(Debug, Default)]
pub(crate) struct Styles {
    data: BTreeMap<String, DataStyle>,
    named: BTreeMap<String, Named>,
    /// Cell styles read since they were settled last.
    fresh: Vec<String>,
    cells: BTreeMap<String, Style>,
    struck_texts: BTreeSet<String>,
    hidden_tables: BTreeSet<String>,
}

/// A cell style as written.
#[derive(Debug, Default)]
struct Named {
    data: Option<String>,
    parent: Option<String>,
    struck: Option<bool>,
    /// Format code, once settled.
    code: Option<String>,
}

/// An element that may open a style.
#[derive(Debug)]
pub(crate) enum Opened {
    /// A data style.
    Data(format::Head),
    /// A style of cells, texts or tables.
    Other(Head),
    /// None.
    Nothing,
}

/// What the element of a style says before its members.
#[derive(Debug, Default)]
pub(crate) struct Head {
    name: String,
    family: String,
    data: Option<String>,
    parent: Option<String>,
}

impl Opened {
    /// What `tag` opens.
    pub(crate) fn of(tag: &Tag<'_>) -> Result<Self, ReadError> {
        if tag.name() != "style" {
            return Ok(format::Head::of(tag)?.map_or(Self::Nothing, Self::Data));
        }
        let mut head = Head::default();
        for attribute in tag.attributes() {
            match attribute? {
                ("name", value) => head.name = value.into_owned(),
                ("family", value) => head.family = value.into_owned(),
                ("data-style-name", value) => head.data = Some(value.into_owned()),
                ("parent-style-name", value) => head.parent = Some(value.into_owned()),
                _ => {}
            }
        }
        Ok(Self::Other(head))
    }
}

impl Styles {
    /// Reads the members of what was just opened.
    pub(crate) fn read<R: BufRead>(&mut self, xml: &mut Xml<R>, opened: Opened) -> Result<(), ReadError> {
        match opened {
            Opened::Nothing => {}
            Opened::Data(head) => {
                let name = head.name.clone();
                self.data.insert(name, format::read(xml, head)?);
            }
            Opened::Other(head) => self.other(xml, head)?,
        }
        Ok(())
    }

    fn other<R: BufRead>(&mut self, xml: &mut Xml<R>, head: Head) -> Result<(), ReadError> {
        let (mut struck, mut displayed) = (None, true);
        loop {
            match xml.next()? {
                Item::Open(tag) => {
                    match tag.name() {
                        "text-properties" => struck = line_through(&tag)?.or(struck),
                        "table-properties" => {
                            displayed = tag.attribute("display")?.is_none_or(|value| value != "false");
                        }
                        _ => {}
                    }
                    xml.skip()?;
                }
                Item::Close | Item::End => break,
                Item::Text(_) | Item::Aside => {}
            }
        }
        match head.family.as_str() {
            "table-cell" => {
                self.fresh.push(head.name.clone());
                self.named.insert(head.name, Named { data: head.data, parent: head.parent, struck, code: None });
            }
            "text" if struck == Some(true) => drop(self.struck_texts.insert(head.name)),
            "table" if !displayed => drop(self.hidden_tables.insert(head.name)),
            _ => {}
        }
        Ok(())
    }

    /// Makes the cell styles read so far ready for use. Called at the end of each part, for parts name their data styles alike.
    pub(crate) fn settle(&mut self) {
        let fresh = std::mem::take(&mut self.fresh);
        for name in &fresh {
            let data = self.named.get(name).and_then(|named| named.data.as_ref()).and_then(|data| self.data.get(data));
            let code = data.and_then(|data| data.code(|other| self.data.get(other)));
            if let Some(named) = self.named.get_mut(name) {
                named.code = code;
            }
        }
        for name in fresh {
            let style = self.inherited(&name);
            self.cells.insert(name, style);
        }
    }

    fn inherited(&self, name: &str) -> Style {
        let (mut data, mut struck) = (None, None);
        let mut next = self.named.get(name);
        for _ in 0..ANCESTORS {
            let Some(named) = next else { break };
            if data.is_none() && named.data.is_some() {
                data = Some(named.code.clone());
            }
            struck = struck.or(named.struck);
            next = named.parent.as_ref().and_then(|parent| self.named.get(parent));
        }
        Style::new(data.flatten(), struck.unwrap_or(false))
    }

    /// A cell style by name.
    pub(crate) fn cell(&self, name: &str) -> Option<&Style> {
        self.cells.get(name)
    }

    /// Whether a text style strikes through.
    pub(crate) fn strikes(&self, name: &str) -> bool {
        self.struck_texts.contains(name)
    }

    /// Whether a table style hides.
    pub(crate) fn hides(&self, name: &str) -> bool {
        self.hidden_tables.contains(name)
    }
}

/// Whether text is struck through; `None` if the style leaves that to others.
fn line_through(tag: &Tag<'_>) -> Result<Option<bool>, ReadError> {
    let style = tag.attribute("text-line-through-style")?;
    let kind = tag.attribute("text-line-through-type")?;
    Ok(style.or(kind).map(|value| value != "none"))
}
