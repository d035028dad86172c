//! "Plant item: Network pump | Tag: NG-3": of two names of one machine, beside or below each other, the words describe what the code
//! names.

use super::{Loose, Pair};
use crate::view::View;
use windrow_text::fold::fold;
use windrow_text::tag;
use windrow_text::vocabulary::Concept;

/// From this likeness on a name is made as codes are.
const CODE: f32 = 0.85;
/// From this weight on a label speaks of a machine's name and of nothing else.
const SURE: f32 = 0.9;

/// A pair that names a machine.
#[derive(Debug, PartialEq)]
struct Name {
    /// Which pair of the sheet.
    pair: usize,
    row: u32,
    column: u32,
    label: String,
    weight: f32,
    text: String,
    is_code: bool,
}

impl Name {
    /// None where the label stands in the value's own cell, among other words.
    fn of(view: &View<'_>, index: usize, pair: &Pair) -> Option<Self> {
        let (concept, weight, _) = pair.heading.concepts.first()?;
        // "Kennzeichen UF-A" in one cell is as good as in two.
        let whole = crate::told::code_behind_label(&view.cell(&pair.label).text);
        if *concept != Concept::Tag || pair.inline.is_some() && whole.is_none() {
            return None;
        }
        let label = fold(whole.map_or(&*view.cell(&pair.label).text, |(label, _)| label));
        let text = pair.cell(view).text.trim().to_owned();
        let is_code = tag::likeness(&text) >= CODE;
        let (row, column) = (pair.label.row, pair.label.column);
        (!label.is_empty()).then_some(Self { pair: index, row, column, label, weight: *weight, text, is_code })
    }

    /// "Turbine hall fan, left": words of no number.
    fn is_in_words(&self) -> bool {
        self.text.contains(' ') && !self.text.contains(|c: char| c.is_ascii_digit())
    }

    /// Whether both name one machine, this one by its code: beside it in a line, or in the line next to it under a label that speaks of
    /// names only.
    fn is_code_beside(&self, words: &Self) -> bool {
        let is_near = match self.row.abs_diff(words.row) {
            0 => true,
            1 => self.column == words.column && self.weight >= SURE && (words.weight < SURE || words.is_in_words()),
            _ => false,
        };
        is_near && self.is_code && !words.is_code && self.label != words.label
    }
}

/// Makes a name in words a description where another label beside or next to it tells a code. Forms side by side repeat their labels, so
/// that each keeps its own; a code that stands with several names is that of a plant, of which they are the machines.
pub(super) fn settle(view: &View<'_>, loose: &mut Loose) {
    let names: Vec<Name> =
        loose.pairs.iter().enumerate().filter_map(|(index, pair)| Name::of(view, index, pair)).collect();
    let couples: Vec<(&Name, &Name)> = names
        .windows(2)
        .filter_map(|two| match two {
            [one, other] if one.is_code_beside(other) => Some((one, other)),
            [one, other] if other.is_code_beside(one) => Some((other, one)),
            _ => None,
        })
        .collect();
    let in_line = |name: &Name| names.iter().filter(|other| other.row == name.row).count();
    let is_shared = |code: &Name, words: &Name| {
        couples.iter().any(|(other, its)| other.text == code.text && its.text != words.text)
    };
    for (code, words) in &couples {
        if in_line(code) > 2 || code.row != words.row && (in_line(words) > 1 || is_shared(code, words)) {
            continue;
        }
        let Some(pair) = loose.pairs.get_mut(words.pair) else { continue };
        pair.heading.concepts = vec![(Concept::Description, 0.9, pair.label)];
    }
}
