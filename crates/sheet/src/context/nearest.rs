//! Which pair speaks for a block: the nearest one, and none of several that stand equally near.

use super::reach::overlap;
use super::{Body, Scene};
use crate::loose::{self, Caption};
use crate::view::Orientation;
use std::collections::BTreeMap;
use windrow_model::raw::Via;
use windrow_text::marks::Statistic;
use windrow_text::tag;
use windrow_text::vocabulary::Concept;

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
pub(super) struct Candidate<'p> {
    pub(super) row: u32,
    pub(super) columns: (u32, u32),
    /// Whether it is one cell that tells all.
    pub(super) is_whole: bool,
    pub(super) key: String,
    pub(super) index: &'p usize,
}

/// Whether what a pair tells is how a test was made rather than which and when.
const fn is_circumstance(concept: Concept) -> bool {
    matches!(
        concept,
        Concept::WindingTemperature
            | Concept::AmbientTemperature
            | Concept::Temperature
            | Concept::Humidity
            | Concept::DewPoint
            | Concept::TestVoltage
            | Concept::RateOfRise
    )
}

/// Whether a pair tells a value and no figure computed from several; of several thermometers in a winding the mean is its temperature.
fn is_told_once(concept: Concept, pair: &loose::Pair) -> bool {
    let statistic = pair.heading.statistic.as_ref().map(|by| by.value);
    statistic.is_none() || concept == Concept::WindingTemperature && statistic == Some(Statistic::Mean)
}

impl Scene<'_, '_> {
    /// The pair that tells `concept` for a block.
    #[must_use]
    pub fn pair(&self, block: usize, concept: Concept) -> Found<usize> {
        if self.is_left_blank(block, concept) {
            return Found::Nothing;
        }
        let told: Vec<usize> = (0..self.loose.pairs.len())
            .filter(|index| {
                self.loose.pairs[*index].heading.concept() == Some(concept)
                    && is_told_once(concept, &self.loose.pairs[*index])
                    && !self.loose.pairs[*index].is_reading(self.view)
            })
            .collect();
        let is_near = |index: &&usize| {
            !is_circumstance(concept) || !self.is_of_later_record(block, self.loose.pairs[**index].value.row)
        };
        let candidates = told
            .iter()
            .filter(is_near)
            .map(|index| {
                let pair = &self.loose.pairs[*index];
                let text = &pair.cell(self.view).text;
                let key = if loose::is_identity(concept) { tag::fold(text) } else { text.trim().to_lowercase() };
                let (row, columns) = (pair.value.row, (pair.label.column, pair.value.column));
                Candidate { row, columns, is_whole: pair.inline.is_some(), key, index }
            })
            .collect();
        self.nearest(block, candidates, self.is_another_record(block, concept))
    }

    /// Whether the label of `concept` stands right above the block with nothing beside it: a form not filled in.
    fn is_left_blank(&self, number: usize, concept: Concept) -> bool {
        let (above, block) = (self.gap_above(number), &self.blocks[number]);
        self.loose.captions.iter().any(|caption| {
            let item = &caption.item;
            let text = self.view.cell(item).text.trim_end();
            let is_label = caption.heading.concept() == Some(concept) && text.ends_with([':', '=']);
            let index = &usize::MAX;
            let columns = (item.column, item.right);
            let candidate = Candidate { row: item.row, columns, is_whole: true, key: String::new(), index };
            is_label
                && (item.row > above || above == 0)
                && item.row <= block.rows.0
                && self.may_speak_for(&candidate, number)
        })
    }

    /// Whether the block has a machine or date of its own, so that circumstances told for the record above are not its own.
    fn is_another_record(&self, number: usize, concept: Concept) -> bool {
        let block = &self.blocks[number];
        let above = self.gap_above(number);
        let first_top = self.blocks.iter().map(|block| block.rows.0).min().unwrap_or(0);
        is_circumstance(concept) && above > 0 && self.has_keys(above + 1, block.rows.0) && self.has_keys(0, first_top)
    }

    /// Whether pairs in these rows tell a machine or a date.
    fn has_keys(&self, from: u32, to: u32) -> bool {
        self.loose.pairs.iter().any(|pair| {
            matches!(pair.heading.concept(), Some(Concept::Tag | Concept::Serial | Concept::Date))
                && (from..=to).contains(&pair.value.row)
        })
    }

    /// Whether a line stands below the machine or date of a record that begins below the block, which has its own above.
    fn is_of_later_record(&self, number: usize, row: u32) -> bool {
        let block = &self.blocks[number];
        row > block.rows.1
            && self.has_keys(block.rows.1 + 1, row - 1)
            && self.has_keys(self.gap_above(number), block.rows.0)
    }

    /// Last row of the blocks above that share columns, 0 if none.
    pub(crate) fn gap_above(&self, number: usize) -> u32 {
        self.block_above(number).map_or(0, |above| self.blocks[above].rows.1)
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

    /// The columns in which what is told is the block's own.
    pub(super) fn reach(&self, number: usize, is_whole: bool) -> (u32, u32) {
        let reach = self.reaches[number];
        if is_whole && self.view.orientation == Orientation::Turned { reach.back } else { reach.onward }
    }

    pub(super) fn is_over(&self, candidate: &Candidate<'_>, number: usize) -> bool {
        overlap(candidate.columns, self.reach(number, candidate.is_whole))
    }

    /// Whether a text at these columns can be meant for the block: it stands over it, or over no sibling of it.
    pub(super) fn may_speak_for(&self, candidate: &Candidate<'_>, number: usize) -> bool {
        let block = &self.blocks[number];
        if self.is_over(candidate, number) {
            return true;
        }
        // It stands over a sibling beside this block; then it is the sibling's, unless it is above all else in the sheet.
        let owner = self.blocks.iter().enumerate().find(|(index, other)| {
            *index != number && self.is_over(candidate, *index) && overlap(other.rows, block.rows)
        });
        let own_in_row = self
            .loose
            .captions
            .iter()
            .map(|caption| &caption.item)
            .chain(self.loose.pairs.iter().map(|pair| &pair.label))
            .any(|item| item.row == candidate.row && overlap((item.column, item.right), block.columns));
        // In a view turned over, siblings stand below each other on the sheet: what stands over one is never the other's.
        let is_upright = self.view.orientation == Orientation::Upright;
        owner.is_none() || is_upright && (!own_in_row || self.is_of_head_line(candidate))
    }

    /// "Date | 28 June 2012 | | Winding | 27 °C" above tables side by side: a pair in the line of the sheet's only date or machine, above
    /// all blocks, where no label stands twice, is of all of them. Forms side by side say again what they tell.
    fn is_of_head_line(&self, candidate: &Candidate<'_>) -> bool {
        let first_top = self.blocks.iter().map(|block| block.rows.0).min().unwrap_or(0);
        let pairs = &self.loose.pairs;
        let is_own = |pair: &&loose::Pair| pair.value.row == candidate.row && pair.label.column == candidate.columns.0;
        let is_key = |concept| matches!(concept, Some(Concept::Tag | Concept::Serial | Concept::Date));
        let told_once = |pair: &&loose::Pair| {
            let concept = pair.heading.concept();
            pairs.iter().filter(|other| other.heading.concept() == concept).count() == 1
        };
        // "… | P-1 | | FAN MOTOR | F-2": another machine named in the same line is that of the form beside.
        let titles = || {
            let between = |row: u32| candidate.row <= row && row < first_top;
            self.loose.captions.iter().filter(move |caption| between(caption.item.row))
        };
        candidate.row < first_top
            && pairs.iter().any(|pair| is_own(&pair))
            && pairs.iter().filter(|pair| pair.value.row == candidate.row).all(|pair| told_once(&pair))
            && pairs.iter().any(|pair| pair.value.row == candidate.row && is_key(pair.heading.concept()))
            && !titles().any(|caption| caption.tag.is_some() || !caption.dates.is_empty())
    }

    fn nearest(&self, number: usize, candidates: Vec<Candidate<'_>>, is_another_record: bool) -> Found<usize> {
        let block = &self.blocks[number];
        let (above, below) = (self.gap_above(number), self.gap_below(number));
        let speaks: Vec<&Candidate<'_>> =
            candidates.iter().filter(|candidate| self.may_speak_for(candidate, number)).collect();
        if !self.stand_below(&candidates) {
            if let Some(found) = self.near(number, &candidates, Via::Block) {
                return found;
            }
            if is_another_record {
                return Found::Nothing;
            }
            let mut earlier = self.record_of(number).into_iter();
            if let Some(found) = earlier.find_map(|at| self.near(at, &candidates, Via::Section)) {
                return found;
            }
            let before: Vec<&Candidate<'_>> =
                speaks.iter().copied().filter(|candidate| candidate.row <= above).collect();
            if let Some(found) = self.own_first(number, &before, Via::Section) {
                return found;
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

    /// What stands between the block above and this one, or beside this one.
    fn near(&self, number: usize, candidates: &[Candidate<'_>], via: Via) -> Option<Found<usize>> {
        let block = &self.blocks[number];
        let above = self.block_above(number).map(|above| self.blocks[above].rows.1);
        let in_gap = |candidate: &&Candidate<'_>| {
            above.is_none_or(|above| candidate.row > above) && candidate.row <= block.rows.1
        };
        let mut near: Vec<&Candidate<'_>> = candidates
            .iter()
            .filter(|candidate| self.may_speak_for(candidate, number))
            .filter(|candidate| in_gap(candidate))
            .collect();
        // A form in one line of a view turned over: forms before it that told no readings speak of themselves.
        let is_line = self.view.orientation == Orientation::Turned
            && matches!(block.body, Body::Pairs(_))
            && block.rows.0 == block.rows.1;
        if is_line && near.iter().any(|candidate| candidate.row == block.rows.0) {
            near.retain(|candidate| candidate.row == block.rows.0);
        }
        self.own_first(number, &near, via)
    }

    /// The candidates over the block's own columns, where there are any, else all.
    fn own_first(&self, number: usize, candidates: &[&Candidate<'_>], via: Via) -> Option<Found<usize>> {
        let own: Vec<&Candidate<'_>> =
            candidates.iter().copied().filter(|candidate| self.is_over(candidate, number)).collect();
        let group = if own.is_empty() { candidates } else { &own };
        (!group.is_empty()).then(|| single(group, via))
    }

    /// The blocks above this one that belong to the same record: no machine, date or unknown name is told between them.
    pub(super) fn record_of(&self, number: usize) -> Vec<usize> {
        let mut record = Vec::new();
        let mut at = number;
        while let Some(above) = self.block_above(at) {
            let between = |row: u32| self.blocks[above].rows.1 < row && row <= self.blocks[at].rows.0;
            let is_key = |pair: &loose::Pair| {
                matches!(pair.heading.concept(), Some(Concept::Tag | Concept::Serial | Concept::Date))
            };
            let keys = self.loose.pairs.iter().any(|pair| is_key(pair) && between(pair.value.row));
            let is_name = |caption: &Caption| {
                caption.tag.is_some()
                    || !caption.dates.is_empty()
                    || !caption.names.is_empty() && caption.concepts.is_empty()
            };
            // "Insulation, MΩ | 640 | before the surge": a remark behind the value names nothing.
            let is_remark = |caption: &Caption| {
                let block = &self.blocks[at];
                let is_behind = matches!(block.body, Body::Pairs(_)) && caption.item.column > block.columns.1;
                is_behind && caption.item.row >= block.rows.0 && caption.tag.is_none() && caption.dates.is_empty()
            };
            let captions = || self.loose.captions.iter().filter(|caption| !is_remark(caption));
            let names = captions().any(|caption| is_name(caption) && between(caption.item.row));
            if keys || names {
                break;
            }
            record.push(above);
            at = above;
        }
        record
    }

    /// The nearest block above in the same columns.
    pub(super) fn block_above(&self, number: usize) -> Option<usize> {
        let block = &self.blocks[number];
        let above = self.blocks.iter().enumerate().filter(|(index, other)| {
            *index != number && other.rows.1 < block.rows.0 && overlap(other.columns, block.columns)
        });
        above.max_by_key(|(_, other)| other.rows.1).map(|(index, _)| index)
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

pub(super) fn single(candidates: &[&Candidate<'_>], via: Via) -> Found<usize> {
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
