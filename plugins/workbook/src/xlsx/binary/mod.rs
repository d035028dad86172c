//! The same parts in binary form (MS-XLSB): records instead of elements.

pub(crate) mod notes;
mod record;
pub(crate) mod sheet;
pub(crate) mod strings;
pub(crate) mod styles;
pub(crate) mod workbook;

/// Whether a part is in binary form.
pub(crate) fn is_binary(part: &str) -> bool {
    part.rsplit('.').next().is_some_and(|extension| extension.eq_ignore_ascii_case("bin"))
}
