//! "Plant item: Network pump | Tag: NG-3": of two names of one machine in one line the words describe what the code names.

use super::Loose;
use crate::view::View;
use windrow_text::fold::fold;
use windrow_text::tag;
use windrow_text::vocabulary::Concept;

/// From this likeness on a name is made as codes are.
const CODE: f32 = 0.85;

/// Makes a name in words a description where another label of its line tells a code. Forms side by side repeat their labels, so that
/// each keeps its own.
pub(super) fn settle(view: &View<'_>, loose: &mut Loose) {
    let told: Vec<(usize, u32, String, bool)> = loose
        .pairs
        .iter()
        .enumerate()
        .filter(|(_, pair)| pair.heading.concept() == Some(Concept::Tag))
        .map(|(index, pair)| {
            let label = match &pair.inline {
                Some(_) => String::new(),
                None => fold(&view.cell(&pair.label).text),
            };
            (index, pair.label.row, label, tag::likeness(&pair.cell(view).text) >= CODE)
        })
        .collect();
    for line in told.chunk_by(|a, b| a.1 == b.1) {
        let [(first, _, own, is_code), (second, _, other, is_other_code)] = line else { continue };
        if own.is_empty() || other.is_empty() || own == other || is_code == is_other_code {
            continue;
        }
        let described = if *is_code { *second } else { *first };
        let pair = &mut loose.pairs[described];
        pair.heading.concepts = vec![(Concept::Description, 0.9, pair.label)];
    }
}
