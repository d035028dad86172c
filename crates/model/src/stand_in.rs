//! What stands in an exported text where the name of a person stood.

use std::fmt::Write;

/// What stands for a name that was dropped.
pub const DROPPED: &str = "[name]";

/// How a pseudonym begins, and how many bytes of a hash follow, two digits each.
const PSEUDONYM: &str = "person-";
const BYTES: usize = 5;

/// The pseudonym of whom a keyed `hash` stands for.
#[must_use]
pub fn pseudonym(hash: &[u8]) -> String {
    let mut text = PSEUDONYM.to_owned();
    for byte in hash.iter().take(BYTES) {
        let _ = write!(text, "{byte:02x}");
    }
    text
}

/// Whether `exported` is `text`, or `text` with names taken out.
///
/// ```
/// use windrow_model::stand_in::is_but_for_names;
/// assert!(is_but_for_names("dried by [name], then person-00ff00ff00", "dried by A. Example, then B. Example"));
/// assert!(!is_but_for_names("dried by [name]", "washed by A. Example"));
/// assert!(!is_but_for_names("dried", "dried by A. Example"));
/// ```
#[must_use]
pub fn is_but_for_names(exported: &str, text: &str) -> bool {
    let Some((before, mut behind)) = split(exported) else { return exported == text };
    let Some(mut rest) = text.strip_prefix(before) else { return false };
    while let Some((between, after)) = split(behind) {
        let Some(at) = rest.find(between) else { return false };
        rest = rest.get(at + between.len()..).unwrap_or_default();
        behind = after;
    }
    rest.ends_with(behind)
}

/// What stands before and behind the first stand-in.
fn split(text: &str) -> Option<(&str, &str)> {
    let dropped = text.split_once(DROPPED);
    let named = text.match_indices(PSEUDONYM).find_map(|(at, _)| {
        let (digits, behind) = text.get(at + PSEUDONYM.len()..)?.split_at_checked(2 * BYTES)?;
        digits.bytes().all(|digit| digit.is_ascii_hexdigit()).then_some((text.get(..at)?, behind))
    });
    dropped.into_iter().chain(named).min_by_key(|(before, _)| before.len())
}
