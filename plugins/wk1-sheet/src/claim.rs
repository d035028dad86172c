//! The bid for a source.

use windrow_source::{Probe, Verdict};

use crate::record::{BEGIN, Records};

/// Versions that the first record may tell: the first program, the one that came with other modules, the second.
const VERSIONS: [u16; 3] = [0x0404, 0x0405, 0x0406];

/// Bids by the first record.
pub(crate) fn claim(probe: &Probe<'_>) -> Verdict {
    match Records::new(probe.head).next() {
        Some(Ok(record)) if record.kind == BEGIN && record.body.len() == 2 => match record.u16(0) {
            Some(version) if VERSIONS.contains(&version) => {
                Verdict::new(0.9, "its first record is that of a worksheet of the 1980s")
            }
            _ => Verdict::refuse("its first record tells a version that is not read"),
        },
        _ => Verdict::refuse("it does not begin with the first record of a worksheet"),
    }
}
