//! Which circumstances hold for a block: what stands between the block above and this one, then the section, then the
//! sheet. Two different values and none nearer is a conflict, never a choice.

mod forms;
mod long_list;
mod nearest;
mod noted;
mod notes;
mod reach;
mod swaps;
mod titles;

pub use nearest::Found;
pub use noted::NotedUnits;
pub use reach::Reach;
pub use swaps::Swaps;

use crate::column::{self, Column, Role};
use crate::cut::{BodyLine, Cut, Table};
use crate::fellows::{self, Fellows};
use crate::layout::Laid;
use crate::line;
use crate::loose::{self, Caption, Loose, Pair, UnitMark};
use crate::prose::{self, Passage};
use crate::sense::Kind;
use crate::view::{Item, Orientation, View};
use std::collections::{BTreeMap, BTreeSet};
use windrow_text::vocabulary::Concept;

/// A table with its columns read.
#[derive(Debug)]
pub struct ReadTable {
    /// The table.
    pub table: Table,
    /// Its columns.
    pub columns: Vec<Column>,
    /// For a column of values the column that tells their units line by line.
    pub unit_columns: BTreeMap<u32, u32>,
    /// For a column of readings the column that tells what they are multiplied by, and whether it surely speaks of them.
    pub multipliers: BTreeMap<u32, (u32, bool)>,
    /// For a column of readings the column that tells which went over range, and whether it surely speaks of them.
    pub over_range: BTreeMap<u32, (u32, bool)>,
    /// Which circumstances speak for some readings of a line only.
    pub fellows: Fellows,
}

impl ReadTable {
    /// Whether any column holds readings.
    #[must_use]
    pub fn has_readings(&self) -> bool {
        self.columns.iter().any(|column| matches!(column.role, Role::Reading(_)))
    }
}

/// What a block is made of.
#[derive(Debug, Clone)]
pub enum Body {
    /// Table number so and so.
    Table(usize),
    /// Readings told as pairs: numbers of the pairs.
    Pairs(Vec<usize>),
    /// Readings told in sentences: number of the passage.
    Prose(usize),
}

/// A part of the view whose numbers share their circumstances.
#[derive(Debug, Clone)]
pub struct Block {
    /// First and last row.
    pub rows: (u32, u32),
    /// First and last column.
    pub columns: (u32, u32),
    /// What it is made of.
    pub body: Body,
}

/// A view, understood as far as its structure goes.
#[derive(Debug)]
pub struct Scene<'v, 'a> {
    /// The view.
    pub view: &'v View<'a>,
    /// Tables.
    pub tables: Vec<ReadTable>,
    /// Readings told in sentences.
    pub passages: Vec<Passage>,
    /// Pairs and captions.
    pub loose: Loose,
    /// Blocks in order.
    pub blocks: Vec<Block>,
    /// For each block the first one of the table that it continues; itself if it continues none.
    pub homes: Vec<usize>,
    /// For each block the columns in which what is told is its own.
    pub reaches: Vec<Reach>,
    /// Notes that explain a sign, wherever they stand.
    pub footnotes: Vec<Caption>,
    /// Marks that change the unit of the numbers they stand at, wherever they are explained.
    pub unit_marks: Vec<UnitMark>,
    /// Texts within tables that tell a unit from there on ("from here on all in GΩ"), from the top.
    pub unit_turns: Vec<Caption>,
    /// Units that comments name.
    pub noted_units: NotedUnits,
    /// Texts that say that columns, lines, phases or leads are swapped: which readings they mean a person knows.
    pub swaps: Swaps,
    /// Header cells of tables that became pairs.
    pub absorbed: Vec<Item>,
}

impl Scene<'_, '_> {
    /// Whether names of terminals stand over the second part of a table right below its first ("| U | V | W |" below "U-V | V-W | W-U"):
    /// turned over, each line would have two.
    #[must_use]
    pub fn is_headed_again(&self) -> bool {
        let terminals = |read: &ReadTable| {
            let named = read.columns.iter().filter(|column| !column.heading.circuits.is_empty());
            let texts = named.map(|column| column.heading.text(self.view));
            texts.filter(|text| text.split_whitespace().count() <= 2).collect::<BTreeSet<_>>().len()
        };
        let is_again = |read: &ReadTable| {
            let table = &read.table;
            let follows = |other: &ReadTable| {
                let columns = other.table.columns;
                other.table.bottom() + 1 == table.top()
                    && columns.0 <= table.columns.1
                    && table.columns.0 <= columns.1
                    && terminals(other) >= 2
            };
            table.header.len() == 1 && terminals(read) >= 2 && self.tables.iter().any(follows)
        };
        self.tables.iter().any(is_again)
    }
}

/// Finds structure in a cut view.
#[must_use]
pub fn scene<'v, 'a>(view: &'v View<'a>, cut: Cut) -> Scene<'v, 'a> {
    scene_with(view, cut, &mut Laid::none())
}

/// Finds structure in a cut view, with what a layout file tells of it.
#[must_use]
pub fn scene_with<'v, 'a>(view: &'v View<'a>, cut: Cut, laid: &mut Laid<'_>) -> Scene<'v, 'a> {
    let (cut, passages) = prose::take(view, cut);
    let mut loose = loose::read(view, &cut.loose);
    laid.fields(view, &mut loose);
    let mut absorbed = Vec::new();
    let mut tables = Vec::new();
    for table in cut.tables {
        let mut columns = column::columns(view, &table);
        laid.columns(view, &table, &mut columns);
        let unit_columns = column::unit_columns(view, &columns);
        let fellows = fellows::fellows(view, &columns);
        let mut multipliers = column::companions(&columns, Concept::Multiplier);
        multipliers.extend(column::companions(&columns, Concept::Exponent));
        let over_range = column::companions(&columns, Concept::OverRange);
        let read = ReadTable { table, columns, unit_columns, multipliers, over_range, fellows };
        notes::headed(view, &read, &mut loose);
        if read.table.body.len() == 1 && !read.has_readings() {
            absorb(view, &read, &mut loose, &mut absorbed);
        } else {
            tables.push(read);
        }
    }
    loose::tests_named(view, &mut loose);
    loose.pairs.sort_by_key(|pair| (pair.value.row, pair.value.column));
    loose.captions.sort_by_key(|caption| (caption.item.row, caption.item.column));
    let blocks = blocks(view, &tables, &loose, &passages);
    let homes = homes(&tables, &loose, &blocks);
    let reaches = reach::reaches(&blocks, &loose, &forms::form_starts(view, &loose));
    let unit_turns = unit_turns(view, &tables, &loose);
    let footnotes = notes::footnotes(view);
    let swaps = Swaps::of(view, &tables);
    Scene {
        view,
        tables,
        passages,
        loose,
        blocks,
        homes,
        reaches,
        unit_marks: notes::unit_marks(view, &footnotes),
        footnotes,
        unit_turns,
        noted_units: NotedUnits::of(view),
        swaps,
        absorbed,
    }
}

/// Loose texts between the first and the last line of a table's body that tell a unit and no limit.
fn unit_turns(view: &View<'_>, tables: &[ReadTable], loose: &Loose) -> Vec<Caption> {
    if view.orientation != Orientation::Upright {
        return Vec::new();
    }
    let is_within = |item: &Item| {
        tables.iter().any(|read| {
            let first = read.table.body.first().map_or(u32::MAX, |line| line.row);
            first < item.row && item.row < read.table.bottom()
        })
    };
    let pairs = loose.pairs.iter().filter(|pair| pair.inline.is_some()).map(|pair| pair.label);
    let captions = loose.captions.iter().map(|caption| caption.item);
    let mut items: Vec<Item> = pairs.chain(captions).filter(is_within).collect();
    items.sort_by_key(|item| (item.row, item.column));
    items.dedup_by_key(|item| item.cell);
    let told = items.iter().map(|item| loose::caption(view.cell(item).text.trim().trim_matches(['-', '*', ' ']), item));
    told.filter(|turn| !turn.units.is_empty() && !turn.concepts.contains(&Concept::Limit)).collect()
}

/// Parts of one table, cut only by blank lines or lines of another kind, are one block as far as tests go.
fn homes(tables: &[ReadTable], loose: &Loose, blocks: &[Block]) -> Vec<usize> {
    let mut homes: Vec<usize> = Vec::with_capacity(blocks.len());
    for (index, block) in blocks.iter().enumerate() {
        let continues =
            matches!(block.body, Body::Table(table) if tables.get(table).is_some_and(|read| read.table.continues));
        let before = (0..index).rev().find(|other| {
            let other = &blocks[*other];
            other.columns == block.columns && other.rows.1 < block.rows.0
        });
        let told_between = |above: &Block| {
            let between = |row: u32| above.rows.1 < row && row < block.rows.0;
            loose.pairs.iter().any(|pair| between(pair.value.row))
                || loose.captions.iter().any(|caption| between(caption.item.row))
        };
        let home =
            before.filter(|other| continues && !told_between(&blocks[*other])).map_or(index, |other| homes[other]);
        homes.push(home);
    }
    homes
}

/// A table of one line without readings tells circumstances, as pairs do.
fn absorb(view: &View<'_>, read: &ReadTable, loose: &mut Loose, absorbed: &mut Vec<Item>) {
    // "Rating | 3.2 MVA" over "Date | 3 May": labels with their values, one below the other.
    let begins_with_key = |line: &BodyLine| line.items.first().is_some_and(|item| line::is_key_label(view, item));
    let tells_day = |item: &Item| view.sense(item).kind == Kind::Date;
    // "Values in GΩ | voltage 5 kV" over "Responsible | workshop": titles side by side, and no headings.
    let tells_measure = |item: &Item| {
        let label = &view.sense(item).label;
        view.sense(item).words >= 2 && (!label.units.is_empty() || label.voltage_v.is_some())
    };
    let is_headed = read.columns.iter().any(|column| matches!(column.role, Role::Field(_)));
    let are_titles = !is_headed && read.table.header.iter().flatten().any(tells_measure);
    if are_titles
        || read.table.header.iter().flatten().any(tells_day)
        || read.table.body.iter().any(|line| begins_with_key(line) && line.items.len() > 1)
    {
        let lines = read.table.header.iter().chain(read.table.body.iter().map(|line| &line.items));
        for line in lines {
            loose::read_line(view, line, loose);
        }
        return;
    }
    // "WINDING TEMP 31 DEG C | RH 40 %" over another line of a form.
    for item in read.table.header.iter().flatten() {
        crate::told::add(view, item, loose.pairs.len(), loose);
    }
    absorbed.extend(read.table.header.iter().flatten().copied());
    absorbed.extend(read.table.repeats.iter().copied());
    for item in read.table.body.iter().flat_map(|line| &line.items) {
        match read.columns.iter().find(|column| column.column == item.column) {
            Some(column) if matches!(column.role, Role::Field(_)) => {
                let mut heading = column.heading.clone();
                if let Role::Field(concept) = column.role {
                    heading.concepts = vec![(concept, 1.0, *item)];
                }
                let label = heading.items.last().copied().unwrap_or(*item);
                loose.pairs.push(Pair { heading, label, value: *item, unit: None, inline: None });
            }
            // Words under a heading that explains nothing are as much a title as any.
            _ if view.orientation == Orientation::Upright && view.sense(item).kind == Kind::Text => {
                loose.captions.push(loose::caption(view.cell(item).text.trim(), item));
            }
            _ => loose.rest.push(*item),
        }
    }
}

fn blocks(view: &View<'_>, tables: &[ReadTable], loose: &Loose, passages: &[Passage]) -> Vec<Block> {
    let mut blocks: Vec<Block> = tables
        .iter()
        .enumerate()
        .map(|(index, read)| Block {
            rows: (read.table.top(), read.table.bottom()),
            columns: read.table.columns,
            body: Body::Table(index),
        })
        .collect();
    blocks.extend(forms::pair_blocks(view, tables, loose));
    blocks.extend(passages.iter().enumerate().map(|(number, passage)| Block {
        rows: passage.rows(),
        columns: passage.columns(),
        body: Body::Prose(number),
    }));
    blocks.sort_by_key(|block| (block.rows.0, block.columns.0));
    blocks
}
