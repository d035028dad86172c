//! What a formula refers to. Formulas are never computed: only whether a value comes from other cells is of interest.

/// Whether the text of a formula names a cell, in whichever of the two ways of naming them: `B2*2`, `[.B2]*2`, `RC[-1]*2`, `R3C4`.
///
/// ```
/// use windrow_source::spreadsheet::formula::refers_to_cells;
/// assert!(refers_to_cells("D5*0.5^((40-$F$5)/10)") && refers_to_cells("Tests!E41") && refers_to_cells("of:=[.D5]/[.C5]"));
/// assert!(refers_to_cells("=RC[-1]/1000") && refers_to_cells("R3C4"));
/// assert!(!refers_to_cells("0.45*1000") && !refers_to_cells("LOG10(250)") && !refers_to_cells("\"B2\"&\"\""));
/// ```
#[must_use]
pub fn refers_to_cells(formula: &str) -> bool {
    let is_part = |c: char| c.is_ascii_alphanumeric() || matches!(c, '$' | '[' | ']' | '-' | '_');
    // What stands between quotes is text.
    formula.split('"').step_by(2).any(|piece| {
        let mut rest = piece;
        while let Some(start) = rest.find(|c: char| c.is_ascii_alphanumeric() || c == '$') {
            let word = rest.get(start..).unwrap_or_default();
            let end = word.find(|c| !is_part(c)).unwrap_or(word.len());
            let (word, behind) = word.split_at(end);
            let is_call = behind.starts_with('(');
            // "B2-C2" is two cells, "R[-2]C" one.
            if !is_call && (names_by_offset(word) || word.split(['-', '[', ']']).any(names_by_letters)) {
                return true;
            }
            rest = behind;
        }
        false
    })
}

/// "B2", "$F$5".
fn names_by_letters(word: &str) -> bool {
    let word = word.strip_prefix('$').unwrap_or(word);
    let letters = word.bytes().take_while(u8::is_ascii_alphabetic).count();
    let (column, row) = word.split_at(letters);
    let row = row.strip_prefix('$').unwrap_or(row);
    (1..=3).contains(&column.len()) && !row.is_empty() && row.bytes().all(|b| b.is_ascii_digit())
}

/// "RC", "R3C4", "R[-1]C[2]", with or without what is taken away from it.
fn names_by_offset(word: &str) -> bool {
    fn behind(word: &str, letter: char) -> Option<&str> {
        let rest = word.strip_prefix(letter)?;
        if let Some(inside) = rest.strip_prefix('[') {
            let (offset, rest) = inside.split_once(']')?;
            return offset.parse::<i32>().is_ok().then_some(rest);
        }
        Some(rest.trim_start_matches(|c: char| c.is_ascii_digit()))
    }
    let rest = behind(word, 'R').and_then(|rest| behind(rest, 'C'));
    rest.is_some_and(|rest| rest.is_empty() || rest.starts_with('-'))
}
