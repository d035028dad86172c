//! The same words below each year of a header ("before | after" again and again): a further line of headings, known or not.

use crate::line;
use crate::sense::Kind;
use crate::view::{Item, View};
use std::collections::BTreeSet;

/// Whether `items` are two texts or more that stand in the same order below each year or day of the header line `above`, and nothing else.
pub(super) fn are_repeated(view: &View<'_>, items: &[Item], above: &[Item]) -> bool {
    let is_when = |item: &&Item| line::is_year(view, item) || view.sense(item).kind == Kind::Date;
    let groups: Vec<&Item> = above.iter().filter(is_when).collect();
    let [first, second, ..] = groups.as_slice() else { return false };
    let width = second.column - first.column;
    let are_even = groups.windows(2).all(|two| two[1].column - two[0].column == width);
    let end = groups.last().map_or(0, |last| last.column + width);
    let are_below = items.iter().all(|item| (first.column..end).contains(&item.column));
    let are_words = items.iter().all(|item| is_word(view, item));
    if width < 2 || !are_even || !are_below || !are_words {
        return false;
    }
    let text = |column: u32| items.iter().find(|item| item.column == column).map(|item| view.cell(item).text.trim());
    let is_same = |group: &&Item| {
        (0..width).all(|at| text(group.column + at).is_some() && text(group.column + at) == text(first.column + at))
    };
    let different: BTreeSet<Option<&str>> = (0..width).map(|at| text(first.column + at)).collect();
    groups.iter().all(is_same) && different.len() == width as usize
}

/// Whether two cells or more of a line say what headings in other columns say: the labels of a form beside the first, which begins further up
/// or down.
pub(super) fn are_shifted(view: &View<'_>, items: &[Item], header: &[Vec<Item>]) -> bool {
    let text = |item: &Item| view.cell(item).text.trim();
    let is_shifted = |item: &&Item| {
        let heads = || header.iter().flatten().filter(|head| text(head) == text(item));
        view.sense(item).kind == Kind::Text
            && heads().next().is_some()
            && heads().all(|head| head.column != item.column)
    };
    items.iter().filter(is_shifted).count() >= 2
}

fn is_word(view: &View<'_>, item: &Item) -> bool {
    let (sense, text) = (view.sense(item), view.cell(item).text.as_str());
    let is_round = || windrow_text::round::names_round(text);
    (sense.kind == Kind::Text && !sense.is_pair && text.contains(char::is_alphabetic)) || is_round()
}
