//! Sheets and columns whose values look as if the source had corrected them to one temperature without saying so: asked, and read as a
//! person rules. Until then they stay as read.

use crate::rows::Rows;
use std::collections::{BTreeMap, BTreeSet};
use windrow_criteria::already::{Point, Slope, looks_corrected};
use windrow_model::id::row_id;
use windrow_model::place::{a1, column_letters, read_a1};
use windrow_model::{Bound, Decision, Hold, Quantity, Question, Reading, Reported, Step, Test, Text};

/// Answer to the question for values that nobody had corrected.
const AS_READ: &str = "as read";
/// Before the temperature in the other answer.
const CORRECTED_TO: &str = "corrected to ";

/// What a person ruled.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Ruling {
    AsRead,
    /// The source had corrected to this temperature, °C.
    CorrectedTo(f64),
}

/// Checks the answer to a question about corrected values.
///
/// # Errors
/// What was expected.
pub fn answers(answer: &str) -> Result<(), String> {
    read(answer).map(drop).ok_or_else(|| {
        format!(
            "expected \"{AS_READ}\", or the temperature that the source corrected to, such as \"{CORRECTED_TO}40 °C\""
        )
    })
}

fn read(answer: &str) -> Option<Ruling> {
    let answer = answer.trim();
    if answer == AS_READ {
        return Some(Ruling::AsRead);
    }
    let told = answer.strip_prefix(CORRECTED_TO)?;
    let (number, fahrenheit) = match told.strip_suffix('C') {
        Some(number) => (number, false),
        None => (told.strip_suffix('F')?, true),
    };
    let number: f64 = number.trim().trim_end_matches('°').trim().parse().ok()?;
    let celsius = if fahrenheit { (number - 32.0) / 1.8 } else { number };
    // No source corrects to a temperature that no winding has.
    (-40.0..=200.0).contains(&celsius).then_some(Ruling::CorrectedTo(celsius))
}

/// Reads insulation resistances as people ruled: before anything is corrected.
pub(crate) fn apply(readings: &mut [Reading], decisions: &[Decision]) {
    let rulings: Vec<(&Decision, Ruling)> = of(decisions).collect();
    if rulings.is_empty() {
        return;
    }
    for reading in readings.iter_mut().filter(|reading| is_insulation(reading)) {
        let Some((decision, ruling)) = rulings.iter().rfind(|(decision, _)| concerns(decision, reading)) else {
            continue;
        };
        let told = match ruling {
            Ruling::AsRead => "as read by the source".to_owned(),
            Ruling::CorrectedTo(celsius) => {
                reading.as_reported = Reported::Corrected.code().into();
                reading.reported_reference_c = Some(*celsius);
                format!("corrected to {celsius} °C by the source")
            }
        };
        reading.derivation.push(Step::new("decision", format!("{told}; {}", decision.credit())));
    }
}

/// The rulings on corrected values.
fn of(decisions: &[Decision]) -> impl Iterator<Item = (&Decision, Ruling)> {
    let asked = decisions.iter().filter(|decision| decision.question == Question::Corrected);
    asked.filter_map(|decision| Some((decision, read(&decision.answer)?)))
}

fn is_insulation(reading: &Reading) -> bool {
    reading.quantity == Quantity::InsulationResistance.code() && reading.as_reported == Reported::AsRead.code()
}

fn concerns(decision: &Decision, reading: &Reading) -> bool {
    decision.concerns(&reading.source_file, reading.source_sheet.as_deref())
        && decision.covers_below(&reading.source_cell)
}

/// A reading as a point, and where it stands.
struct At<'r> {
    point: Point,
    cell: &'r str,
}

type Sheets<'r> = BTreeMap<(&'r Text, &'r Option<Text>), Vec<At<'r>>>;

/// Asks about columns and sheets that look corrected and that nobody has ruled upon; `rows` are corrected by now.
pub(crate) fn ask(rows: &Rows, decisions: &[Decision]) -> Vec<Hold> {
    let rulings: Vec<&Decision> = of(decisions).map(|(decision, _)| decision).collect();
    let tests: BTreeMap<&str, &Test> = rows
        .tests
        .iter()
        .filter(|test| test.duplicate_of.is_none() && test.asset_id.is_some())
        .map(|test| (test.test_id.as_str(), test))
        .collect();
    let mut sheets = Sheets::new();
    for reading in rows.readings.iter().filter(|reading| is_usable(reading)) {
        let Some(test) = tests.get(reading.test_id.as_str()) else { continue };
        if rulings.iter().any(|decision| concerns(decision, reading)) {
            continue;
        }
        let asset = test.asset_id.as_deref().unwrap_or_default();
        if let Some(point) = point(reading, asset) {
            let at = At { point, cell: &reading.source_cell };
            sheets.entry((&reading.source_file, &reading.source_sheet)).or_default().push(at);
        }
    }
    sheets.into_iter().flat_map(|(place, all)| of_sheet(place, all, &rows.import_id)).collect()
}

/// A one-minute value with its correction.
fn is_usable(reading: &Reading) -> bool {
    is_insulation(reading)
        && reading.bound == Bound::Exact.code()
        && reading.value > 0.0
        && reading.elapsed_s.is_none_or(|elapsed| (elapsed - 60.0).abs() < 0.5)
}

fn point(reading: &Reading, asset: &str) -> Option<Point> {
    let corrected = reading.value_ref.filter(|value| *value > 0.0)?;
    Some(Point {
        circuit: format!("{asset} {}", reading.circuit.as_deref().unwrap_or_default()).into(),
        correction: (corrected / reading.value).log10(),
        corrected: corrected.log10(),
    })
}

/// One question a column where columns tell enough by themselves, else one for the whole sheet.
fn of_sheet((file, sheet): (&Text, &Option<Text>), all: Vec<At<'_>>, import_id: &Text) -> Vec<Hold> {
    let place = (file, sheet, import_id);
    let mut columns: BTreeMap<u32, Vec<&At<'_>>> = BTreeMap::new();
    for at in &all {
        if let Some((_, column)) = read_a1(at.cell) {
            columns.entry(column).or_default().push(at);
        }
    }
    let points = |of: &[&At<'_>]| of.iter().map(|at| at.point.clone()).collect::<Vec<_>>();
    let found: Vec<Hold> = columns
        .iter()
        .filter_map(|(column, of)| {
            let slope = looks_corrected(&points(of))?;
            let rows: BTreeSet<u32> = of.iter().filter_map(|at| read_a1(at.cell)).map(|(row, _)| row).collect();
            let cells = format!("{}:{}", a1(*rows.first()?, *column), a1(*rows.last()?, *column));
            let what = format!("column {}", column_letters(*column));
            Some(hold(place, Some(cells.into()), &what, of.len(), slope))
        })
        .collect();
    if !found.is_empty() {
        return found;
    }
    let every: Vec<&At<'_>> = all.iter().collect();
    looks_corrected(&points(&every))
        .map(|slope| hold(place, None, "this sheet", all.len(), slope))
        .into_iter()
        .collect()
}

fn hold(
    (file, sheet, import_id): (&Text, &Option<Text>, &Text),
    cells: Option<Text>,
    what: &str,
    count: usize,
    slope: Slope,
) -> Hold {
    let code = Question::Corrected.code();
    let key = [file.as_str(), sheet.as_deref().unwrap_or_default(), cells.as_deref().unwrap_or_default(), code];
    Hold {
        hold_id: row_id("holds", &key),
        import_id: import_id.clone(),
        source_file: file.clone(),
        source_sheet: sheet.clone(),
        source_cell: cells,
        raw_text: Text::default(),
        question: code.into(),
        choices: vec![AS_READ.to_owned(), format!("{CORRECTED_TO}40 °C")],
        context: format!(
            "{count} insulation resistances of {what} do not depend on the winding's temperature: their values at 40 °C depend on \
             the correction with a slope of {:.2} ± {:.2}, where 0 is as read and 1 is corrected already. Either the source had \
             corrected them without saying so, or these windings follow a flatter law. Until it is ruled they count as read.",
            slope.value, slope.error
        )
        .into(),
        cause: format!("values look corrected {what}").into(),
        resolved_by: None,
    }
}

#[cfg(test)]
mod tests {
    use super::{Ruling, answers, read};

    #[test]
    fn answers_are_a_temperature_or_as_read() {
        assert_eq!(read("as read"), Some(Ruling::AsRead));
        assert_eq!(read(" corrected to 40 °C"), Some(Ruling::CorrectedTo(40.0)));
        assert_eq!(read("corrected to 25 C"), Some(Ruling::CorrectedTo(25.0)));
        assert_eq!(read("corrected to 104 °F"), Some(Ruling::CorrectedTo(40.0)));
        for wrong in ["", "yes", "corrected", "corrected to 40", "corrected to 900 °C", "no reading"] {
            assert!(answers(wrong).unwrap_err().contains("as read"), "{wrong}");
        }
    }
}
