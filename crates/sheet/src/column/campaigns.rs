//! Groups headed by a word and a year ("Shutdown 2013 | Shutdown 2014"): the year is when, whatever the word.

use super::{Column, Role};
use crate::heading::By;
use crate::view::{Item, View};
use windrow_text::vocabulary::Concept;

/// Most words beside the year.
const MOST_WORDS: usize = 3;

/// In a table whose lines name their machines, headings that look like names and differ in nothing but their years are those years.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column]) {
    if !columns.iter().any(|column| matches!(column.role, Role::Field(Concept::Tag | Concept::Serial))) {
        return;
    }
    let told = |column: &Column| {
        let item = column.heading.tag.as_ref()?.item;
        Some((item, year_and_rest(view.cell(&item).text.trim())?))
    };
    let all: Vec<(Item, (i16, String))> = columns.iter().filter_map(told).collect();
    let has_sister = |(year, rest): &(i16, String)| all.iter().any(|(_, (other, same))| same == rest && other != year);
    let headed = columns.iter().filter(|column| column.heading.tag.is_some()).count();
    if all.len() != headed || !all.iter().all(|(_, told)| has_sister(told)) {
        return;
    }
    for column in columns {
        let Some((item, (year, _))) = told(column) else { continue };
        column.heading.tag = None;
        column.heading.number = Some(By { value: f64::from(year), item });
    }
}

/// The year at the end or beginning of a few words without another digit, and those words.
fn year_and_rest(text: &str) -> Option<(i16, String)> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let is_year = |word: &&&str| word.len() == 4 && word.parse::<i16>().is_ok_and(|year| (1930..2100).contains(&year));
    let year = words.last().filter(is_year).or_else(|| words.first().filter(is_year))?;
    let rest: Vec<&str> = words.iter().filter(|word| *word != year).copied().collect();
    let rest = rest.join(" ");
    // "Pump 2001" is a machine's name.
    let names_machine = windrow_text::fold::fold(&rest).split(' ').any(windrow_text::said::names_machine);
    let is_plain = !rest.is_empty() && !rest.contains(|c: char| c.is_ascii_digit()) && !names_machine;
    (is_plain && words.len() <= MOST_WORDS + 1).then_some((year.parse().ok()?, rest))
}
