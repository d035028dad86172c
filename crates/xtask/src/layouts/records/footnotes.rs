//! Signs behind values, and below the table what they mean.

use super::scribe::{Scribe, Told};
use crate::layouts::page::{Cell, Page};
use crate::layouts::study::Dim;
use windrow_dice::Dice;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Meaning {
    Corrected,
    Cable,
    Volts,
}

pub(super) fn draw(scribe: &Scribe<'_>, dice: &mut Dice) -> Vec<Page> {
    let mut page = Page { name: "Data".to_owned(), ..Page::default() };
    let volts = scribe.study.volts;
    let other = if volts < 600.0 { 250.0 } else { 500.0 };
    let (cell, unit) = scribe.volts(volts);
    let title = scribe.with_unit(&scribe.word("insulation_resistance"), 0);
    page.put((0, 0), Cell::line(format!("{title}, {} {unit} DC", cell.shown)));
    let signs = dice.pick(&[["*", "**", "***"], ["*", "†", "‡"], ["¹", "²", "³"], ["(1)", "(2)", "(3)"]]);
    let mut meanings = vec![Meaning::Corrected, Meaning::Cable, Meaning::Volts];
    dice.shuffle(&mut meanings);
    meanings.truncate(dice.between(1, 3) as usize);
    page.put((2, 0), Cell::text(scribe.word("machine")));
    page.put((2, 1), Cell::text(scribe.word("date")));
    for ((_, name), column) in scribe.phases().iter().zip(2..) {
        page.put((2, column), Cell::text(name));
    }
    let mut row = 3;
    for (machine, date) in scribe.tests(0.6, dice) {
        page.put((row, 0), scribe.tag(machine));
        page.put((row, 1), scribe.date(date));
        for (at, column) in (0..3).zip(2..) {
            let mut told =
                Told { machine, date, volts: Some(volts), circuit: Some(scribe.phases()[at].0), ..Told::default() };
            let (number, shown) = scribe.habits.rounded(scribe.value(told, &[(Dim::Circuit, at)], 0), 3);
            let marked =
                dice.chance(0.2).then(|| dice.between(0, u32::try_from(meanings.len()).unwrap_or(1) - 1) as usize);
            let meaning = marked.map(|at| meanings[at]);
            if meaning == Some(Meaning::Volts) {
                told.volts = Some(other);
            }
            let cell = match marked {
                Some(sign) => {
                    Cell::text(format!("{shown}{}{}", if signs[sign].starts_with('(') { " " } else { "" }, signs[sign]))
                }
                None => Cell::number(number, shown),
            };
            scribe.put(&mut page, (row, column), told, 0, (number, cell));
            if meaning == Some(Meaning::Corrected)
                && let Some((_, truth)) = page.truths.last_mut()
            {
                truth.as_reported = Some("corrected".to_owned());
            }
        }
        row += 1;
    }
    row += dice.between(0, 1);
    let join = dice.pick(&[" = ", " ", ": "]);
    for (meaning, sign) in meanings.iter().zip(signs) {
        let text = match meaning {
            Meaning::Corrected => scribe.any("corrected_words", dice),
            Meaning::Cable => scribe.any("with_cable", dice),
            Meaning::Volts => {
                let (cell, unit) = scribe.volts(other);
                scribe.any("tested_at", dice).replace("{X}", &format!("{} {unit}", cell.shown))
            }
        };
        page.put((row, 0), Cell::line(format!("{sign}{join}{text}")));
        row += 1;
    }
    vec![page]
}
