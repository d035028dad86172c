//! Pulling XML apart, with the checks that hostile and broken parts call for.
//!
//! Every element opens and closes (an empty one too), names come without prefix, entities are resolved (the five predefined ones
//! and characters by number; nothing else exists), and the end of a part inside an element is an error: half a part is not read.

use std::borrow::Cow;
use std::io::BufRead;

use quick_xml::Reader;
use quick_xml::escape::{resolve_predefined_entity, unescape};
use quick_xml::events::{BytesRef, BytesStart, Event};
use windrow_source::spreadsheet::{REPAIR, SPLIT};
use windrow_source::{ReadError, Refusal};

/// Elements inside each other.
const DEPTH: usize = 256;

/// A part being read.
#[derive(Debug)]
pub(crate) struct Xml<R> {
    reader: Reader<R>,
    part: String,
    buffer: Vec<u8>,
    depth: usize,
}

/// What comes next in a part.
#[derive(Debug)]
pub(crate) enum Item<'x> {
    /// An element begins.
    Open(Tag<'x>),
    /// The innermost open element ends.
    Close,
    /// A piece of text; one text may come in several.
    Text(Cow<'x, str>),
    /// A comment or declaration.
    Aside,
    /// The part ends, with all elements closed.
    End,
}

/// The start of an element.
#[derive(Debug)]
pub(crate) struct Tag<'x> {
    start: BytesStart<'x>,
    part: &'x str,
    at: u64,
}

impl Tag<'_> {
    /// Name without prefix.
    pub(crate) fn name(&self) -> &str {
        self.start.local_name().into_inner()
    }

    /// Names without prefix and values of the attributes, as they come.
    pub(crate) fn attributes(&self) -> impl Iterator<Item = Result<(&str, Cow<'_, str>), ReadError>> {
        let mut attributes = self.start.attributes();
        attributes.with_checks(false);
        attributes.map(|attribute| {
            let attribute = attribute.map_err(|error| broken(self.part, self.at, &error.to_string()))?;
            let name = attribute.key.local_name().into_inner();
            Ok((name, self.unescaped(attribute.value)?))
        })
    }

    /// Value of an attribute.
    pub(crate) fn attribute(&self, wanted: &str) -> Result<Option<Cow<'_, str>>, ReadError> {
        for attribute in self.attributes() {
            let (name, value) = attribute?;
            if name == wanted {
                return Ok(Some(value));
            }
        }
        Ok(None)
    }

    /// The error that the part is broken here.
    pub(crate) fn broken(&self, what: &str) -> ReadError {
        broken(self.part, self.at, what)
    }

    fn unescaped<'v>(&self, raw: Cow<'v, str>) -> Result<Cow<'v, str>, ReadError> {
        if !raw.contains('&') {
            return Ok(raw);
        }
        let value = unescape(&raw).map_err(|error| broken(self.part, self.at, &error.to_string()))?;
        Ok(Cow::Owned(value.into_owned()))
    }
}

impl<R: BufRead> Xml<R> {
    /// Begins to read a part.
    pub(crate) fn new(part: &str, source: R) -> Self {
        let mut reader = Reader::from_reader(source);
        reader.config_mut().expand_empty_elements = true;
        Self { reader, part: part.to_owned(), buffer: Vec::new(), depth: 0 }
    }

    /// The next item.
    pub(crate) fn next(&mut self) -> Result<Item<'_>, ReadError> {
        self.buffer.clear();
        let event = match self.reader.read_event_into(&mut self.buffer) {
            Ok(event) => event,
            Err(error) => return Err(broken(&self.part, self.reader.error_position(), &error.to_string())),
        };
        let (part, at) = (self.part.as_str(), self.reader.buffer_position());
        match event {
            Event::Start(start) | Event::Empty(start) => {
                self.depth += 1;
                if self.depth > DEPTH {
                    return Err(broken(part, at, "elements are nested too deep"));
                }
                Ok(Item::Open(Tag { start, part, at }))
            }
            Event::End(_) => {
                self.depth = self.depth.saturating_sub(1);
                Ok(Item::Close)
            }
            Event::Text(text) => Ok(Item::Text(text.xml10_content())),
            Event::CData(text) => Ok(Item::Text(text.xml10_content())),
            Event::GeneralRef(reference) => {
                resolved(&reference).map(Item::Text).map_err(|what| broken(part, at, &what))
            }
            Event::DocType(_) => Err(broken(part, at, "it declares a document type, which no workbook does")),
            Event::Eof if self.depth > 0 => Err(broken(part, at, "it ends in the middle")),
            Event::Eof => Ok(Item::End),
            Event::Comment(_) | Event::Decl(_) | Event::PI(_) => Ok(Item::Aside),
        }
    }

    /// Appends the text of the element just opened to `text` and closes it; text of inner elements does not count.
    pub(crate) fn text_into(&mut self, text: &mut String, limit: usize) -> Result<(), ReadError> {
        loop {
            match self.next()? {
                Item::Open(_) => self.skip()?,
                Item::Close => return Ok(()),
                Item::Text(piece) if text.len() + piece.len() > limit => {
                    drop(piece);
                    return Err(self.too_long(limit));
                }
                Item::Text(piece) => text.push_str(&piece),
                Item::Aside => {}
                Item::End => return Err(self.broken("it ends in the middle")),
            }
        }
    }

    /// Passes over the rest of the element just opened.
    pub(crate) fn skip(&mut self) -> Result<(), ReadError> {
        let outside = self.depth.saturating_sub(1);
        while self.depth > outside {
            if let Item::End = self.next()? {
                return Err(self.broken("it ends in the middle"));
            }
        }
        Ok(())
    }

    /// The error that the part is broken here.
    pub(crate) fn broken(&self, what: &str) -> ReadError {
        broken(&self.part, self.reader.buffer_position(), what)
    }

    /// The error that a text here is longer than `limit`.
    pub(crate) fn too_long(&self, limit: usize) -> ReadError {
        let at = self.reader.buffer_position();
        let found = format!("part {} has a text of more than {limit} bytes before byte {at}", self.part);
        ReadError::new(Refusal::TooLarge, found, SPLIT)
    }
}

/// What an entity stands for.
fn resolved(reference: &BytesRef<'_>) -> Result<Cow<'static, str>, String> {
    match reference.resolve_char_ref() {
        Ok(Some(character)) => Ok(Cow::Owned(character.to_string())),
        Ok(None) => match resolve_predefined_entity(reference) {
            Some(text) => Ok(Cow::Borrowed(text)),
            None => Err(format!("it uses the entity \"{}\", which nothing defines", &**reference)),
        },
        Err(error) => Err(error.to_string()),
    }
}

fn broken(part: &str, at: u64, what: &str) -> ReadError {
    let found = format!("part {part} is damaged at byte {at} of its unpacked text: {what}");
    ReadError::new(Refusal::Damaged, found, REPAIR)
}
