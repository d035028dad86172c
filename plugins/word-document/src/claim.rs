//! The bid for a source.

use windrow_source::{Probe, Verdict};

use crate::package::is_document;

/// Bids by the member names of the package.
pub(crate) fn claim(probe: &Probe<'_>) -> Verdict {
    if probe.zip_members.iter().any(|name| is_document(name)) {
        Verdict::new(0.9, "it is a package with the part of a text document")
    } else {
        Verdict::refuse("it is no package of a text document")
    }
}
