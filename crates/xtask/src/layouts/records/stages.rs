//! As found and as left, side by side or below one another.

use super::scribe::{Scribe, Told};
use crate::layouts::page::{Cell, Page};
use crate::layouts::study::Dim;
use windrow_dice::Dice;

pub(super) fn draw(scribe: &Scribe<'_>, dice: &mut Dice) -> Vec<Page> {
    let mut page = Page { name: "Data".to_owned(), ..Page::default() };
    page.put((0, 0), Cell::line(scribe.with_unit(&scribe.word("insulation_resistance"), 0)));
    let at = dice.between(0, 1) as usize;
    let stages = ["before", "after"].map(|thing| scribe.habits.words.list(thing).get(at).cloned().unwrap_or_default());
    let across = dice.chance(0.5);
    page.put((3, 0), Cell::text(scribe.word("machine")));
    page.put((3, 1), Cell::text(scribe.word("date")));
    let left = if across { 2 } else { 3 };
    if !across {
        page.put((3, 2), Cell::text(scribe.word("condition_label")));
    }
    for (stage, group) in stages.iter().zip(0..) {
        if across {
            page.put((2, left + group * 3), Cell::text(stage));
            page.merged.push(((2, left + group * 3), (1, 3)));
        }
        if across || group == 0 {
            for ((_, name), column) in scribe.phases().iter().zip(left + group * 3..) {
                page.put((3, column), Cell::text(name));
            }
        }
    }
    let mut row = 4;
    for (machine, date) in scribe.tests(0.4, dice) {
        for (stage, group) in stages.iter().zip(0_u32..) {
            page.put((row, 0), scribe.tag(machine));
            page.put((row, 1), scribe.date(date));
            if !across {
                page.put((row, 2), Cell::text(stage));
            }
            let first = if across { left + group * 3 } else { left };
            for (phase, column) in (0..3).zip(first..) {
                let told = Told { machine, date, circuit: Some(scribe.phases()[phase].0), ..Told::default() };
                let value = scribe.value(told, &[(Dim::Circuit, phase)], 0) * (1.0 + 2.3 * f64::from(group));
                scribe.reading(&mut page, (row, column), told, 0, value);
            }
            row += u32::from(!across);
        }
        row += u32::from(across);
    }
    vec![page]
}
