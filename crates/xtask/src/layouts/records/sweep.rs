//! One machine at rising voltage: a ramp, and steps with several readings at each.

use super::scribe::{Scribe, Told};
use crate::layouts::page::{Cell, Page};
use crate::layouts::study::Dim;
use windrow_dice::Dice;

/// The lines above: which machine, which day.
pub(super) fn head(scribe: &Scribe<'_>, page: &mut Page, title: &str, told: Told, dice: &mut Dice) -> u32 {
    page.put((0, 0), Cell::line(title));
    let mut pairs =
        vec![(scribe.label("machine"), scribe.tag(told.machine)), (scribe.label("date"), scribe.date(told.date))];
    if told.celsius.is_some() {
        let label = scribe.habits.with_unit(&scribe.word("temperature"), scribe.habits.degree());
        pairs.push((Cell::text(format!("{label}{}", scribe.habits.colon)), Scribe::whole(scribe.degrees(told).0)));
    }
    if dice.chance(0.5) {
        pairs.push((scribe.label("instrument"), Cell::text(format!("HV-{}", dice.between(10, 99)))));
    }
    if dice.chance(0.5) {
        pairs.push((scribe.label("by"), Cell::text(dice.pick(&["HB", "K.O."]))));
    }
    let count = u32::try_from(pairs.len()).unwrap_or(0);
    for ((label, value), row) in pairs.into_iter().zip(1..) {
        page.put((row, 0), label);
        page.put((row, 1), value);
    }
    count + 1 + dice.between(0, 1)
}

fn start(scribe: &Scribe<'_>, dice: &mut Dice) -> Told {
    let last = |count: usize| u32::try_from(count).unwrap_or(1) - 1;
    let machine = dice.between(0, last(scribe.study.machines.len())) as usize;
    let date = dice.between(0, last(scribe.study.dates.len())) as usize;
    let mut told = Told { machine, date, ..Told::default() };
    told.celsius = dice.chance(0.6).then(|| scribe.degrees(told).1);
    told
}

/// Hundreds of pairs of voltage and current.
pub(super) fn ramp(scribe: &Scribe<'_>, dice: &mut Dice) -> Vec<Page> {
    let mut page = Page { name: "Data".to_owned(), ..Page::default() };
    let told = start(scribe, dice);
    let top = head(scribe, &mut page, &scribe.word("ramp_title"), told, dice);
    let timed = dice.chance(0.6);
    let unit = scribe.volts(1.0).1;
    let mut headings = vec![
        scribe.habits.with_unit(&scribe.word("voltage"), unit),
        scribe.with_unit(&scribe.word("leakage_current"), 0),
    ];
    if timed {
        headings.insert(0, scribe.habits.with_unit(&scribe.word("elapsed"), "s"));
    }
    for (heading, column) in headings.into_iter().zip(0..) {
        page.put((top, column), Cell::text(heading));
    }
    let rows = if dice.chance(0.2) { 2000 } else { dice.between(60, 300) };
    let rise = dice.pick(&[10.0, 20.0, 50.0]);
    let left = u32::from(timed);
    for (step, row) in (1..=rows).zip(top + 1..) {
        let volts = f64::from(step) * rise;
        let seconds = f64::from(step) * 2.0;
        let told = Told { volts: Some(volts), seconds: timed.then_some(seconds), ..told };
        let current = scribe.value(told, &[], 0) / scribe.study.volts * volts * (1.0 + volts / 60_000.0);
        if timed {
            page.put((row, 0), Cell::number(seconds, seconds.to_string()));
        }
        page.put((row, left), scribe.volts(volts).0);
        scribe.reading(&mut page, (row, left + 1), told, 0, current);
    }
    vec![page]
}

/// Voltage told once for each step, the current at several times below it.
pub(super) fn steps(scribe: &Scribe<'_>, dice: &mut Dice) -> Vec<Page> {
    let mut page = Page { name: "Data".to_owned(), ..Page::default() };
    let told = start(scribe, dice);
    let top = head(scribe, &mut page, &scribe.word("step_title"), told, dice);
    let once = dice.chance(0.6);
    let headings = [
        scribe.habits.with_unit(&scribe.word("voltage"), scribe.volts(1.0).1),
        scribe.habits.with_unit(&scribe.word("elapsed"), "s"),
        scribe.with_unit(&scribe.word("leakage_current"), 0),
    ];
    for (heading, column) in headings.into_iter().zip(0..) {
        page.put((top, column), Cell::text(heading));
    }
    let mut row = top + 1;
    let (times, samples) = (dice.pick(&[15, 30, 60]), dice.between(3, 8));
    for step in 0..scribe.study.steps.len() {
        let volts = scribe.study.steps[step];
        for sample in 1..=samples {
            let seconds = f64::from(sample * times);
            let told = Told { volts: Some(volts), seconds: Some(seconds), ..told };
            if sample == 1 || !once {
                page.put((row, 0), scribe.volts(volts).0);
            }
            page.put((row, 1), Scribe::whole(sample * times));
            let current = scribe.value(told, &[(Dim::Step, step)], 0) / seconds.powf(0.2);
            scribe.reading(&mut page, (row, 2), told, 0, current);
            row += 1;
        }
    }
    vec![page]
}
