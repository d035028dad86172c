//! Parts of the package, read under the limits of archives.

use std::io::Cursor;

use windrow_source::archive::{self, Member};
use windrow_source::{Limits, ReadError, Refusal, xml};

/// What to do about a damaged document.
pub(crate) const REPAIR: &str =
    "open it in the program that wrote it, let it be repaired and save a copy, or restore it from a backup";

/// A package.
pub(crate) struct Package<'a> {
    bytes: &'a [u8],
    members: Vec<Member>,
    limits: &'a Limits,
}

impl<'a> Package<'a> {
    /// Lists the parts of a package.
    pub(crate) fn of(bytes: &'a [u8], limits: &'a Limits) -> Result<Self, ReadError> {
        let members = archive::members(Cursor::new(bytes), bytes.len() as u64, limits)
            .map_err(|error| ReadError { advice: REPAIR.to_owned(), ..error })?;
        Ok(Self { bytes, members, limits })
    }

    /// Names of the parts whose folded name `is` what is looked for, the shortest first.
    pub(crate) fn named(&self, is: impl Fn(&str) -> bool) -> Vec<String> {
        let mut names: Vec<String> =
            self.members.iter().map(|member| member.name.clone()).filter(|name| is(&folded(name))).collect();
        names.sort_by(|a, b| (a.len(), a).cmp(&(b.len(), b)));
        names
    }

    /// The XML text of a part.
    pub(crate) fn text(&self, name: &str) -> Result<String, ReadError> {
        let member = self
            .members
            .iter()
            .find(|member| member.name == name)
            .ok_or_else(|| ReadError::new(Refusal::Damaged, format!("the package has no part {name}"), REPAIR))?;
        let bytes = archive::member(Cursor::new(self.bytes), self.bytes.len() as u64, member.index, self.limits)?;
        Ok(xml::decode(&bytes).text.into_owned())
    }
}

/// A member name as compared: some writers use backslashes and other cases.
fn folded(name: &str) -> String {
    name.replace('\\', "/").trim_start_matches('/').to_ascii_lowercase()
}

/// Whether a part is the document itself; some writers number it.
pub(crate) fn is_document(name: &str) -> bool {
    is_numbered(&folded(name), "word/document")
}

/// Whether a folded name is `stem`, a number or none, and the ending of XML.
pub(crate) fn is_numbered(folded: &str, stem: &str) -> bool {
    let number = folded.strip_prefix(stem).and_then(|rest| rest.strip_suffix(".xml"));
    number.is_some_and(|number| number.bytes().all(|byte| byte.is_ascii_digit()))
}
