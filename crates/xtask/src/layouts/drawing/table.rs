//! A table of readings with its keys, side columns and what stands between.

use super::{Desk, header, reading};
use crate::layouts::layout::{Extra, UnitPlace};
use crate::layouts::page::{Cell, Page};
use crate::layouts::study::{Dim, Point, Unit};
use crate::score::truth::NotReading;
use windrow_dice::Dice;

#[derive(Debug, Clone, Copy)]
enum Group {
    Key(Dim),
    Values,
    Extra(Extra),
}

/// Draws the table of one block, upright.
pub(super) fn draw(desk: &Desk<'_>, known: Point, dice: &mut Dice) -> Page {
    let columns = desk.product(&desk.layout.columns);
    let looks = &mut desk.looks(dice);
    let groups = groups(desk, looks);
    let merges = looks.chance(0.6);
    let mut table = Table {
        desk,
        known,
        minutes: looks.chance(0.7),
        merges,
        page: Page::default(),
        row: 0,
        columns,
        groups,
        sums: vec![],
    };
    table.sums = vec![(0.0, 0); table.columns.len()];
    table.header();
    table.body(dice);
    table.page
}

fn groups(desk: &Desk<'_>, dice: &mut Dice) -> Vec<Group> {
    let layout = desk.layout;
    let mut groups: Vec<Group> = layout.rows.iter().map(|dim| Group::Key(*dim)).collect();
    let (before, after): (Vec<Extra>, Vec<Extra>) = layout.extras.iter().partition(|extra| {
        matches!(extra, Extra::Voltage | Extra::Temperature | Extra::Humidity | Extra::By) && dice.chance(0.5)
    });
    groups.extend(before.into_iter().map(Group::Extra));
    groups.push(Group::Values);
    groups.extend(after.into_iter().map(Group::Extra));
    if layout.shuffled {
        dice.shuffle(&mut groups);
    }
    groups
}

struct Table<'t> {
    desk: &'t Desk<'t>,
    known: Point,
    minutes: bool,
    merges: bool,
    page: Page,
    row: u32,
    columns: Vec<Point>,
    groups: Vec<Group>,
    sums: Vec<(f64, u32)>,
}

impl Table<'_> {
    /// Each group with its first column.
    fn places(&self) -> Vec<(Group, u32)> {
        let mut column = 0;
        let place = |group: &Group| {
            let at = column;
            column += if matches!(group, Group::Values) { u32::try_from(self.columns.len()).unwrap_or(1) } else { 1 };
            (*group, at)
        };
        self.groups.iter().map(place).collect()
    }

    fn header(&mut self) {
        let levels = header::levels(self.desk);
        for (group, column) in self.places() {
            let heading = match group {
                Group::Key(dim) => header::key(self.desk, dim, self.minutes),
                Group::Extra(extra) => header::extra(self.desk, extra),
                Group::Values => {
                    let columns = self.columns.clone();
                    header::values(self.desk, &mut self.page, (self.row, column), &columns, self.merges);
                    continue;
                }
            };
            self.page.put((self.row + levels - 1, column), Cell::text(heading));
        }
        self.row += levels + u32::from(self.desk.layout.unit == UnitPlace::Row);
    }

    fn body(&mut self, dice: &mut Dice) {
        let noise = self.desk.layout.noise;
        let points = points(self.desk, self.known, dice);
        let (mut last, mut since) = (None, 0);
        let pages = dice.between(7, 12);
        for point in &points {
            let new_machine = last.is_none_or(|last: Point| last.get(Dim::Machine) != point.get(Dim::Machine));
            if noise.page_header && since >= pages {
                self.page_header(dice);
                (last, since) = (None, 0);
            } else if noise.blank_rows && new_machine && last.is_some() && self.desk.layout.rows.len() > 1 {
                self.row += 1;
            }
            self.line(*point, last, dice);
            (last, since) = (Some(*point), since + 1);
        }
        if noise.average_row && points.len() > 2 {
            self.statistic("average");
        }
        if noise.limit_row && points.len() > 2 {
            self.statistic("minimum");
        }
    }

    fn page_header(&mut self, dice: &mut Dice) {
        self.row += 1;
        let line = dice.pick(self.desk.habits.words.list("page")).replace("{N}", "2").replace("{M}", "3");
        self.page.put((self.row, 0), Cell::line(line));
        self.row += 1;
        self.header();
    }

    fn line(&mut self, point: Point, last: Option<Point>, dice: &mut Dice) {
        let units = self.units(dice);
        let mut read = Vec::new();
        for (group, column) in self.places() {
            let cell = match group {
                Group::Key(dim) => self.key(dim, point, last),
                Group::Extra(_) => continue,
                Group::Values => {
                    for ((part, column), sum) in self.columns.iter().zip(column..).zip(&mut self.sums) {
                        let at = point.and(*part);
                        let unit = units.unwrap_or(self.desk.study.measure(at).unit);
                        let value = reading::write(self.desk, &mut self.page, (self.row, column), at, unit, dice);
                        if let Some(value) = value {
                            *sum = (sum.0 + value, sum.1 + 1);
                        }
                        read.push(value);
                    }
                    continue;
                }
            };
            match cell {
                Some(cell) => self.page.put((self.row, column), cell),
                None => self.merge_up(column),
            }
        }
        for (group, column) in self.places() {
            if let Group::Extra(extra) = group {
                self.extra(extra, column, point, &read, units, dice);
            }
        }
        self.row += 1;
    }

    /// Merges a cell that repeats its key with the one above.
    fn merge_up(&mut self, column: u32) {
        if !self.desk.layout.noise.merged_down {
            return;
        }
        let row = self.row;
        let above = self.page.merged.iter_mut().find(|(at, size)| at.1 == column && at.0 + size.0 == row);
        if let Some((_, size)) = above {
            size.0 += 1;
        } else if let Some(top) = row.checked_sub(1).filter(|top| self.page.cells.contains_key(&(*top, column))) {
            self.page.merged.push(((top, column), (2, 1)));
        }
    }

    /// The unit of a row that names its own.
    fn units(&self, dice: &mut Dice) -> Option<Unit> {
        let unit = self.desk.study.measures[0].unit;
        let own = self.desk.layout.unit == UnitPlace::Column;
        own.then(|| if unit.0 == "MΩ" && dice.chance(0.25) { Unit("GΩ", 1e9) } else { unit })
    }

    fn key(&self, dim: Dim, point: Point, last: Option<Point>) -> Option<Cell> {
        let noise = self.desk.layout.noise;
        let at = point.get(dim)?;
        let same = |dim| last.is_some_and(|last| last.get(dim) == point.get(dim));
        let repeats = match dim {
            Dim::Machine => same(Dim::Machine),
            Dim::Date => same(Dim::Date) && (same(Dim::Machine) || self.known.get(Dim::Machine).is_some()),
            _ => false,
        };
        if repeats && noise.ditto {
            return Some(Cell::text("\""));
        }
        if repeats && noise.repeated_key_blank {
            return None;
        }
        Some(match dim {
            Dim::Elapsed if self.minutes => {
                let minutes = f64::from(self.desk.study.times[at]) / 60.0;
                Cell::number(minutes, self.desk.habits.marked(&minutes.to_string()))
            }
            Dim::Step => {
                let volts = self.desk.habits.volts(self.desk.study.steps[at]).0;
                Cell::number(volts, self.desk.habits.marked(&volts.to_string()))
            }
            _ => self.desk.name(dim, at),
        })
    }

    fn extra(
        &mut self,
        extra: Extra,
        column: u32,
        point: Point,
        read: &[Option<f64>],
        unit: Option<Unit>,
        dice: &mut Dice,
    ) {
        let habits = self.desk.habits;
        let whole = |number: u32| Cell::number(f64::from(number), number.to_string());
        let all: Option<Vec<f64>> = read.iter().copied().collect();
        let cell = match extra {
            Extra::Voltage => self.desk.volts(point).map(|volts| {
                let number = habits.volts(volts).0;
                Cell::number(number, habits.marked(&number.to_string()))
            }),
            Extra::Temperature => Some(whole(habits.degrees(self.desk.study.celsius(point)).0)),
            Extra::Ambient => Some(whole(habits.degrees(dice.between(5, 35)).0)),
            Extra::Humidity => Some(whole(dice.between(30, 80))),
            Extra::Unit => unit.map(|unit| Cell::text(unit.0)),
            Extra::By => Some(Cell::text(dice.pick(&["HB", "R. Lind", "K.O.", "M. Sand"]))),
            Extra::Remark if dice.chance(0.3) => Some(Cell::text(dice.pick(habits.words.list("remarks")))),
            Extra::Verdict => Some(Cell::text(habits.word("pass"))),
            Extra::Mean => all.map(|all| mean(&all)).map(|mean| self.derived(column, "mean of the row", mean, 4)),
            Extra::Unbalance => all.filter(|all| all.len() > 1).map(|all| {
                let worst = all.iter().map(|value| (value - mean(&all)).abs()).fold(0.0, f64::max);
                self.derived(column, "unbalance of the row", 100.0 * worst / mean(&all), 2)
            }),
            Extra::Index => {
                let at = |seconds| self.desk.study.times.iter().position(|time| *time == seconds);
                let value = |seconds| at(seconds).and_then(|at| read.get(at).copied().flatten());
                value(600).zip(value(60)).map(|(ten, one)| self.derived(column, "ten minutes over one", ten / one, 3))
            }
            Extra::Remark => None,
        };
        if let Some(cell) = cell {
            self.page.put((self.row, column), cell);
        }
    }

    /// A computed number, noted as no reading.
    fn derived(&mut self, column: u32, why: &str, value: f64, digits: i32) -> Cell {
        let (number, shown) = self.desk.habits.rounded(value, digits);
        self.page.not_readings.push(((self.row, column), NotReading::derived(why)));
        Cell::number(number, shown)
    }

    /// A row of means or limits below the readings.
    fn statistic(&mut self, what: &'static str) {
        let plain = matches!(self.desk.layout.unit, UnitPlace::Header | UnitPlace::Caption | UnitPlace::Row);
        let Some((_, first)) = self.places().into_iter().find(|(group, _)| matches!(group, Group::Key(_))) else {
            return;
        };
        if !plain {
            return;
        }
        self.page.put((self.row, first), Cell::text(self.desk.habits.word(what)));
        let values =
            self.places().into_iter().find(|(group, _)| matches!(group, Group::Values)).map_or(0, |place| place.1);
        for ((total, count), column) in self.sums.clone().into_iter().zip(values..) {
            let average = total / f64::from(count.max(1));
            let (value, why) =
                if what == "average" { (average, "mean of the column") } else { (100.0, "limit, not a reading") };
            if count > 0 {
                let cell = self.derived(column, why, value, 3);
                self.page.put((self.row, column), cell);
            }
        }
        self.row += 1;
    }
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / f64::from(u32::try_from(values.len()).unwrap_or(1).max(1))
}

/// The rows of a table: the full product, or some tests with the rest of the keys below each.
fn points(desk: &Desk<'_>, known: Point, dice: &mut Dice) -> Vec<Point> {
    let layout = desk.layout;
    if !layout.sampled {
        return desk.product(&layout.rows).into_iter().map(|point| known.and(point)).collect();
    }
    let rest: Vec<Dim> = layout.rows.iter().copied().filter(|dim| !matches!(dim, Dim::Machine | Dim::Date)).collect();
    let mut tests = desk.product(&[Dim::Machine, Dim::Date]);
    tests.retain(|_| dice.chance(0.5));
    match dice.between(0, 2) {
        0 => {}
        1 => tests.sort_by_key(|point| point.get(Dim::Date)),
        _ => dice.shuffle(&mut tests),
    }
    let rest = desk.product(&rest);
    tests.iter().flat_map(|test| rest.iter().map(|part| known.and(*test).and(*part))).collect()
}
