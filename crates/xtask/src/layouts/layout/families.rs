//! Families of layouts.

use super::settle::settle;
use super::{Circuits, Extra, Layout, Noise, Place, UnitPlace};
use crate::layouts::container::Container;
use crate::layouts::study::Dim::{Circuit, Date, Elapsed, Machine, Measure, Step};
use windrow_dice::Dice;

/// What a family changes in a layout of which the rest is drawn.
pub(in crate::layouts) type Family = fn(&mut Layout, &mut Dice);

/// Families of layouts, each a habit of record keeping.
pub(in crate::layouts) const FAMILIES: [(&str, Family); 18] = [
    ("log", log),
    ("log-with-index", log_with_index),
    ("crosstab", crosstab),
    ("crosstab-with-temperature", crosstab_with_temperature),
    ("matrix", matrix),
    ("form", form),
    ("form-per-sheet", form_per_sheet),
    ("mixed", log),
    ("timed", timed),
    ("steps", steps),
    ("withstand", withstand),
    ("surge", surge),
    ("winding", winding),
    ("tan-delta", tan_delta),
    ("sheet-by-tag", sheet_by_tag),
    ("sheet-by-year", sheet_by_year),
    ("keyed", keyed),
    ("free", free),
];

/// A layout of a family.
pub(in crate::layouts) fn draw(family: Family, container: Container, dice: &mut Dice) -> Layout {
    let mut layout = base(container, dice);
    family(&mut layout, dice);
    settle(&mut layout, container, dice);
    layout
}

/// A line a test.
fn log(layout: &mut Layout, dice: &mut Dice) {
    layout.quantities = vec!["insulation_resistance"];
    layout.rows = dice.pick(&[vec![Machine, Date], vec![Date, Machine]]);
    layout.columns = dice.pick(&[
        vec![],
        vec![Circuit],
        vec![Elapsed],
        vec![Elapsed],
        vec![Circuit, Elapsed],
        vec![Elapsed, Circuit],
    ]);
    layout.sampled = true;
    layout.shuffled = dice.chance(0.5);
}

/// A line a machine, a column a date.
fn crosstab(layout: &mut Layout, dice: &mut Dice) {
    layout.quantities = vec!["insulation_resistance"];
    layout.rows = vec![Machine];
    layout.columns = dice.pick(&[vec![Date], vec![Date], vec![Date, Circuit], vec![Date, Elapsed]]);
    layout.years = dice.chance(0.6);
    layout.flat = false;
    layout.measure_in_header = false;
    layout.turned = dice.chance(0.25);
    layout.noise.average_row = false;
}

/// A line a test, with a ratio whose readings are not given.
fn log_with_index(layout: &mut Layout, dice: &mut Dice) {
    layout.quantities = vec!["insulation_resistance", "polarization_index"];
    layout.rows = dice.pick(&[vec![Machine, Date], vec![Date, Machine]]);
    layout.columns = vec![Measure];
    layout.sampled = true;
    layout.shuffled = dice.chance(0.5);
}

/// Cross-tab with temperatures in columns or in a table of their own.
fn crosstab_with_temperature(layout: &mut Layout, dice: &mut Dice) {
    layout.quantities = vec!["insulation_resistance", "winding_temperature"];
    layout.rows = vec![Machine];
    layout.years = dice.chance(0.6);
    if dice.chance(0.5) {
        layout.columns = vec![Date, Measure];
    } else {
        layout.columns = vec![Date];
        layout.blocks = vec![Measure];
    }
}

/// Each phase to earth and each pair of phases.
fn matrix(layout: &mut Layout, dice: &mut Dice) {
    layout.quantities = vec!["insulation_resistance"];
    layout.circuits = Circuits::Both;
    layout.blocks = vec![Machine, Date];
    (layout.rows, layout.columns) =
        dice.pick(&[(vec![Circuit], vec![]), (vec![Circuit], vec![Elapsed]), (vec![Elapsed], vec![Circuit])]);
}

/// Forms of labels with values.
fn form(layout: &mut Layout, dice: &mut Dice) {
    layout.quantities = dice.pick(&[
        vec!["insulation_resistance"],
        vec!["insulation_resistance", "winding_resistance"],
        vec!["winding_resistance"],
        vec!["insulation_resistance", "polarization_index"],
    ]);
    layout.circuits = Circuits::Both;
    layout.form = true;
    layout.blocks = vec![Machine, Date];
}

/// Forms, on a sheet a machine.
fn form_per_sheet(layout: &mut Layout, dice: &mut Dice) {
    form(layout, dice);
    layout.sheet = Some(Machine);
    layout.blocks = vec![Date];
}

/// Resistance over time.
fn timed(layout: &mut Layout, dice: &mut Dice) {
    layout.quantities = vec!["insulation_resistance"];
    layout.rows = vec![Elapsed];
    layout.columns = dice.pick(&[vec![Circuit], vec![Circuit], vec![Circuit], vec![]]);
    layout.blocks = vec![Machine, Date];
    layout.turned = dice.chance(0.3);
}

/// Leakage current at rising voltage.
fn steps(layout: &mut Layout, dice: &mut Dice) {
    layout.quantities = vec!["leakage_current"];
    layout.rows = vec![Step];
    layout.columns = dice.pick(&[vec![Elapsed], vec![Circuit], vec![]]);
    layout.blocks = vec![Machine, Date];
    layout.turned = dice.chance(0.15);
}

/// Leakage current at one voltage.
fn withstand(layout: &mut Layout, dice: &mut Dice) {
    layout.quantities = vec!["leakage_current"];
    layout.rows = dice.pick(&[vec![Machine, Date], vec![Machine, Date, Circuit], vec![Circuit]]);
    layout.columns = vec![];
    if layout.rows.len() == 1 {
        layout.blocks = vec![Machine, Date];
    } else {
        layout.columns = if layout.rows.len() == 2 && dice.chance(0.6) { vec![Circuit] } else { vec![] };
        layout.sampled = true;
    }
    layout.elapsed = Place::Caption;
    layout.extras.push(Extra::Verdict);
    layout.voltage = if layout.blocks.is_empty() { Place::Row } else { Place::Block };
}

/// Voltage and difference of the surge comparison.
fn surge(layout: &mut Layout, dice: &mut Dice) {
    layout.quantities = vec!["surge_peak_voltage", "surge_difference"];
    layout.circuits = Circuits::Pairs;
    if dice.chance(0.5) {
        layout.rows = vec![Circuit];
        layout.columns = vec![Measure];
        layout.blocks = vec![Machine, Date];
    } else {
        layout.rows = vec![Machine, Date];
        layout.columns = dice.pick(&[vec![Circuit, Measure], vec![Measure, Circuit]]);
        layout.sampled = true;
    }
    layout.extras.push(Extra::Verdict);
}

/// Winding resistance.
pub(in crate::layouts) fn winding(layout: &mut Layout, dice: &mut Dice) {
    layout.quantities = vec!["winding_resistance"];
    layout.circuits = Circuits::Pairs;
    if dice.chance(0.7) {
        layout.rows = vec![Machine, Date];
        layout.columns = vec![Circuit];
        layout.sampled = true;
        if dice.chance(0.5) {
            layout.extras.push(Extra::Mean);
        }
        if dice.chance(0.5) {
            layout.extras.push(Extra::Unbalance);
        }
    } else {
        layout.rows = vec![Circuit];
        layout.blocks = vec![Machine, Date];
    }
}

/// Capacitance and loss factor at rising voltage.
fn tan_delta(layout: &mut Layout, dice: &mut Dice) {
    layout.quantities = vec!["capacitance", "dissipation_factor"];
    layout.rows = vec![Step];
    layout.columns = vec![Measure];
    layout.blocks = vec![Machine, Date];
    layout.turned = dice.chance(0.2);
}

/// A sheet a machine.
fn sheet_by_tag(layout: &mut Layout, dice: &mut Dice) {
    layout.quantities = vec!["insulation_resistance"];
    layout.sheet = Some(Machine);
    layout.rows = dice.pick(&[vec![Date], vec![Date, Circuit]]);
    layout.columns = dice.pick(&[vec![Elapsed], vec![]]);
    if layout.rows.len() == 1 {
        layout.columns = dice.pick(&[vec![Circuit], vec![Elapsed], vec![Circuit, Elapsed], vec![]]);
    }
}

/// A sheet a year.
fn sheet_by_year(layout: &mut Layout, dice: &mut Dice) {
    layout.quantities = vec!["insulation_resistance"];
    layout.sheet = Some(Date);
    layout.years = true;
    layout.rows = vec![Machine];
    layout.columns = dice.pick(&[vec![Circuit], vec![Elapsed], vec![]]);
}

/// Machines by serial number, which a list explains.
fn keyed(layout: &mut Layout, dice: &mut Dice) {
    layout.quantities = dice.pick(&[vec!["insulation_resistance"], vec!["winding_resistance"]]);
    if layout.quantities == ["winding_resistance"] {
        layout.circuits = Circuits::Pairs;
    }
    layout.rows = vec![Machine, Date];
    layout.columns = vec![Circuit];
    layout.sampled = true;
    layout.keyed = true;
}

/// Every attribute at a random place.
fn free(layout: &mut Layout, dice: &mut Dice) {
    layout.quantities = vec!["insulation_resistance"];
    let mut dims = vec![Machine, Date];
    if dice.chance(0.6) {
        dims.push(Circuit);
    }
    if dice.chance(0.5) {
        dims.push(Elapsed);
    }
    for dim in dims {
        let place = match dim {
            Machine | Date => dice.between(0, 2),
            _ => dice.between(0, 1),
        };
        match place {
            1 if layout.columns.len() < 2 => layout.columns.push(dim),
            2 => layout.blocks.push(dim),
            _ => layout.rows.push(dim),
        }
    }
    if layout.rows.is_empty() {
        let moved = layout.columns.pop().or_else(|| layout.blocks.pop());
        layout.rows.extend(moved);
    }
    layout.sampled = layout.rows.contains(&Machine) && layout.rows.contains(&Date);
    layout.flat = dice.chance(0.3);
    layout.turned = dice.chance(0.15);
}

fn base(container: Container, dice: &mut Dice) -> Layout {
    Layout {
        quantities: vec![],
        circuits: Circuits::ToEarth,
        rows: vec![],
        columns: vec![],
        blocks: vec![],
        sheet: None,
        sampled: false,
        flat: dice.chance(0.5),
        measure_in_header: dice.chance(0.4),
        captioned: dice.chance(0.8),
        unit: dice.pick(&[
            UnitPlace::Header,
            UnitPlace::Header,
            UnitPlace::Caption,
            UnitPlace::Cell,
            UnitPlace::Row,
            UnitPlace::Format,
            UnitPlace::Column,
        ]),
        voltage: dice.pick(&[Place::Row, Place::Block, Place::Caption, Place::Nowhere]),
        temperature: dice.pick(&[Place::Row, Place::Block, Place::Nowhere]),
        elapsed: dice.pick(&[Place::Caption, Place::Nowhere]),
        all_phases: dice.chance(0.4),
        beside: container != Container::Fixed && dice.chance(0.35),
        turned: false,
        years: false,
        extras: [Extra::By, Extra::Remark, Extra::Humidity, Extra::Ambient]
            .into_iter()
            .filter(|_| dice.chance(0.25))
            .collect(),
        shuffled: false,
        keyed: false,
        form: false,
        noise: Noise {
            average_row: dice.chance(0.25),
            limit_row: dice.chance(0.1),
            page_header: dice.chance(0.15),
            footer: dice.chance(0.3),
            blank_rows: dice.chance(0.15),
            repeated_key_blank: dice.chance(0.4),
            merged_down: dice.chance(0.3),
            starred: dice.chance(0.07),
            ceiling: dice.chance(0.2),
            ditto: dice.chance(0.2),
        },
    }
}
