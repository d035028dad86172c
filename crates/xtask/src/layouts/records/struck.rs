//! A value struck through, and the one that superseded it in the row below.

use super::scribe::{Scribe, Told};
use crate::layouts::page::{Cell, Page};
use crate::layouts::study::Dim;
use crate::score::truth::NotReading;
use windrow_dice::Dice;

pub(super) fn draw(scribe: &Scribe<'_>, dice: &mut Dice) -> Vec<Page> {
    let mut page = Page { name: "Data".to_owned(), ..Page::default() };
    page.put((0, 0), Cell::line(scribe.with_unit(&scribe.word("insulation_resistance"), 0)));
    page.put((1, 0), Cell::text(scribe.word("machine")));
    page.put((1, 1), Cell::text(scribe.word("date")));
    for ((_, name), column) in scribe.phases().iter().zip(2..) {
        page.put((1, column), Cell::text(name));
    }
    let mut row = 2;
    for (machine, date) in scribe.tests(0.6, dice) {
        let again = dice.chance(0.2);
        for struck in [true, false] {
            if struck && !again {
                continue;
            }
            page.put((row, 0), scribe.tag(machine));
            page.put((row, 1), scribe.date(date));
            for (at, column) in (0..3).zip(2..) {
                let told = Told { machine, date, circuit: Some(scribe.phases()[at].0), ..Told::default() };
                let value = scribe.value(told, &[(Dim::Circuit, at)], 0);
                if struck {
                    page.put((row, column), Cell { struck: true, ..scribe.number(value * 0.31, 3) });
                    page.not_readings.push(((row, column), NotReading::derived("struck through")));
                } else {
                    scribe.reading(&mut page, (row, column), told, 0, value);
                }
            }
            row += 1;
        }
    }
    vec![page]
}
