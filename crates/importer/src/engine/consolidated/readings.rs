//! Sheets of readings: one line a reading, with all that is told of its test.

use super::cells::{Doubt, Line, Sheet, day, number};
use super::checks::{self, doubt, expected, flags, unit_of};
use super::machines::Known;
use std::collections::HashMap;
use std::collections::hash_map::Entry;
use windrow_model::consolidated::ReadingColumn as Column;
use windrow_model::kind::{Outcome, TemperatureBasis, VoltageBasis};
use windrow_model::raw::{Exported, Mention, RawReading, RawTest, Target, Told, Understood, Via};
use windrow_model::{
    Bound, Circuit, Disposition, PartialDate, Precision, Quantity, Question, Reported, Stage, Step, TestKind, Text,
};
use windrow_source::Cell;
use windrow_source::grid::Content;

/// Columns of `tests` by their headings.
const OF_TEST: &[(Column, &str)] = &[
    (Column::Date, "performed_on"),
    (Column::Precision, "performed_precision"),
    (Column::Kind, "kind"),
    (Column::Temperature, "winding_temperature_c"),
    (Column::TemperatureBasis, "winding_temperature_basis"),
    (Column::Ambient, "ambient_temperature_c"),
    (Column::Humidity, "relative_humidity_pct"),
    (Column::DewPoint, "dew_point_c"),
    (Column::TestVoltage, "test_voltage_v"),
    (Column::TestVoltageBasis, "test_voltage_basis"),
    (Column::Stage, "stage"),
    (Column::Instrument, "instrument"),
    (Column::Tester, "tester"),
    (Column::Remarks, "remarks"),
    (Column::WorkOrder, "work_order"),
    (Column::ReportedOutcome, "reported_outcome"),
];

/// Columns that name the machine.
const OF_MACHINE: [Column; 3] = [Column::Machine, Column::Tag, Column::Site];

/// Columns of `readings` by their headings.
const OF_READING: &[(Column, &str)] = &[
    (Column::Quantity, "quantity"),
    (Column::Circuit, "circuit"),
    (Column::Elapsed, "elapsed_s"),
    (Column::Voltage, "applied_voltage_v"),
    (Column::Value, "value"),
    (Column::Unit, "unit"),
    (Column::Bound, "bound"),
    (Column::Outcome, "outcome"),
    (Column::Reported, "as_reported"),
    (Column::ReportedReference, "reported_reference_c"),
    (Column::Flags, "flags"),
];

/// A test and the first line that told it.
struct First<'a> {
    test: u32,
    line: Line<'a>,
}

/// Tests by their ids; one may go on on the next sheet.
type Tests<'a> = HashMap<Text, First<'a>>;

/// Adds tests and readings, marks every cell, and asks about lines that cannot be what the export wrote.
pub(super) fn understand(sheets: &[Sheet<'_>], machines: &[Known], into: &mut Understood) {
    let machines: HashMap<&str, &Mention> = machines.iter().map(|known| (known.id.as_str(), &known.mention)).collect();
    let mut tests = Tests::new();
    for sheet in sheets {
        into.cells.extend(sheet.labels());
        for line in sheet.lines() {
            if let Err(doubt) = take(sheet, line, &machines, &mut tests, into) {
                sheet.hold_line(&line, line.cell(Column::Value.code()), doubt, into);
            }
        }
    }
}

/// Adds the reading of `line`, and its test where it is the first one.
fn take<'a>(
    sheet: &'a Sheet<'a>,
    line: Line<'a>,
    machines: &HashMap<&str, &Mention>,
    tests: &mut Tests<'a>,
    into: &mut Understood,
) -> Result<(), Doubt> {
    let reading = sheet.doubt().map_or_else(|| reading(sheet, &line), Err)?;
    let id = line.text(Column::Test.code());
    let key = id.map_or_else(|| reading.place.to_string().into(), |told| told.value);
    let next = u32::try_from(into.tests.len()).unwrap_or(u32::MAX);
    let (number, shared) = match tests.entry(key) {
        Entry::Occupied(first) => {
            different(&line, &first.get().line)?;
            (first.get().test, Disposition::Repeat)
        }
        Entry::Vacant(first) => {
            let machine = line.text(Column::Machine.code()).and_then(|id| machines.get(id.value.as_str()).copied());
            into.tests.push(test(&line, machine.cloned().unwrap_or_else(|| named(&line)), &reading));
            first.insert(First { test: next, line });
            (next, Disposition::Value)
        }
    };
    if let Some(test) = usize::try_from(number).ok().and_then(|number| into.tests.get_mut(number)) {
        let at = u32::try_from(test.readings.len()).unwrap_or(u32::MAX);
        test.readings.push(reading);
        mark(sheet, &line, [number, at], shared, into);
    }
    Ok(())
}

/// What every line of a test tells alike: asks where `line` tells something else than `first`.
fn different(line: &Line<'_>, first: &Line<'_>) -> Result<(), Doubt> {
    let columns = OF_TEST.iter().map(|(column, _)| *column).chain(OF_MACHINE);
    for column in columns {
        let (here, there) = (line.cell(column.code()), first.cell(column.code()));
        if is_same(column, here, there) {
            continue;
        }
        let found = |cell: Option<&Cell>| cell.map_or_else(String::new, |cell| cell.text.to_string());
        let row = first.cells.first().map_or(0, |cell| cell.row) + 1;
        let context = format!(
            "under \"{column}\" stands {:?}, and {:?} in line {row}, the first of the same test: which of both holds? Both were the same \
             when the workbook was exported",
            found(here),
            found(there)
        );
        return Err(Doubt::of(asked(column), context));
    }
    Ok(())
}

fn is_same(column: Column, a: Option<&Cell>, b: Option<&Cell>) -> bool {
    let told = |cell: Option<&Cell>| cell.is_some_and(|cell| !cell.text.is_empty());
    let (Some(a), Some(b)) = (a, b) else { return told(a) == told(b) };
    let is_number = [a, b].iter().any(|cell| matches!(cell.content, Content::Number(_)));
    match column {
        Column::Date => day(a) == day(b),
        _ if is_number => number(a) == number(b),
        _ => a.text == b.text,
    }
}

/// What is asked about a column.
fn asked(column: Column) -> Question {
    if OF_MACHINE.contains(&column) {
        return Question::Machine;
    }
    checks::question(column).unwrap_or(Question::Layout)
}

/// A machine that the workbook does not list.
fn named(line: &Line<'_>) -> Mention {
    Mention { tag: line.text(Column::Tag.code()), site: line.text(Column::Site.code()), ..Mention::default() }
}

fn test(line: &Line<'_>, machine: Mention, first: &RawReading) -> RawTest {
    let kind = line.text(Column::Kind.code()).and_then(|told| TestKind::from_code(&told.value));
    let precision = line.text(Column::Precision.code()).and_then(|told| Precision::from_code(&told.value));
    let precision = precision.unwrap_or(Precision::Day);
    let basis = line.text(Column::TemperatureBasis.code()).and_then(|told| TemperatureBasis::from_code(&told.value));
    RawTest {
        performed: line.told(Column::Date.code(), |cell| Some(PartialDate { first: day(cell)?, precision })),
        stage: line.told(Column::Stage.code(), |cell| Stage::from_code(&cell.text)),
        winding_temperature_c: line.number(Column::Temperature.code()),
        winding_temperature_basis: basis.unwrap_or(TemperatureBasis::Unknown),
        ambient_temperature_c: line.number(Column::Ambient.code()),
        relative_humidity_pct: line.number(Column::Humidity.code()),
        dew_point_c: line.number(Column::DewPoint.code()),
        test_voltage_v: test_voltage(line),
        instrument: line.text(Column::Instrument.code()),
        tester: line.text(Column::Tester.code()),
        remarks: line.text(Column::Remarks.code()).into_iter().collect(),
        work_order: line.text(Column::WorkOrder.code()),
        reported_outcome: line.text(Column::ReportedOutcome.code()),
        exported: line
            .text(Column::Test.code())
            .map(|id| Exported { test_id: id.value, copy_of: line.text(Column::CopyOf.code()).map(|id| id.value) }),
        ..RawTest::blank(machine, kind.unwrap_or(TestKind::InsulationResistance), first.place.clone())
    }
}

/// The test voltage; one that was assumed stays so, for it proves nothing.
fn test_voltage(line: &Line<'_>) -> Option<Told<f64>> {
    let basis = line.cell(Column::TestVoltageBasis.code()).and_then(|cell| VoltageBasis::from_code(&cell.text));
    let told = line.number(Column::TestVoltage.code())?;
    Some(if basis == Some(VoltageBasis::Assumed) { Told { via: Via::Assumed, ..told } } else { told })
}

fn reading(sheet: &Sheet<'_>, line: &Line<'_>) -> Result<RawReading, Doubt> {
    if let Some(doubt) = doubt(line) {
        return Err(doubt);
    }
    let told = line.cell(Column::Value.code()).and_then(|cell| Some((cell, number(cell)?)));
    let quantity = line.told(Column::Quantity.code(), |cell| Quantity::from_code(&cell.text));
    let unit = line.told(Column::Unit.code(), |cell| unit_of(&cell.text));
    let (Some((cell, value)), Some(quantity), Some(unit)) = (told, quantity, unit) else {
        return Err(Doubt::of(Question::IllegibleValue, expected(line, Column::Value, "a number with its unit")));
    };
    if unit.value.dimension != quantity.value.dimension() {
        return Err(Doubt::of(Question::Unit, expected(line, Column::Unit, "a unit of the quantity")));
    }
    let code = |column: Column| line.cell(column.code()).map(|cell| cell.text.as_str()).unwrap_or_default();
    let original = line.text(Column::Original.code());
    let original = original.map(|told| Step::new("exported", format!("read from {:?}", told.value)));
    Ok(RawReading {
        quantity,
        circuit: line.told(Column::Circuit.code(), |cell| Circuit::from_code(&cell.text)),
        elapsed_s: line.number(Column::Elapsed.code()),
        applied_voltage_v: line.number(Column::Voltage.code()),
        number: value,
        unit,
        bound: Bound::from_code(code(Column::Bound)).unwrap_or(Bound::Exact),
        as_reported: Reported::from_code(code(Column::Reported)).unwrap_or(Reported::AsRead),
        reported_reference_c: line.number(Column::ReportedReference.code()).map(|told| told.value),
        outcome: Outcome::from_code(code(Column::Outcome)),
        raw_text: cell.text.clone(),
        place: sheet.place(cell),
        steps: original.into_iter().collect(),
        flags: line.cell(Column::Flags.code()).and_then(flags).unwrap_or_default(),
    })
}

/// Marks the cells of a line that became a reading of a test; `shared` is what cells about the test are.
fn mark(sheet: &Sheet<'_>, line: &Line<'_>, [test, reading]: [u32; 2], shared: Disposition, into: &mut Understood) {
    let find = |columns: &[(Column, &'static str)], cell: &Cell| {
        let is_here = |column: Column| line.cell(column.code()).is_some_and(|other| other.column == cell.column);
        columns.iter().find(|(column, _)| is_here(*column)).map(|(_, name)| Text::new_static(name))
    };
    for cell in line.cells {
        let of_reading = find(OF_READING, cell).map(|column| Target::Reading { test, reading, column });
        let of_test = find(OF_TEST, cell).map(|column| Target::Test { test, column });
        into.cells.push(match (of_reading, of_test) {
            (Some(target), _) => sheet.mark(cell, Disposition::Value, Some(target), None),
            (None, Some(target)) if shared == Disposition::Value => {
                sheet.mark(cell, Disposition::Value, Some(target), None)
            }
            (None, Some(_)) => sheet.mark(cell, shared, None, Some("told by the first line of the test")),
            (None, None) if !sheet.is_known(cell) => sheet.unread(cell),
            (None, None) => sheet.mark(
                cell,
                Disposition::Derived,
                None,
                Some("the export's own: where it was read, ids, corrections"),
            ),
        });
    }
}
