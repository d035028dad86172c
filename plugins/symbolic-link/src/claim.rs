//! The bid for a source.

use windrow_source::{Probe, Verdict, encoding};

/// Kinds of records that may follow the first.
const KINDS: [&str; 9] = ["P", "F", "B", "C", "O", "NN", "NE", "NU", "E"];

/// Bids for the identifying record with a known kind of record behind it.
pub(crate) fn claim(probe: &Probe<'_>) -> Verdict {
    if !probe.head.starts_with(b"ID;") {
        return Verdict::refuse("it does not begin with the identifying record of symbolic links");
    }
    let decoded = encoding::decode(probe.head);
    let mut records = decoded.text.split(['\n', '\r']).filter(|line| !line.is_empty());
    let (first, second) = (records.next().unwrap_or_default(), records.next().unwrap_or_default());
    let names_program = first.get(3..4) == Some("P") && first.len() > 4;
    let follows = second.split(';').next().is_some_and(|kind| KINDS.contains(&kind)) && second != "E;";
    match (names_program, follows) {
        (true, true) => Verdict::new(0.9, "it begins with the records of symbolic links"),
        _ => Verdict::refuse("it begins with ID; and no record of symbolic links follows"),
    }
}
