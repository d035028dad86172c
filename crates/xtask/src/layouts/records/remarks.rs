//! Remarks, beside a row or as notes on cells, that tell what no column does: the winding's temperature, another test voltage.

use super::scribe::{Scribe, Told};
use crate::layouts::page::{Cell, Page};
use crate::layouts::study::Dim;
use windrow_dice::Dice;

/// What a remark tells of the row that it stands in.
fn remark(scribe: &Scribe<'_>, told: Told, dice: &mut Dice) -> (Told, Option<String>) {
    let (degrees, celsius) = scribe.degrees(told);
    match dice.between(0, 4) {
        0 | 1 => {
            let unit = scribe.habits.degree();
            let text = scribe.any("winding_at", dice).replace("{X}", &format!("{degrees} {unit}"));
            (Told { celsius: Some(celsius), ..told }, Some(text))
        }
        2 => {
            let volts = if told.volts == Some(500.0) { 250.0 } else { 500.0 };
            let (cell, unit) = scribe.volts(volts);
            let text = scribe.any("tested_at", dice).replace("{X}", &format!("{} {unit}", cell.shown));
            (Told { volts: Some(volts), ..told }, Some(text))
        }
        3 => (told, Some(scribe.any("remarks", dice))),
        _ => (told, None),
    }
}

fn log(scribe: &Scribe<'_>, dice: &mut Dice, noted: bool) -> Page {
    let mut page = Page { name: "Data".to_owned(), ..Page::default() };
    let volts = scribe.study.volts;
    let (cell, unit) = scribe.volts(volts);
    let title = scribe.with_unit(&scribe.word("insulation_resistance"), 0);
    page.put((0, 0), Cell::line(format!("{title}, {} {unit} DC", cell.shown)));
    page.put((2, 0), Cell::text(scribe.word("machine")));
    page.put((2, 1), Cell::text(scribe.word("date")));
    for ((_, name), column) in scribe.phases().iter().zip(2..) {
        page.put((2, column), Cell::text(name));
    }
    if !noted {
        page.put((2, 5), Cell::text(scribe.word("remark")));
    }
    for ((machine, date), row) in scribe.tests(0.6, dice).into_iter().zip(3..) {
        let (told, text) = remark(scribe, Told { machine, date, volts: Some(volts), ..Told::default() }, dice);
        page.put((row, 0), scribe.tag(machine));
        page.put((row, 1), scribe.date(date));
        for (at, column) in (0..3).zip(2..) {
            let told = Told { circuit: Some(scribe.phases()[at].0), ..told };
            scribe.reading(&mut page, (row, column), told, 0, scribe.value(told, &[(Dim::Circuit, at)], 0));
        }
        match text {
            Some(text) if noted => page.note((row, 0), text),
            Some(text) => page.put((row, 5), Cell::text(text)),
            None => {}
        }
    }
    page
}

pub(super) fn draw(scribe: &Scribe<'_>, dice: &mut Dice) -> Vec<Page> {
    vec![log(scribe, dice, false)]
}

pub(super) fn notes(scribe: &Scribe<'_>, dice: &mut Dice) -> Vec<Page> {
    vec![log(scribe, dice, true)]
}
