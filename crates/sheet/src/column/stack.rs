//! Which header cells stand over a column.

use crate::cut::Table;
use crate::line;
use crate::view::{Item, View};

/// Header cells over a column, from the top: its own, and group labels that reach over it.
pub(super) fn stack(view: &View<'_>, table: &Table, column: u32) -> Vec<Item> {
    let mut stack = Vec::new();
    for (index, line) in table.header.iter().enumerate() {
        let row = line.first().map_or(0, |item| item.row);
        let own = line.iter().find(|item| item.column <= column && column <= item.right);
        let from_above = table.header.iter().take(index).flatten();
        if own.is_none()
            && from_above.into_iter().any(|item| item.column <= column && column <= item.right && row <= item.bottom)
        {
            continue;
        }
        let is_leaf = |item: &Item| item.column == column && !view.sense(item).is_unit_only();
        let has_leaf = || table.header.iter().skip(index + 1).flatten().any(is_leaf);
        let group = || {
            let left = line.iter().rev().find(|item| item.column < column)?;
            let reaches = group_width(line).is_none_or(|width| {
                column < left.column + width || is_more_of_group(view, table, (left.column + width - 1, column))
            });
            let is_group = || has_leaf() || line::is_key(view, left) || repeats_below(view, table, line, column);
            (left.right == left.column && reaches && is_group()).then_some(left)
        };
        // "Tag | P1 | P2 | P3 | " over a last column without a name: each name stands over one column.
        let are_narrow =
            line.len() >= 4 && !has_leaf() && line.windows(2).skip(1).all(|two| two[1].column == two[0].right + 1);
        if let Some(item) = own.or_else(|| if are_narrow { None } else { group() }) {
            stack.push(*item);
        }
    }
    stack
}

/// Whether the leaves from the first column to the last are all phases or pairs of phases: so many columns has their group, however
/// wide the others are.
fn is_more_of_group(view: &View<'_>, table: &Table, (first, last): (u32, u32)) -> bool {
    let is_phase = |column: u32| {
        let mut leaves = table.header.iter().skip(1).flatten().filter(|item| item.column == column);
        leaves.any(|item| view.sense(item).circuits.iter().any(|meaning| meaning.weight >= 0.5))
    };
    (first..=last).all(is_phase)
}

/// Width of the groups in a line of group labels, if its merged cells or its even spacing tell one: the last group is as wide
/// as the others.
fn group_width(line: &[Item]) -> Option<u32> {
    if let Some(merged) = line.iter().find(|item| item.right > item.column) {
        return Some(merged.right - merged.column + 1);
    }
    // Single columns may stand before and behind the groups.
    let steps: Vec<u32> = line.windows(2).map(|two| two[1].column - two[0].column).filter(|step| *step > 1).collect();
    let first = steps.first().copied()?;
    steps.iter().all(|step| *step == first).then_some(first)
}

/// Whether the same units stand in the same order under each name of the line ("kV | µA | GΩ"): so wide is each group. Single columns
/// may stand before the groups.
fn repeats_below(view: &View<'_>, table: &Table, line: &[Item], column: u32) -> bool {
    let Some(width) = group_width(line).filter(|width| *width > 1) else { return false };
    let Some(start) = line.windows(2).position(|two| two[1].column - two[0].column == width) else { return false };
    let groups = line.get(start..).unwrap_or_default();
    let (Some(first), Some(last)) = (groups.first(), groups.last()) else { return false };
    let leaf = |column: u32| {
        let lowest = table.header.last()?.iter().find(|item| item.column == column)?;
        Some(view.cell(lowest).text.trim())
    };
    let is_same = |group: &Item| {
        (0..width).all(|at| leaf(group.column + at).is_some_and(|own| Some(own) == leaf(first.column + at)))
    };
    (first.column..last.column + width).contains(&column) && groups.iter().all(is_same)
}
