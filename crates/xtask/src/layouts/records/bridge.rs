//! Winding resistance between leads, with deviations, mean and unbalance.

use super::scribe::{Scribe, Told};
use crate::layouts::page::{Cell, Page};
use crate::layouts::study::Dim;
use windrow_dice::Dice;

pub(super) fn draw(scribe: &Scribe<'_>, dice: &mut Dice) -> Vec<Page> {
    let mut page = Page { name: "Data".to_owned(), ..Page::default() };
    page.put((0, 0), Cell::line(scribe.with_unit(&scribe.word("winding_resistance"), 0)));
    let (deviations, mean, unbalance, temperature) =
        (dice.chance(0.5), dice.chance(0.5), dice.chance(0.6), dice.chance(0.7));
    let named = dice.chance(0.5);
    let pairs = scribe.pairs();
    let mut headings = vec![scribe.word("machine"), scribe.word("date")];
    for (_, name) in &pairs {
        headings.push(name.clone());
        if deviations {
            headings.push(scribe.word("deviation"));
        }
    }
    headings.extend(mean.then(|| scribe.word("average")));
    headings.extend(unbalance.then(|| scribe.word("unbalance")));
    headings.extend(temperature.then(|| {
        let degree = scribe.habits.degree();
        if named { scribe.habits.with_unit(&scribe.word("temperature"), degree) } else { format!("Temp. {degree}") }
    }));
    for (heading, column) in headings.into_iter().zip(0..) {
        page.put((2, column), Cell::text(heading));
    }
    for ((machine, date), row) in scribe.tests(0.5, dice).into_iter().zip(3..) {
        let mut told = Told { machine, date, ..Told::default() };
        let (degrees, celsius) = scribe.degrees(told);
        told.celsius = temperature.then_some(celsius);
        page.put((row, 0), scribe.tag(machine));
        page.put((row, 1), scribe.date(date));
        let all: Vec<f64> = (3..6).map(|at| scribe.value(told, &[(Dim::Circuit, at)], 0)).collect();
        let middle = all.iter().sum::<f64>() / 3.0;
        let mut column = 2;
        for (value, (circuit, _)) in all.iter().zip(&pairs) {
            scribe.reading(&mut page, (row, column), Told { circuit: Some(circuit), ..told }, 0, *value);
            column += 1;
            if deviations {
                scribe.derived(&mut page, (row, column), "deviation from the mean", 100.0 * (value / middle - 1.0), 2);
                column += 1;
            }
        }
        if mean {
            scribe.derived(&mut page, (row, column), "mean of the row", middle, 4);
            column += 1;
        }
        if unbalance {
            let worst = all.iter().map(|value| (value / middle - 1.0).abs()).fold(0.0, f64::max);
            scribe.derived(&mut page, (row, column), "unbalance of the row", 100.0 * worst, 2);
            column += 1;
        }
        if temperature {
            page.put((row, column), Scribe::whole(degrees));
        }
    }
    vec![page]
}
