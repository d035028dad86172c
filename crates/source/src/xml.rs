//! XML as a stream of elements and texts, with what hostile and broken files could do kept out.
//!
//! Document types are refused (so no entity is ever defined or fetched), depth and text are bounded, names come without prefixes, and the
//! pieces that references and CDATA sections cut a text into come as one.

#[cfg(test)]
mod tests;

use quick_xml::XmlVersion;
use quick_xml::escape::resolve_predefined_entity;
use quick_xml::events::{BytesRef, BytesStart, Event};
use quick_xml::reader::Reader;

use crate::encoding::{self, Decoded, Encoding};
use crate::{Limits, ReadError, Refusal};

/// Elements within elements.
const DEEPEST: usize = 256;

/// An attribute: name without prefix, and value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Attribute {
    /// Name without prefix.
    pub name: String,
    /// Value, references resolved.
    pub value: String,
}

/// What a walk meets.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Step<'a> {
    /// An element begins: name without prefix, and attributes without namespace declarations.
    Open(&'a str, &'a [Attribute]),
    /// Text, as long as it goes without an element.
    Text(&'a str),
    /// The element begun last and not ended yet ends.
    Close,
}

/// The first element of a document.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Root {
    /// Name without prefix.
    pub name: String,
    /// Namespaces that it declares.
    pub namespaces: Vec<String>,
}

/// Decodes XML by its mark, its declaration, or what its bytes say.
#[must_use]
pub fn decode(bytes: &[u8]) -> Decoded<'_> {
    let head = String::from_utf8_lossy(bytes.get(..bytes.len().min(256)).unwrap_or_default());
    let declaration = head.trim_start().strip_prefix("<?xml").and_then(|rest| rest.split_once("?>"));
    let label = declaration.and_then(|(declared, _)| {
        let (_, value) = declared.split_once("encoding")?;
        let value = value.trim_start().strip_prefix('=')?.trim_start();
        let quote = value.chars().next().filter(|c| matches!(c, '"' | '\''))?;
        value.get(1..)?.split(quote).next()
    });
    encoding::decode_declared(bytes, label.and_then(Encoding::of_label))
}

/// The first element of `text`, which may be cut; `None` if it is no XML.
#[must_use]
pub fn root(text: &str) -> Option<Root> {
    let mut reader = Reader::from_str(text);
    loop {
        match reader.read_event().ok()? {
            Event::Start(start) | Event::Empty(start) => {
                let declared = start.attributes().flatten().filter(|a| a.key.as_namespace_binding().is_some());
                let namespaces = declared.map(|attribute| attribute.value.into_owned()).collect();
                return Some(Root { name: start.local_name().as_ref().to_owned(), namespaces });
            }
            Event::Text(found) if !found.trim().is_empty() && found.as_ref() != "\u{FEFF}" => return None,
            Event::CData(_) | Event::End(_) | Event::GeneralRef(_) | Event::Eof => return None,
            _ => {}
        }
    }
}

/// Hands `each` the steps of the document `text`.
///
/// # Errors
/// What `each` returns; [`Refusal::Damaged`] where the document is not well-formed, cut short, has a document type or is nested too
/// deep; [`Refusal::TooLarge`] where a text is longer than the limit.
pub fn walk(
    text: &str,
    limits: &Limits,
    mut each: impl FnMut(Step<'_>) -> Result<(), ReadError>,
) -> Result<(), ReadError> {
    let mut reader = Reader::from_str(text);
    let (mut open, mut pending, mut seen) = (Vec::new(), String::new(), false);
    loop {
        let event = reader.read_event().map_err(|error| {
            let line =
                text.get(..position(reader.error_position())).map_or(1, |before| before.matches('\n').count() + 1);
            damaged(format!("XML that is broken in line {line}: {error}"))
        })?;
        if matches!(event, Event::Start(_) | Event::Empty(_) | Event::End(_) | Event::Eof) && !pending.is_empty() {
            each(Step::Text(&pending))?;
            pending.clear();
        }
        match event {
            Event::Start(start) => {
                let name = start.local_name().as_ref().to_owned();
                each(Step::Open(&name, &attributes(&start)?))?;
                open.push(name);
                seen = true;
            }
            Event::Empty(start) => {
                each(Step::Open(start.local_name().as_ref(), &attributes(&start)?))?;
                each(Step::Close)?;
                seen = true;
            }
            Event::End(_) => {
                open.pop();
                each(Step::Close)?;
            }
            Event::Text(found) => pending.push_str(&found.xml10_content()),
            Event::CData(found) => pending.push_str(&found.xml10_content()),
            Event::GeneralRef(reference) => pending.push_str(&resolved(&reference)?),
            Event::DocType(_) => return Err(damaged("XML with a document type, which is not read".to_owned())),
            Event::Eof => break,
            Event::Decl(_) | Event::PI(_) | Event::Comment(_) => {}
        }
        if open.len() > DEEPEST {
            return Err(damaged(format!("elements within elements, more than {DEEPEST} deep")));
        }
        if pending.len() > limits.cell_text_bytes {
            let found = format!("a text of more than {} bytes", limits.cell_text_bytes);
            return Err(ReadError::new(Refusal::TooLarge, found, "check that it holds records"));
        }
    }
    match open.last() {
        Some(name) => Err(damaged(format!("XML cut short: <{name}> is never closed"))),
        None if !seen => Err(damaged("XML without an element".to_owned())),
        None => Ok(()),
    }
}

fn position(byte: u64) -> usize {
    usize::try_from(byte).unwrap_or(usize::MAX)
}

fn damaged(found: String) -> ReadError {
    ReadError::new(Refusal::Damaged, found, "export it again")
}

fn attributes(start: &BytesStart<'_>) -> Result<Vec<Attribute>, ReadError> {
    let mut attributes = Vec::new();
    for attribute in start.attributes() {
        let broken = |error: &dyn std::fmt::Display| {
            damaged(format!("XML with a broken attribute in <{}>: {error}", start.name().as_ref()))
        };
        let attribute = attribute.map_err(|error| broken(&error))?;
        if attribute.key.as_namespace_binding().is_none() {
            let value = attribute.normalized_value(XmlVersion::Implicit1_0).map_err(|error| broken(&error))?;
            attributes
                .push(Attribute { name: attribute.key.local_name().as_ref().to_owned(), value: value.into_owned() });
        }
    }
    Ok(attributes)
}

fn resolved(reference: &BytesRef<'_>) -> Result<String, ReadError> {
    let character =
        reference.resolve_char_ref().map_err(|error| damaged(format!("XML with a broken reference: {error}")))?;
    match (character, resolve_predefined_entity(reference)) {
        (Some(character), _) => Ok(character.to_string()),
        (None, Some(text)) => Ok(text.to_owned()),
        (None, None) => {
            Err(damaged(format!("XML with a reference &{}; that nothing defines", reference.as_ref() as &str)))
        }
    }
}
