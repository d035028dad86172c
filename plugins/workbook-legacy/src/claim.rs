//! The bid for a source.

use windrow_source::{Probe, Verdict};

use crate::record::Records;
use crate::version::beginning;

/// Bids by the names of streams, or by the first record.
pub(crate) fn claim(probe: &Probe<'_>) -> Verdict {
    let is_book = |path: &str| {
        let name = path.trim_start_matches('/');
        name.eq_ignore_ascii_case("Workbook") || name.eq_ignore_ascii_case("Book")
    };
    if probe.ole_streams.iter().any(|stream| is_book(stream)) {
        return Verdict::new(0.9, "it is a compound file with a workbook stream");
    }
    match Records::new(probe.head).next() {
        Ok(Some(record)) if record.body.len() <= 16 && beginning(record).is_some() => {
            Verdict::new(0.9, "it begins with the first record of a workbook stream")
        }
        _ => Verdict::refuse("it is neither a compound file with a workbook stream nor such a stream"),
    }
}
