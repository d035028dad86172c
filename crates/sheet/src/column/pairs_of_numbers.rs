//! Names of machines that are two numbers: "204/1" of car 204, "41-2" of set 41. Alone each could be a quotient or a month.

use super::{Cells, Column, Role};
use crate::sense::Kind;
use crate::view::{Item, View};
use std::collections::BTreeSet;
use windrow_text::vocabulary::Concept;

/// Fewest lines that such names are read from.
const FEWEST: usize = 3;
/// Least weight of a heading that says they are names.
const HEADED: f32 = 0.4;

/// Where no column tells names, one of such pairs does: all different, headed as names are, and where the heading may be that of days each
/// beginning with what stands left of it.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    settle_days(view, columns, cells);
    let names = |column: &Column| matches!(column.role, Role::Field(Concept::Tag | Concept::Serial));
    if columns.iter().any(names) {
        return;
    }
    let are_names = |at: &usize| {
        let column = &columns[*at];
        let own = cells.get(&column.column).map(Vec::as_slice).unwrap_or_default();
        let texts: BTreeSet<&str> = own.iter().map(|item| view.cell(item).text.trim()).collect();
        let is_headed =
            column.heading.concepts.iter().any(|(concept, weight, _)| *concept == Concept::Tag && *weight >= HEADED);
        // "Tag" over "12/3" is a day in German.
        let may_be_day = column.heading.has(Concept::Date);
        let is_open = matches!(column.role, Role::Unknown | Role::Field(Concept::Date));
        let begins = || at.checked_sub(1).is_some_and(|left| begin_with(view, own, cells.get(&columns[left].column)));
        is_open
            && own.len() >= FEWEST
            && texts.len() == own.len()
            && own.iter().all(|item| pair(view, item).is_some())
            && is_headed
            && (!may_be_day || begins())
    };
    if let Some(at) = (0..columns.len()).find(are_names) {
        (columns[at].role, columns[at].fit) = (Role::Field(Concept::Tag), 0.8);
    }
}

/// "12/3", "14/5" under a word that means machines in one language and days in another ("Tag") are days without their year.
fn settle_days(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    let is_day = |item: &Item| {
        let text = view.cell(item).text.trim();
        let second = text.split_once(['/', '-']).and_then(|(_, second)| second.parse().ok());
        let first = pair(view, item).and_then(|first| first.parse().ok());
        first.is_some_and(|day: u8| (1..=31).contains(&day))
            && second.is_some_and(|month: u8| (1..=12).contains(&month))
    };
    for column in columns
        .iter_mut()
        .filter(|column| column.role == Role::Field(Concept::Tag) && column.heading.has(Concept::Date))
    {
        let own = cells.get(&column.column).map(Vec::as_slice).unwrap_or_default();
        if own.len() >= FEWEST && own.iter().all(is_day) {
            column.role = Role::Field(Concept::Date);
        }
    }
}

/// Whether each pair begins with the number that stands left of it or above that, and one at least with its own.
fn begin_with(view: &View<'_>, own: &[Item], left: Option<&Vec<Item>>) -> bool {
    let Some(left) = left else { return false };
    let is_told = |item: &&Item| view.sense(item).kind != Kind::Ditto;
    let of = |item: &Item| left.iter().filter(is_told).rev().find(|told| told.row <= item.row);
    // "2014" before "2014-05" is a year before its month.
    let is_year = |text: &str| text.len() == 4 && (text.starts_with("19") || text.starts_with("20"));
    let begins = |item: &Item| {
        let told = of(item).map(|told| view.cell(told).text.trim()).filter(|told| !is_year(told));
        told.is_some() && pair(view, item) == told
    };
    own.iter().all(begins) && left.iter().filter(is_told).count() >= 2
}

/// The first of two numbers that a text is, with a hyphen or stroke between.
fn pair<'v>(view: &'v View<'_>, item: &Item) -> Option<&'v str> {
    let (first, second) = view.cell(item).text.trim().split_once(['/', '-'])?;
    let is_number = |text: &str| !text.is_empty() && text.len() <= 5 && text.bytes().all(|b| b.is_ascii_digit());
    (is_number(first) && is_number(second)).then_some(first)
}
