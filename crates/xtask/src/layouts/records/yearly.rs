//! Machines down, years across, several things told below each year.

use super::scribe::{Scribe, Told};
use crate::layouts::page::{Cell, Page};
use windrow_dice::Dice;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Part {
    Value,
    Temperature,
    Volts,
    By,
}

pub(super) fn draw(scribe: &Scribe<'_>, dice: &mut Dice) -> Vec<Page> {
    let mut page = Page { name: "Data".to_owned(), ..Page::default() };
    let study = scribe.study;
    page.put(
        (0, 0),
        Cell::line(format!("{} - {}", study.site, scribe.with_unit(&scribe.word("insulation_resistance"), 0))),
    );
    let mut parts = vec![Part::Value];
    parts.extend([Part::Temperature, Part::Volts, Part::By].into_iter().filter(|_| dice.chance(0.5)));
    let (merges, repeats, plate) = (dice.chance(0.5), dice.chance(0.3), dice.chance(0.5));
    let width = u32::try_from(parts.len()).unwrap_or(1);
    let first = if plate { 3 } else { 1 };
    page.put((3, 0), Cell::text(scribe.word("machine")));
    if plate {
        page.put((3, 1), Cell::text(scribe.word("power")));
        page.put((3, 2), Cell::text(scribe.word("rated")));
    }
    for (date, year) in study.dates.iter().zip(0..) {
        let left = first + year * width;
        for (part, column) in parts.iter().zip(left..) {
            if column == left || repeats {
                page.put((2, column), scribe.habits.date(*date));
            }
            let heading = match part {
                Part::Value => scribe.unit(0).to_owned(),
                Part::Temperature => scribe.habits.with_unit(&scribe.word("temperature"), scribe.habits.degree()),
                Part::Volts => scribe.habits.with_unit(&scribe.word("voltage"), scribe.volts(1.0).1),
                Part::By => scribe.word("by"),
            };
            page.put((3, column), Cell::text(heading));
        }
        if merges && width > 1 && !repeats {
            page.merged.push(((2, left), (1, width)));
        }
    }
    for (machine, row) in (0..study.machines.len()).zip(4..) {
        page.put((row, 0), scribe.tag(machine));
        if plate {
            page.put((row, 1), Scribe::whole(dice.pick(&[45, 90, 160, 315])));
            page.put((row, 2), Scribe::whole(dice.pick(&[400, 690, 3300, 6600])));
        }
        for (date, year) in (0..study.dates.len()).zip(0..) {
            cells(scribe, &mut page, (row, first + year * width), (machine, date), &parts, dice);
        }
    }
    vec![page]
}

fn cells(
    scribe: &Scribe<'_>,
    page: &mut Page,
    (row, left): (u32, u32),
    (machine, date): (usize, usize),
    parts: &[Part],
    dice: &mut Dice,
) {
    if dice.chance(0.06) {
        page.put((row, left), Cell::text(scribe.any("events", dice)));
        return;
    }
    let volts = scribe.study.machines[machine].volts;
    let mut told = Told { machine, date, ..Told::default() };
    let (degrees, celsius) = scribe.degrees(told);
    told.celsius = parts.contains(&Part::Temperature).then_some(celsius);
    told.volts = parts.contains(&Part::Volts).then_some(volts);
    for (part, column) in parts.iter().zip(left..) {
        match part {
            Part::Value => _ = scribe.reading(page, (row, column), told, 0, scribe.value(told, &[], 0)),
            Part::Temperature => page.put((row, column), Scribe::whole(degrees)),
            Part::Volts => page.put((row, column), scribe.volts(volts).0),
            Part::By => page.put((row, column), Cell::text(dice.pick(&["HB", "KO", "MS"]))),
        }
    }
}
