//! From chosen readings to what is handed over: tests, machines, one mark for each cell, questions.

use crate::context::Block;
use crate::explain;
use crate::hold::{Hold, Holds};
use crate::reader::{Fate, Reader};
use crate::specialist::Specialist;
use windrow_model::place::read_a1;
use windrow_model::raw::{CellMark, Mention, PlateField, Target, Understood};
use windrow_model::{Disposition, Place, Text};
use windrow_source::{Area, Cell, Grid};
use windrow_text::vocabulary::Concept;

/// Hands over what one or two readers of a sheet found, each in its own areas; the first also takes what lies in no area.
pub fn build(
    grid: &Grid,
    specialists: &[&dyn Specialist],
    readers: Vec<(Reader<'_, '_, '_>, Option<Vec<Area>>)>,
    into: &mut Understood,
) {
    let mut targets: Vec<Option<Target>> = vec![None; grid.cells.len()];
    let mut fates: Vec<Option<Fate>> = vec![None; grid.cells.len()];
    let mut holds = Holds::default();
    for (number, (mut reader, areas)) in readers.into_iter().enumerate() {
        let turned_areas = areas.clone();
        let covers = |row: u32, column: u32| match &turned_areas {
            None => true,
            Some(areas) => areas.iter().any(|area| area.contains(row, column)),
        };
        let takes_block = |reader: &Reader<'_, '_, '_>, block: &Block| {
            let area = reader.view.area(block.rows.0, block.columns.0, block.rows.1, block.columns.1);
            covers(area.top, area.left)
        };
        for (index, cell) in grid.cells.iter().enumerate() {
            if number == 0 || covers(cell.row, cell.column) {
                fates[index] = reader.fates[index].take();
            }
        }
        let chosen: Vec<bool> = reader.scene.blocks.iter().map(|block| takes_block(&reader, block)).collect();
        explain::regions(&reader, &chosen, specialists, into);
        holds.extend(kept(std::mem::take(&mut reader.holds), grid, &covers));
        for cell in hand_over(&mut reader, &chosen, &mut targets, into) {
            if let Some(slot) = fates.get_mut(cell as usize) {
                *slot = Some(Fate {
                    disposition: Disposition::Derived,
                    reason: Some(Text::new_static("computed from other readings of the test")),
                });
            }
        }
    }
    for cell in holds.cells() {
        if let Some(fate) = fates.get_mut(cell as usize).and_then(Option::as_mut) {
            fate.disposition = Disposition::Held;
        }
    }
    into.holds.extend(holds.finish(grid));
    marks(grid, fates, targets, into);
}

/// Questions about cells that the reader was chosen for.
fn kept(holds: Holds, grid: &Grid, covers: &dyn Fn(u32, u32) -> bool) -> Holds {
    let mut kept = Holds::default();
    for (cause, hold) in holds.into_causes() {
        for cell in &hold.cells {
            let Some(at) = grid.cells.get(*cell as usize) else { continue };
            if covers(at.row, at.column) {
                kept.ask(cause.clone(), *cell, || Hold { cells: Vec::new(), ..hold.clone() });
            }
        }
    }
    kept
}

/// Hands over tests and machines; returns the cells that turned out to be computed from others.
fn hand_over(
    reader: &mut Reader<'_, '_, '_>,
    chosen: &[bool],
    targets: &mut [Option<Target>],
    into: &mut Understood,
) -> Vec<u32> {
    let mut computed = Vec::new();
    let takes = |block: usize| chosen.get(block).copied().unwrap_or(false);
    for group in std::mem::take(&mut reader.groups) {
        if !takes(group.block) {
            continue;
        }
        let fields = group.fields.clone();
        let (test, cells, derived) = group.finish();
        let number = u32::try_from(into.tests.len()).unwrap_or(u32::MAX);
        for (reading, cell) in (0u32..).zip(&cells) {
            if let Some(slot) = targets.get_mut(*cell as usize) {
                *slot = Some(Target::Reading { test: number, reading, column: Text::new_static("value") });
            }
        }
        for (concept, cell) in fields {
            let column = test_column(concept);
            if let (Some(slot @ None), Some(column)) = (targets.get_mut(cell as usize), column) {
                *slot = Some(Target::Test { test: number, column: column.into() });
            }
        }
        for cell in derived {
            if let Some(slot) = targets.get_mut(cell as usize) {
                *slot = Some(Target::Figure { test: number });
            }
            computed.push(cell);
        }
        if !test.readings.is_empty() || !test.derived.is_empty() {
            into.tests.push(test);
        }
    }
    for (mention, cell) in std::mem::take(&mut reader.machines) {
        let number = u32::try_from(into.machines.len()).unwrap_or(u32::MAX);
        if let Some(slot @ None) = targets.get_mut(cell as usize) {
            let column = if mention.tag.is_some() { "tag" } else { "serial_number" };
            *slot = Some(Target::Asset { mention: number, column: column.into() });
        }
        for (column, place) in told_at(&mention) {
            let cell = at_place(reader.view.grid, &place.cell);
            if let Some(slot @ None) = cell.and_then(|cell| targets.get_mut(cell)) {
                *slot = Some(Target::Asset { mention: number, column: column.into() });
            }
        }
        into.machines.push(mention);
    }
    computed
}

/// Columns of `assets` that a line of a register tells beside its name, and where.
fn told_at(mention: &Mention) -> impl Iterator<Item = (&'static str, &Place)> {
    let texts = [
        ("serial_number", &mention.serial),
        ("description", &mention.description),
        ("site", &mention.site),
        ("area", &mention.area),
        ("list_key", &mention.list_key),
        ("functional_location", &mention.location),
        ("parent", &mention.parent),
    ];
    let texts = texts.into_iter().filter_map(|(column, told)| Some((column, told.as_ref()?.place.as_ref()?)));
    let aliases = mention.other_tags.iter().filter_map(|told| Some(("aliases", told.place.as_ref()?)));
    let plate = mention.plate.iter().filter_map(|(field, told)| Some((plate_column(*field), told.place.as_ref()?)));
    aliases.chain(texts).chain(plate)
}

/// Column of `assets` that a field of a nameplate becomes.
const fn plate_column(field: PlateField) -> &'static str {
    match field {
        PlateField::RewoundYear => "rewound_years",
        field => field.code(),
    }
}

/// Index of the cell with an address, among cells in the order of rows; one that was moved keeps the address of its source.
fn at_place(grid: &Grid, place: &str) -> Option<usize> {
    let at = read_a1(place)?;
    let index = grid.cells.partition_point(|cell| (cell.row, cell.column) < at);
    let is_it = |cell: &Cell| !cell.synthetic && cell.place() == place;
    if grid.cells.get(index).is_some_and(is_it) {
        return Some(index);
    }
    grid.cells.iter().position(is_it)
}

/// Column of `tests` that a concept becomes.
const fn test_column(concept: Concept) -> Option<&'static str> {
    Some(match concept {
        Concept::Tag
        | Concept::OldTag
        | Concept::NewTag
        | Concept::Serial
        | Concept::Site
        | Concept::Area
        | Concept::Description
        | Concept::ListKey
        | Concept::FunctionalLocation
        | Concept::Parent => "asset_id",
        Concept::Date => "performed_on",
        Concept::TestVoltage => "test_voltage_v",
        Concept::WindingTemperature | Concept::Temperature => "winding_temperature_c",
        Concept::AmbientTemperature => "ambient_temperature_c",
        Concept::Humidity => "relative_humidity_pct",
        Concept::DewPoint => "dew_point_c",
        Concept::Instrument => "instrument",
        Concept::Tester => "tester",
        Concept::WorkOrder => "work_order",
        Concept::Result => "reported_outcome",
        // No column of its own: how fast is kept in the source's words.
        Concept::Remarks | Concept::RateOfRise => "remarks",
        Concept::Stage => "stage",
        _ => return None,
    })
}

/// Whether a cell of this disposition became a row's column: a figure that the source computed is told apart from readings.
const fn has_target(disposition: Disposition, target: &Target) -> bool {
    match target {
        Target::Figure { .. } => matches!(disposition, Disposition::Derived),
        _ => matches!(disposition, Disposition::Value),
    }
}

fn marks(grid: &Grid, fates: Vec<Option<Fate>>, targets: Vec<Option<Target>>, into: &mut Understood) {
    for ((cell, fate), target) in grid.cells.iter().zip(fates).zip(targets) {
        if cell.synthetic {
            continue;
        }
        let fate =
            fate.unwrap_or(Fate { disposition: Disposition::Unread, reason: Some(Text::new_static("not understood")) });
        into.cells.push(CellMark {
            place: Place::new(grid.name.as_deref(), cell.place()),
            raw_text: cell.text.clone(),
            disposition: fate.disposition,
            target: target.filter(|target| has_target(fate.disposition, target)),
            reason: fate.reason,
        });
    }
}
