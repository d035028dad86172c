//! What explanations tell of the numbers they point at: notes of signs, marks that stand for units, comments on cells.

use crate::loose::{self, Caption, UnitMark};
use crate::sense::Kind;
use crate::view::{Item, View};
use windrow_source::Cell;
use windrow_text::unit::UnitMeaning;

/// Notes that explain a sign.
pub(super) fn footnotes(view: &View<'_>) -> Vec<Caption> {
    let texts = view.items().iter().filter_map(|item| {
        let text = view.cell(item).text.trim();
        if !loose::is_sign(text) {
            return (view.sense(item).kind == Kind::Text).then(|| (item, text.to_owned()));
        }
        loose::behind_sign(view, item).map(|note| (item, format!("{text} {note}")))
    });
    let notes = texts.map(|(item, text)| loose::caption(&text, item));
    notes.filter(|note| note.footnote.is_some()).collect()
}

/// Every unit that a comment names, word by word.
pub(super) fn noted_units(view: &View<'_>) -> Vec<((u32, u32, u32), Vec<UnitMeaning>)> {
    let parts = |c: char| c.is_whitespace() || matches!(c, ',' | ';' | '(' | ')' | ':' | '=');
    let noted = (0u32..).zip(&view.grid.cells).filter_map(|(index, cell)| Some((index, cell, cell.note.as_deref()?)));
    let of_note = |(index, cell, note): (u32, &Cell, &str)| {
        let words: Vec<String> = note.split(parts).map(|word| word.trim_end_matches('.').to_owned()).collect();
        let units = words.into_iter().filter(|word| word.len() > 1).map(|word| windrow_text::unit::read(&word, None));
        let sure = units.filter(|units| units.first().is_some_and(|best| !best.colloquial && best.weight >= 0.8));
        sure.map(|units| ((cell.row, cell.column, index), units)).collect::<Vec<_>>()
    };
    noted.flat_map(of_note).collect()
}

/// The marks that stand for a unit, whether they are explained among others in a text or by a note of their own.
pub(super) fn unit_marks(view: &View<'_>, footnotes: &[Caption]) -> Vec<UnitMark> {
    let mut marks = loose::unit_marks(view);
    for note in footnotes {
        let Some(sign) = &note.footnote else { continue };
        let is_known =
            |mark: &UnitMark| mark.item.cell == note.item.cell && loose::sign_key(&mark.sign) == loose::sign_key(sign);
        if let Some((units, text)) = note.units.first().filter(|_| note.units.len() == 1 && !marks.iter().any(is_known))
        {
            marks.push(UnitMark {
                sign: sign.clone(),
                units: units.clone(),
                text: text.as_str().into(),
                item: note.item,
            });
        }
    }
    marks
}

/// The first text that says that columns, lines, phases or leads of the sheet are swapped.
pub(super) fn swap(view: &View<'_>) -> Option<Item> {
    let texts = view.items().iter().filter(|item| view.sense(item).kind == Kind::Text && view.sense(item).words >= 3);
    texts.copied().find(|item| windrow_text::marks::says_swapped(&view.cell(item).text))
}
