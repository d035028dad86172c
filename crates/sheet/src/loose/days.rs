//! Days that stand beside labels nobody knows ("Started | 3 May", "Copied off | 21 May").

use super::Loose;
use crate::view::View;

/// Lines between two such days that still list them together.
const APART: u32 = 2;

/// Takes the day from captions that are one of several different days below each other: each belongs to the label before it, and which
/// of them is the test's nobody said.
pub(super) fn settle(view: &View<'_>, loose: &mut Loose) {
    let is_listed = |item: &crate::view::Item| {
        let line = view.line(view.line_at(item.row));
        let own = view.sense(item).kind == crate::sense::Kind::Date;
        own && line.iter().any(|label| label.row == item.row && label.right + 1 == item.column)
    };
    let days: Vec<(usize, u32, u32, String)> = loose
        .captions
        .iter()
        .enumerate()
        .filter(|(_, caption)| is_listed(&caption.item))
        .filter_map(|(index, caption)| {
            let day = caption.dates.first()?.date.to_string();
            Some((index, caption.item.column, caption.item.row, day))
        })
        .collect();
    let is_contested = |(index, column, row, day): &(usize, u32, u32, String)| {
        days.iter().any(|(other, at, line, told)| {
            other != index && at == column && line.abs_diff(*row) <= APART && told != day
        })
    };
    for (index, ..) in days.iter().filter(|day| is_contested(day)) {
        if let Some(caption) = loose.captions.get_mut(*index) {
            caption.dates.clear();
        }
    }
}
