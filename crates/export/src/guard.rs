//! Texts that a spreadsheet program would run as a formula when it opens delimited text.
//!
//! The first letters are those that the Open Worldwide Application Security Project lists under "CSV injection" (from memory): `=`, `+`,
//! `-`, `@`, tab, carriage return, line feed and the full-width forms; the apostrophe is added so that the guard can be taken off again.

use std::borrow::Cow;

const DANGEROUS: &[char] =
    &['=', '+', '-', '@', '\t', '\r', '\n', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}', '\''];

/// `text` with an apostrophe in front where it would be run, or begins with an apostrophe.
///
/// ```
/// use windrow_export::guard;
/// assert_eq!(guard::guarded("=1+1"), "'=1+1");
/// assert_eq!(guard::guarded("P-101"), "P-101");
/// assert_eq!(guard::taken_off(&guard::guarded("'72 log")), "'72 log");
/// ```
#[must_use]
pub fn guarded(text: &str) -> Cow<'_, str> {
    if text.starts_with(DANGEROUS) { Cow::Owned(format!("'{text}")) } else { Cow::Borrowed(text) }
}

/// Inverse of [`guarded`].
#[must_use]
pub fn taken_off(text: &str) -> &str {
    text.strip_prefix('\'').unwrap_or(text)
}
