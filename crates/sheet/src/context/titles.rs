//! Which title speaks for a block: titles override each other, the nearest over the block's own columns first.

use super::nearest::{Candidate, Found, single};
use super::reach::overlap;
use super::{Block, Body, Scene};
use crate::fit::{Wants, fits};
use crate::loose::Caption;
use crate::sense::Kind;
use crate::view::{Item, Orientation};
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::raw::Via;
use windrow_text::tag;
use windrow_text::vocabulary::Concept;

impl Scene<'_, '_> {
    /// The caption that tells something for a block: `tell` gives the key of what it tells, if it tells it.
    #[must_use]
    pub fn caption(&self, block: usize, tell: impl Fn(&Caption) -> Option<String>) -> Found<usize> {
        let told: Vec<(usize, String)> = self
            .loose
            .captions
            .iter()
            .enumerate()
            // A footnote speaks of the values that bear its sign.
            .filter(|(_, caption)| caption.footnote.is_none() || caption.ceiling.is_some())
            .filter_map(|(index, caption)| tell(caption).map(|key| (index, key)))
            .collect();
        let candidates = told
            .iter()
            .map(|(index, key)| {
                let item = &self.loose.captions[*index].item;
                let columns = (item.column, item.right);
                Candidate { row: item.row, columns, is_whole: true, key: key.clone(), index }
            })
            .collect();
        self.nearest_caption(block, candidates)
    }

    /// The caption that tells which machine or when: right above the block, or the same in all captions of the sheet.
    #[must_use]
    pub fn identity_caption(&self, block: usize, tell: impl Fn(&Caption) -> Option<String>) -> Found<usize> {
        match self.caption(block, &tell) {
            Found::One(index, _)
                if self.is_in_list(block, &self.loose.captions[index].item)
                    || self.has_rival_in_line(block, index)
                    || self.is_of_earlier_chapter(block, index) =>
            {
                Found::Many(vec![index])
            }
            Found::One(index, Via::Block) => self.alone_in_line(block, index, &tell),
            Found::One(index, Via::Section) if self.goes_on_under(block, index) => Found::One(index, Via::Section),
            Found::One(index, Via::Section) if self.is_of_record_under(block, index) => Found::One(index, Via::Section),
            Found::Nothing => Found::Nothing,
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

    /// Whether a name stands in a column of names beside a block, which a view turned over has as a line: it is that of its own line of the
    /// sheet only.
    pub(crate) fn is_in_list(&self, block: usize, item: &Item) -> bool {
        let (first, last) = self.blocks[block].columns;
        if self.view.orientation != Orientation::Turned || !(first..=last).contains(&item.column) {
            return false;
        }
        let line = self.view.line(self.view.line_at(item.row));
        let is_head = |other: &&Item| {
            let concepts = &self.view.sense(other).label.concepts;
            other.column < item.column
                && concepts.first().is_some_and(|(concept, weight)| {
                    matches!(concept, Concept::Tag | Concept::Description) && *weight >= 0.4
                })
        };
        let Some(head) = line.iter().rev().find(is_head).map(|head| head.column) else { return false };
        let is_name = |other: &&Item| {
            let sense = self.view.sense(other);
            let may_name = !sense.is_pure_label() || fits(Wants::Tag, self.view.cell(other), sense) >= 0.4;
            (head + 1..=last).contains(&other.column)
                && (may_name || other.cell == item.cell)
                && matches!(sense.kind, Kind::Text | Kind::Number)
        };
        let names: BTreeSet<&str> =
            line.iter().filter(is_name).map(|other| self.view.cell(other).text.trim()).collect();
        names.len() > 1
    }

    /// "Plant item | Pump 3 | Tag | NP-3" above a table that is read turned over: whether a line of the sheet names two machines beside one block.
    fn has_rival_in_line(&self, block: usize, caption: usize) -> bool {
        let rows = self.blocks[block].rows;
        let (own, captions) = (&self.loose.captions[caption], &self.loose.captions);
        let is_within = |item: &Item| (rows.0..=rows.1).contains(&item.row);
        let is_rival = |other: &Caption| {
            other.item.column == own.item.column
                && is_within(&other.item)
                && other.tag.is_some()
                && other.tag.as_deref().map(tag::fold) != own.tag.as_deref().map(tag::fold)
        };
        self.view.orientation == Orientation::Turned && is_within(&own.item) && captions.iter().any(is_rival)
    }

    /// Whether titles are numbered, and one of a later number stands between this one and the block ("1. Fan F-1", then "2. Oil pump").
    fn is_of_earlier_chapter(&self, block: usize, caption: usize) -> bool {
        let number = |item: &Item| chapter(&self.view.cell(item).text);
        let item = self.loose.captions[caption].item;
        let Some(own) = number(&item) else { return false };
        let top = self.blocks[block].rows.0;
        let is_between = |other: &Item| item.row < other.row && other.row < top;
        let captions = self.loose.captions.iter().map(|caption| &caption.item);
        self.view.orientation == Orientation::Upright
            && captions.filter(|other| is_between(other)).any(|other| number(other).is_some_and(|later| later > own))
    }

    /// Whether a caption stands right above a block of the same record: nothing that names or dates stands between that and this one.
    fn is_of_record_under(&self, number: usize, caption: usize) -> bool {
        let row = self.loose.captions[caption].item.row;
        self.record_of(number).into_iter().any(|above| row < self.blocks[above].rows.0 && row > self.gap_above(above))
    }

    /// Whether a table goes on with the one right under a caption, cut only by lines that are no readings.
    fn goes_on_under(&self, number: usize, caption: usize) -> bool {
        let row = self.loose.captions[caption].item.row;
        let mut at = number;
        loop {
            let continues = matches!(self.blocks[at].body, Body::Table(table) if self.tables[table].table.continues);
            match self.table_above_with_this_header(at).filter(|_| continues) {
                Some(above) if row < self.blocks[above].rows.0 && row >= self.gap_above(above) => return true,
                Some(above) => at = above,
                None => return false,
            }
        }
    }

    /// The caption, unless another one of its line over the same block tells something else: names over the columns of a table.
    fn alone_in_line(&self, block: usize, index: usize, tell: &impl Fn(&Caption) -> Option<String>) -> Found<usize> {
        let captions = &self.loose.captions;
        let (item, key) = (captions[index].item, tell(&captions[index]));
        let rivals = captions.iter().enumerate().filter(|(other, caption)| {
            *other != index
                && caption.item.row == item.row
                && overlap((caption.item.column, caption.item.right), self.reach(block, true))
                && tell(caption).is_some_and(|other| Some(other) != key)
        });
        let rivals: Vec<usize> = rivals.map(|(other, _)| other).collect();
        if rivals.is_empty() {
            return Found::One(index, Via::Block);
        }
        Found::Many(std::iter::once(index).chain(rivals).collect())
    }

    /// Captions override each other, the nearest over the block's own columns first; those of sibling blocks do not count.
    fn nearest_caption(&self, number: usize, candidates: Vec<Candidate<'_>>) -> Found<usize> {
        let block = &self.blocks[number];
        let gap = self.gap_above(number);
        let mut above: Vec<&Candidate<'_>> = candidates
            .iter()
            .filter(|candidate| candidate.row <= block.rows.1 && self.may_speak_for(candidate, number))
            .filter(|candidate| !self.labels_a_line(candidate, number) && !self.is_title_of_sibling(candidate, number))
            .collect();
        // What stands over the block's own columns comes before what stands beside.
        if above.iter().any(|candidate| self.is_over(candidate, number)) {
            above.retain(|candidate| self.is_over(candidate, number));
        }
        above.sort_by_key(|candidate| self.distance(candidate, number));
        if let Some(nearest) = above.iter().find(|candidate| candidate.row > gap || gap == 0 && candidate.row == 0) {
            return Found::One(*nearest.index, Via::Block);
        }
        // A header that is repeated goes on with the table above it.
        let mut earlier = self.table_above_with_this_header(number);
        while let Some(before) = earlier {
            let (gap, top) = (self.gap_above(before), self.blocks[before].rows.0);
            if let Some(nearest) = above.iter().find(|candidate| candidate.row >= gap && candidate.row <= top) {
                return Found::One(*nearest.index, Via::Section);
            }
            earlier = self.table_above_with_this_header(before);
        }
        // "Inception | 3.1 kV" right below the table of a phase: what stands over the table is said of both.
        let record = if matches!(block.body, Body::Pairs(_)) { self.record_of(number) } else { Vec::new() };
        for before in record {
            let (gap, top) = (self.gap_above(before), self.blocks[before].rows.0);
            if let Some(nearest) = above.iter().find(|candidate| candidate.row > gap && candidate.row <= top) {
                return Found::One(*nearest.index, Via::Section);
            }
        }
        let first_top = self.blocks.iter().map(|block| block.rows.0).min().unwrap_or(0);
        let head: Vec<&&Candidate<'_>> =
            above.iter().filter(|candidate| candidate.row < first_top || first_top == 0).collect();
        if let Some(nearest) = head.first() {
            return Found::One(*nearest.index, Via::Section);
        }
        if !above.is_empty() {
            return single(&above, Via::Section);
        }
        // Notes below all blocks are meant for all; what stands over another block is that one's.
        let last = self.blocks.iter().map(|block| block.rows.1).max().unwrap_or(0);
        let is_note = |candidate: &&Candidate<'_>| candidate.row > last && !self.heads_its_own_line(candidate);
        let notes: Vec<&Candidate<'_>> = candidates.iter().filter(is_note).collect();
        single(&notes, Via::Section)
    }

    /// Whether a text stands in the title of another block, and a title that begins with the same word stands as high over this one
    /// ("CARD 7 …" and "CARD 8 …"): each speaks of its own.
    fn is_title_of_sibling(&self, candidate: &Candidate<'_>, number: usize) -> bool {
        let titles = || self.loose.captions.iter().map(|caption| caption.item);
        let first_word = |item: &Item| {
            let text = self.view.cell(item).text.trim();
            text.split_whitespace().next().filter(|word| word.chars().all(char::is_alphabetic)).map(str::to_lowercase)
        };
        let Some(word) = titles().find(|item| item.row == candidate.row).and_then(|item| first_word(&item)) else {
            return false;
        };
        let own_top = self.blocks[number].rows.0;
        let has_own = |above: u32| {
            let is_like = |item: Item| item.row < own_top && own_top - item.row == above;
            titles().any(|item| is_like(item) && item.row != candidate.row && first_word(&item).as_ref() == Some(&word))
        };
        let is_over = |(index, block): (usize, &Block)| {
            index != number
                && block.rows.0 != own_top
                && candidate.row < block.rows.0
                && (candidate.row > self.gap_above(index) || self.gap_above(index) == 0)
                && has_own(block.rows.0 - candidate.row)
        };
        self.blocks.iter().enumerate().any(is_over)
    }

    /// Whether figures stand behind a text in its line ("EXTINCTION (KV)   U 1,4   V 1,8"): it speaks of them.
    fn heads_its_own_line(&self, candidate: &Candidate<'_>) -> bool {
        let line = self.view.line(self.view.line_at(candidate.row));
        let tells_number = |other: &Item| self.view.cell(other).text.chars().any(|c| c.is_ascii_digit());
        let is_figure =
            |other: &Item| other.row == candidate.row && self.view.sense(other).words <= 3 && tells_number(other);
        self.view.orientation == Orientation::Upright
            && line.iter().any(|other| other.column > candidate.columns.1 && is_figure(other))
    }

    /// Whether a text stands beside one of several lines of a table or of pairs: it speaks of that line, if of any.
    fn labels_a_line(&self, candidate: &Candidate<'_>, number: usize) -> bool {
        let block = &self.blocks[number];
        let (first, lines) = match block.body {
            Body::Table(table) => {
                let body = &self.tables[table].table.body;
                (body.first().map_or(block.rows.0, |line| line.row), body.len())
            }
            Body::Pairs(_) => (block.rows.0, (block.rows.1 - block.rows.0 + 1) as usize),
            Body::Prose(_) => return false,
        };
        self.view.orientation == Orientation::Upright
            && lines > 1
            && candidate.row >= first
            && !overlap(candidate.columns, block.columns)
    }

    /// Order in which titles are asked: the lowest line above first. In a view turned over, titles that stand in the lines of the
    /// block itself stand above it on the sheet: the last one before it first.
    fn distance(&self, candidate: &Candidate<'_>, number: usize) -> (u8, std::cmp::Reverse<u32>, u32) {
        let (block, column) = (&self.blocks[number], candidate.columns.0);
        let is_beside = self.view.orientation == Orientation::Turned && candidate.row >= block.rows.0;
        match is_beside {
            true if column < block.columns.0 => (1, std::cmp::Reverse(column), candidate.row),
            true => (2, std::cmp::Reverse(candidate.row), column),
            false => (0, std::cmp::Reverse(candidate.row), column),
        }
    }

    /// The nearest table above in the same columns, if its header says the same.
    fn table_above_with_this_header(&self, number: usize) -> Option<usize> {
        let header = |block: usize| match self.blocks[block].body {
            Body::Table(table) => {
                let cells = self.tables[table].table.header.iter().flatten();
                Some(cells.map(|item| (item.column, self.view.cell(item).text.as_str())).collect::<Vec<_>>())
            }
            Body::Pairs(_) | Body::Prose(_) => None,
        };
        let above = self.block_above(number)?;
        let same = header(number).is_some_and(|own| header(above).is_some_and(|other| own == other));
        same.then_some(above)
    }
}

/// The number that a title begins with: "2. Oil pump", "3) Fan".
fn chapter(text: &str) -> Option<u32> {
    let (number, rest) = text.trim().split_once(['.', ')'])?;
    let is_title = rest.starts_with(' ') && rest.trim_start().starts_with(char::is_alphabetic);
    number.parse().ok().filter(|_| is_title && number.len() <= 2)
}
