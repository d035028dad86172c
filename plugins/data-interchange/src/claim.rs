//! The bid for a source.

use windrow_source::{Probe, Verdict, encoding};

use crate::lines::Lines;

/// Bids for the table item that every such file begins with.
pub(crate) fn claim(probe: &Probe<'_>) -> Verdict {
    let decoded = encoding::decode(probe.head);
    let mut lines = Lines::new(&decoded.text);
    let mut next = || lines.next_line().map(str::trim).unwrap_or_default();
    if !next().eq_ignore_ascii_case("TABLE") {
        return Verdict::refuse("it does not begin with the table item of the data interchange format");
    }
    let is_version = next().split_once(',').is_some_and(|(vector, version)| vector == "0" && version.trim() == "1");
    if is_version && next().starts_with('"') {
        return Verdict::new(0.9, "it begins with the table item of the data interchange format");
    }
    Verdict::refuse("its first line is a word that the data interchange format begins with, and what follows is not")
}
