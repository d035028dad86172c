//! Labels: a letter that tells how the text is set, and the text.

/// Columns of a cell whose width is not told.
const WIDTH: usize = 9;

/// The bytes of a label up to the zero that ends it.
pub(crate) fn bytes(body: &[u8]) -> &[u8] {
    body.split(|byte| *byte == 0).next().unwrap_or_default()
}

/// The text of a decoded label without the letter that tells how it is set; one that fills its cell is as long as a cell is wide, so that a
/// rule stays a rule.
pub(crate) fn text(label: &str) -> String {
    if let Some(pattern) = label.strip_prefix('\\') {
        return pattern.chars().cycle().take(if pattern.is_empty() { 0 } else { WIDTH }).collect();
    }
    label.strip_prefix(['\'', '"', '^', '|']).unwrap_or(label).to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_first_letter_is_taken_off() {
        for (label, expected) in [
            ("'RM-3", "RM-3"),
            ("\"\"", "\""),
            ("^ Date", " Date"),
            ("\\-", "---------"),
            ("plain", "plain"),
            ("\\", ""),
        ] {
            assert_eq!(text(label), expected);
        }
        assert_eq!(bytes(b"'RM-3\0rest"), b"'RM-3");
    }
}
