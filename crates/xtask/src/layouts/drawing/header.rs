//! Headings of a table.

use super::{Desk, block};
use crate::layouts::layout::{Extra, UnitPlace};
use crate::layouts::page::{At, Cell, Page};
use crate::layouts::study::{Dim, Point};

/// Levels of the header, without a row of units.
pub(super) fn levels(desk: &Desk<'_>) -> u32 {
    if desk.layout.columns.len() == 2 && !desk.layout.flat { 2 } else { 1 }
}

/// Heading of a key column, and its cells are numbers where the heading tells their unit.
pub(super) fn key(desk: &Desk<'_>, dim: Dim, minutes: bool) -> String {
    let habits = desk.habits;
    match dim {
        Dim::Machine if desk.layout.keyed => habits.word("serial"),
        Dim::Elapsed if minutes => habits.with_unit(&habits.word("elapsed"), "min"),
        Dim::Step => habits.with_unit(&habits.word("voltage"), habits.volts(1.0).1),
        _ => habits.word(block::word(dim)),
    }
}

/// Heading of a column beside the readings.
pub(super) fn extra(desk: &Desk<'_>, extra: Extra) -> String {
    let habits = desk.habits;
    match extra {
        Extra::Voltage => habits.with_unit(&habits.word("voltage"), habits.volts(1.0).1),
        Extra::Temperature => habits.with_unit(&habits.word("temperature"), habits.degree()),
        Extra::Ambient => habits.with_unit(&habits.word("ambient"), habits.degree()),
        Extra::Humidity => habits.word("humidity"),
        Extra::Unit => habits.word("unit"),
        Extra::By => habits.word("by"),
        Extra::Remark => habits.word("remark"),
        Extra::Verdict => habits.word("verdict"),
        Extra::Mean => habits.word("average"),
        Extra::Unbalance => habits.word("unbalance"),
        Extra::Index => habits.word("index"),
    }
}

/// Headings of the readings, the first of which stands at `at`.
pub(super) fn values(desk: &Desk<'_>, page: &mut Page, at: At, points: &[Point], merges: bool) {
    let layout = desk.layout;
    for (point, column) in points.iter().zip(at.1..) {
        let unit = unit(desk, *point);
        if levels(desk) == 1 {
            page.put((at.0, column), single(desk, *point));
        } else {
            let (group, member) = (layout.columns[0], layout.columns[1]);
            let width = u32::try_from(desk.study.count(member)).unwrap_or(1);
            if (column - at.1).is_multiple_of(width) {
                page.put((at.0, column), desk.name(group, point.get(group).unwrap_or(0)));
                if merges {
                    page.merged.push(((at.0, column), (1, width)));
                }
            }
            let name = desk.name(member, point.get(member).unwrap_or(0));
            let name = match layout.unit {
                UnitPlace::Header if member != Dim::Date => Cell::text(desk.habits.with_unit(&name.shown, unit)),
                _ => name,
            };
            page.put((at.0 + 1, column), name);
        }
        if layout.unit == UnitPlace::Row {
            page.put((at.0 + levels(desk), column), Cell::text(if unit.is_empty() { "-" } else { unit }));
        }
    }
}

/// A heading of one level.
fn single(desk: &Desk<'_>, point: Point) -> Cell {
    let (layout, habits) = (desk.layout, desk.habits);
    if layout.columns == [Dim::Date] {
        return desk.name(Dim::Date, point.get(Dim::Date).unwrap_or(0));
    }
    let measure = desk.study.measure(point);
    let mut parts = Vec::new();
    if layout.columns.is_empty() || layout.measure_in_header || layout.columns.contains(&Dim::Measure) {
        parts.push(habits.word(measure.quantity));
    }
    for dim in layout.columns.iter().filter(|dim| **dim != Dim::Measure) {
        parts.push(desk.name(*dim, point.get(*dim).unwrap_or(0)).shown);
    }
    let text = parts.join(" ");
    Cell::text(if layout.unit == UnitPlace::Header { habits.with_unit(&text, unit(desk, point)) } else { text })
}

/// The unit of the readings at a point, as written.
fn unit(desk: &Desk<'_>, point: Point) -> &'static str {
    let measure = desk.study.measure(point);
    if measure.quantity == "winding_temperature" { desk.habits.degree() } else { measure.unit.0 }
}
