//! Machines with more than a stator: armature and field, stator and rotor.

use super::scribe::{Scribe, Told};
use crate::layouts::page::{Cell, Page};
use crate::layouts::study::Dim;
use windrow_dice::Dice;

pub(super) fn draw(scribe: &Scribe<'_>, dice: &mut Dice) -> Vec<Page> {
    let mut page = Page { name: "Data".to_owned(), ..Page::default() };
    let windings: &[(&str, Option<&'static str>)] = if dice.chance(0.6) {
        &[("armature", Some("A-E")), ("field", Some("F-E")), ("interpoles", None)]
    } else {
        &[("stator", None), ("rotor", Some("R-E"))]
    };
    let earth = format!(" {}", scribe.word("to_earth"));
    let said = dice.chance(0.5);
    let title = scribe.with_unit(&scribe.word("insulation_resistance"), 0);
    page.put((0, 0), Cell::line(if said { title } else { format!("{title}{earth}") }));
    let name = |thing: &str| format!("{}{}", scribe.word(thing), if said { earth.as_str() } else { "" });
    if dice.chance(0.5) {
        columns(scribe, &mut page, windings, name, dice);
    } else {
        rows(scribe, &mut page, windings, name, dice);
    }
    vec![page]
}

type Winding = (&'static str, Option<&'static str>);

fn columns(scribe: &Scribe<'_>, page: &mut Page, windings: &[Winding], name: impl Fn(&str) -> String, dice: &mut Dice) {
    page.put((2, 0), Cell::text(scribe.word("machine")));
    page.put((2, 1), Cell::text(scribe.word("date")));
    for ((thing, _), column) in windings.iter().zip(2..) {
        page.put((2, column), Cell::text(name(thing)));
    }
    for ((machine, date), row) in scribe.tests(0.6, dice).into_iter().zip(3..) {
        page.put((row, 0), scribe.tag(machine));
        page.put((row, 1), scribe.date(date));
        for (((_, circuit), at), column) in windings.iter().zip(0..).zip(2..) {
            let told = Told { machine, date, circuit: *circuit, ..Told::default() };
            scribe.reading(page, (row, column), told, 0, scribe.value(told, &[(Dim::Circuit, at)], 0));
        }
    }
}

fn rows(scribe: &Scribe<'_>, page: &mut Page, windings: &[Winding], name: impl Fn(&str) -> String, dice: &mut Dice) {
    let mut row = 2;
    for (machine, date) in scribe.tests(0.35, dice) {
        for (thing, value) in [("machine", scribe.tag(machine)), ("date", scribe.date(date))] {
            page.put((row, 0), scribe.label(thing));
            page.put((row, 1), value);
            row += 1;
        }
        for ((thing, circuit), at) in windings.iter().zip(0..) {
            let told = Told { machine, date, circuit: *circuit, ..Told::default() };
            page.put((row, 0), Cell::text(name(thing)));
            scribe.reading(page, (row, 1), told, 0, scribe.value(told, &[(Dim::Circuit, at)], 0));
            row += 1;
        }
        row += 1;
    }
}
