//! A form: labels with values, the readings among them.

use super::{Desk, block, reading};
use crate::layouts::layout::UnitPlace;
use crate::layouts::page::{Cell, Page};
use crate::layouts::study::{Dim, Point};
use windrow_dice::Dice;

/// Draws the form of one test.
pub(super) fn draw(desk: &Desk<'_>, known: Point, dice: &mut Dice) -> Page {
    let looks = &mut desk.looks(dice);
    let mut page = Page::default();
    let mut row = 0;
    if looks.chance(0.7) {
        let title = desk.habits.word("report");
        page.put((0, 0), Cell::line(if looks.chance(0.5) { format!("{title} - {}", desk.study.site) } else { title }));
        row = 1 + looks.between(0, 1);
    }
    let abreast = looks.between(1, 2);
    row = head(desk, &mut page, known, (row, abreast), looks);
    row += looks.between(0, 1);
    let sections: Vec<_> = (0..desk.study.measures.len()).map(|at| known.with(Dim::Measure, at)).collect();
    // Beside readings at one and ten minutes the index would be a computed number.
    let times = looks.chance(0.5) && !desk.layout.quantities.contains(&"polarization_index");
    let titled = looks.chance(0.4);
    for section in sections {
        row = readings(desk, &mut page, section, row, Looks { times, titled }, dice);
    }
    page
}

/// The pairs that say which test it is; returns the first free row.
fn head(desk: &Desk<'_>, page: &mut Page, known: Point, (top, abreast): (u32, u32), looks: &mut Dice) -> u32 {
    let habits = desk.habits;
    let mut pairs = Vec::new();
    if !desk.layout.blocks.contains(&Dim::Machine) {
        pairs.push((habits.word("machine"), desk.name(Dim::Machine, known.get(Dim::Machine).unwrap_or(0))));
    }
    pairs.extend(block::pairs(desk, known));
    if looks.chance(0.5) {
        pairs.push((habits.word("by"), Cell::text(looks.pick(&["HB", "R. Lind", "K.O."]))));
    }
    if looks.chance(0.4) {
        let percent = looks.between(30, 80);
        pairs.push((habits.word("humidity"), Cell::number(f64::from(percent), percent.to_string())));
    }
    let rows = u32::try_from(pairs.len()).unwrap_or(0).div_ceil(abreast);
    for ((label, value), at) in pairs.into_iter().zip(0..) {
        let (row, column) = (top + at / abreast, (at % abreast) * 3);
        page.put((row, column), Cell::text(format!("{label}{}", habits.colon)));
        page.put((row, column + 1), value);
    }
    top + rows
}

#[derive(Debug, Clone, Copy)]
struct Looks {
    /// Insulation resistance at each time, not once.
    times: bool,
    titled: bool,
}

/// The readings of one quantity; returns the first free row.
fn readings(desk: &Desk<'_>, page: &mut Page, section: Point, top: u32, looks: Looks, dice: &mut Dice) -> u32 {
    let (habits, study) = (desk.habits, desk.study);
    let measure = study.measure(section);
    let word = habits.word(measure.quantity);
    let points: Vec<Point> = match measure.quantity {
        "insulation_resistance" if looks.times => desk
            .product(&[Dim::Circuit, Dim::Elapsed])
            .into_iter()
            .filter(|point| point.get(Dim::Circuit).is_some_and(|at| at < 3))
            .collect(),
        "insulation_resistance" => (0..3).map(|at| Point::default().with(Dim::Circuit, at)).collect(),
        "winding_resistance" => (3..6).map(|at| Point::default().with(Dim::Circuit, at)).collect(),
        _ => vec![Point::default()],
    };
    let mut row = top;
    if looks.titled && points.len() > 1 {
        page.put((row, 0), Cell::line(&word));
        row += 1;
    }
    for point in points {
        let names =
            [Dim::Circuit, Dim::Elapsed].into_iter().filter_map(|dim| Some(desk.name(dim, point.get(dim)?).shown));
        let named = looks.titled && point.get(Dim::Circuit).is_some();
        let label = (!named).then(|| word.clone()).into_iter().chain(names).collect::<Vec<_>>().join(" ");
        let unit = measure.unit.0;
        let label = if desk.layout.unit == UnitPlace::Header { habits.with_unit(&label, unit) } else { label };
        page.put((row, 0), Cell::text(format!("{label}{}", habits.colon)));
        reading::write(desk, page, (row, 1), section.and(point), measure.unit, dice);
        if desk.layout.unit == UnitPlace::Column && !unit.is_empty() {
            page.put((row, 2), Cell::text(unit));
        }
        row += 1;
    }
    row
}
