//! Tables in outline, as pivots print them: the machine stands alone in a line over the lines of what was measured on it, and the place in a
//! line over its machines.

use super::Reader;
use super::line::Line;
use crate::column::{Column, Role};
use crate::context::ReadTable;
use crate::cut::BodyLine;
use crate::loose;
use crate::view::{Item, Orientation};
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::raw::{Mention, Told, Via};
use windrow_model::{Disposition, Text};
use windrow_text::vocabulary::Concept;

/// Fewest machines of an outline.
const FEWEST: usize = 2;

/// A line of a machine over others.
#[derive(Debug)]
struct Head {
    item: Item,
    tag: String,
    place: Option<Item>,
}

/// The heads of a table, by row.
#[derive(Debug)]
pub(super) struct Outline {
    heads: BTreeMap<u32, Head>,
    /// Lines that stand over heads.
    places: BTreeSet<u32>,
    /// Whether one name stands under two places, so that they are different plants.
    are_sites: bool,
}

impl Reader<'_, '_, '_> {
    /// Reads a table as an outline, if each line that holds nothing but a label, and is followed by lines of values, names a machine.
    pub(super) fn outline(&self, read: &ReadTable) -> Option<Outline> {
        let names = |column: &Column| {
            matches!(column.role, Role::Field(Concept::Tag | Concept::Serial)) || column.heading.tag.is_some()
        };
        let labels = read.columns.iter().find(|column| column.role == Role::LineLabel)?.column;
        let is_upright = self.view.orientation == Orientation::Upright;
        if !is_upright || !read.has_readings() || read.columns.iter().any(names) {
            return None;
        }
        let mut outline = Outline { heads: BTreeMap::new(), places: BTreeSet::new(), are_sites: false };
        let (mut run, mut place): (Vec<Item>, Option<Item>) = (Vec::new(), None);
        for line in self.entries_of(read, labels) {
            match line {
                Entry::Alone(item) => run.push(item),
                Entry::Values => {
                    let Some(item) = run.pop() else {
                        // Values over which no name stands are of no one's.
                        if outline.heads.is_empty() {
                            return None;
                        }
                        continue;
                    };
                    match run.as_slice() {
                        [] => {}
                        [over] if loose::named_machine(self.text_of(over)).is_none() => {
                            outline.places.insert(over.row);
                            place = Some(*over);
                        }
                        _ => return None,
                    }
                    run.clear();
                    let tag = loose::named_machine(self.text_of(&item))?;
                    outline.heads.insert(item.row, Head { item, tag, place });
                }
            }
        }
        let mut under: BTreeMap<&str, BTreeSet<Option<u32>>> = BTreeMap::new();
        for head in outline.heads.values() {
            under.entry(&head.tag).or_default().insert(head.place.map(|place| place.cell));
        }
        let is_outline = under.len() >= FEWEST && run.is_empty();
        outline.are_sites = under.values().any(|places| places.len() >= 2);
        is_outline.then_some(outline)
    }

    /// The lines of a table with those right below its header that were taken for titles.
    fn entries_of(&self, read: &ReadTable, labels: u32) -> Vec<Entry> {
        let header = read.table.header.iter().flatten().map(|item| item.row).max().unwrap_or(0);
        let first = read.table.body.first().map_or(0, |line| line.row);
        let captions = self.scene.loose.captions.iter().map(|caption| caption.item);
        let above = captions.filter(|item| header < item.row && item.row < first && item.column == labels);
        let mut above: Vec<Item> = above.collect();
        above.sort_by_key(|item| item.row);
        let of_body =
            read.table.body.iter().filter(|line| !line.is_statistic).map(|line| match line.items.as_slice() {
                [only] if only.column == labels => Entry::Alone(*only),
                _ => Entry::Values,
            });
        above.into_iter().map(Entry::Alone).chain(of_body).collect()
    }

    /// What holds for a line of an outline; nothing where the line is a head itself.
    pub(super) fn under(&mut self, outline: &Outline, line: &BodyLine, base: &Line) -> Option<Line> {
        let is_place = outline.places.contains(&line.row);
        if let Some(item) = line.items.first().filter(|_| is_place || outline.heads.contains_key(&line.row)) {
            self.mark(item, Disposition::Value, None);
            return None;
        }
        let Some((_, head)) = outline.heads.range(..line.row).next_back() else { return Some(base.clone()) };
        let text = self.text_of(&head.item);
        let told = |text: &str, item: &Item| -> Told<Text> { self.told(text.into(), Via::Section, item) };
        let description = text.strip_prefix(head.tag.as_str()).map(str::trim).filter(|rest| !rest.is_empty());
        let place = head.place.map(|item| told(self.text_of(&item), &item));
        let (site, area) = if outline.are_sites { (place, None) } else { (None, place) };
        let machine = Mention {
            tag: Some(told(&head.tag, &head.item)),
            description: description.map(|text| told(text, &head.item)),
            site: site.or_else(|| base.machine.site.clone()),
            area: area.or_else(|| base.machine.area.clone()),
            ..Mention::default()
        };
        let origin = (Some(head.item.cell), base.origin.1);
        Some(Line { machine, machine_conflict: false, origin, ..base.clone() })
    }

    fn text_of(&self, item: &Item) -> &str {
        self.view.cell(item).text.trim()
    }
}

/// A line of an outline.
enum Entry {
    /// Nothing but a label.
    Alone(Item),
    /// Anything else.
    Values,
}
