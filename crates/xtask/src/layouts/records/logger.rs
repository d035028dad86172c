//! What a recorder wrote: a block of settings, then a line a second.

use super::scribe::{Scribe, Told};
use crate::layouts::page::{Cell, Page};
use windrow_dice::Dice;

pub(super) fn draw(scribe: &Scribe<'_>, dice: &mut Dice) -> Vec<Page> {
    let mut page = Page { name: "Data".to_owned(), ..Page::default() };
    let told = Told { machine: 0, date: 0, ..Told::default() };
    let (volts, circuit) = (scribe.study.volts, scribe.phases()[0].clone());
    let in_line = dice.chance(0.4);
    let (number, unit) = scribe.volts(volts);
    let nominal = dice.chance(0.6);
    let mut settings = vec![
        (scribe.word("machine"), scribe.tag(0)),
        (scribe.word("date"), scribe.date(0)),
        (scribe.word("instrument"), Cell::text("IR-7")),
        (scribe.word("circuit"), Cell::text(&circuit.1)),
        (scribe.word("interval"), Cell::text("1 s")),
    ];
    if nominal {
        settings.push((scribe.word("voltage"), Cell::text(format!("{} {unit}", number.shown))));
    }
    let mut row = 0;
    for (label, value) in settings {
        if in_line {
            page.put((row, 0), Cell::line(format!("{label}: {}", value.shown)));
        } else {
            page.put((row, 0), Cell::text(format!("{label}{}", scribe.habits.colon)));
            page.put((row, 1), value);
        }
        row += 1;
    }
    row += dice.between(0, 1);
    let clock = dice.chance(0.3);
    let time = if clock {
        format!("{} (mm:ss)", scribe.word("elapsed"))
    } else {
        scribe.habits.with_unit(&scribe.word("elapsed"), "s")
    };
    // Resistance beside voltage and current would be the instrument's quotient of them.
    let measure = dice.between(0, 1) as usize;
    let headings = [
        time,
        scribe.habits.with_unit(&scribe.word("voltage"), "V"),
        scribe.with_unit(&scribe.word(scribe.measure(measure).quantity), measure),
    ];
    for (heading, column) in headings.into_iter().zip(0..) {
        page.put((row, column), Cell::text(heading));
    }
    let told = Told { circuit: Some(circuit.0), ..told };
    for second in 1..=dice.pick(&[60, 60, 120, 600]) {
        row += 1;
        let held = volts - f64::from(dice.between(0, 4));
        let told = Told { volts: Some(held), seconds: Some(f64::from(second)), ..told };
        let shown = format!("{:02}:{:02}", second / 60, second % 60);
        page.put((row, 0), if clock { Cell::text(shown) } else { Scribe::whole(second) });
        page.put((row, 1), Cell::number(held, held.to_string()));
        let grown = f64::from(second).powf(if measure == 0 { 0.15 } else { -0.15 });
        scribe.reading(&mut page, (row, 2), told, measure, scribe.value(told, &[], measure) * grown);
    }
    vec![page]
}
