//! A layout written down: sheets, blocks, tables, with the truth about each reading.

mod block;
mod caption;
mod form;
mod header;
mod reading;
mod register;
mod table;

use super::habits::Habits;
use super::layout::{Layout, Place, UnitPlace};
use super::page::{At, Cell, Page};
use super::study::{Dim, Point, Study};
use windrow_dice::Dice;

/// What every part of the drawing looks at.
#[derive(Debug)]
pub(super) struct Desk<'d> {
    pub(super) layout: &'d Layout,
    pub(super) study: &'d Study,
    pub(super) habits: &'d Habits,
    /// What one hand does alike in all blocks of a file; nothing where several hands wrote it.
    pub(super) style: Option<u64>,
}

impl Desk<'_> {
    /// Draws for the looks of a block.
    fn looks(&self, dice: &mut Dice) -> Dice {
        let other = u64::from(dice.between(0, u32::MAX - 1));
        Dice::new(self.style.unwrap_or(other), 7)
    }

    /// Whether a dimension is told by a row, a column, a block or a sheet.
    fn is_axis(&self, dim: Dim) -> bool {
        let layout = self.layout;
        [&layout.rows, &layout.columns, &layout.blocks].iter().any(|dims| dims.contains(&dim))
            || layout.sheet == Some(dim)
    }

    /// Test voltage at a point, where it is told.
    fn volts(&self, point: Point) -> Option<f64> {
        let layout = self.layout;
        let of_machine =
            layout.voltage == Place::Row || layout.voltage == Place::Block && (layout.blocks.contains(&Dim::Machine));
        match point.get(Dim::Step) {
            Some(step) => self.study.steps.get(step).copied(),
            None if layout.voltage == Place::Nowhere => None,
            None if of_machine => Some(self.study.machine(point).volts),
            None => Some(self.study.volts),
        }
    }

    /// The name of a member of a dimension, as a cell.
    fn name(&self, dim: Dim, at: usize) -> Cell {
        let (study, habits) = (self.study, self.habits);
        match dim {
            Dim::Machine if self.layout.keyed => Cell::text(&study.machines[at].serial),
            Dim::Machine => Cell::text(&study.machines[at].tag),
            Dim::Date => habits.date(study.dates[at]),
            Dim::Circuit => Cell::text(&study.circuits[at].1),
            Dim::Elapsed => Cell::text(habits.time(study.times[at])),
            Dim::Step => {
                let (volts, unit) = habits.volts(study.steps[at]);
                Cell::text(format!("{} {unit}", habits.marked(&volts.to_string())))
            }
            Dim::Measure => Cell::text(habits.word(study.measures[at].quantity)),
        }
    }

    /// All combinations of some dimensions, the first slowest.
    fn product(&self, dims: &[Dim]) -> Vec<Point> {
        dims.iter().fold(vec![Point::default()], |points, dim| {
            points.iter().flat_map(|point| (0..self.study.count(*dim)).map(move |at| point.with(*dim, at))).collect()
        })
    }
}

/// The sheets of one file.
pub(super) fn sheets(desk: &Desk<'_>, dice: &mut Dice) -> Vec<Page> {
    let Some(dim) = desk.layout.sheet else {
        let mut page = sheet(desk, Point::default(), dice);
        dice.pick(&["Sheet1", "Data", "Tests", "Tabelle1", "Feuil1"]).clone_into(&mut page.name);
        if desk.layout.keyed {
            let list = register::draw(desk, dice);
            return if dice.chance(0.6) { vec![list, page] } else { vec![page, list] };
        }
        return vec![page];
    };
    let count = desk.study.count(dim).min(dice.between(2, 4) as usize);
    let pages = (0..count).map(|at| {
        let mut page = sheet(desk, Point::default().with(dim, at), dice);
        page.name = match dim {
            Dim::Date => desk.study.dates[at].year().to_string(),
            _ => desk.name(dim, at).shown,
        };
        page
    });
    pages.collect()
}

fn sheet(desk: &Desk<'_>, known: Point, dice: &mut Dice) -> Page {
    let mut page = Page::default();
    let (mut row, left) = (dice.between(0, 2), dice.pick(&[0, 0, 0, 1, 2]));
    if desk.layout.captioned {
        row = caption::write(desk, &mut page, (row, left), dice);
    }
    let gap = dice.between(1, 3);
    let mut corner = (row, left);
    let mut bottom = row;
    for point in block::points(desk, dice) {
        let part = block::draw(desk, known.and(point), dice);
        let (rows, columns) = part.size();
        page.lay(part, corner);
        bottom = bottom.max(corner.0 + rows);
        corner = if desk.layout.beside { (row, corner.1 + columns + gap) } else { (corner.0 + rows + gap, left) };
    }
    bottom = notes(desk, &mut page, (bottom, left), dice);
    if desk.layout.noise.footer {
        let text = dice.pick(desk.habits.words.list("page")).replace("{N}", "1").replace("{M}", "1");
        page.put((bottom + dice.between(1, 2), left), Cell::line(text));
    }
    page
}

/// What the marks among the readings mean; returns the last row used.
fn notes(desk: &Desk<'_>, page: &mut Page, (bottom, left): At, dice: &mut Dice) -> u32 {
    let (layout, words) = (desk.layout, &desk.habits.words);
    let mut row = bottom;
    if layout.noise.starred && layout.unit != UnitPlace::Cell {
        row += 1;
        page.put((row, left), Cell::line(words.pick("corrected", dice)));
    }
    if layout.noise.ceiling {
        row += 1;
        let range = format!("{} {}", reading::ceiling(desk), desk.study.measures[0].unit.0);
        page.put((row, left), Cell::line(words.pick("ceiling", dice).replace("{X}", &range)));
    }
    row
}
