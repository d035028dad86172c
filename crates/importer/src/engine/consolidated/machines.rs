//! The sheet of machines.

use super::cells::{Doubt, Line, Sheet, number};
use std::ops::RangeInclusive;
use windrow_model::consolidated::MachineColumn as Column;
use windrow_model::raw::{Mention, PlateField, PlateValue, Target, Told, Understood};
use windrow_model::{Disposition, Question, Text};
use windrow_source::Cell;

/// A nameplate column: its field, how its cells are read, and what is expected there.
type Field = (Column, PlateField, fn(&Cell) -> Option<PlateValue>, &'static str);

/// Nameplate fields by their columns.
const PLATE: &[Field] = &[
    (Column::Class, PlateField::EquipmentClass, class, "two capital letters of ISO 14224"),
    (Column::Manufacturer, PlateField::Manufacturer, text, "a text"),
    (Column::Model, PlateField::Model, text, "a text"),
    (Column::Power, PlateField::RatedPower, quantity, "a number of W"),
    (Column::Voltage, PlateField::RatedVoltage, quantity, "a number of V"),
    (Column::Current, PlateField::RatedCurrent, quantity, "a number of A"),
    (Column::Speed, PlateField::RatedSpeed, quantity, "a number of 1/min"),
    (Column::Frequency, PlateField::RatedFrequency, quantity, "a number of Hz"),
    (Column::Winding, PlateField::WindingKind, winding, "random or form"),
    (Column::InsulationClass, PlateField::InsulationClass, insulation_class, "a class of IEC 60085 such as 155"),
    (Column::InsulationEra, PlateField::InsulationEra, insulation_era, "thermoplastic or thermosetting"),
    (Column::Conductor, PlateField::Conductor, conductor, "copper or aluminium"),
    (Column::Made, PlateField::MadeYear, made, "a year"),
    (Column::InService, PlateField::InService, in_service, "yes or no"),
];

/// Thermal classes, IEC 60085:2007 Table 1 (verified through a national adoption).
const CLASSES: [&str; 9] = ["90", "105", "120", "130", "155", "180", "200", "220", "250"];
/// Years that machines are made and rewound in.
const YEARS: RangeInclusive<f64> = 1850.0..=2100.0;

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
        if let Some(doubt) = sheet.doubt() {
            sheet.hold_line(&line, line.cell(Column::Tag.code()), doubt, into);
            continue;
        }
        let number = u32::try_from(into.machines.len()).unwrap_or(u32::MAX);
        let mention = mention(&line);
        mark(sheet, &line, number, into);
        known.extend(line.text(Column::Id.code()).map(|id| Known { id: id.value, mention: mention.clone() }));
        into.machines.push(mention);
    }
    known
}

fn mention(line: &Line<'_>) -> Mention {
    let read = PLATE.iter().filter_map(|(column, field, read, _)| Some((*field, line.told(column.code(), read)?)));
    let mut plate: Vec<(PlateField, Told<PlateValue>)> = read.collect();
    if let Some(years) = line.told(Column::Rewound.code(), rewound) {
        let one = |year: &f64| (PlateField::RewoundYear, years.clone().map(|_| PlateValue::Number(*year)));
        plate.extend(years.value.iter().map(one));
    }
    Mention {
        tag: line.text(Column::Tag.code()),
        serial: line.text(Column::Serial.code()),
        description: line.text(Column::Description.code()),
        site: line.text(Column::Site.code()),
        area: line.text(Column::Area.code()),
        location: line.text(Column::Location.code()),
        parent: line.text(Column::Parent.code()),
        list_key: line.text(Column::ListKey.code()),
        plate,
        ..Mention::default()
    }
}

#[expect(clippy::unnecessary_wraps, reason = "one of many ways to read a cell")]
fn text(cell: &Cell) -> Option<PlateValue> {
    Some(PlateValue::Text(cell.text.to_string()))
}

fn quantity(cell: &Cell) -> Option<PlateValue> {
    number(cell).filter(|value| *value >= 0.0).map(PlateValue::Number)
}

fn made(cell: &Cell) -> Option<PlateValue> {
    number(cell).filter(|year| is_year(*year)).map(PlateValue::Number)
}

fn is_year(year: f64) -> bool {
    YEARS.contains(&year) && year.fract() == 0.0
}

fn rewound(cell: &Cell) -> Option<Vec<f64>> {
    cell.text.split_whitespace().map(|year| year.parse().ok().filter(|year| is_year(*year))).collect()
}

fn class(cell: &Cell) -> Option<PlateValue> {
    let is_class = cell.text.len() == 2 && cell.text.bytes().all(|letter| letter.is_ascii_uppercase());
    is_class.then(|| text(cell)).flatten()
}

fn winding(cell: &Cell) -> Option<PlateValue> {
    one_of(&["random", "form"], cell)
}

fn insulation_class(cell: &Cell) -> Option<PlateValue> {
    one_of(&CLASSES, cell)
}

fn insulation_era(cell: &Cell) -> Option<PlateValue> {
    one_of(&["thermoplastic", "thermosetting"], cell)
}

fn conductor(cell: &Cell) -> Option<PlateValue> {
    one_of(&["copper", "aluminium"], cell)
}

fn one_of(codes: &[&str], cell: &Cell) -> Option<PlateValue> {
    codes.contains(&cell.text.as_str()).then(|| text(cell)).flatten()
}

fn in_service(cell: &Cell) -> Option<PlateValue> {
    match cell.text.as_str() {
        "yes" => Some(PlateValue::Text(true.to_string())),
        "no" => Some(PlateValue::Text(false.to_string())),
        _ => None,
    }
}

/// What is expected of `cell`, if it is a nameplate value that cannot be read.
fn unreadable(line: &Line<'_>, cell: &Cell) -> Option<(Column, &'static str)> {
    let is_here = |column: Column| line.cell(column.code()).is_some_and(|other| other.column == cell.column);
    if is_here(Column::Rewound) {
        return rewound(cell).is_none().then_some((Column::Rewound, "years apart by blanks"));
    }
    let (column, _, read, expected) = PLATE.iter().find(|(column, ..)| is_here(*column))?;
    read(cell).is_none().then_some((*column, *expected))
}

fn mark(sheet: &Sheet<'_>, line: &Line<'_>, mention: u32, into: &mut Understood) {
    let told = PLATE.iter().map(|(column, field, ..)| (*column, field.code())).chain([
        (Column::Tag, "tag"),
        (Column::Serial, "serial_number"),
        (Column::Description, "description"),
        (Column::Site, "site"),
        (Column::Area, "area"),
        (Column::Location, "functional_location"),
        (Column::Parent, "parent"),
        (Column::ListKey, "list_key"),
        (Column::Rewound, "rewound_years"),
    ]);
    let told: Vec<(&str, &str)> = told.map(|(column, name)| (column.code(), name)).collect();
    for cell in line.cells {
        if !sheet.is_known(cell) {
            into.cells.push(sheet.unread(cell));
            continue;
        }
        if let Some((column, expected)) = unreadable(line, cell) {
            let context = format!(
                "under \"{column}\" stands {:?}, and {expected} is expected: the workbook was changed since it was exported",
                cell.text
            );
            into.holds.push(sheet.hold(cell, Doubt::of(Question::Nameplate, context)));
            into.cells.push(sheet.mark(cell, Disposition::Held, None, Some("it cannot be read")));
            continue;
        }
        let name = told.iter().find(|(heading, _)| line.cell(heading).is_some_and(|other| other.column == cell.column));
        let target = name.map(|(_, column)| Target::Asset { mention, column: Text::new(column) });
        into.cells.push(match target {
            Some(target) => sheet.mark(cell, Disposition::Value, Some(target), None),
            None => sheet.mark(cell, Disposition::Derived, None, Some("computed by the export, or an id of its fleet")),
        });
    }
}
