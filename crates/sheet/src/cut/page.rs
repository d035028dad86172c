//! The same header again below a body: a page break within one table, or the next of several tables that look alike.

use super::header::Cutter;
use super::profile::Profile;
use crate::line::{self, is_value};
use crate::sense::{Kind, Sense};
use crate::view::Item;
use windrow_text::circuit::Named;
use windrow_text::vocabulary::Concept;

/// Lines that may stand between the title of a table and its header.
const MOST_BETWEEN: usize = 6;

/// What stands where the first line of a header stands again.
pub(super) enum Again {
    /// The whole header, with the titles of the page before it: its cells, and the line after it.
    Same(Vec<Item>, usize),
    /// A header that goes on otherwise ("Gohm" where "Mohm" stood): the next table.
    Other,
}

impl Cutter<'_, '_> {
    /// The same header again, with up to three lines of page title before it.
    pub(super) fn page_break(&self, at: usize, header: &[Vec<Item>], (left, right): (u32, u32)) -> Option<Again> {
        let mut cells = Vec::new();
        for ahead in at..(at + 4).min(self.view.line_count()) {
            let items = self.free(ahead, left, right);
            if self.is_same_header(&items, header.first()?) {
                if self.is_page_of_another(at, ahead, header) {
                    return Some(Again::Other);
                }
                cells.extend(items);
                let mut next = ahead + 1;
                for line in header.iter().skip(1) {
                    let items = self.free(next, left, right);
                    if self.is_same_header(&items, line) {
                        cells.extend(items);
                        next += 1;
                    } else if items.len() >= 2
                        && (line::is_subheader(self.view, &items) || line::is_header(self.view, &items))
                    {
                        return Some(Again::Other);
                    }
                }
                return Some(Again::Same(cells, next));
            }
            if self.tells_beside(ahead, left) {
                return None;
            }
            // A page title holds no values but a page number.
            let values = items.iter().filter(|item| is_value(self.view, item)).count();
            if items.len() > 4 || values > 1 || items.iter().any(|item| self.tells_new_context(item)) {
                return None;
            }
            cells.extend(items);
        }
        None
    }

    /// "DREDGER OTTERBANK" where the first page has "DREDGER LANNER", as far above the same header: the page is of another ship or plant.
    fn is_page_of_another(&self, from: usize, header_line: usize, header: &[Vec<Item>]) -> bool {
        let Some(top) = header.first().and_then(|line| line.first()).map(|item| item.row) else { return false };
        let is_name = |item: &Item| {
            let (text, sense) = (self.view.cell(item).text.trim(), self.view.sense(item));
            let is_page = sense.concept() == Some(Concept::Page);
            let letters = text.chars().filter(|c| c.is_alphabetic()).count();
            sense.kind == Kind::Text
                && !is_page
                && letters >= 4
                && text.starts_with(char::is_uppercase)
                && !text.contains(|c: char| c.is_ascii_digit() || c == ':')
        };
        (from..header_line).any(|at| {
            let distance = self.view.row(header_line).saturating_sub(self.view.row(at));
            let Some(row) = top.checked_sub(distance).filter(|_| distance > 0) else { return false };
            let of_first = self.view.line(self.view.line_at(row)).first().filter(|item| item.row == row);
            let (Some(own), Some(first)) = (self.view.line(at).first(), of_first) else { return false };
            let text = |item: &Item| windrow_text::fold::fold(&self.view.cell(item).text);
            own.column == first.column && is_name(own) && is_name(first) && text(own) != text(first)
        })
    }

    /// Whether a line tells a machine or date of the same header again, which stands below it with nothing between but lone texts and
    /// pairs: "Motor P-102 2018-03-05" begins the next of several tables that look alike.
    pub(super) fn is_title_of_same(
        &self,
        at: usize,
        header: &[Vec<Item>],
        (left, right): (u32, u32),
        profile: &Profile,
    ) -> bool {
        let title = self.free(at, left, right);
        let is_title = title.len() == 1 || title.len() <= 3 && profile.agreement(self.view, &title) < 0.75;
        let tells = |item: &Item| self.tells_machine_or_date(item) && !self.stands_under_its_kind(item, header);
        let Some(top) = header.first().filter(|_| is_title && title.iter().any(tells)) else { return false };
        for ahead in at + 1..(at + 2 + MOST_BETWEEN).min(self.view.line_count()) {
            let items = self.free(ahead, left, right);
            if self.is_same_header(&items, top) {
                return true;
            }
            if items.len() > 1 && !line::is_pair_row(self.view, &items) {
                return false;
            }
        }
        false
    }

    /// "Record | 471", "Vessel | …", "Test object | …" behind a blank line, and the same header again below them: the labels of the next
    /// record, though their numbers would fit the columns.
    pub(super) fn begins_record(&self, at: usize, header: &[Vec<Item>], (left, right): (u32, u32)) -> bool {
        let Some(top) = header.first() else { return false };
        for ahead in at..(at + 2 + MOST_BETWEEN).min(self.view.line_count()) {
            let items = self.free(ahead, left, right);
            if ahead >= at + 2 && self.is_same_header(&items, top) {
                return true;
            }
            let is_label = items.first().is_some_and(|item| {
                self.view.sense(item).kind == Kind::Text && !is_value(self.view, item) && item.column == left
            });
            let is_apart = ahead == at || self.view.row(ahead) == self.view.row(ahead - 1) + 1;
            if items.len() > 2 || !is_label || !is_apart {
                return false;
            }
        }
        false
    }

    /// Whether a column tells machines or dates line by line, of which the cell is one.
    fn stands_under_its_kind(&self, item: &Item, header: &[Vec<Item>]) -> bool {
        let mut over = header.iter().flatten().filter(|head| head.column <= item.column && item.column <= head.right);
        let is_date = self.view.sense(item).kind == Kind::Date;
        over.any(|head| {
            let concept = self.view.sense(head).concept();
            concept.is_some_and(crate::fit::names_machine) || is_date && concept == Some(Concept::Date)
        })
    }

    /// Whether a line tells a machine, date or quantity at the left of the columns from `left`.
    pub(super) fn tells_beside(&self, at: usize, left: u32) -> bool {
        let beside = left.checked_sub(1).map_or_else(Vec::new, |edge| self.free(at, 0, edge));
        beside.iter().any(|item| self.tells_new_context(item))
    }

    /// Whether a cell between two equal headers tells a machine, date or quantity, so that a new block begins.
    fn tells_new_context(&self, item: &Item) -> bool {
        let sense = self.view.sense(item);
        self.tells_machine_or_date(item)
            || sense.is_pair
            || windrow_text::marks::is_voltage_on(&self.view.cell(item).text)
            || sense.label.concepts.iter().any(|(concept, _)| crate::fit::quantity(*concept).is_some())
            || sense.label.units.iter().any(|meaning| !meaning.colloquial)
            || names_terminals(sense)
            || sense.concept().is_some_and(|concept| {
                matches!(
                    concept,
                    Concept::TestVoltage
                        | Concept::Circuit
                        | Concept::WindingTemperature
                        | Concept::AmbientTemperature
                        | Concept::Temperature
                )
            })
    }

    fn tells_machine_or_date(&self, item: &Item) -> bool {
        let sense = self.view.sense(item);
        let text = &self.view.cell(item).text;
        sense.kind == Kind::Date
            || sense.tag >= 0.5
            || windrow_text::date::find_in(text).is_some()
            || text.split_whitespace().any(|word| windrow_text::tag::likeness(word) >= 0.5)
            || matches!(sense.concept(), Some(Concept::Tag | Concept::Date | Concept::Serial))
    }

    fn is_same_header(&self, items: &[Item], header: &[Item]) -> bool {
        items.len() >= 2
            && items.len() == header.len()
            && items
                .iter()
                .zip(header)
                .all(|(a, b)| a.column == b.column && self.view.cell(a).text == self.view.cell(b).text)
    }
}

/// "Phase V to earth, the others earthed", "All phases to frame": of what stands below it only.
fn names_terminals(sense: &Sense) -> bool {
    let is_phase = |named: Named| matches!(named, Named::Phase(_) | Named::PhaseToEarth(_) | Named::Pair(..));
    let in_label = || sense.label.circuits.iter().any(|meaning| meaning.weight >= 0.5 && is_phase(meaning.named));
    let is_whole = || sense.words >= 2 && sense.circuits.iter().any(|meaning| meaning.weight >= 0.5);
    sense.kind == Kind::Text && (in_label() || is_whole())
}
