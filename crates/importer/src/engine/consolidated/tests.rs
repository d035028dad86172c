//! What becomes of an exported workbook that somebody changed. Sheets are built as the export writes them; all records are invented.

use super::{is_readings, understand};
use windrow_model::consolidated::{MACHINES, MachineColumn, READINGS, ReadingColumn};
use windrow_model::raw::{CellMark, PlateField, PlateValue, RawHold, SourceStatus, Understood, Via};
use windrow_model::{Disposition, Question};
use windrow_source::{Cell, Grid, Workbook};

/// Texts of a sheet, headings first.
type Lines = Vec<Vec<String>>;

/// The sheet of machines with two of them.
fn machines() -> Lines {
    let head: Vec<String> = MachineColumn::ALL.iter().map(|column| column.code().to_owned()).collect();
    let machine = |tag: &str| {
        let cell = |column: &MachineColumn| match column {
            MachineColumn::Tag => tag.to_owned(),
            MachineColumn::Class => "EM".to_owned(),
            MachineColumn::Location => format!("N-10-{tag}"),
            MachineColumn::Parent => "N-10".to_owned(),
            MachineColumn::ListKey => format!("key of {tag}"),
            MachineColumn::Voltage => "6600".to_owned(),
            MachineColumn::Rewound => "1985 1998".to_owned(),
            MachineColumn::InService => "yes".to_owned(),
            MachineColumn::Id => format!("id of {tag}"),
            _ => String::new(),
        };
        MachineColumn::ALL.iter().map(cell).collect()
    };
    vec![head, machine("P-1"), machine("P-2")]
}

/// A sheet with readings after one and ten minutes of one test.
fn readings() -> Lines {
    let head: Vec<String> = ReadingColumn::ALL.iter().map(|column| column.code().to_owned()).collect();
    let reading = |elapsed: &str, value: &str| {
        let cell = |column: &ReadingColumn| {
            let text = match column {
                ReadingColumn::Tag => "P-1",
                ReadingColumn::Date => "2001-02-03",
                ReadingColumn::Kind | ReadingColumn::Quantity => "insulation_resistance",
                ReadingColumn::Elapsed => elapsed,
                ReadingColumn::Value => value,
                ReadingColumn::Unit => "MΩ",
                ReadingColumn::Bound => "exact",
                ReadingColumn::Temperature | ReadingColumn::Ambient => "40",
                ReadingColumn::Humidity => "55",
                ReadingColumn::DewPoint => "12",
                ReadingColumn::ReportedReference => "20",
                ReadingColumn::TemperatureBasis => "measured",
                ReadingColumn::TestVoltage => "5000",
                ReadingColumn::TestVoltageBasis => "recorded",
                ReadingColumn::Flags => "unit_assumed voltage_assumed",
                ReadingColumn::Machine => "id of P-1",
                ReadingColumn::Test => "id of the test",
                _ => "",
            };
            text.to_owned()
        };
        ReadingColumn::ALL.iter().map(cell).collect()
    };
    vec![head, reading("60", "910"), reading("600", "2100")]
}

fn grid(name: &str, lines: &Lines) -> Grid {
    let mut grid = Grid { name: Some(name.to_owned()), ..Grid::default() };
    for (row, line) in (0..).zip(lines) {
        let told = (0..).zip(line).filter(|(_, text)| !text.is_empty());
        grid.cells.extend(told.map(|(column, text)| match text.parse() {
            Ok(number) => Cell::number(row, column, number),
            Err(_) => Cell::text(row, column, text.as_str()),
        }));
    }
    grid
}

fn read(sheets: &[(&str, &Lines)]) -> Understood {
    let sheets = sheets.iter().map(|(name, lines)| grid(name, lines)).collect();
    let mut understood = Understood::blank("book.xlsx", SourceStatus::Read);
    understand(&Workbook { sheets, ..Workbook::default() }, &mut understood);
    understood
}

/// The readings sheet with `text` under `column` in `row`.
fn with(row: usize, column: ReadingColumn, text: &str) -> Understood {
    let mut lines = readings();
    let at = ReadingColumn::ALL.iter().position(|known| *known == column).unwrap();
    lines[row][at] = text.to_owned();
    read(&[(MACHINES, &machines()), (READINGS, &lines)])
}

fn numbers(understood: &Understood) -> Vec<f64> {
    understood.tests.iter().flat_map(|test| &test.readings).map(|reading| reading.number).collect()
}

fn marked(understood: &Understood, disposition: Disposition) -> Vec<&CellMark> {
    understood.cells.iter().filter(|mark| mark.disposition == disposition).collect()
}

fn only(understood: &Understood) -> &RawHold {
    assert_eq!(understood.holds.len(), 1, "{:?}", understood.holds);
    &understood.holds[0]
}

#[test]
fn sheets_of_readings_are_known_by_their_names() {
    assert!(is_readings("Readings") && is_readings("Readings 2"));
    assert!(!is_readings("Readings of 1998") && !is_readings("Findings"));
}

#[test]
fn a_workbook_as_it_was_exported_is_read_whole() {
    let understood = read(&[(MACHINES, &machines()), (READINGS, &readings())]);
    assert_eq!((understood.machines.len(), understood.tests.len(), numbers(&understood)), (2, 1, vec![910.0, 2100.0]));
    assert!(understood.holds.is_empty(), "{:?}", understood.holds);
    assert!(marked(&understood, Disposition::Unread).is_empty());
    assert_eq!(understood.tests[0].readings[0].flags.len(), 2);
    let listed = &understood.machines[0];
    let told = [&listed.location, &listed.parent, &listed.list_key].map(|told| told.as_ref().unwrap().value.as_str());
    assert_eq!(told, ["N-10-P-1", "N-10", "key of P-1"]);
}

#[test]
fn a_test_voltage_that_was_assumed_stays_so() {
    for (basis, via) in [("recorded", Via::Row), ("assumed", Via::Assumed)] {
        let mut lines = readings();
        let at = ReadingColumn::ALL.iter().position(|known| *known == ReadingColumn::TestVoltageBasis).unwrap();
        lines.iter_mut().skip(1).for_each(|line| line[at] = basis.to_owned());
        let understood = read(&[(MACHINES, &machines()), (READINGS, &lines)]);
        let told = understood.tests[0].test_voltage_v.as_ref().unwrap();
        assert_eq!((told.value.to_bits(), told.via), (5000_f64.to_bits(), via), "{basis}");
    }
}

#[test]
fn a_later_line_that_tells_another_test_is_asked_about() {
    for (column, text, question) in [
        (ReadingColumn::Date, "2001-02-04", Question::Date),
        (ReadingColumn::Temperature, "35", Question::TemperatureUnit),
        (ReadingColumn::TestVoltage, "500", Question::Voltage),
        (ReadingColumn::Humidity, "56", Question::IllegibleValue),
        (ReadingColumn::Remarks, "wet", Question::Layout),
        (ReadingColumn::Machine, "id of P-2", Question::Machine),
        (ReadingColumn::Ambient, "", Question::TemperatureUnit),
    ] {
        let understood = with(2, column, text);
        assert_eq!(numbers(&understood), [910.0], "{column}");
        let hold = only(&understood);
        assert_eq!(hold.question, question, "{column}");
        let heading = format!("\"{column}\"");
        assert!(hold.context.contains(&heading) && hold.context.contains(&format!("{text:?}")), "{}", hold.context);
        assert!(hold.context.contains("line 2"), "both lines are named: {}", hold.context);
    }
}

#[test]
fn a_test_that_goes_on_on_the_next_sheet_stays_one() {
    let (mut first, mut second) = (readings(), readings());
    first.truncate(2);
    second.remove(1);
    let understood = read(&[(READINGS, &first), ("Readings 2", &second)]);
    assert_eq!((understood.tests.len(), numbers(&understood)), (1, vec![910.0, 2100.0]));
}

#[test]
fn what_cannot_be_read_is_asked_and_never_dropped() {
    for column in [
        ReadingColumn::Temperature,
        ReadingColumn::TemperatureBasis,
        ReadingColumn::Ambient,
        ReadingColumn::Humidity,
        ReadingColumn::DewPoint,
        ReadingColumn::TestVoltageBasis,
        ReadingColumn::ReportedReference,
        ReadingColumn::Flags,
    ] {
        let understood = with(1, column, "about 40");
        assert_eq!(numbers(&understood), [2100.0], "{column}");
        let hold = only(&understood);
        assert!(hold.context.contains(&format!("\"{column}\" stands \"about 40\"")), "{}", hold.context);
        assert!(marked(&understood, Disposition::Held).iter().any(|mark| mark.raw_text == "about 40"), "{column}");
    }
}

#[test]
fn a_heading_that_is_missing_or_stands_twice_is_asked_about() {
    for (text, told) in [("Humidity", "\"Relative humidity (%)\" is missing"), ("Value", "\"Value\" stands twice")] {
        let understood = with(0, ReadingColumn::Humidity, text);
        assert!(numbers(&understood).is_empty());
        assert_eq!(understood.holds.len(), 2, "one a line");
        assert!(understood.holds.iter().all(|hold| hold.context.contains(told)), "{}", understood.holds[0].context);
    }
    let mut lines = machines();
    lines[0][0] = "Motor".to_owned();
    let understood = read(&[(MACHINES, &lines)]);
    assert!(understood.machines.is_empty());
    assert!(understood.holds[0].context.contains("\"Machine\" is missing"), "{}", understood.holds[0].context);
}

#[test]
fn a_column_that_somebody_added_is_unread_and_the_rest_is_read() {
    let (mut plates, mut lines) = (machines(), readings());
    for (sheet, text) in [(&mut plates, "checked"), (&mut lines, "seen")] {
        for line in sheet.iter_mut() {
            line.push(text.to_owned());
        }
    }
    let understood = read(&[(MACHINES, &plates), (READINGS, &lines)]);
    assert_eq!((understood.machines.len(), numbers(&understood)), (2, vec![910.0, 2100.0]));
    let unread = marked(&understood, Disposition::Unread);
    assert!(unread.iter().all(|mark| mark.raw_text == "checked" || mark.raw_text == "seen"));
    assert_eq!(unread.len(), 6, "two headings, two machines, two readings");
}

#[test]
fn a_nameplate_value_that_cannot_be_read_is_asked_about() {
    for (column, text, field) in [
        (MachineColumn::Voltage, "6.6 kV", PlateField::RatedVoltage),
        (MachineColumn::Voltage, "-6600", PlateField::RatedVoltage),
        (MachineColumn::InService, "unknown", PlateField::InService),
        (MachineColumn::Made, "about 1985", PlateField::MadeYear),
        (MachineColumn::Rewound, "1985 or 86", PlateField::RewoundYear),
        (MachineColumn::Winding, "coils", PlateField::WindingKind),
        (MachineColumn::InsulationClass, "good", PlateField::InsulationClass),
        (MachineColumn::InsulationEra, "old", PlateField::InsulationEra),
        (MachineColumn::Conductor, "gold", PlateField::Conductor),
    ] {
        let mut lines = machines();
        let at = MachineColumn::ALL.iter().position(|known| *known == column).unwrap();
        lines[1][at] = text.to_owned();
        let understood = read(&[(MACHINES, &lines)]);
        assert_eq!(understood.machines.len(), 2, "the machine itself is known");
        assert!(understood.machines[0].plate.iter().all(|(known, _)| *known != field), "{column}");
        let hold = only(&understood);
        assert_eq!(hold.question, Question::Nameplate);
        assert!(hold.context.contains(&format!("\"{column}\" stands {text:?}")), "{}", hold.context);
        let held = marked(&understood, Disposition::Held);
        assert_eq!(held.iter().map(|mark| mark.raw_text.as_str()).collect::<Vec<_>>(), [text]);
    }
    let mut lines = machines();
    let at = MachineColumn::ALL.iter().position(|known| *known == MachineColumn::InService).unwrap();
    lines[1][at] = "no".to_owned();
    let understood = read(&[(MACHINES, &lines)]);
    let told = |at: usize| understood.machines[at].plate.iter().find(|(field, _)| *field == PlateField::InService);
    let values: Vec<_> = (0..2).filter_map(told).map(|(_, told)| told.value.clone()).collect();
    assert_eq!(values, ["false", "true"].map(|text| PlateValue::Text(text.to_owned())));
}
