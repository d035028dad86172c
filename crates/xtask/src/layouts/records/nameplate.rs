//! Nameplates: on a sheet of their own, which tests name by serial number, and at the head of a test form.

use super::scribe::{Scribe, Told};
use crate::layouts::page::{At, Cell, Page};
use crate::layouts::study::Dim;
use windrow_dice::Dice;

/// Labels and values of a nameplate; none of its numbers was measured.
fn plate(scribe: &Scribe<'_>, machine: usize, dice: &mut Dice) -> Vec<(Cell, Cell)> {
    let plate = &scribe.study.machines[machine];
    let (label, whole) = (|thing: &str| scribe.label(thing), Scribe::whole);
    let volts = dice.pick(&[400, 690, 3300, 6600]);
    let mut pairs = vec![
        (label("machine"), scribe.tag(machine)),
        (label("serial"), Cell::text(&plate.serial)),
        (label("bare_voltage"), Cell::text(format!("{volts} V"))),
        (label("power"), whole(dice.pick(&[45, 90, 160, 315, 630]))),
        (label("speed"), whole(dice.pick(&[741, 985, 1480, 2975]))),
        (label("current"), Cell::text(format!("{} A", dice.between(20, 400)))),
        (label("class"), Cell::text(dice.pick(&["B", "F", "H"]))),
        (label("made"), whole(dice.between(1955, 1978))),
    ];
    if dice.chance(0.4) {
        pairs.remove(4);
    }
    pairs
}

fn lay(page: &mut Page, (top, left): At, pairs: Vec<(Cell, Cell)>, abreast: u32) -> u32 {
    let rows = u32::try_from(pairs.len()).unwrap_or(0).div_ceil(abreast);
    for ((label, value), at) in pairs.into_iter().zip(0..) {
        let (row, column) = (top + at / abreast, left + at % abreast * 3);
        page.put((row, column), label);
        page.put((row, column + 1), value);
    }
    top + rows
}

/// A sheet of nameplates and a sheet of tests by serial number.
pub(super) fn keyed(scribe: &Scribe<'_>, dice: &mut Dice) -> Vec<Page> {
    let mut plates = Page { name: dice.pick(&["Nameplates", "Motors", "Plates"]).to_owned(), ..Page::default() };
    let (mut row, abreast) = (0, dice.between(1, 2));
    for machine in 0..scribe.study.machines.len() {
        row = lay(&mut plates, (row, 0), plate(scribe, machine, dice), abreast) + 1;
    }
    let mut tests = Page { name: dice.pick(&["Tests", "IR", "Data"]).to_owned(), ..Page::default() };
    tests.put((0, 0), Cell::line(scribe.with_unit(&scribe.word("insulation_resistance"), 0)));
    for (heading, column) in ["date", "serial", "voltage"].iter().zip(0..) {
        tests.put((2, column), Cell::text(scribe.word(heading)));
    }
    tests.put((2, 2), Cell::text(scribe.habits.with_unit(&scribe.word("voltage"), scribe.volts(1.0).1)));
    for ((_, name), column) in scribe.phases().iter().zip(3..) {
        tests.put((2, column), Cell::text(name));
    }
    for ((machine, date), row) in scribe.tests(0.5, dice).into_iter().zip(3..) {
        let volts = scribe.study.machines[machine].volts;
        tests.put((row, 0), scribe.date(date));
        tests.put((row, 1), Cell::text(&scribe.study.machines[machine].serial));
        tests.put((row, 2), scribe.volts(volts).0);
        for (at, column) in (0..3).zip(3..) {
            let told =
                Told { machine, date, volts: Some(volts), circuit: Some(scribe.phases()[at].0), ..Told::default() };
            scribe.reading(&mut tests, (row, column), told, 0, scribe.value(told, &[(Dim::Circuit, at)], 0));
        }
    }
    if dice.chance(0.5) { vec![plates, tests] } else { vec![tests, plates] }
}

/// Forms, each with the nameplate above and the test below; the voltage of the test stands with the test, or nowhere.
pub(super) fn form(scribe: &Scribe<'_>, dice: &mut Dice) -> Vec<Page> {
    let mut page = Page { name: "Data".to_owned(), ..Page::default() };
    let (abreast, titled, tells) = (dice.between(1, 2), dice.chance(0.5), dice.chance(0.6));
    let bare = dice.chance(0.5);
    let mut top = 0;
    for (machine, date) in scribe.tests(0.3, dice) {
        page.put((top, 0), Cell::line(scribe.word("report")));
        if titled {
            page.put((top + 1, 0), Cell::line(scribe.word("nameplate")));
        }
        let mut row = lay(&mut page, (top + 1 + u32::from(titled), 0), plate(scribe, machine, dice), abreast) + 1;
        if titled {
            page.put((row, 0), Cell::line(scribe.word("measurement")));
            row += 1;
        }
        let volts = scribe.study.machines[machine].volts;
        let mut pairs = vec![(scribe.label("date"), scribe.date(date))];
        if tells {
            let (cell, unit) = scribe.volts(volts);
            let label = if bare && titled { "bare_voltage" } else { "voltage" };
            pairs.push((scribe.label(label), Cell::text(format!("{} {unit}", cell.shown))));
        }
        row = lay(&mut page, (row, 0), pairs, abreast);
        for at in 0..3 {
            let (circuit, name) = scribe.phases()[at].clone();
            let told = Told { machine, date, volts: tells.then_some(volts), circuit: Some(circuit), ..Told::default() };
            let label = scribe.with_unit(&format!("{} {name}", scribe.word("insulation_resistance")), 0);
            page.put((row, 0), Cell::text(format!("{label}{}", scribe.habits.colon)));
            scribe.reading(&mut page, (row, 1), told, 0, scribe.value(told, &[(Dim::Circuit, at)], 0));
            row += 1;
        }
        top = row + 2;
    }
    vec![page]
}
