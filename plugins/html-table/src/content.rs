//! What a cell holds: its text, or the number that the exporting program kept beside it.

use windrow_source::number_format::{self, Epoch};
use windrow_source::{Area, Cell, Limits, ReadError, Refusal};

use crate::walk::{Marked, Words};

/// The cell at the top left of `area`; `None` without text.
pub(crate) fn cell(marked: &Marked, area: Area, limits: &Limits) -> Result<Option<Cell>, ReadError> {
    let words = marked.words.tidy();
    let shown = words.text.clone();
    let Some(plain) = text_cell(area.top, area.left, words) else { return Ok(None) };
    if plain.text.len() > limits.cell_text_bytes {
        let found = format!("a cell in row {} has {} bytes of text", area.top + 1, plain.text.len());
        return Err(ReadError::new(Refusal::TooLarge, found, "check that it is a table of data"));
    }
    let number = number(marked, &shown).map(|value| Cell::number(area.top, area.left, value));
    let typed = number.or_else(|| date(marked, &shown, area));
    Ok(Some(match typed {
        Some(cell) => Cell { struck: plain.struck, ..cell },
        None => plain,
    }))
}

/// A cell of tidy words; where all of them were struck through, they are its text too.
pub(crate) fn text_cell(row: u32, column: u32, words: Words) -> Option<Cell> {
    let Words { text, struck } = words;
    let struck = (!struck.is_empty()).then_some(struck);
    let text = if text.is_empty() { struck.clone()? } else { text };
    Some(Cell { struck, ..Cell::text(row, column, text) })
}

/// The stored number, where the text shows nothing but that number. Where the text shows more (a unit, a percent sign), it is the text that
/// people wrote and read, and it is kept.
fn number(marked: &Marked, shown: &str) -> Option<f64> {
    let kept = marked.stored.as_deref()?.trim();
    let is_bare =
        shown.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+' | '\'' | ' ' | 'E' | 'e'));
    let has_digit = shown.contains(|c: char| c.is_ascii_digit());
    let value = if kept.is_empty() { shown.parse::<f64>().ok()? } else { kept.parse::<f64>().ok()? };
    (is_bare && has_digit && !looks_like_date(shown) && value.is_finite()).then_some(value)
}

/// `14-03-1987`, `14.03.87`: signs that stand in numbers too, but not like this.
fn looks_like_date(shown: &str) -> bool {
    shown.trim_start_matches(['-', '+']).contains('-') && !shown.contains(['e', 'E']) || shown.matches('.').count() == 2
}

/// The stored day, where the text shows just that day: it settles which of `03/04/87` is the month.
fn date(marked: &Marked, shown: &str, area: Area) -> Option<Cell> {
    let serial = marked.stored.as_deref()?.trim().parse::<f64>().ok()?;
    let epoch = [Epoch::Y1900, Epoch::Y1904]
        .into_iter()
        .find(|epoch| number_format::iso(serial.floor(), *epoch).is_some_and(|day| shows(shown, &day)))?;
    let cell = number_format::number_cell(area.top, area.left, serial, Some("yyyy-mm-dd"), epoch);
    Some(Cell { format: None, ..cell })
}

/// Whether `shown` has the year, the day and the month (which may be a word) of `day`, an ISO 8601 date.
fn shows(shown: &str, day: &str) -> bool {
    let groups = |text: &str| -> Vec<u32> {
        text.split(|c: char| !c.is_ascii_digit()).filter_map(|group| group.parse().ok()).collect()
    };
    let (shown_groups, wanted) = (groups(shown), groups(day));
    let [year, month, day] = wanted.as_slice() else { return false };
    let has = |number: u32| shown_groups.contains(&number);
    let has_month = has(*month) || shown.contains(char::is_alphabetic);
    shown_groups.len() >= 2 && (has(*year) || has(year % 100)) && has(*day) && has_month
}
