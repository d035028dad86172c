//! One block of a sheet: labels with values, then a table.

use super::{Desk, form, table};
use crate::layouts::layout::Place;
use crate::layouts::page::{Cell, Page};
use crate::layouts::study::{Dim, Point};
use windrow_dice::Dice;

/// Which blocks a sheet holds.
pub(super) fn points(desk: &Desk<'_>, dice: &mut Dice) -> Vec<Point> {
    let mut points = desk.product(&desk.layout.blocks);
    if desk.layout.blocks.is_empty() {
        return points;
    }
    if dice.chance(0.5) {
        dice.shuffle(&mut points);
    }
    if desk.layout.blocks.contains(&Dim::Measure) {
        points.sort_by_key(|point| point.get(Dim::Measure));
        return points;
    }
    points.truncate(dice.between(2, 4) as usize);
    points
}

/// Draws one block.
pub(super) fn draw(desk: &Desk<'_>, known: Point, dice: &mut Dice) -> Page {
    if desk.layout.form {
        return form::draw(desk, known, dice);
    }
    let mut page = Page::default();
    if let (true, Some(_)) = (desk.layout.blocks.contains(&Dim::Measure), known.get(Dim::Measure)) {
        let measure = desk.study.measure(known);
        let unit = if measure.quantity == "winding_temperature" { desk.habits.degree() } else { measure.unit.0 };
        page.put((0, 0), Cell::line(desk.habits.with_unit(&desk.habits.word(measure.quantity), unit)));
        page.lay(table::draw(desk, known, dice), (1, 0));
        return page;
    }
    let pairs = pairs(desk, known);
    let rows = write_pairs(desk, &mut page, pairs, &mut desk.looks(dice));
    let table = table::draw(desk, known, dice);
    page.lay(if desk.layout.turned { table.turned() } else { table }, (rows, 0));
    page
}

pub(super) fn pairs(desk: &Desk<'_>, known: Point) -> Vec<(String, Cell)> {
    let (layout, habits) = (desk.layout, desk.habits);
    let mut pairs = Vec::new();
    for dim in &layout.blocks {
        if let Some(at) = known.get(*dim) {
            let label = if *dim == Dim::Machine && layout.keyed { "serial" } else { word(*dim) };
            pairs.push((habits.word(label), desk.name(*dim, at)));
        }
    }
    if layout.voltage == Place::Block
        && let Some(volts) = desk.volts(known)
    {
        let (number, unit) = habits.volts(volts);
        let cell = Cell::number(number, habits.marked(&number.to_string()));
        pairs.push((habits.with_unit(&habits.word("voltage"), unit), cell));
    }
    if layout.temperature == Place::Block {
        let (degrees, _) = habits.degrees(desk.study.celsius(known));
        let cell = Cell::number(f64::from(degrees), degrees.to_string());
        pairs.push((habits.with_unit(&habits.word("temperature"), habits.degree()), cell));
    }
    pairs
}

/// Key in the vocabulary of the heading of a dimension.
pub(super) fn word(dim: Dim) -> &'static str {
    match dim {
        Dim::Machine => "machine",
        Dim::Date => "date",
        Dim::Circuit => "circuit",
        Dim::Elapsed => "elapsed",
        Dim::Step => "voltage",
        Dim::Measure => "measure",
    }
}

/// Writes the pairs and returns the first free row.
fn write_pairs(desk: &Desk<'_>, page: &mut Page, pairs: Vec<(String, Cell)>, dice: &mut Dice) -> u32 {
    if pairs.is_empty() {
        return 0;
    }
    let colon = desk.habits.colon;
    let style = dice.between(0, 3);
    let count = u32::try_from(pairs.len()).unwrap_or(0);
    for ((label, value), at) in pairs.into_iter().zip(0..) {
        match style {
            // One below the other.
            0 | 1 => {
                page.put((at, 0), Cell::text(format!("{label}{colon}")));
                page.put((at, 1), value);
            }
            // One beside the other.
            2 => {
                page.put((0, at * 3), Cell::text(format!("{label}{colon}")));
                page.put((0, at * 3 + 1), value);
            }
            // Label and value in one cell.
            _ => page.put((at, 0), Cell::line(format!("{label}: {}", value.shown))),
        }
    }
    let rows = if style == 2 { 1 } else { count };
    rows + dice.between(0, 1)
}
