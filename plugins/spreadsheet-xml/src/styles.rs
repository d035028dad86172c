//! Styles: what they say of numbers and of struck-out text, with what they inherit.

use std::collections::BTreeMap;

/// Styles that inherit from one another.
const LONGEST_CHAIN: usize = 16;

/// One style as declared.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Style {
    pub(crate) parent: Option<String>,
    pub(crate) format: Option<String>,
    pub(crate) is_struck: Option<bool>,
}

/// The styles of a workbook by id.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Styles(pub(crate) BTreeMap<String, Style>);

impl Styles {
    /// Number format code of style `id`.
    pub(crate) fn format(&self, id: &str) -> Option<String> {
        self.chain(id).find_map(|style| style.format.as_deref()).map(code)
    }

    /// Whether text in style `id` is struck through.
    pub(crate) fn is_struck(&self, id: &str) -> bool {
        self.chain(id).find_map(|style| style.is_struck).unwrap_or(false)
    }

    fn chain<'a>(&'a self, id: &str) -> impl Iterator<Item = &'a Style> {
        let first = self.0.get(id);
        std::iter::successors(first, |style| self.0.get(style.parent.as_deref()?)).take(LONGEST_CHAIN)
    }
}

/// The format code that a name of the format's reference stands for; other codes are themselves.
fn code(format: &str) -> String {
    let code = match format {
        "General Date" => "m/d/yyyy h:mm",
        "Long Date" => "d mmmm yyyy",
        "Medium Date" => "d-mmm-yy",
        "Short Date" => "m/d/yyyy",
        "Long Time" => "h:mm:ss",
        "Medium Time" | "Short Time" => "h:mm",
        "Fixed" => "0.00",
        "Standard" | "Currency" | "Euro Currency" => "#,##0.00",
        "Percent" => "0.00%",
        "Scientific" => "0.00E+00",
        other => other,
    };
    code.to_owned()
}
