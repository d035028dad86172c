//! What a layout cannot tell together, mended.

use super::{Extra, Layout, Noise, Place, UnitPlace};
use crate::layouts::container::Container;
use crate::layouts::study::Dim::{Date, Elapsed, Machine, Measure, Step};
use windrow_dice::Dice;

/// Mends what cannot be told together, so that a careful reader never has to guess unless a hold is due.
pub(super) fn settle(layout: &mut Layout, container: Container, dice: &mut Dice) {
    let row = |dim| layout.rows.contains(&dim);
    let (machine_row, date_row) = (row(Machine), row(Date));
    let block = |dim| layout.blocks.contains(&dim);
    let whole_block = (block(Machine) || layout.sheet == Some(Machine)) && (block(Date) || layout.sheet == Some(Date));
    let stepped = row(Step);
    let several = layout.quantities.len() > 1;
    if several {
        layout.unit = dice.pick(&[UnitPlace::Header, UnitPlace::Header, UnitPlace::Row]);
        layout.measure_in_header = true;
    }
    if layout.quantities == ["insulation_resistance"] && dice.chance(0.04) {
        layout.unit = UnitPlace::Nowhere;
    }
    if layout.unit == UnitPlace::Nowhere {
        // The note of the range would tell the unit.
        layout.noise.ceiling = false;
    }
    if layout.columns.last() == Some(&Date) && matches!(layout.unit, UnitPlace::Header | UnitPlace::Row) {
        layout.unit = UnitPlace::Caption;
    }
    if layout.unit == UnitPlace::Format && !container.is_book() {
        layout.unit = UnitPlace::Cell;
    }
    if layout.blocks.contains(&Measure) {
        layout.unit = UnitPlace::Caption;
    }
    let tested = ["insulation_resistance", "leakage_current"].contains(&layout.quantities[0]);
    if !tested || stepped {
        layout.voltage = Place::Nowhere;
    } else if layout.voltage == Place::Row && !machine_row || layout.voltage == Place::Block && layout.blocks.is_empty()
    {
        layout.voltage = Place::Caption;
    }
    layout.temperature = match layout.temperature {
        Place::Row if machine_row && date_row => Place::Row,
        Place::Row if machine_row && layout.sheet == Some(Date) || date_row && layout.sheet == Some(Machine) => {
            Place::Row
        }
        Place::Block if whole_block => Place::Block,
        _ => Place::Nowhere,
    };
    if layout.columns.contains(&Elapsed) || row(Elapsed) || !tested {
        layout.elapsed = Place::Nowhere;
    }
    if layout.elapsed == Place::Caption || layout.voltage == Place::Caption || layout.unit == UnitPlace::Caption {
        layout.captioned = true;
    }
    if !layout.captioned && (!layout.columns.is_empty() || stepped) {
        layout.measure_in_header = true;
    }
    if layout.columns.contains(&Date) {
        layout.measure_in_header = false;
        layout.captioned = !layout.blocks.contains(&Measure);
    }
    if layout.measure_in_header && !layout.columns.contains(&Measure) {
        layout.flat = true;
    }
    if layout.columns.contains(&Date) {
        layout.flat = false;
    }
    if layout.unit == UnitPlace::Column {
        layout.extras.push(Extra::Unit);
    }
    if layout.voltage == Place::Row {
        layout.extras.push(Extra::Voltage);
    }
    if layout.temperature == Place::Row {
        layout.extras.push(Extra::Temperature);
    }
    if !(machine_row || date_row) || layout.columns.contains(&Date) || layout.columns.contains(&Machine) {
        layout.extras.retain(|extra| matches!(extra, Extra::Unit | Extra::Voltage | Extra::Verdict | Extra::Mean));
    }
    if layout.columns == [Elapsed] && machine_row && layout.unit != UnitPlace::Cell && dice.chance(0.4) {
        layout.extras.push(Extra::Index);
    }
    if layout.form {
        layout.unit = dice.pick(&[UnitPlace::Header, UnitPlace::Cell, UnitPlace::Column]);
        layout.voltage = Place::Block;
        layout.captioned = false;
        layout.elapsed = Place::Nowhere;
        layout.turned = false;
    }
    if several || layout.columns.contains(&Measure) {
        layout.noise.average_row = false;
        layout.noise.limit_row = false;
    }
    if layout.quantities != ["insulation_resistance"] {
        layout.noise.limit_row = false;
        layout.noise.starred = false;
        layout.noise.ceiling = false;
    }
    if layout.turned {
        layout.noise = Noise { footer: layout.noise.footer, ceiling: layout.noise.ceiling, ..Noise::default() };
    }
}
