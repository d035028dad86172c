//! What exports of maintenance systems and histories of measurements say of their own records: which were withdrawn, which column tells how
//! deep a line stands, and which lists codes.

use crate::fold::fold;
use crate::marks::is_kind;

/// Whether a remark or the meaning of a status says that the value beside it was withdrawn, in a clause of its own. "Void in the insulation"
/// is a finding.
///
/// ```
/// use windrow_text::exported::is_withdrawn;
/// assert!(is_withdrawn("anulada: cable húmedo") && is_withdrawn("lead left on, void") && is_withdrawn("storniert"));
/// assert!(!is_withdrawn("void in the insulation") && !is_withdrawn("order cancelled") && !is_withdrawn("not void"));
/// ```
#[must_use]
pub fn is_withdrawn(text: &str) -> bool {
    let says = |clause: &str| {
        let folded = fold(clause);
        let mut words = folded.split(' ').filter(|word| !word.is_empty()).peekable();
        let mut is_said = false;
        words.peek().is_some()
            && words.all(|word| {
                let is_own = is_kind(word, "withdrawn");
                is_said |= is_own;
                is_own || is_kind(word, "of_withdrawn")
            })
            && is_said
    };
    text.split([',', ';', ':', '(', ')', '\n', '–', '.']).flat_map(|part| part.split(" - ")).any(says)
}

/// Whether a heading says that its column tells how deep each line stands in a hierarchy ("Level", "Ebene").
#[must_use]
pub fn heads_levels(heading: &str) -> bool {
    is_kind(&fold(heading), "level")
}

/// Whether a heading is a word for codes and nothing else ("Code", "Código").
#[must_use]
pub fn heads_codes(heading: &str) -> bool {
    is_kind(&fold(heading), "code_head")
}
