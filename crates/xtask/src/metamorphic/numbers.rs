//! Numbers and dates written in another way.

use super::book::{Base, Changed};
use windrow_model::Question;
use windrow_source::{Cell, Content};

fn each(base: &Base, change: &dyn Fn(&Cell) -> Option<Cell>) -> Option<Changed> {
    let mut book = base.book.clone();
    let mut any = false;
    for cell in book.sheets.iter_mut().flat_map(|sheet| &mut sheet.cells).filter(|cell| !cell.synthetic) {
        if let Some(changed) = change(cell) {
            *cell = changed;
            any = true;
        }
    }
    any.then(|| Changed::book(book))
}

/// Stored numbers typed as text with a decimal comma. Not where commas stand between thousands: both at once is another record.
pub(super) fn commas(base: &Base) -> Option<Changed> {
    let mut texts = base.book.sheets.iter().flat_map(|sheet| &sheet.cells).map(|cell| cell.text.as_bytes());
    let thousands = |text: &[u8]| {
        text.windows(5).any(|part| part[1] == b',' && [0, 2, 3, 4].iter().all(|at| part[*at].is_ascii_digit()))
    };
    if texts.any(thousands) {
        return None;
    }
    each(base, &|cell| match (cell.content, &cell.format) {
        (Content::Number(number), None) => {
            let text = format!("{number}").replace('.', ",").into();
            Some(Cell { content: Content::Text, text, ..cell.clone() })
        }
        _ => None,
    })
}

/// Stored dates typed as ISO 8601. Not where their order is asked about: the copy would answer.
pub(super) fn iso_dates(base: &Base) -> Option<Changed> {
    if base.understood.holds.iter().any(|hold| matches!(hold.question, Question::Date | Question::DateOrder)) {
        return None;
    }
    each(base, &|cell| match cell.content {
        Content::Date { serial, .. } if serial.fract() == 0.0 && names_day(cell) => {
            let text = cell.text.get(..10)?.into();
            Some(Cell { content: Content::Text, format: None, text, ..cell.clone() })
        }
        _ => None,
    })
}

/// English names of months (common practice, no source).
const MONTHS: [&str; 12] = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/// Stored dates typed with the name of their month, `4 Mar 1994`. Not where their order is asked about.
pub(super) fn worded_dates(base: &Base) -> Option<Changed> {
    if base.understood.holds.iter().any(|hold| matches!(hold.question, Question::Date | Question::DateOrder)) {
        return None;
    }
    each(base, &|cell| match cell.content {
        Content::Date { serial, .. } if serial.fract() == 0.0 && names_day(cell) => {
            let mut parts = cell.text.get(..10)?.split('-');
            let (year, month, day) = (parts.next()?, parts.next()?, parts.next()?);
            let name = MONTHS.get(month.parse::<usize>().ok()?.checked_sub(1)?)?;
            let text = format!("{} {name} {year}", day.trim_start_matches('0'));
            Some(Cell { content: Content::Text, format: None, text: text.into(), ..cell.clone() })
        }
        _ => None,
    })
}

/// Whether a date is shown to the day; written in full, another would say more than its source.
pub(super) fn names_day(cell: &Cell) -> bool {
    cell.format.as_deref().is_none_or(|format| format.contains(['d', 'D']))
}
