//! Columns whose headings are alike but for the letter of a phase: `RU_MOHM`, `RV_MOHM`, `RW_MOHM`.

use super::{Cells, Column, role};
use crate::fit::quantity;
use crate::heading::{By, Heading};
use crate::view::{Item, View};
use windrow_text::circuit::{self, CircuitMeaning, Named, Naming};
use windrow_text::header::{self, Label};
use windrow_text::vocabulary::Concept;

/// A heading read as the name of a quantity with a letter glued to it.
struct Glued {
    /// What stands around the letter.
    rest: String,
    label: Label,
    phases: Vec<CircuitMeaning>,
    item: Item,
}

/// Three columns whose headings tell one quantity once the letter behind its name is taken off, and whose letters are the three
/// phases of one naming, are those phases. `RW` alone may be short for anything, `RS` and `RT` beside `ST` are pairs, beside `RR`
/// not.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    let mut glued: Vec<(usize, Glued)> = Vec::new();
    for (index, column) in columns.iter().enumerate() {
        let [item] = column.heading.items.as_slice() else { continue };
        glued.extend(readings(view, item).into_iter().map(|glued| (index, glued)));
    }
    let names = |naming: Naming, rest: &str, phase: u8| {
        glued.iter().position(|(_, glued)| glued.rest == rest && phase_of(&glued.phases, naming) == Some(phase))
    };
    let mut settled: Vec<(usize, usize, CircuitMeaning)> = Vec::new();
    for (_, first) in &glued {
        for naming in first.phases.iter().filter_map(|meaning| meaning.naming) {
            let all: Vec<Option<usize>> = (0..3).map(|phase| names(naming, &first.rest, phase)).collect();
            if phase_of(&first.phases, naming) != Some(0) || all.iter().any(Option::is_none) {
                continue;
            }
            settled.extend((0u8..).zip(all.into_iter().flatten()).map(|(phase, at)| {
                let meaning = CircuitMeaning { named: Named::Phase(phase), naming: None, weight: 0.95 };
                (glued[at].0, at, meaning)
            }));
        }
    }
    for (index, at, meaning) in settled {
        let Glued { label, item, .. } = &glued[at].1;
        let mut heading = Heading { items: vec![*item], ..Heading::default() };
        heading.add_label(label, &[], item, "");
        heading.circuits.push(By { value: vec![meaning], item: *item });
        let cells = cells.get(&columns[index].column).map(Vec::as_slice).unwrap_or_default();
        let (role, fit) = role(view, &heading, cells);
        columns[index] = Column { column: columns[index].column, heading, role, fit };
    }
}

/// The ways to take a letter off the end of a word so that the rest names what was measured.
fn readings(view: &View<'_>, item: &Item) -> Vec<Glued> {
    let text = view.cell(item).text.trim();
    let ends = text.char_indices().filter_map(|(at, letter)| {
        let end = at + letter.len_utf8();
        let is_glued = letter.is_ascii_uppercase() && text[..at].ends_with(|c: char| c.is_alphabetic());
        (is_glued && !text[end..].starts_with(|c: char| c.is_alphanumeric())).then_some((at, end))
    });
    let read = |(at, end): (usize, usize)| {
        let rest = format!("{}{}", &text[..at], &text[end..]);
        let mut label = header::read(&rest);
        if text[..at].rsplit(|c: char| !c.is_alphabetic()).next() == Some("R") {
            // R alone is a phase elsewhere.
            label.circuits.clear();
            label.concepts = vec![(Concept::Resistance, 0.6)];
        }
        let is_quantity =
            |(concept, _): &(Concept, f32)| *concept == Concept::Resistance || quantity(*concept).is_some();
        let is_told = label.unexplained.is_empty()
            && label.circuits.is_empty()
            && label.concepts.first().is_some_and(is_quantity);
        let phases = circuit::read(&text[at..end]);
        is_told.then_some(Glued { rest, label, phases, item: *item })
    };
    ends.filter_map(read).collect()
}

fn phase_of(phases: &[CircuitMeaning], naming: Naming) -> Option<u8> {
    phases.iter().find_map(|meaning| match (meaning.naming, meaning.named) {
        (Some(own), Named::Phase(phase)) if own == naming => Some(phase),
        _ => None,
    })
}
