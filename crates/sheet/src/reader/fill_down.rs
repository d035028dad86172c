//! Which blank cells mean "as above".

use crate::column::{Column, Role};
use crate::context::ReadTable;
use windrow_text::vocabulary::Concept;

/// Whether a blank cell of this concept means "as above".
pub(super) fn fills_down(
    concept: Concept,
    asset_blank: bool,
    date_blank: bool,
    column: &Column,
    read: &ReadTable,
) -> bool {
    match concept {
        Concept::Tag | Concept::Serial => true,
        Concept::Date => asset_blank || mostly_blank(column, read),
        // A step of voltage told once, with its readings below.
        Concept::TestVoltage if !has_keys(read) => mostly_blank(column, read),
        Concept::Site | Concept::Area => asset_blank || is_told_once_over_names(column, read),
        Concept::Description | Concept::Tester | Concept::TestVoltage | Concept::Instrument => asset_blank,
        Concept::WindingTemperature | Concept::AmbientTemperature | Concept::Temperature | Concept::Humidity => {
            asset_blank && date_blank
        }
        Concept::Circuit => mostly_blank(column, read),
        _ => false,
    }
}

/// Whether the lines name machines or dates of their own.
fn has_keys(read: &ReadTable) -> bool {
    let is_key = |column: &Column| matches!(column.role, Role::Field(Concept::Tag | Concept::Serial | Concept::Date));
    read.columns.iter().any(is_key)
}

/// Whether a column of places before that of the names is filled where another place begins: in the first line, and in half of them at most.
fn is_told_once_over_names(column: &Column, read: &ReadTable) -> bool {
    let is_name = |other: &Column| other.column > column.column && other.role == Role::Field(Concept::Tag);
    let first = read.table.body.iter().find(|line| !line.is_statistic);
    let begins = first.is_some_and(|line| line.items.iter().any(|item| item.column == column.column));
    begins && mostly_blank(column, read) && read.columns.iter().any(is_name)
}

fn mostly_blank(column: &Column, read: &ReadTable) -> bool {
    let filled =
        read.table.body.iter().filter(|line| line.items.iter().any(|item| item.column == column.column)).count();
    filled * 2 <= read.table.body.len()
}
