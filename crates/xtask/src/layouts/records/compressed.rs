//! Three phases in one cell, with units and marks of their own.

use super::scribe::{Scribe, Told};
use crate::layouts::page::{Cell, Page};
use crate::layouts::study::Dim;
use windrow_dice::Dice;

pub(super) fn draw(scribe: &Scribe<'_>, dice: &mut Dice) -> Vec<Page> {
    let mut page = Page { name: "Data".to_owned(), ..Page::default() };
    let title = scribe.with_unit(&scribe.word("insulation_resistance"), 0);
    page.put((0, 0), Cell::line(format!("{} - {title}", scribe.study.site)));
    let between = dice.pick(&[" / ", "/"]);
    let names: Vec<&str> = scribe.habits.phases.to_vec();
    let heading = format!("{} {}", names.join("/"), scribe.word("to_earth"));
    for (text, column) in [scribe.word("machine"), scribe.word("date"), heading].into_iter().zip(0..) {
        page.put((2, column), Cell::text(text));
    }
    for ((machine, date), row) in scribe.tests(0.5, dice).into_iter().zip(3..) {
        page.put((row, 0), scribe.tag(machine));
        page.put((row, 1), scribe.date(date));
        let mut shown = Vec::new();
        for at in 0..3 {
            let told = Told { machine, date, circuit: Some(scribe.phases()[at].0), ..Told::default() };
            let (number, text) = scribe.habits.rounded(scribe.value(told, &[(Dim::Circuit, at)], 0), 3);
            shown.push(text);
            page.truths.push(((row, 2), scribe.truth(told, 0, number * scribe.measure(0).unit.1)));
        }
        page.put((row, 2), Cell::text(shown.join(between)));
    }
    vec![page]
}
