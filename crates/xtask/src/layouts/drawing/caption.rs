//! The lines above the readings of a sheet.

use super::Desk;
use crate::layouts::habits::Habits;
use crate::layouts::layout::{Circuits, Place, UnitPlace};
use crate::layouts::page::{At, Cell, Page};
use crate::layouts::study::Dim;
use windrow_dice::Dice;

/// Writes the caption and returns the first free row.
pub(super) fn write(desk: &Desk<'_>, page: &mut Page, at: At, dice: &mut Dice) -> u32 {
    let (site, told) = (desk.study.site.clone(), subject(desk, dice));
    let report = desk.habits.word("report");
    let lines = match dice.between(0, 3) {
        0 => vec![format!("{site} - {told}")],
        1 => vec![site, told],
        2 => vec![format!("{report} {site}"), told],
        _ => vec![told],
    };
    let mut row = at.0;
    for line in lines {
        page.put((row, at.1), Cell::line(line));
        row += 1;
    }
    row + dice.between(0, 1)
}

fn subject(desk: &Desk<'_>, dice: &mut Dice) -> String {
    let (layout, study, habits) = (desk.layout, desk.study, desk.habits);
    let title = match layout.quantities[0] {
        "leakage_current" if layout.rows.contains(&Dim::Step) => Some("step_title"),
        "leakage_current" => Some("withstand_title"),
        "surge_peak_voltage" => Some("surge_title"),
        _ => None,
    };
    let measures = || {
        let readings = layout.quantities.iter().filter(|quantity| **quantity != "winding_temperature");
        let words: Vec<String> = readings.map(|quantity| habits.word(quantity)).collect();
        words.join(" / ")
    };
    let mut text = title.map_or_else(measures, |title| habits.words.pick(title, dice));
    if title.is_some() && !desk.is_axis(Dim::Measure) && !layout.measure_in_header {
        text = format!("{text}: {}", measures());
    }
    if layout.circuits == Circuits::ToEarth {
        let earth = habits.word("to_earth");
        if desk.is_axis(Dim::Circuit) {
            if habits.earth.is_empty() || dice.chance(0.3) {
                text = format!("{text} {earth}");
            }
        } else if layout.all_phases {
            text = format!("{text} {}", dice.pick(habits.words.list("all_phases")));
        }
    }
    if layout.unit == UnitPlace::Caption {
        text = habits.with_unit(&text, study.measures[0].unit.0);
    }
    if layout.elapsed == Place::Caption {
        text = format!("{text}, {}", Habits::time_in_words(60));
    }
    if layout.voltage == Place::Caption {
        let (volts, unit) = habits.volts(study.volts);
        text = format!("{text}, {} {unit} DC", habits.marked(&volts.to_string()));
    }
    text
}
