//! Values as people write them: words of condition behind, about, powers of ten, other units, ranges, question marks.

use super::scribe::{Scribe, Told};
use crate::layouts::page::{Cell, Page};
use crate::layouts::study::Dim;
use windrow_dice::Dice;

pub(super) fn draw(scribe: &Scribe<'_>, dice: &mut Dice) -> Vec<Page> {
    let mut page = Page { name: "Data".to_owned(), ..Page::default() };
    let unit = dice.chance(0.5);
    let word = scribe.word("insulation_resistance");
    page.put((0, 0), Cell::line(if unit { scribe.with_unit(&word, 0) } else { word }));
    page.put((1, 0), Cell::text(scribe.word("machine")));
    page.put((1, 1), Cell::text(scribe.word("date")));
    for ((_, name), column) in scribe.phases().iter().zip(2..) {
        page.put((1, column), Cell::text(name));
    }
    for ((machine, date), row) in scribe.tests(0.7, dice).into_iter().zip(2..) {
        page.put((row, 0), scribe.tag(machine));
        page.put((row, 1), scribe.date(date));
        for (at, column) in (0..3).zip(2..) {
            let told = Told { machine, date, circuit: Some(scribe.phases()[at].0), ..Told::default() };
            value(scribe, &mut page, (row, column), told, at, unit, dice);
        }
    }
    vec![page]
}

fn value(
    scribe: &Scribe<'_>,
    page: &mut Page,
    at: (u32, u32),
    told: Told,
    circuit: usize,
    titled: bool,
    dice: &mut Dice,
) {
    let (number, shown) = scribe.habits.rounded(scribe.value(told, &[(Dim::Circuit, circuit)], 0), 3);
    let behind = if titled { String::new() } else { format!(" {}", scribe.unit(0)) };
    let plain = if titled { Cell::number(number, shown.clone()) } else { Cell::text(format!("{shown}{behind}")) };
    let (cell, hold, bound) = match dice.between(0, 24) {
        0 => (Cell::text(format!("{shown}{behind} {}", scribe.any("condition", dice))), false, "exact"),
        1 => (Cell::text(format!("{} {shown}{behind}", scribe.any("about", dice))), false, "exact"),
        2 => (Cell::text(format!("{} {shown}{behind}", scribe.any("above", dice))), false, "at_least"),
        3 => (Cell::text(format!("<{shown}{behind}")), false, "at_most"),
        4 => (Cell::text(format!("{shown}{behind}?")), true, "exact"),
        5 => {
            let high = scribe.habits.rounded(number * 1.5, 3).1;
            let between = dice.pick(&["-", " - ", "..."]);
            (Cell::text(format!("{shown}{between}{high}{behind}")), true, "exact")
        }
        _ => (plain, false, "exact"),
    };
    scribe.put(page, at, told, 0, (number, cell));
    let Some((_, truth)) = page.truths.last_mut() else { return };
    bound.clone_into(truth.bound.get_or_insert_default());
    if hold {
        "hold".clone_into(&mut truth.expect);
        truth.hold_field = Some("value".to_owned());
        "the figure cannot be read for certain".clone_into(&mut truth.why);
    }
}
