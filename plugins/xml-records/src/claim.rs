//! The bid for a source.

use windrow_source::{Probe, Verdict, xml};

/// Namespaces, or parts of them, of documents that are no records, or that have readers of their own.
const OTHERS: [(&str, &str); 7] = [
    ("office:spreadsheet", "a spreadsheet"),
    ("opendocument", "an office document"),
    ("openxmlformats", "an office document"),
    ("office/word", "a text document"),
    ("1999/xhtml", "a web page"),
    ("2000/svg", "a picture"),
    ("1999/XSL", "a stylesheet"),
];

/// Bids for any XML that is not known to be something else.
pub(crate) fn claim(probe: &Probe<'_>) -> Verdict {
    let decoded = xml::decode(probe.head);
    let Some(root) = xml::root(&decoded.text) else { return Verdict::refuse("it is not XML") };
    if root.name.eq_ignore_ascii_case("html") || root.name.eq_ignore_ascii_case("svg") {
        return Verdict::refuse(format!("its root is <{}>", root.name));
    }
    let is_declared = decoded.text.trim_start_matches('\u{FEFF}').trim_start().starts_with("<?xml");
    match OTHERS.iter().find(|(part, _)| root.namespaces.iter().any(|name| name.contains(part))) {
        Some((_, what)) => Verdict::refuse(format!("its namespace is that of {what}")),
        None if is_declared || !root.namespaces.is_empty() => {
            Verdict::new(0.6, format!("XML with the root <{}>", root.name))
        }
        None => Verdict::new(0.3, format!("text that begins with the element <{}>", root.name)),
    }
}
