//! One reading: what is written, and what is true of it.

use super::Desk;
use crate::layouts::layout::{Circuits, Place, UnitPlace};
use crate::layouts::page::{At, Cell, Page, Stored};
use crate::layouts::study::{Dim, Point, Unit};
use crate::score::truth::True;
use windrow_dice::Dice;

/// End of the instrument's range, in ohms: beyond everything that the studies hold.
const CEILING: f64 = 2e11;

/// End of the instrument's range in the unit of the file.
pub(super) fn ceiling(desk: &Desk<'_>) -> f64 {
    (CEILING / desk.study.measures[0].unit.1).round()
}

/// Writes a reading, or why there is none; returns the value for sums.
pub(super) fn write(
    desk: &Desk<'_>,
    page: &mut Page,
    at: At,
    point: Point,
    unit: Unit,
    dice: &mut Dice,
) -> Option<f64> {
    let (layout, habits) = (desk.layout, desk.habits);
    if dice.chance(0.035) {
        if dice.chance(0.7) {
            page.put(at, Cell::text(dice.pick(habits.words.list("void"))));
        }
        return None;
    }
    let measure = desk.study.measure(point);
    if measure.quantity == "winding_temperature" {
        let degrees = habits.degrees(desk.study.celsius(point)).0;
        page.put(at, Cell::number(f64::from(degrees), degrees.to_string()));
        return None;
    }
    let value = desk.study.value(point);
    let unit = match layout.unit {
        UnitPlace::Cell if (unit.1 - 1e6).abs() < 1.0 && value > 1.2e9 && dice.chance(0.5) => Unit("GΩ", 1e9),
        _ => unit,
    };
    let (number, shown) = habits.rounded(value / unit.1, measure.digits());
    let resistance = measure.quantity == "insulation_resistance";
    let mut truth = truth(desk, point, number * unit.1);
    let written = if resistance && layout.noise.ceiling && dice.chance(0.03) {
        truth.bound = Some("at_least".to_owned());
        truth.value = Some(CEILING);
        Cell::text("OL")
    } else if resistance && !layout.noise.ceiling && dice.chance(0.01) {
        "hold".clone_into(&mut truth.expect);
        truth.hold_field = Some("value".to_owned());
        truth.accept_unbounded = true;
        truth.value = None;
        truth.bound = Some("at_least".to_owned());
        "over range, and nothing tells where the instrument's range ends".clone_into(&mut truth.why);
        Cell::text(dice.pick(habits.words.list("over")))
    } else if resistance && dice.chance(0.05) {
        truth.bound = Some("at_least".to_owned());
        with_unit(desk, Cell::text(habits.at_least(&shown)), unit)
    } else if resistance && layout.noise.starred && layout.unit != UnitPlace::Cell && dice.chance(0.1) {
        truth.as_reported = Some("corrected".to_owned());
        with_unit(desk, Cell::text(format!("{shown}*")), unit)
    } else {
        with_unit(desk, Cell::number(number, shown), unit)
    };
    page.put(at, written);
    page.truths.push((at, truth));
    Some(number)
}

fn with_unit(desk: &Desk<'_>, cell: Cell, unit: Unit) -> Cell {
    let text = format!("{} {}", cell.shown, unit.0);
    match (desk.layout.unit, cell.stored) {
        (UnitPlace::Cell, _) | (UnitPlace::Format, Stored::Text) => Cell::text(text),
        (UnitPlace::Format, Stored::Number(number, _)) => {
            Cell { stored: Stored::Number(number, Some(format!("0.### \"{}\"", unit.0))), ..Cell::text(text) }
        }
        (_, stored) => Cell { stored, ..cell },
    }
}

/// What a careful reader knows of the reading at a point.
fn truth(desk: &Desk<'_>, point: Point, value: f64) -> True {
    let (layout, study) = (desk.layout, desk.study);
    let measure = study.measure(point);
    let index = measure.quantity == "polarization_index";
    let temperature = layout.temperature != Place::Nowhere || layout.quantities.contains(&"winding_temperature");
    let circuit = match point.get(Dim::Circuit) {
        Some(at) => Some(study.circuits[at].0),
        None if layout.all_phases && layout.captioned && layout.circuits == Circuits::ToEarth => Some("UVW-E"),
        None => None,
    };
    let elapsed = match point.get(Dim::Elapsed) {
        Some(at) => Some(f64::from(study.times[at])),
        None if layout.elapsed == Place::Caption => Some(60.0),
        None => None,
    };
    let date = point.get(Dim::Date).map(|at| study.dates[at]);
    let degrees = desk.habits.degrees(study.celsius(point)).1;
    let tested = !["surge_peak_voltage", "surge_difference", "winding_resistance"].contains(&measure.quantity);
    let held = layout.unit == UnitPlace::Nowhere;
    True {
        asset: Some(format!("{} {}", study.site, study.machine(point).tag)),
        tag: Some(study.machine(point).tag.clone()),
        kind: Some(measure.kind(point.get(Dim::Step).is_some()).to_owned()),
        performed_on: date.map(|date| if layout.years { format!("{}-01-01", date.year()) } else { date.to_string() }),
        precision: Some(desk.habits.dates.precision().to_owned()),
        quantity: measure.quantity.to_owned(),
        circuit: circuit.map(str::to_owned),
        elapsed_s: elapsed.filter(|_| !index),
        applied_voltage_v: desk.volts(point).filter(|_| tested),
        value: Some(value),
        bound: Some("exact".to_owned()),
        as_reported: Some("as_read".to_owned()),
        winding_temperature_c: temperature.then_some(degrees),
        expect: if held { "hold" } else { "value" }.to_owned(),
        hold_field: held.then(|| "value".to_owned()),
        why: if held { "nothing tells the unit" } else { "" }.to_owned(),
        must_be_unknown: unknown(desk, elapsed.is_none() && !index, temperature, measure.quantity.starts_with("surge")),
        ..True::default()
    }
}

/// What the record does not tell, and nobody may invent.
fn unknown(desk: &Desk<'_>, timeless: bool, temperature: bool, surge: bool) -> Vec<String> {
    let untold = [
        (timeless, "elapsed_s"),
        (!temperature, "winding_temperature_c"),
        (desk.layout.voltage == Place::Nowhere && !desk.is_axis(Dim::Step) && !surge, "applied_voltage_v"),
    ];
    untold.into_iter().filter(|(untold, _)| *untold).map(|(_, field)| field.to_owned()).collect()
}
