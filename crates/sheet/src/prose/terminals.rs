//! Terminals told in words within a sentence.

use super::days::is_before_unit;
use super::piece::{Says, Stop, blanks, gap};
use windrow_text::circuit::{self, CircuitMeaning, Named};
use windrow_text::fold::fold;

/// Most words that name terminals.
const MOST_TERMINAL_WORDS: usize = 9;

/// The longest run of words that surely names terminals, or one letter that may be a phase.
pub(super) fn at(rest: &str) -> Option<(Says, usize)> {
    // "Pump 3 to earth": the machine's number, as often as a terminal's.
    if rest.starts_with(|c: char| c.is_ascii_digit()) {
        return None;
    }
    let mut ends = Vec::new();
    let mut from = 0;
    for _ in 0..MOST_TERMINAL_WORDS {
        let Some(tail) = rest.get(from..) else { break };
        let start = from + blanks(tail);
        let blank = rest.get(from..start)?;
        if from > 0 && matches!(gap(blank), Some(Stop::Gap | Stop::Paragraph | Stop::Text)) {
            break;
        }
        let stop = |c: char| c.is_whitespace() || matches!(c, ',' | ';' | ':' | '(' | ')' | '=');
        let end = rest.get(start..)?.find(stop).map_or(rest.len(), |length| start + length);
        let word = rest.get(start..end)?;
        let is_digit = word.starts_with(|c: char| c.is_ascii_digit());
        let is_number = is_digit && (word.len() > 1 || is_before_unit(rest.get(end..).unwrap_or_default()));
        if word.is_empty() || is_number {
            break;
        }
        ends.push(end);
        // "gegen Masse. Die Wicklungen": the point ends what is said of terminals.
        if word.ends_with('.') && word.len() > 3 {
            break;
        }
        if rest.get(end..).is_none_or(|behind| !behind.starts_with(char::is_whitespace)) {
            break;
        }
        from = end;
    }
    for (count, end) in ends.iter().enumerate().rev() {
        let said = rest.get(..*end)?.trim_end_matches('.');
        let flat = all_three(&said.split_whitespace().collect::<Vec<_>>().join(" "));
        let ends_open = flat.rsplit(' ').next().is_some_and(|last| {
            matches!(
                last,
                "a" | "y"
                    | "et"
                    | "und"
                    | "and"
                    | "to"
                    | "of"
                    | "the"
                    | "la"
                    | "le"
                    | "de"
                    | "des"
                    | "in"
                    | "die"
                    | "der"
                    | "den"
                    | "los"
                    | "las"
                    | "al"
                    | "du"
                    | "nach"
            )
        });
        if count == 0 {
            return phase(said);
        }
        let mut meanings = circuit::read(&flat);
        meanings.retain(|meaning| meaning.weight >= 0.75);
        let is_kept = |meaning: &CircuitMeaning| {
            // "Pump A" has a letter and no phase.
            !matches!(meaning.named, Named::Phase(_)) || flat.split(' ').count() == 2
        };
        // "Phase U and phase V": the two against each other, or each to earth.
        let is_joined =
            flat.split(' ').any(|word| matches!(word, "and" | "und" | "et" | "y" | "or" | "oder" | "ou" | "o"));
        let is_both = is_joined && meanings.iter().any(|meaning| matches!(meaning.named, Named::Pair(..)));
        if !meanings.is_empty() && !is_both && !ends_open && meanings.iter().all(is_kept) {
            return Some((Says::Circuit(meanings), said.len()));
        }
    }
    None
}

/// "All three to earth" means the phases.
fn all_three(text: &str) -> String {
    let folded = fold(text);
    for (all, phases) in [
        ("all three together", "all phases"),
        ("all three", "all phases"),
        ("alle drei gemeinsam", "alle phasen"),
        ("alle drei phasen", "alle phasen"),
        ("alle drei", "alle phasen"),
        ("les trois ensemble", "toutes phases"),
        ("las tres juntas", "todas las fases"),
    ] {
        if let Some(rest) = folded.strip_prefix(all).filter(|rest| rest.starts_with(' ')) {
            return format!("{phases}{rest}");
        }
    }
    text.to_owned()
}

/// One word that names a phase by itself, or terminals by signs ("U-V", "L1-PE").
fn phase(word: &str) -> Option<(Says, usize)> {
    let meanings = circuit::read(word);
    let is_linked =
        word.contains(['-', '/', '–']) && !meanings.is_empty() && meanings.iter().all(|meaning| meaning.weight >= 0.9);
    if is_linked {
        return Some((Says::Circuit(meanings), word.len()));
    }
    let is_phase = |meaning: &CircuitMeaning| matches!(meaning.named, Named::Phase(_));
    let is_written_so = word.chars().all(|c| c.is_ascii_uppercase() || c.is_ascii_digit()) || word.chars().count() >= 3;
    (!meanings.is_empty() && meanings.iter().all(is_phase) && is_written_so)
        .then_some((Says::Phase(meanings), word.len()))
}
