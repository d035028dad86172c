//! Columns and the headers made from names.

use std::collections::BTreeMap;

use windrow_source::{Area, Cell, Grid};

use crate::pattern::Role;
use crate::tree::Tree;

/// Names that say that something is a record and not what it is about; they head nothing.
const STRUCTURAL: [&str; 26] = [
    "row", "rows", "record", "records", "rec", "entry", "entries", "line", "item", "items", "data", "dataset", "list",
    "element", "node", "object", "cell", "col", "column", "field", "c", "td", "zeile", "eintrag", "ligne", "registro",
];

/// Where a value stands: at which path, in which attribute or in the text, and as which of several unmarked ones.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Slot {
    pub(crate) path: usize,
    pub(crate) attribute: Option<String>,
    pub(crate) number: u32,
}

/// The columns in the order in which the document first fills them.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Columns {
    of_slot: BTreeMap<Slot, u32>,
    slots: Vec<Slot>,
}

impl Columns {
    /// The column of `slot`.
    pub(crate) fn of(&mut self, slot: Slot) -> u32 {
        let next = u32::try_from(self.slots.len()).unwrap_or(u32::MAX);
        *self.of_slot.entry(slot).or_insert_with_key(|slot| {
            self.slots.push(slot.clone());
            next
        })
    }

    /// Writes the headers into the rows from `row` on: on top what holds the records of a kind, where anything does, below it the name
    /// of what owns neighbouring columns, at the bottom the own name.
    pub(crate) fn write_headers(&self, grid: &mut Grid, row: u32, tree: &Tree, roles: &[Role]) {
        let names: Vec<Names> = self.slots.iter().map(|slot| self.names(slot, tree)).collect();
        let wrappers: Vec<Option<&str>> = self.slots.iter().map(|slot| wrapper(slot.path, tree, roles)).collect();
        let mut left = 0;
        for run in wrappers.chunk_by(|a, b| a == b) {
            let width = u32::try_from(run.len()).unwrap_or(1);
            if let Some(Some(wrapper)) = run.first() {
                grid.cells.push(Cell::name(row, left, *wrapper));
                if width > 1 {
                    grid.merges.push(Area { top: row, left, bottom: row, right: left + width - 1 });
                }
            }
            left += width;
        }
        let row = row + header_rows(tree, roles) - 2;
        let mut left = 0;
        for group in names.chunk_by(|a, b| a.owner.is_some() && a.owner == b.owner && a.owner_path == b.owner_path) {
            let width = u32::try_from(group.len()).unwrap_or(1);
            if let Some(owner) = group.first().and_then(|names| names.owner.clone()) {
                grid.cells.push(Cell::name(row, left, owner));
                if width > 1 {
                    grid.merges.push(Area { top: row, left, bottom: row, right: left + width - 1 });
                }
            }
            for (column, names) in (left..).zip(group) {
                grid.cells.extend(names.own.clone().map(|own| Cell::name(row + 1, column, own)));
            }
            left += width;
        }
    }

    fn names(&self, slot: &Slot, tree: &Tree) -> Names {
        let name = |path: Option<usize>| path.and_then(|path| tree.paths.get(path)).map(|path| path.name.clone());
        let parent = tree.paths.get(slot.path).and_then(|path| path.parent);
        let has_others = self.slots.iter().any(|other| other.path == slot.path && other.attribute.is_some());
        let (owner_path, own) = match &slot.attribute {
            Some(attribute) => (Some(slot.path), Some(attribute.clone())),
            None if has_others => (Some(slot.path), name(Some(slot.path))),
            None => (parent, name(Some(slot.path)).filter(|name| slot.number == 0 || !is_structural(name))),
        };
        let owner_path = owner_path.filter(|path| *path != 0);
        Names { owner: name(owner_path).filter(|name| !is_structural(name)), owner_path, own }
    }
}

/// Rows that the headers take: one more where what holds records says what they are.
pub(crate) fn header_rows(tree: &Tree, roles: &[Role]) -> u32 {
    if (0..tree.paths.len()).any(|path| wrapper(path, tree, roles).is_some()) { 3 } else { 2 }
}

/// The name of what holds the record that a value belongs to: no record itself, but said once (`<ir unit="MOhm">` around several
/// `<point>`), so that it says what they all are. `<tests>` around `<test>` says nothing more.
fn wrapper<'t>(path: usize, tree: &'t Tree, roles: &[Role]) -> Option<&'t str> {
    let role = |path: usize| roles.get(path).copied().unwrap_or_default();
    let name = |path: usize| tree.paths.get(path).map(|path| path.name.as_str());
    let parent = |path: usize| tree.paths.get(path).and_then(|path| path.parent);
    let mut record = path;
    while role(record) != Role::Row {
        record = parent(record)?;
    }
    let around = parent(record).filter(|around| *around != 0 && role(*around) == Role::Single)?;
    let is_plural = |wrapper: &&str| {
        let record = name(record).unwrap_or_default().to_lowercase();
        wrapper.to_lowercase().starts_with(&record)
    };
    name(around).filter(|name| !is_structural(name) && !is_plural(name))
}

#[derive(Debug, Clone, PartialEq, Eq)]
struct Names {
    owner: Option<String>,
    owner_path: Option<usize>,
    own: Option<String>,
}

/// The label of a value that is said once: its name after the name of the element that it stands in, unless that is the root.
pub(crate) fn label(slot: &Slot, tree: &Tree) -> String {
    let path = tree.paths.get(slot.path);
    let name = path.map_or("", |path| &path.name);
    let owner =
        path.and_then(|path| path.parent).filter(|parent| *parent != 0).and_then(|parent| tree.paths.get(parent));
    match (&slot.attribute, owner) {
        (Some(attribute), _) if slot.path == 0 => attribute.clone(),
        (Some(attribute), _) => format!("{name} {attribute}"),
        (None, Some(owner)) if !is_structural(&owner.name) => format!("{} {name}", owner.name),
        (None, _) => name.to_owned(),
    }
}

fn is_structural(name: &str) -> bool {
    STRUCTURAL.iter().any(|known| known.eq_ignore_ascii_case(name))
}
