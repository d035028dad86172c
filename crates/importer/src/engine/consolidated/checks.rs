//! What must hold of a line of readings, column by column.

use super::cells::{Doubt, Line, day, number};
use windrow_model::consolidated::ReadingColumn as Column;
use windrow_model::kind::{Outcome, TemperatureBasis, VoltageBasis};
use windrow_model::{Bound, Circuit, Flag, Precision, Quantity, Question, Reported, Stage, TestKind, Unit};
use windrow_source::Cell;

/// Whether a line must tell it.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Need {
    Always,
    WhereTold,
}

/// A column, whether it must be told, how its cells are read, what is expected, and what is asked otherwise.
type Check = (Column, Need, fn(&Cell) -> bool, &'static str, Question);

/// What must hold of a line so that nothing of it is dropped in silence.
const CHECKS: &[Check] = &[
    (Column::Kind, Need::Always, |cell| TestKind::from_code(&cell.text).is_some(), "a kind of test", Question::Layout),
    (
        Column::Quantity,
        Need::Always,
        |cell| Quantity::from_code(&cell.text).is_some(),
        "a quantity",
        Question::Quantity,
    ),
    (Column::Value, Need::Always, |cell| number(cell).is_some(), "a number", Question::IllegibleValue),
    (Column::Unit, Need::Always, |cell| unit_of(&cell.text).is_some(), "a unit", Question::Unit),
    (Column::Bound, Need::Always, |cell| Bound::from_code(&cell.text).is_some(), "a bound", Question::IllegibleValue),
    (Column::Circuit, Need::WhereTold, |cell| Circuit::from_code(&cell.text).is_some(), "a circuit", Question::Circuit),
    (Column::Date, Need::WhereTold, |cell| day(cell).is_some(), "a date", Question::Date),
    (
        Column::Precision,
        Need::WhereTold,
        |cell| Precision::from_code(&cell.text).is_some(),
        "a precision",
        Question::Date,
    ),
    (Column::Elapsed, Need::WhereTold, |cell| number(cell).is_some(), "a number", Question::Elapsed),
    (Column::Voltage, Need::WhereTold, |cell| number(cell).is_some(), "a number", Question::Voltage),
    (Column::TestVoltage, Need::WhereTold, |cell| number(cell).is_some(), "a number", Question::Voltage),
    (
        Column::TestVoltageBasis,
        Need::WhereTold,
        |cell| VoltageBasis::from_code(&cell.text).is_some(),
        "a basis",
        Question::Voltage,
    ),
    (Column::Temperature, Need::WhereTold, |cell| number(cell).is_some(), "a number", Question::TemperatureUnit),
    (
        Column::TemperatureBasis,
        Need::WhereTold,
        |cell| TemperatureBasis::from_code(&cell.text).is_some(),
        "a basis",
        Question::Layout,
    ),
    (Column::Ambient, Need::WhereTold, |cell| number(cell).is_some(), "a number", Question::TemperatureUnit),
    (Column::Humidity, Need::WhereTold, |cell| number(cell).is_some(), "a number", Question::IllegibleValue),
    (Column::DewPoint, Need::WhereTold, |cell| number(cell).is_some(), "a number", Question::TemperatureUnit),
    (
        Column::Reported,
        Need::WhereTold,
        |cell| Reported::from_code(&cell.text).is_some(),
        "a code",
        Question::Corrected,
    ),
    (Column::ReportedReference, Need::WhereTold, |cell| number(cell).is_some(), "a number", Question::TemperatureUnit),
    (Column::Flags, Need::WhereTold, |cell| flags(cell).is_some(), "codes of flags apart by blanks", Question::Layout),
    (Column::Outcome, Need::WhereTold, |cell| Outcome::from_code(&cell.text).is_some(), "an outcome", Question::Layout),
    (Column::Stage, Need::WhereTold, |cell| Stage::from_code(&cell.text).is_some(), "a stage", Question::Layout),
];

/// The first thing on a line that is not as the export writes it.
pub(super) fn doubt(line: &Line<'_>) -> Option<Doubt> {
    CHECKS.iter().find_map(|(column, need, holds, what, question)| {
        let cell = line.cell(column.code());
        let fits = cell.map_or(*need == Need::WhereTold, holds);
        (!fits).then(|| Doubt::of(*question, expected(line, *column, what)))
    })
}

/// What is asked about `column`, if anything is checked there.
pub(super) fn question(column: Column) -> Option<Question> {
    CHECKS.iter().find(|(known, ..)| *known == column).map(|(.., question)| *question)
}

/// Says what stands under `column` of `line`, and what is expected.
pub(super) fn expected(line: &Line<'_>, column: Column, what: &str) -> String {
    let found = line.cell(column.code()).map(|cell| cell.text.as_str()).unwrap_or_default();
    format!(
        "under \"{column}\" stands {found:?}, and {what} of the schema is expected: the workbook was changed since it was exported"
    )
}

/// Flags by their codes; `None` where one is none.
pub(super) fn flags(cell: &Cell) -> Option<Vec<Flag>> {
    cell.text.split_whitespace().map(Flag::from_code).collect()
}

/// The unit with this symbol or code.
pub(super) fn unit_of(text: &str) -> Option<Unit> {
    Unit::ALL.iter().copied().find(|unit| unit.symbol == text || unit.ucum == text)
}
