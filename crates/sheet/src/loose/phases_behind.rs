//! Numbers behind the names of phases, in a line that begins with what they are: "Extinction (kV) | U 1.4 | V 1.8 | W 1.2".

use super::Pair;
use crate::fit;
use crate::heading::{By, Heading};
use crate::sense::{Kind, Sense};
use crate::view::{Item, View};
use windrow_source::Cell;
use windrow_text::circuit::{self, CircuitMeaning, Naming};

/// The readings of a line whose first cell names a measured quantity with its unit; none where fewer than two phases of one naming
/// stand behind it.
pub(super) fn read(view: &View<'_>, line: &[Item]) -> Vec<Pair> {
    let Some((label, values)) = line.split_first() else { return Vec::new() };
    let sense = view.sense(label);
    let names_measured = sense.kind == Kind::Text
        && sense.concept().is_some_and(|concept| fit::quantity(concept).is_some())
        && sense.label.unexplained.is_empty()
        && !sense.label.units.is_empty();
    if !names_measured {
        return Vec::new();
    }
    let told: Vec<(Item, &str, Vec<CircuitMeaning>)> = values.iter().map_while(|value| phase(view, value)).collect();
    let Some(naming) = common_naming(&told) else { return Vec::new() };
    let pair = |(item, number, meanings): (Item, &str, Vec<CircuitMeaning>)| {
        let mut heading = Heading::sum(view, std::slice::from_ref(label));
        let of_naming = meanings.into_iter().filter(|meaning| meaning.naming == Some(naming));
        let value = of_naming.map(|meaning| CircuitMeaning { naming: None, weight: 0.95, ..meaning }).collect();
        heading.circuits = vec![By { value, item }];
        let cell = Cell { row: item.row, column: item.column, ..Cell::text(0, 0, number) };
        let inline = Some(Box::new((cell, Sense::read_text(number))));
        Pair { heading, label: *label, value: item, unit: None, inline }
    };
    told.into_iter().map(pair).collect()
}

/// A cell that is the name of a phase and a number.
fn phase<'v>(view: &View<'v>, item: &Item) -> Option<(Item, &'v str, Vec<CircuitMeaning>)> {
    let (name, number) = view.cell(item).text.trim().split_once(' ')?;
    let meanings = circuit::read(name.trim_end_matches([':', '=']));
    let is_number = Sense::read_text(number).kind == Kind::Number;
    (is_number && !meanings.is_empty()).then(|| (*item, number.trim(), meanings))
}

/// The way of naming in which two phases or more all have a name, each its own.
fn common_naming(told: &[(Item, &str, Vec<CircuitMeaning>)]) -> Option<Naming> {
    let namings = told.first().filter(|_| told.len() >= 2)?.2.iter().filter_map(|meaning| meaning.naming);
    namings.into_iter().find(|naming| {
        let of = |meanings: &[CircuitMeaning]| {
            meanings.iter().find(|meaning| meaning.naming == Some(*naming)).map(|meaning| meaning.named)
        };
        let named: Vec<_> = told.iter().map(|(_, _, meanings)| of(meanings)).collect();
        let are_apart = named.iter().enumerate().all(|(at, one)| !named.iter().skip(at + 1).any(|other| other == one));
        named.iter().all(Option::is_some) && are_apart
    })
}
