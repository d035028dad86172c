//! Forms for three phases over ten minutes, several machines a sheet, with what was computed from them.

use super::scribe::{Scribe, Told};
use crate::layouts::page::{Cell, Page};
use crate::layouts::study::Dim;
use windrow_dice::Dice;

const MINUTES: [f64; 7] = [0.5, 1.0, 2.0, 3.0, 4.0, 5.0, 10.0];

pub(super) fn draw(scribe: &Scribe<'_>, dice: &mut Dice) -> Vec<Page> {
    let mut page = Page { name: "PI".to_owned(), ..Page::default() };
    page.put((0, 0), Cell::line(format!("{} - {}", scribe.study.site, scribe.word("report"))));
    let looks = Looks {
        abreast: dice.chance(0.5),
        index: dice.chance(0.8),
        absorption: dice.chance(0.4),
        corrected: dice.chance(0.3),
        temperature: dice.chance(0.7),
        gap: dice.between(1, 2),
    };
    let mut corner = (2, 0);
    for (machine, date) in scribe.tests(0.35, dice) {
        let part = form(scribe, Told { machine, date, ..Told::default() }, looks);
        let (rows, columns) = part.size();
        page.lay(part, corner);
        corner = if looks.abreast { (2, corner.1 + columns + looks.gap) } else { (corner.0 + rows + looks.gap, 0) };
    }
    vec![page]
}

#[derive(Debug, Clone, Copy)]
#[expect(clippy::struct_excessive_bools, reason = "each is a habit of its own")]
struct Looks {
    abreast: bool,
    index: bool,
    absorption: bool,
    corrected: bool,
    temperature: bool,
    gap: u32,
}

fn form(scribe: &Scribe<'_>, told: Told, looks: Looks) -> Page {
    let (study, habits) = (scribe.study, scribe.habits);
    let mut page = Page::default();
    let volts = study.machines[told.machine].volts;
    let (cell, unit) = scribe.volts(volts);
    let (degrees, celsius) = scribe.degrees(told);
    let told = Told { volts: Some(volts), celsius: looks.temperature.then_some(celsius), ..told };
    let mut pairs = vec![
        (scribe.label("machine"), scribe.tag(told.machine)),
        (scribe.label("date"), scribe.date(told.date)),
        (scribe.label("voltage"), Cell::text(format!("{} {unit}", cell.shown))),
    ];
    if looks.temperature {
        pairs.push((scribe.label("temperature"), Cell::text(format!("{degrees} {}", habits.degree()))));
    }
    let mut row = 0;
    for (label, value) in pairs {
        page.put((row, 0), label);
        page.put((row, 1), value);
        row += 1;
    }
    page.put((row, 0), Cell::text(habits.with_unit(&scribe.word("elapsed"), "min")));
    let phases = scribe.phases();
    for ((_, name), column) in phases.iter().zip(1..) {
        page.put((row, column), Cell::text(scribe.with_unit(name, 0)));
    }
    let mut read = [[0.0; 7]; 3];
    for (minutes, time) in MINUTES.iter().zip(0..) {
        row += 1;
        page.put((row, 0), Cell::number(*minutes, habits.marked(&minutes.to_string())));
        for (phase, column) in (0..3).zip(1..) {
            let told = Told { circuit: Some(phases[phase].0), seconds: Some(minutes * 60.0), ..told };
            let value = scribe.value(told, &[(Dim::Circuit, phase)], 0) * minutes.powf(0.3);
            read[phase][time] = scribe.reading(&mut page, (row, column), told, 0, value);
        }
    }
    // Half as much for each ten degrees more (IEEE 43, thermoplastic insulation; from memory).
    let to_40 = 0.5_f64.powf((40.0 - celsius) / 10.0);
    let computed: [(bool, &str, [f64; 3]); 3] = [
        (looks.index, "index", read.map(|at| at[6] / at[1])),
        (looks.absorption, "absorption", read.map(|at| at[1] / at[0])),
        (looks.corrected && looks.temperature, "corrected_label", read.map(|at| at[1] * to_40)),
    ];
    for (_, label, values) in computed.into_iter().filter(|(drawn, ..)| *drawn) {
        row += 1;
        page.put((row, 0), Cell::text(scribe.word(label)));
        for (value, column) in values.into_iter().zip(1..) {
            scribe.derived(&mut page, (row, column), "computed from the readings above", value, 3);
        }
    }
    page
}
