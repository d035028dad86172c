//! Which circumstances hold for a block: what stands between the block above and this one, then the section, then the
//! sheet. Two different values and none nearer is a conflict, never a choice.

use crate::column::{self, Column, Role};
use crate::cut::{Cut, Table};
use crate::layout::Laid;
use crate::loose::{self, Caption, Loose, Pair};
use crate::view::{Item, View};
use std::collections::BTreeMap;
use windrow_model::raw::Via;
use windrow_text::tag;
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
    /// Pairs and captions.
    pub loose: Loose,
    /// Blocks in order.
    pub blocks: Vec<Block>,
    /// For each block the first one of the table that it continues; itself if it continues none.
    pub homes: Vec<usize>,
    /// Header cells of tables that became pairs.
    pub absorbed: Vec<Item>,
}

/// Finds structure in a cut view.
#[must_use]
pub fn scene<'v, 'a>(view: &'v View<'a>, cut: Cut) -> Scene<'v, 'a> {
    scene_with(view, cut, &mut Laid::none())
}

/// Finds structure in a cut view, with what a layout file tells of it.
#[must_use]
pub fn scene_with<'v, 'a>(view: &'v View<'a>, cut: Cut, laid: &mut Laid<'_>) -> Scene<'v, 'a> {
    let mut loose = loose::read(view, &cut.loose);
    laid.fields(view, &mut loose);
    let mut absorbed = Vec::new();
    let mut tables = Vec::new();
    for table in cut.tables {
        let mut columns = column::columns(view, &table);
        laid.columns(view, &table, &mut columns);
        let unit_columns = column::unit_columns(&columns);
        let read = ReadTable { table, columns, unit_columns };
        if read.table.body.len() == 1 && !read.has_readings() {
            absorb(&read, &mut loose, &mut absorbed);
        } else {
            tables.push(read);
        }
    }
    loose.pairs.sort_by_key(|pair| (pair.value.row, pair.value.column));
    let blocks = blocks(view, &tables, &loose);
    let homes = homes(&tables, &loose, &blocks);
    Scene { view, tables, loose, blocks, homes, absorbed }
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
fn absorb(read: &ReadTable, loose: &mut Loose, absorbed: &mut Vec<Item>) {
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
            _ => loose.rest.push(*item),
        }
    }
}

fn blocks(view: &View<'_>, tables: &[ReadTable], loose: &Loose) -> Vec<Block> {
    let mut blocks: Vec<Block> = tables
        .iter()
        .enumerate()
        .map(|(index, read)| Block {
            rows: (read.table.top(), read.table.bottom()),
            columns: read.table.columns,
            body: Body::Table(index),
        })
        .collect();
    blocks.extend(pair_blocks(view, tables, loose));
    blocks.sort_by_key(|block| (block.rows.0, block.columns.0));
    blocks
}

/// Readings told as pairs, grouped: forms side by side apart, and within a form a new group after a table, or where a key pair of
/// the machine or date or the title of another quantity stands between.
fn pair_blocks(view: &View<'_>, tables: &[ReadTable], loose: &Loose) -> Vec<Block> {
    let starts = form_starts(view, loose);
    let form = |column: u32| starts.iter().filter(|start| **start <= column).count();
    (0..=starts.len())
        .flat_map(|number| {
            let last = starts.get(number).map_or_else(|| view.last_column(), |next| next - 1);
            let first = number.checked_sub(1).and_then(|before| starts.get(before)).copied().unwrap_or(0);
            let within = |pair: &Pair| form(pair.label.column) == number;
            let mut blocks = blocks_of_form(view, tables, loose, &within);
            if !starts.is_empty() {
                for block in &mut blocks {
                    block.columns = (first, last);
                }
            }
            blocks
        })
        .collect()
}

/// First columns of the second and further forms that stand side by side: where the labels of a line begin again.
fn form_starts(view: &View<'_>, loose: &Loose) -> Vec<u32> {
    let mut starts: BTreeMap<u32, usize> = BTreeMap::new();
    let mut lines = 0;
    for line in loose.pairs.chunk_by(|a, b| a.value.row == b.value.row) {
        let label = |pair: &Pair| view.cell(&pair.label).text.trim().to_lowercase();
        let Some(first) = line.first() else { continue };
        let again: Vec<u32> =
            line.iter().skip(1).filter(|pair| label(pair) == label(first)).map(|pair| pair.label.column).collect();
        lines += usize::from(!again.is_empty());
        for column in again {
            *starts.entry(column).or_default() += 1;
        }
    }
    // One line may repeat a label by chance; forms do it in line after line.
    starts.into_iter().filter(|(_, count)| *count >= 2 && *count * 2 >= lines).map(|(column, _)| column).collect()
}

fn blocks_of_form(view: &View<'_>, tables: &[ReadTable], loose: &Loose, within: &dyn Fn(&Pair) -> bool) -> Vec<Block> {
    let mut blocks: Vec<Block> = Vec::new();
    let mut broken = true;
    let titles = |from: u32, to: u32| {
        loose.captions.iter().any(|caption| {
            from < caption.item.row
                && caption.item.row < to
                && caption.concepts.iter().any(|concept| crate::fit::quantity(*concept).is_some())
        })
    };
    for (index, pair) in loose.pairs.iter().enumerate().filter(|(_, pair)| within(pair)) {
        if pair.is_reading(view) {
            let row = pair.value.row;
            let (left, right) = (pair.label.column.min(pair.value.column), pair.value.column);
            let parted = blocks.last().is_some_and(|block| {
                tables.iter().any(|read| read.table.top() > block.rows.1 && read.table.top() < row)
                    || titles(block.rows.1, row)
            });
            match blocks.last_mut().filter(|_| !broken && !parted) {
                Some(block) => {
                    block.rows.1 = row;
                    block.columns = (block.columns.0.min(left), block.columns.1.max(right));
                    if let Body::Pairs(pairs) = &mut block.body {
                        pairs.push(index);
                    }
                }
                None => blocks.push(Block { rows: (row, row), columns: (left, right), body: Body::Pairs(vec![index]) }),
            }
            broken = false;
        } else if matches!(pair.heading.concept(), Some(Concept::Tag | Concept::Date | Concept::Serial)) {
            broken = true;
        }
    }
    blocks
}

/// What the sheet tells of one thing for one block.
#[derive(Debug, Clone, PartialEq)]
pub enum Found<T> {
    /// Nothing.
    Nothing,
    /// One value, and how near it stands.
    One(T, Via),
    /// Different values, none nearer than the others.
    Many(Vec<T>),
}

impl<T> Found<T> {
    /// The one value.
    #[must_use]
    pub const fn one(&self) -> Option<(&T, Via)> {
        match self {
            Self::One(value, via) => Some((value, *via)),
            _ => None,
        }
    }
}

/// Something placed on the sheet that may tell a circumstance.
struct Candidate<'p> {
    row: u32,
    columns: (u32, u32),
    key: String,
    index: &'p usize,
}

impl Scene<'_, '_> {
    /// The pair that tells `concept` for a block.
    #[must_use]
    pub fn pair(&self, block: usize, concept: Concept) -> Found<usize> {
        let told: Vec<usize> = (0..self.loose.pairs.len())
            .filter(|index| {
                self.loose.pairs[*index].heading.concept() == Some(concept)
                    && self.loose.pairs[*index].heading.statistic.is_none()
                    && !self.loose.pairs[*index].is_reading(self.view)
            })
            .collect();
        let candidates = told
            .iter()
            .map(|index| {
                let pair = &self.loose.pairs[*index];
                let text = &pair.cell(self.view).text;
                let key = if loose::is_identity(concept) { tag::fold(text) } else { text.trim().to_lowercase() };
                Candidate { row: pair.value.row, columns: (pair.label.column, pair.value.column), key, index }
            })
            .collect();
        self.nearest(block, candidates, self.is_another_record(block, concept))
    }

    /// Whether the block has a machine or date of its own, so that circumstances told for the record above are not its own.
    fn is_another_record(&self, number: usize, concept: Concept) -> bool {
        let is_circumstance = matches!(
            concept,
            Concept::WindingTemperature
                | Concept::AmbientTemperature
                | Concept::Temperature
                | Concept::Humidity
                | Concept::DewPoint
                | Concept::TestVoltage
        );
        let block = &self.blocks[number];
        let above = self.gap_above(number);
        let first_top = self.blocks.iter().map(|block| block.rows.0).min().unwrap_or(0);
        let keys = |from: u32, to: u32| {
            self.loose.pairs.iter().any(|pair| {
                matches!(pair.heading.concept(), Some(Concept::Tag | Concept::Serial | Concept::Date))
                    && (from..=to).contains(&pair.value.row)
            })
        };
        is_circumstance && above > 0 && keys(above + 1, block.rows.0) && keys(0, first_top)
    }

    /// The caption that tells something for a block: `tell` gives the key of what it tells, if it tells it.
    #[must_use]
    pub fn caption(&self, block: usize, tell: impl Fn(&Caption) -> Option<String>) -> Found<usize> {
        let told: Vec<(usize, String)> = self
            .loose
            .captions
            .iter()
            .enumerate()
            .filter_map(|(index, caption)| tell(caption).map(|key| (index, key)))
            .collect();
        let candidates = told
            .iter()
            .map(|(index, key)| {
                let item = &self.loose.captions[*index].item;
                Candidate { row: item.row, columns: (item.column, item.right), key: key.clone(), index }
            })
            .collect();
        self.nearest_caption(block, candidates)
    }

    /// The caption that tells which machine or when: right above the block, or the same in all captions of the sheet.
    #[must_use]
    pub fn identity_caption(&self, block: usize, tell: impl Fn(&Caption) -> Option<String>) -> Found<usize> {
        match self.caption(block, &tell) {
            found @ (Found::One(_, Via::Block) | Found::Nothing) => found,
            found => {
                let mut told: BTreeMap<String, usize> = BTreeMap::new();
                for (index, caption) in self.loose.captions.iter().enumerate() {
                    if let Some(key) = tell(caption) {
                        told.entry(key).or_insert(index);
                    }
                }
                if told.len() > 1 { Found::Many(told.into_values().collect()) } else { found }
            }
        }
    }

    /// Captions override each other, the nearest over the block's own columns first; those of sibling blocks do not count.
    fn nearest_caption(&self, number: usize, candidates: Vec<Candidate<'_>>) -> Found<usize> {
        let block = &self.blocks[number];
        let gap = self.gap_above(number);
        let mut above: Vec<&Candidate<'_>> = candidates
            .iter()
            .filter(|candidate| candidate.row <= block.rows.1 && self.may_speak_for(candidate, number))
            .collect();
        // What stands over the block's own columns comes before what stands beside.
        if above.iter().any(|candidate| overlap(candidate.columns, block.columns)) {
            above.retain(|candidate| overlap(candidate.columns, block.columns));
        }
        above.sort_by_key(|candidate| (std::cmp::Reverse(candidate.row), candidate.columns.0));
        if let Some(nearest) = above.iter().find(|candidate| candidate.row > gap || gap == 0 && candidate.row == 0) {
            return Found::One(*nearest.index, Via::Block);
        }
        let first_top = self.blocks.iter().map(|block| block.rows.0).min().unwrap_or(0);
        let head: Vec<&&Candidate<'_>> =
            above.iter().filter(|candidate| candidate.row < first_top || first_top == 0).collect();
        if let Some(nearest) = head.first() {
            return Found::One(*nearest.index, Via::Section);
        }
        let all: Vec<&Candidate<'_>> = if above.is_empty() { candidates.iter().collect() } else { above };
        single(&all, Via::Section)
    }

    /// Last row of the blocks above that share columns, 0 if none.
    fn gap_above(&self, number: usize) -> u32 {
        let block = &self.blocks[number];
        self.blocks
            .iter()
            .filter(|other| other.rows.1 < block.rows.0 && overlap(other.columns, block.columns))
            .map(|other| other.rows.1)
            .max()
            .unwrap_or(0)
    }

    fn gap_below(&self, number: usize) -> u32 {
        let block = &self.blocks[number];
        self.blocks
            .iter()
            .filter(|other| other.rows.0 > block.rows.1 && overlap(other.columns, block.columns))
            .map(|other| other.rows.0)
            .min()
            .unwrap_or(u32::MAX)
    }

    /// Whether a text at these columns can be meant for the block: it stands over it, or over no sibling of it.
    fn may_speak_for(&self, candidate: &Candidate<'_>, number: usize) -> bool {
        let block = &self.blocks[number];
        if overlap(candidate.columns, block.columns) {
            return true;
        }
        // It stands over a sibling beside this block; then it is the sibling's, unless it is above all else in the sheet.
        let owner = self.blocks.iter().enumerate().find(|(index, other)| {
            *index != number && overlap(candidate.columns, other.columns) && overlap(other.rows, block.rows)
        });
        let own_in_row = self
            .loose
            .captions
            .iter()
            .map(|caption| &caption.item)
            .chain(self.loose.pairs.iter().map(|pair| &pair.label))
            .any(|item| item.row == candidate.row && overlap((item.column, item.right), block.columns));
        owner.is_none() || !own_in_row
    }

    fn nearest(&self, number: usize, candidates: Vec<Candidate<'_>>, is_another_record: bool) -> Found<usize> {
        let block = &self.blocks[number];
        let (above, below) = (self.gap_above(number), self.gap_below(number));
        let speaks: Vec<&Candidate<'_>> =
            candidates.iter().filter(|candidate| self.may_speak_for(candidate, number)).collect();
        let has_gap = self.blocks.iter().enumerate().any(|(index, other)| {
            index != number && other.rows.1 < block.rows.0 && overlap(other.columns, block.columns)
        });
        let in_gap = |candidate: &&Candidate<'_>| (candidate.row > above || !has_gap) && candidate.row <= block.rows.1;
        if !self.stand_below(&candidates) {
            let near: Vec<&Candidate<'_>> = speaks.iter().copied().filter(in_gap).collect();
            let own: Vec<&Candidate<'_>> =
                near.iter().copied().filter(|candidate| overlap(candidate.columns, block.columns)).collect();
            for group in [&own, &near] {
                if !group.is_empty() {
                    return single(group, Via::Block);
                }
            }
            let before: Vec<&Candidate<'_>> =
                speaks.iter().copied().filter(|candidate| candidate.row <= above).collect();
            if is_another_record {
                return Found::Nothing;
            }
            if !before.is_empty() {
                return single(&before, Via::Section);
            }
        }
        // What stands between two blocks is the lower one's, unless the sheet tells below its blocks.
        let is_last = below == u32::MAX;
        let speaks_up = is_last || self.stand_below(&candidates);
        let after: Vec<&Candidate<'_>> =
            speaks.iter().copied().filter(|candidate| candidate.row > block.rows.1 && candidate.row < below).collect();
        if speaks_up && !after.is_empty() {
            return single(&after, Via::Block);
        }
        single(&speaks, Via::Sheet)
    }

    /// Whether the sheet tells this circumstance below its blocks: never above the first, but after the last.
    fn stand_below(&self, candidates: &[Candidate<'_>]) -> bool {
        let first = self.blocks.iter().map(|block| block.rows.0).min().unwrap_or(0);
        let last = self.blocks.iter().map(|block| block.rows.1).max().unwrap_or(0);
        let inside = |candidate: &Candidate<'_>| {
            self.blocks.iter().any(|block| block.rows.0 <= candidate.row && candidate.row <= block.rows.1)
        };
        !candidates.iter().any(|candidate| candidate.row < first || inside(candidate))
            && candidates.iter().any(|candidate| candidate.row > last)
    }
}

fn single(candidates: &[&Candidate<'_>], via: Via) -> Found<usize> {
    let Some(first) = candidates.first() else { return Found::Nothing };
    if candidates.iter().all(|candidate| candidate.key == first.key) {
        return Found::One(*first.index, via);
    }
    let mut one_of_each: BTreeMap<&str, usize> = BTreeMap::new();
    for candidate in candidates {
        one_of_each.entry(&candidate.key).or_insert(*candidate.index);
    }
    Found::Many(one_of_each.into_values().collect())
}

const fn overlap(a: (u32, u32), b: (u32, u32)) -> bool {
    a.0 <= b.1 && b.0 <= a.1
}
