//! The sheet of machines.

use super::cells::{Line, Sheet, number};
use windrow_model::consolidated::MachineColumn as Column;
use windrow_model::raw::{Mention, PlateField, PlateValue, Target, Told, Understood};
use windrow_model::{Disposition, Text};

/// Nameplate fields by their columns.
const PLATE: &[(Column, PlateField)] = &[
    (Column::Class, PlateField::EquipmentClass),
    (Column::Manufacturer, PlateField::Manufacturer),
    (Column::Model, PlateField::Model),
    (Column::Power, PlateField::RatedPower),
    (Column::Voltage, PlateField::RatedVoltage),
    (Column::Current, PlateField::RatedCurrent),
    (Column::Speed, PlateField::RatedSpeed),
    (Column::Frequency, PlateField::RatedFrequency),
    (Column::Winding, PlateField::WindingKind),
    (Column::InsulationClass, PlateField::InsulationClass),
    (Column::InsulationEra, PlateField::InsulationEra),
    (Column::Conductor, PlateField::Conductor),
    (Column::Made, PlateField::MadeYear),
    (Column::InService, PlateField::InService),
];

/// A machine and the id by which readings name it.
pub(super) struct Known {
    pub(super) id: Text,
    pub(super) mention: Mention,
}

/// Adds the machines, marks the cells, and gives the machines by their ids.
pub(super) fn understand(sheet: &Sheet<'_>, into: &mut Understood) -> Vec<Known> {
    into.cells.extend(sheet.labels());
    let mut known = Vec::new();
    for line in sheet.lines() {
        let number = u32::try_from(into.machines.len()).unwrap_or(u32::MAX);
        let mention = mention(&line);
        mark(sheet, &line, number, into);
        known.extend(line.text(Column::Id.code()).map(|id| Known { id: id.value, mention: mention.clone() }));
        into.machines.push(mention);
    }
    known
}

fn mention(line: &Line<'_>) -> Mention {
    let mut plate: Vec<(PlateField, Told<PlateValue>)> =
        PLATE.iter().filter_map(|(column, field)| Some((*field, value(line, *column, *field)?))).collect();
    let years = line.text(Column::Rewound.code());
    for year in years.iter().flat_map(|told| told.value.split_whitespace()) {
        let year = year.parse().ok().zip(years.as_ref());
        plate
            .extend(year.map(|(year, told)| (PlateField::RewoundYear, told.clone().map(|_| PlateValue::Number(year)))));
    }
    Mention {
        tag: line.text(Column::Tag.code()),
        serial: line.text(Column::Serial.code()),
        description: line.text(Column::Description.code()),
        site: line.text(Column::Site.code()),
        area: line.text(Column::Area.code()),
        plate,
        ..Mention::default()
    }
}

fn value(line: &Line<'_>, column: Column, field: PlateField) -> Option<Told<PlateValue>> {
    line.told(column.code(), |cell| match field {
        PlateField::InService => Some(PlateValue::Text((cell.text == "yes").to_string())),
        PlateField::EquipmentClass
        | PlateField::Manufacturer
        | PlateField::Model
        | PlateField::WindingKind
        | PlateField::InsulationClass
        | PlateField::InsulationEra
        | PlateField::Conductor => Some(PlateValue::Text(cell.text.to_string())),
        _ => number(cell).map(PlateValue::Number),
    })
}

fn mark(sheet: &Sheet<'_>, line: &Line<'_>, mention: u32, into: &mut Understood) {
    let told = PLATE.iter().map(|(column, field)| (*column, field.code())).chain([
        (Column::Tag, "tag"),
        (Column::Serial, "serial_number"),
        (Column::Description, "description"),
        (Column::Site, "site"),
        (Column::Area, "area"),
        (Column::Rewound, "rewound_years"),
    ]);
    let told: Vec<(&str, &str)> = told.map(|(column, name)| (column.code(), name)).collect();
    for cell in line.cells {
        let name = told.iter().find(|(heading, _)| line.cell(heading).is_some_and(|other| other.column == cell.column));
        let target = name.map(|(_, column)| Target::Asset { mention, column: Text::new(column) });
        into.cells.push(match target {
            Some(target) => sheet.mark(cell, Disposition::Value, Some(target), None),
            None => sheet.mark(cell, Disposition::Derived, None, Some("computed by the export, or an id of its fleet")),
        });
    }
}
