//! What explanations tell of the numbers they point at: notes of signs, marks that stand for units.

use crate::loose::{self, Caption, UnitMark};
use crate::sense::Kind;
use crate::view::View;

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
