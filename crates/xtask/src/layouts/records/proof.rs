//! High voltage, a line a phase: voltage, minutes, current, verdict.

use super::scribe::{Scribe, Told};
use crate::layouts::page::{Cell, Page};
use crate::layouts::study::Dim;
use windrow_dice::Dice;

pub(super) fn draw(scribe: &Scribe<'_>, dice: &mut Dice) -> Vec<Page> {
    let mut page = Page { name: "Data".to_owned(), ..Page::default() };
    page.put((0, 0), Cell::line(scribe.word("withstand_title")));
    let mut groups = vec!["voltage", "elapsed", "leakage_current", "verdict"];
    if dice.chance(0.5) {
        groups.swap(1, 2);
    }
    let heading = |thing: &str| match thing {
        "voltage" => scribe.habits.with_unit(&scribe.word("voltage"), scribe.volts(1.0).1),
        "elapsed" => scribe.habits.with_unit(&scribe.word("elapsed"), "min"),
        "leakage_current" => scribe.with_unit(&scribe.word("leakage_current"), 0),
        other => scribe.word(other),
    };
    for (thing, column) in ["machine", "date", "circuit"].iter().chain(&groups).zip(0..) {
        page.put((2, column), Cell::text(heading(thing)));
    }
    let (once, mut row) = (dice.chance(0.6), 3);
    for (machine, date) in scribe.tests(0.4, dice) {
        let (volts, minutes) = (scribe.study.machines[machine].volts * 2.0, dice.pick(&[1_u32, 1, 5]));
        for at in 0..3 {
            let (circuit, name) = scribe.phases()[at].clone();
            if at == 0 || !once {
                page.put((row, 0), scribe.tag(machine));
                page.put((row, 1), scribe.date(date));
            }
            page.put((row, 2), Cell::text(name));
            let told = Told {
                volts: Some(volts),
                seconds: Some(f64::from(minutes) * 60.0),
                circuit: Some(circuit),
                machine,
                date,
                ..Told::default()
            };
            for (thing, column) in groups.iter().zip(3..) {
                match *thing {
                    "voltage" => page.put((row, column), scribe.volts(volts).0),
                    "elapsed" => page.put((row, column), Scribe::whole(minutes)),
                    "verdict" => page.put((row, column), Cell::text(scribe.word("pass"))),
                    _ => {
                        let value = scribe.value(told, &[(Dim::Circuit, at)], 0);
                        scribe.reading(&mut page, (row, column), told, 0, value);
                    }
                }
            }
            row += 1;
        }
    }
    vec![page]
}
