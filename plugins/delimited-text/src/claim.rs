//! The bid for a source.

use windrow_source::{Probe, Verdict, encoding, shape};

use crate::dialect;

/// First characters of formats that are text and mark their fields with the same signs.
const OTHERS: [(&str, &str); 7] = [
    ("<", "it begins like XML or HTML"),
    ("{", "it begins like JSON or RTF"),
    ("[", "it begins like JSON or a settings file"),
    ("ID;", "it begins like SYLK"),
    ("TABLE\n0,1", "it begins like DIF"),
    ("%PDF", "it is a PDF"),
    ("PK\u{3}\u{4}", "it is a ZIP archive"),
];

/// Bids by how well the head of the text is cut by its best delimiter.
pub(crate) fn claim(probe: &Probe<'_>) -> Verdict {
    let decoded = encoding::decode(probe.head);
    if !encoding::looks_like_text(&decoded.text) {
        return Verdict::refuse("it is not text");
    }
    let start = decoded.text.trim_start().replace('\r', "");
    if let Some((_, reason)) = OTHERS.iter().find(|(mark, _)| start.starts_with(mark)) {
        return Verdict::refuse(*reason);
    }
    if let Some(declared) = dialect::declared(&decoded.text) {
        return Verdict::new(0.9, format!("its first line declares {} as delimiter", declared.name()));
    }
    match dialect::choose(&decoded.text) {
        Some(fit) if fit.delimiter.0 == b',' && shape::commas_are_decimal(&decoded.text) => {
            Verdict::refuse("its commas are decimal marks in columns that blanks set apart")
        }
        Some(fit) if fit.score >= dialect::GOOD => {
            Verdict::new(0.6, format!("{} cut it into steady records (fit {:.2})", fit.delimiter.name(), fit.score))
        }
        Some(fit) => {
            Verdict::new(0.3, format!("{} cut some of it into records (fit {:.2})", fit.delimiter.name(), fit.score))
        }
        None => Verdict::refuse("no delimiter cuts its lines into fields of a table"),
    }
}
