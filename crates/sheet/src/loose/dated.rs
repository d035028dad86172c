//! Dates without a label that are those of what stands below them.

use crate::line;
use crate::sense::Kind;
use crate::view::{Item, View};

/// "Stage test G1 | | 03.09.2009": a date without a label beside the words of a title, the only one of its line; beside the name of a
/// machine only right above a header, for a list of machines has such lines too.
pub(super) fn is_date_of_title(view: &View<'_>, item: &Item, line: &[Item]) -> bool {
    let is_date = |other: &&Item| view.sense(other).kind == Kind::Date;
    let is_title = |other: &Item| {
        let sense = view.sense(other);
        sense.kind == Kind::Text && !sense.is_pair && !line::ends_with_colon(view, other)
    };
    let is_named = |other: &Item| view.sense(other).tag >= 0.5;
    let heads_table = || {
        let below = view.line_at(item.row) + 1;
        view.row(below) == item.row + 1 && line::is_header(view, view.line(below))
    };
    is_date(&item)
        && line.iter().filter(is_date).count() == 1
        && line.first().is_some_and(|first| is_title(first) && (!is_named(first) || heads_table()))
        || is_date(&item) && heads_table_alone(view, item)
}

/// "October 2003" alone in its line, right above the header of a table and where that begins.
fn heads_table_alone(view: &View<'_>, item: &Item) -> bool {
    let below = view.line_at(item.row) + 1;
    let header = view.line(below);
    let is_alone = view.line(view.line_at(item.row)).len() == 1;
    let begins_there = header.first().is_some_and(|first| first.column == item.column);
    is_alone && begins_there && view.row(below) == item.row + 1 && header.len() >= 2 && line::is_header(view, header)
}
