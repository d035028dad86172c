//! Three phases that a text lists because they were measured as one.

use crate::fold::fold;
use crate::marks::is_kind;
use regex::Regex;
use std::borrow::Cow;
use std::sync::LazyLock;

/// "3 ph joined", "3 Phasen verbunden": the three of them, and no third.
const COUNTED: &str = r"(?i:3[ -]?(?:ph|phs|phases?|phasen|fases))";

/// The text with a list of the three phases ("U, V y W", "L1/L2/L3") written as one ("UVW").
///
/// ```
/// use windrow_text::circuit::joined;
/// assert_eq!(joined("estator a masa (U, V y W unidas)"), "estator a masa (UVW unidas)");
/// assert_eq!(joined("U V W linked, to earth"), "UVW linked, to earth");
/// assert_eq!(joined("WINDING (3 PH JOINED)"), "WINDING (UVW JOINED)");
/// assert_eq!(joined("winding (3 ph joined) to frame"), "winding (UVW joined) to frame");
/// ```
#[must_use]
pub fn joined(text: &str) -> Cow<'_, str> {
    static PHASES: LazyLock<Option<Regex>> = LazyLock::new(|| {
        let three =
            "U|A|R|L1|T1|U1|1U".split('|').zip("V|B|S|L2|T2|V1|1V".split('|')).zip("W|C|T|L3|T3|W1|1W".split('|'));
        let of = |((a, b), c): ((&str, &str), &str)| {
            format!(r"{a}(?:\s*[,/+&]\s*|\s+){b}(?:\s*(?:[,/+&]|und|and|et|y)\s*|\s+){c}")
        };
        let all = three
            .map(of)
            .chain([r"R\s*[,/+&]\s*Y\s*(?:[,/+&]|and)\s*B".to_owned(), COUNTED.to_owned()])
            .collect::<Vec<_>>()
            .join("|");
        Regex::new(&format!(r"\b(?:{all})\b")).ok()
    });
    PHASES.as_ref().map_or(Cow::Borrowed(text), |phases| phases.replace_all(text, "UVW"))
}

/// Whether a text says that terminals were connected for the test.
#[must_use]
pub fn is_tied(text: &str) -> bool {
    fold(text).split(' ').any(|word| is_kind(word, "tied"))
}
