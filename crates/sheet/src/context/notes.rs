//! What explanations tell of the numbers they point at: notes of signs, marks that stand for units.

use super::ReadTable;
use crate::column::{Column, Role};
use crate::fit;
use crate::loose::{self, Caption, Loose, UnitMark};
use crate::sense::Kind;
use crate::view::View;
use windrow_model::Dimension;
use windrow_text::header;
use windrow_text::vocabulary::Concept;

/// "Remarks (values in MΩ)": what the heading of a column of remarks says in brackets of the unit is said of the table, for remarks have none.
pub(super) fn headed(view: &View<'_>, read: &ReadTable, loose: &mut Loose) {
    let remarks = read.columns.iter().filter(|column| column.role == Role::Field(Concept::Remarks));
    // "VALUES IN KOHM" over the names of machines, in a print whose line above the headings is cut into theirs.
    let is_key = |column: &&Column| matches!(column.role, Role::Field(concept) if fit::names_machine(concept));
    let over_keys = read.columns.iter().filter(is_key).filter_map(|column| column.heading.items.split_last());
    for item in over_keys.flat_map(|(_, over)| over) {
        let text = view.cell(item).text.trim();
        if tells_unit_of_values(text) {
            loose.captions.push(loose::caption(text, item));
        }
    }
    for item in remarks.flat_map(|column| &column.heading.items) {
        let text = view.cell(item).text.trim();
        let inner = text.strip_suffix(')').and_then(|text| text.split_once('(')).map(|(_, inner)| inner.trim());
        if let Some(inner) = inner.filter(|inner| tells_unit_of_values(inner)) {
            loose.captions.push(loose::caption(inner, item));
        }
    }
}

/// Whether a text says in which unit values are, and nothing else.
fn tells_unit_of_values(text: &str) -> bool {
    let label = header::read(text);
    let is_measured = label.units.first().is_some_and(|best| {
        best.weight >= 0.9
            && !best.colloquial
            && matches!(best.unit.dimension, Dimension::Resistance | Dimension::Current | Dimension::Capacitance)
    });
    is_measured && text.contains(' ') && label.unexplained.is_empty() && label.circuits.is_empty()
}

/// Notes that explain a sign.
pub(super) fn footnotes(view: &View<'_>) -> Vec<Caption> {
    let texts = view.items().iter().filter_map(|item| {
        let text = view.cell(item).text.trim();
        if !loose::is_sign(text) {
            return (view.sense(item).kind == Kind::Text).then(|| (item, text.to_owned()));
        }
        loose::behind_sign(view, item).map(|note| (item, format!("{text} {note}")))
    });
    let notes = texts.flat_map(|(item, text)| {
        let parts = loose::note_parts(&text).into_iter();
        parts.map(|part| loose::caption(part, item)).collect::<Vec<_>>()
    });
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
