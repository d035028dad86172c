//! Words in tag cells that are no tags: "spare", "formerly".

use crate::fold::fold;
use crate::tag::likeness;
use std::collections::BTreeSet;
use std::sync::LazyLock;

static WORDS: LazyLock<BTreeSet<(&'static str, &'static str)>> = LazyLock::new(|| {
    let lines = include_str!("../data/naming.csv").lines().filter(|line| !line.starts_with('#'));
    lines.filter_map(|line| line.split_once(',')).collect()
});

/// How much a text must look like a tag to be an earlier one.
const TAG_LIKE: f32 = 0.5;

/// Whether `text` stands where a tag should and names no machine ("SPARE", "n/a", "?").
#[must_use]
pub fn is_nobody(text: &str) -> bool {
    let folded = fold(text);
    folded.is_empty() || WORDS.contains(&("nobody", folded.as_str()))
}

/// `"P-7 (formerly P-3)"` as the present tag and the earlier one; `None` if no earlier tag is told.
#[must_use]
pub fn earlier(text: &str) -> Option<(&str, &str)> {
    let is_edge = |c: char| c.is_whitespace() || matches!(c, '(' | ')' | '[' | ']' | ',' | ';' | ':');
    let mut at = 0;
    for word in text.split(is_edge) {
        let end = at + word.len();
        if !word.is_empty() && WORDS.contains(&("former", fold(word).as_str())) {
            let (before, after) = (text.get(..at)?, text.get(end..)?);
            let after = after.trim_start_matches([' ', '.', ':', '\u{a0}']);
            let old = after.split([')', ']', ',', ';']).next()?.trim();
            let now = before.trim_end_matches(|c: char| !c.is_alphanumeric()).trim();
            return (likeness(old) >= TAG_LIKE).then_some((now, old));
        }
        at = end + text.get(end..)?.chars().next().map_or(0, char::len_utf8);
    }
    None
}

#[cfg(test)]
mod tests {
    use super::{earlier, is_nobody};

    #[test]
    fn words_that_name_no_machine() {
        for text in ["SPARE", "Spare motor", "n/a", "?", "-", "Ersatz", "sans repère", ""] {
            assert!(is_nobody(text), "{text}");
        }
        for text in ["P-101A", "Spare 3", "Fan 41"] {
            assert!(!is_nobody(text), "{text}");
        }
    }

    #[test]
    fn earlier_tags_are_found_beside_the_present_one() {
        assert_eq!(earlier("P-7 (formerly P-3)"), Some(("P-7", "P-3")));
        assert_eq!(earlier("P-7, ex. P-3"), Some(("P-7", "P-3")));
        assert_eq!(earlier("P-7 (früher P-3)"), Some(("P-7", "P-3")));
        assert_eq!(earlier("feed pump, formerly P-3; rewound"), Some(("feed pump", "P-3")));
        assert_eq!(earlier("formerly idle"), None);
        assert_eq!(earlier("EX-7"), None);
    }
}
