//! Text that is struck through: a value that someone took back is kept apart from what stands.

/// How a run of text is struck through.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Strike {
    /// As the font of the cell says.
    Inherited,
    /// Not.
    Off,
    /// Struck through.
    On,
}

/// A run: up to this byte of the text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Run {
    /// End of the run.
    pub end: usize,
    /// Whether it is struck through.
    pub strike: Strike,
}

/// The text that counts and the text that is struck through; `None` for a blank string. Text that is struck as a whole counts as
/// well: there is nothing else in the cell.
#[must_use]
pub fn settle(text: &str, runs: &[Run], cell_struck: bool) -> Option<(String, Option<String>)> {
    if text.trim().is_empty() {
        return None;
    }
    let is_struck = |run: &Run| run.strike == Strike::On || (run.strike == Strike::Inherited && cell_struck);
    if runs.is_empty() || runs.iter().all(is_struck) {
        let all = cell_struck || !runs.is_empty();
        return Some((text.to_owned(), all.then(|| text.to_owned())));
    }
    let (mut kept, mut struck, mut start) = (String::new(), String::new(), 0);
    for run in runs {
        let piece = text.get(start..run.end).unwrap_or_default();
        if is_struck(run) { &mut struck } else { &mut kept }.push_str(piece);
        start = run.end;
    }
    kept.push_str(text.get(start..).unwrap_or_default());
    if struck.trim().is_empty() {
        return Some((text.to_owned(), None));
    }
    if kept.trim().is_empty() {
        return Some((text.to_owned(), Some(struck)));
    }
    Some((kept.trim().to_owned(), Some(struck.trim().to_owned())))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn runs(parts: &[(&str, Strike)]) -> (String, Vec<Run>) {
        let mut text = String::new();
        let mut runs = Vec::new();
        for (part, strike) in parts {
            text.push_str(part);
            runs.push(Run { end: text.len(), strike: *strike });
        }
        (text, runs)
    }

    fn check(parts: &[(&str, Strike)], cell_struck: bool, kept: &str, struck: Option<&str>) {
        let (text, runs) = runs(parts);
        let found = settle(&text, &runs, cell_struck);
        assert_eq!(found, Some((kept.to_owned(), struck.map(str::to_owned))), "{parts:?}");
    }

    #[test]
    fn a_value_taken_back_is_not_glued_to_the_one_that_stands() {
        check(&[("1500", Strike::On), (" 1200", Strike::Off)], false, "1200", Some("1500"));
        check(&[("12", Strike::Off), ("0", Strike::On), (" MΩ", Strike::Off)], false, "12 MΩ", Some("0"));
        check(&[("R", Strike::Inherited), ("15s", Strike::Off)], false, "R15s", None);
    }

    #[test]
    fn what_is_struck_as_a_whole_is_text_and_struck() {
        check(&[("1500", Strike::On)], false, "1500", Some("1500"));
        check(&[("15", Strike::On), ("00", Strike::Inherited)], true, "1500", Some("1500"));
        check(&[("old", Strike::Inherited), (" new", Strike::Off)], true, "new", Some("old"));
        assert_eq!(settle("gone", &[], true), Some(("gone".to_owned(), Some("gone".to_owned()))));
    }

    #[test]
    fn blanks_are_kept_at_the_ends_of_a_text_and_no_text_on_their_own() {
        assert_eq!(settle("  indented ", &[], false), Some(("  indented ".to_owned(), None)));
        assert_eq!(settle(" \u{A0}\n", &[], true), None);
    }
}
