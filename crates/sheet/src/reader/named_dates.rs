//! Dates that a title tells for columns by their headings: "Previous year: 03.1988   Current: 04.1989" over columns so named.

use super::Reader;
use crate::column::{Column, Role};
use crate::context::ReadTable;
use crate::dates::{self, DateTold};
use crate::pool::Count;
use crate::view::{Item, Orientation};
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::PartialDate;
use windrow_model::raw::{Told, Via};
use windrow_text::date;
use windrow_text::fold::fold;

/// Most lines outside tables that are looked at.
const MOST_LINES: usize = 100;
/// Fewest letters of a heading that a title can name: one or two letters mean too much else.
const FEWEST_LETTERS: usize = 4;
/// Most words of a date.
const DATE_WORDS: usize = 3;

impl Reader<'_, '_, '_> {
    /// The date that a title tells for each column of readings, by the name over it.
    pub(super) fn named_dates(&self, read: &ReadTable) -> BTreeMap<u32, Told<PartialDate>> {
        if self.view.orientation != Orientation::Upright {
            return BTreeMap::new();
        }
        let lines = self.lines_of_titles(read.table.top());
        let is_open = |column: &&Column| {
            let heading = &column.heading;
            matches!(column.role, Role::Reading(_)) && heading.circuits.is_empty() && column.group().is_none()
        };
        let columns = read.columns.iter().filter(is_open);
        columns.filter_map(|column| Some((column.column, self.named_date_of(column, &lines)?))).collect()
    }

    /// Lines above a table that stand in no table and hold what may end a label.
    fn lines_of_titles(&self, top: u32) -> Vec<Vec<Item>> {
        let loose = &self.scene.loose;
        let pairs = loose.pairs.iter().map(|pair| pair.label.row);
        let rows: BTreeSet<u32> = loose.captions.iter().map(|caption| caption.item.row).chain(pairs).collect();
        let line = |row: u32| self.view.line(self.view.line_at(row)).to_vec();
        let may_tell = |line: &Vec<Item>| line.iter().any(|item| self.view.cell(item).text.contains([':', '=', '(']));
        rows.into_iter().filter(|row| *row < top).map(line).filter(may_tell).take(MOST_LINES).collect()
    }

    /// The one date that the lines tell behind the name over a column.
    fn named_date_of(&self, column: &Column, lines: &[Vec<Item>]) -> Option<Told<PartialDate>> {
        let head = self.view.cell(column.heading.items.last()?).text.as_str();
        let name = fold(head.split(['(', '[']).next()?.trim());
        if name.chars().filter(|c| c.is_alphabetic()).count() < FEWEST_LETTERS {
            return None;
        }
        let mut told: Vec<Told<PartialDate>> = Vec::new();
        for line in lines {
            let texts: Vec<&str> = line.iter().map(|item| self.view.cell(item).text.trim()).collect();
            let text = texts.join(" ");
            let Some(date) = named_date(&name, &text).or_else(|| bracketed_date(&name, &text)) else { continue };
            let meanings = date::read(&date);
            let levels = self.date_levels(Count::default(), &meanings);
            let DateTold::Known(known) = dates::settle(&meanings, &date, &levels) else {
                return None;
            };
            let first = date.split_whitespace().next().unwrap_or_default();
            let at = line.iter().find(|item| self.view.cell(item).text.contains(first)).or(line.first())?;
            told.push(self.told(known, Via::Column, at));
        }
        let first = told.first()?.value;
        told.iter().all(|other| other.value == first).then(|| told.swap_remove(0))
    }
}

/// The text of the date right behind `name` and a colon or sign of equality.
fn named_date(name: &str, text: &str) -> Option<String> {
    text.char_indices().filter(|(_, c)| matches!(c, ':' | '=')).find_map(|(at, _)| {
        let before = fold(text.get(..at)?);
        let is_named = before.strip_suffix(name).is_some_and(|rest| rest.is_empty() || rest.ends_with(' '));
        let words: Vec<&str> = text.get(at + 1..)?.split_whitespace().take(DATE_WORDS).collect();
        let dates = (1..=words.len()).rev().map(|count| words[..count].join(" "));
        let mut dates = dates.map(|words| words.trim_matches([',', ';', ')', '(']).to_owned());
        dates.find(|words| is_named && !date::read(words).is_empty())
    })
}

/// The text of the date before a bracket that begins with `name`, where two dates or more have such brackets of their own: "on 3 May 2004
/// (before cleaning) and on 17 May 2004 (after cleaning)" over columns "Before" and "After".
fn bracketed_date(name: &str, text: &str) -> Option<String> {
    let mut dates: Vec<(std::ops::Range<usize>, String)> = Vec::new();
    for (range, meaning) in date::find_all(text) {
        let behind = text.get(range.end..)?.trim_start();
        let said = behind.strip_prefix('(').and_then(|said| said.split(')').next()).map(fold);
        if let Some(said) = said.filter(|_| !meaning.bare_number)
            && dates.last().is_none_or(|(last, _)| *last != range)
        {
            dates.push((range, said));
        }
    }
    let is_named = |said: &str| said.strip_prefix(name).is_some_and(|rest| rest.is_empty() || rest.starts_with(' '));
    let mut own = dates.iter().filter(|(_, said)| is_named(said));
    let first = own.next().filter(|_| dates.len() >= 2)?;
    own.next().is_none().then(|| text.get(first.0.clone()).map(str::to_owned))?
}

#[cfg(test)]
mod tests {
    use super::{bracketed_date, named_date};

    #[test]
    fn a_date_stands_before_the_bracket_that_names_its_column() {
        let title = "Measured on 3 May 2004 (before cleaning) and on 17 May 2004 (after cleaning and drying).";
        assert_eq!(bracketed_date("before", title).as_deref(), Some("3 May 2004"));
        assert_eq!(bracketed_date("after", title).as_deref(), Some("17 May 2004"));
        assert_eq!(
            bracketed_date("after", "Measured on 17 May 2004 (after cleaning)"),
            None,
            "one day is that of the table"
        );
        assert_eq!(bracketed_date("later", title), None);
    }

    #[test]
    fn a_date_stands_behind_the_name_of_its_column() {
        let title = "Insulation (MOhm, 500 V) Previous year: 03.1988   Current: 04.1989";
        assert_eq!(named_date("previous year", title).as_deref(), Some("03.1988"));
        assert_eq!(named_date("current", title).as_deref(), Some("04.1989"));
        assert_eq!(named_date("year", title).as_deref(), Some("03.1988"));
        assert_eq!(named_date("before", "As found: 12 March 2001, before: wet").as_deref(), None);
        assert_eq!(named_date("found", "As found = 12 March 2001").as_deref(), Some("12 March 2001"));
    }
}
