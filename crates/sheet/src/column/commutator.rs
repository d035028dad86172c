//! Letters of a machine with a commutator: "A-G" is the armature against earth where "F-G" or "A-F" stands beside it, and no phase A.

use super::Column;
use crate::heading::By;
use crate::view::View;
use windrow_model::Circuit;
use windrow_text::circuit::{CircuitMeaning, Named};

/// How sure letters are that tell each other.
const WEIGHT: f32 = 0.9;

/// Reads headings of two such letters, where one of them names the field. Common practice, no source.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column]) {
    let told: Vec<Option<(usize, (char, char))>> = columns.iter().map(|column| letters(view, column)).collect();
    let is_field = |told: &Option<(usize, (char, char))>| told.is_some_and(|(_, (a, b))| (a == 'F') != (b == 'F'));
    let is_armature = |told: &Option<(usize, (char, char))>| told.is_some_and(|(_, (a, b))| a == 'A' || b == 'A');
    if !told.iter().any(is_field) || !told.iter().any(is_armature) {
        return;
    }
    for (column, told) in columns.iter_mut().zip(told) {
        let Some((at, pair)) = told else { continue };
        let named = match pair {
            ('A', 'F') | ('F', 'A') => Named::OtherWinding,
            ('A', _) | (_, 'A') => Named::Special(Circuit::ArmatureToEarth),
            _ => Named::Special(Circuit::FieldToEarth),
        };
        let heading = &mut column.heading;
        let Some(item) = heading.items.get(at).copied() else { continue };
        heading.circuits = vec![By { value: vec![CircuitMeaning { named, naming: None, weight: WEIGHT }], item }];
        heading.unexplained.retain(|word| word.chars().count() > 1);
    }
}

/// The item of a heading that begins with two of the letters A, F and one for earth, with a hyphen or stroke between, and those letters.
fn letters(view: &View<'_>, column: &Column) -> Option<(usize, (char, char))> {
    let is_known = |c: char| matches!(c, 'A' | 'F' | 'G' | 'E' | 'M');
    let pair = |text: &str| {
        let word = text.split_whitespace().next()?;
        let (a, b) = word.split_once(['-', '/', '–'])?;
        let (a, b) = (single(a)?, single(b)?);
        let is_winding = matches!(a, 'A' | 'F') || matches!(b, 'A' | 'F');
        (a != b && is_known(a) && is_known(b) && is_winding).then_some((a, b))
    };
    let texts = column.heading.items.iter().map(|item| view.cell(item).text.trim());
    texts.enumerate().find_map(|(at, text)| Some((at, pair(text)?)))
}

fn single(text: &str) -> Option<char> {
    let mut chars = text.chars();
    chars.next().filter(|_| chars.next().is_none())
}
