//! Tags of capitals alone: "PH-ID", "PH-FD" under "Motor", of which letters are short for other things.

use super::{Cells, Column, Role};
use crate::view::{Item, View};
use std::collections::BTreeSet;
use windrow_text::vocabulary::Concept;

/// Fewest lines that show how a column writes its names.
const FEWEST: usize = 2;

/// Whether a text is nothing but two parts or more of capitals, joined by hyphens.
pub(crate) fn is_code_of_capitals(text: &str) -> bool {
    let parts: Vec<&str> = text.trim().split('-').collect();
    let is_part = |part: &&str| !part.is_empty() && part.chars().all(|c| c.is_ascii_uppercase());
    parts.len() >= 2 && parts.first().is_some_and(|first| first.len() >= 2) && parts.iter().all(is_part)
}

/// A column headed as the machines' whose cells are such codes, each another one and all of one beginning, names them, whatever words
/// beside ("Drive") say what they drive.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    for column in columns.iter_mut() {
        let own = cells.get(&column.column).map(Vec::as_slice).unwrap_or_default();
        let is_open = matches!(column.role, Role::Unknown | Role::LineLabel | Role::Field(Concept::Tag));
        if is_open && column.heading.has(Concept::Tag) && are_codes(view, own) {
            (column.role, column.fit) = (Role::Field(Concept::Tag), 1.0);
        }
    }
}

fn are_codes(view: &View<'_>, cells: &[Item]) -> bool {
    let text = |item: &Item| view.cell(item).text.trim().to_owned();
    let beginnings: BTreeSet<String> =
        cells.iter().filter_map(|item| text(item).split_once('-').map(|(first, _)| first.to_owned())).collect();
    let texts: BTreeSet<String> = cells.iter().map(text).collect();
    let names = |item: &Item| {
        let sense = view.sense(item);
        let is_terminal = sense.circuits.iter().chain(&sense.label.circuits).any(|meaning| meaning.weight >= 0.5);
        is_code_of_capitals(&view.cell(item).text) && !is_terminal && sense.label.elapsed_s.is_none()
    };
    cells.len() >= FEWEST && texts.len() == cells.len() && beginnings.len() == 1 && cells.iter().all(names)
}
