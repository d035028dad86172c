//! The bid for a source.

use windrow_source::{Probe, Verdict};

use crate::header::Header;

/// Versions that programs are known to write.
const VERSIONS: [u8; 18] =
    [0x02, 0x03, 0x04, 0x05, 0x30, 0x31, 0x32, 0x43, 0x63, 0x7B, 0x83, 0x87, 0x8B, 0x8C, 0x8E, 0xCB, 0xF5, 0xFB];

/// Bids by the header: one that is cut short still shows whose it is.
pub(crate) fn claim(probe: &Probe<'_>) -> Verdict {
    let [version, _year, month, day, ..] = probe.head else { return Verdict::refuse("it is too short for a table") };
    if !VERSIONS.contains(version) || *month > 12 || *day > 31 {
        return Verdict::refuse("it does not begin like a dBase table");
    }
    match Header::of(probe.head) {
        Ok(header) if fits(&header, probe.len) => {
            Verdict::new(0.9, "its header and its size are those of a dBase table")
        }
        Ok(_) => Verdict::new(0.6, "its header is that of a dBase table"),
        Err(_) if probe.name.to_ascii_lowercase().ends_with(".dbf") => {
            Verdict::new(0.3, "it begins like a dBase table and is named like one")
        }
        Err(_) => Verdict::refuse("its header makes no sense as that of a dBase table"),
    }
}

fn fits(header: &Header, len: usize) -> bool {
    header.records.checked_mul(header.width).is_some_and(|size| header.start + size <= len)
}
