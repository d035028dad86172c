//! How far a block reaches among those beside it.

use super::{Block, Body};
use crate::loose::Loose;

/// The columns in which what is told is a block's own; its own columns where nothing stands beside it.
#[derive(Debug, Clone, Copy)]
pub struct Reach {
    /// Up to where the next block begins: "Machine: … Date: …" in a line above tables side by side.
    pub onward: (u32, u32),
    /// From where the block before ends: whole cells in the first line of a view turned over, which stand above their tables.
    pub back: (u32, u32),
}

/// The reach of each block; `forms` are the first columns of forms side by side, of which some may tell no readings.
pub(super) fn reaches(blocks: &[Block], loose: &Loose, forms: &[u32]) -> Vec<Reach> {
    let starts: Vec<u32> = blocks.iter().map(|block| start(block, loose)).collect();
    let reach = |(index, block): (usize, &Block)| {
        let beside = || {
            blocks
                .iter()
                .zip(&starts)
                .filter(move |(other, _)| overlap(other.rows, block.rows) && !overlap(other.columns, block.columns))
        };
        let before = beside().filter(|(other, _)| other.columns.1 < block.columns.0).map(|(other, _)| other.columns.1);
        let after = beside().filter(|(other, _)| other.columns.0 > block.columns.1).map(|(_, start)| *start);
        if beside().next().is_none() {
            return Reach { onward: block.columns, back: block.columns };
        }
        let is_form = matches!(block.body, Body::Pairs(_));
        let form = forms.iter().copied().filter(|next| is_form && *next > block.columns.1);
        let end = after.chain(form).min().map_or(u32::MAX, |next| next.saturating_sub(1).max(block.columns.1));
        let from = before.max().map_or(0, |last| last + 1);
        Reach { onward: (starts[index], end), back: (from, block.columns.1) }
    };
    blocks.iter().enumerate().map(reach).collect()
}

/// First column of a block: of its cells, or of the labels whose values stand over it.
fn start(block: &Block, loose: &Loose) -> u32 {
    let over = loose.pairs.iter().filter(|pair| pair.value.row <= block.rows.1 && pair.value.column == block.columns.0);
    over.map(|pair| pair.label.column).chain([block.columns.0]).min().unwrap_or(block.columns.0)
}

/// Whether two stretches share a place.
pub(super) const fn overlap(a: (u32, u32), b: (u32, u32)) -> bool {
    a.0 <= b.1 && b.0 <= a.1
}
