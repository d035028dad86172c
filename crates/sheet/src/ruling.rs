//! Rulings of people, as the engine takes them: checked, and found by cell. A ruling comes before everything that the source
//! tells, and the derivation says so.

use windrow_model::decision::{Decision, NO_READING};
use windrow_model::place::read_a1;
use windrow_model::settings::{DateOrder, Settings};
use windrow_model::{Bound, Circuit, Dimension, PartialDate, Quantity, Question, Unit};
use windrow_source::{Area, Cell};
use windrow_text::measure::{self, Measure};
use windrow_text::number::Mark;
use windrow_text::{date, unit};

/// An answer, read.
#[derive(Debug, Clone, PartialEq)]
pub enum Ruling {
    /// The unit.
    Unit(Unit),
    /// The unit of temperatures.
    TemperatureUnit(Unit),
    /// The order of day and month.
    Order(DateOrder),
    /// The date.
    Date(PartialDate),
    /// Day and month of a date that the sheet converted stand as they are, or swapped.
    Swapped(bool),
    /// The decimal mark.
    Decimal(Mark),
    /// What the cell says.
    Value(Measure),
    /// Tag or name of the machine.
    Machine(String),
    /// The quantity.
    Quantity(Quantity),
    /// The circuit.
    Circuit(Circuit),
    /// Time since voltage was applied, s.
    ElapsedS(f64),
    /// Applied voltage, V.
    VoltageV(f64),
    /// There is no reading.
    NoReading,
}

/// Reads an answer to a question that the engine asks.
///
/// # Errors
/// What was expected, when the answer is of another form or the question is not asked of cells.
pub fn read(question: Question, answer: &str) -> Result<Ruling, String> {
    let answer = answer.trim();
    if answer.eq_ignore_ascii_case(NO_READING) {
        return Ok(Ruling::NoReading);
    }
    let (ruling, expected) = match question {
        Question::Unit | Question::UnitConflict => (unit_of(answer).map(Ruling::Unit), "a unit such as MΩ or GOhm"),
        Question::TemperatureUnit => (temperature_unit(answer).map(Ruling::TemperatureUnit), "°C or °F"),
        Question::DateOrder => (order(answer).map(Ruling::Order), "day-first or month-first"),
        Question::Date => {
            (date_ruling(answer), "a date such as 1998-05-07, 1998-05 or 1998, \"as it stands\" or \"swapped\"")
        }
        Question::DecimalMark => (decimal(answer).map(Ruling::Decimal), "comma or point"),
        Question::IllegibleValue | Question::FormulaResult => {
            (value(answer).map(Ruling::Value), "one value such as 850, >2000 or 850 MΩ")
        }
        Question::MissingCeiling => {
            (value(answer).map(ceiling).map(Ruling::Value), "the end of the range, such as 2000 MΩ")
        }
        Question::Machine => ((!answer.is_empty()).then(|| Ruling::Machine(answer.to_owned())), "the machine's tag"),
        Question::Quantity => {
            (Quantity::from_code(answer).map(Ruling::Quantity), "the code of a quantity, such as insulation_resistance")
        }
        Question::Circuit => {
            (Circuit::from_code(answer).map(Ruling::Circuit), "the code of a circuit, such as U-E or UVW-E")
        }
        Question::Elapsed => (amount(answer, Dimension::Time).map(Ruling::ElapsedS), "a time such as 60 s or 10 min"),
        Question::Voltage => {
            (amount(answer, Dimension::Voltage).map(Ruling::VoltageV), "a voltage such as 500 V or 5 kV")
        }
        other => return Err(format!("the question {other} is not answered cell by cell")),
    };
    ruling.ok_or_else(|| format!("expected {expected}, or \"{NO_READING}\""))
}

fn unit_of(text: &str) -> Option<Unit> {
    Unit::from_ucum(text).or_else(|| unit::read(text, None).first().map(|meaning| meaning.unit))
}

fn temperature_unit(text: &str) -> Option<Unit> {
    let read = unit::read(text, Some(Dimension::Temperature));
    Unit::from_ucum(text)
        .or_else(|| read.first().map(|meaning| meaning.unit))
        .filter(|unit| unit.dimension == Dimension::Temperature)
}

fn order(text: &str) -> Option<DateOrder> {
    match text {
        "day-first" => Some(DateOrder::DayFirst),
        "month-first" => Some(DateOrder::MonthFirst),
        _ => None,
    }
}

fn date_ruling(text: &str) -> Option<Ruling> {
    match text {
        "as it stands" => return Some(Ruling::Swapped(false)),
        "swapped" => return Some(Ruling::Swapped(true)),
        _ => {}
    }
    // Only dates that everybody reads alike.
    let is_plain = text.chars().all(|c| c.is_ascii_digit() || c == '-') && text.split('-').next()?.len() == 4;
    let meanings = date::read(text);
    meanings.first().filter(|_| is_plain).map(|meaning| Ruling::Date(meaning.date))
}

fn decimal(text: &str) -> Option<Mark> {
    match text {
        "," | "comma" => Some(Mark::Comma),
        "." | "point" => Some(Mark::Point),
        _ => None,
    }
}

fn value(text: &str) -> Option<Measure> {
    measure::read(text).filter(|measure| {
        let [part] = measure.parts.as_slice() else { return false };
        part.numbers.len() == 1 && !measure.range && !measure.doubtful
    })
}

/// The end of a range is a lower bound of what was measured.
fn ceiling(mut measure: Measure) -> Measure {
    for part in &mut measure.parts {
        part.bound = Bound::AtLeast;
    }
    measure
}

fn amount(text: &str, dimension: Dimension) -> Option<f64> {
    let measure = value(text)?;
    let part = measure.parts.first()?;
    let unit = part.units.iter().find(|meaning| meaning.unit.dimension == dimension)?.unit;
    part.numbers.first().map(|number| unit.to_stored(number.value))
}

/// Where a ruling holds.
#[derive(Debug, Clone, PartialEq)]
enum Scope {
    Everywhere,
    Area(Area),
    Address(String),
}

impl Scope {
    fn read(cells: Option<&str>) -> Self {
        let Some(cells) = cells else { return Self::Everywhere };
        let (first, last) = cells.split_once(':').unwrap_or((cells, cells));
        match (read_a1(first.trim()), read_a1(last.trim())) {
            (Some(a), Some(b)) => {
                Self::Area(Area { top: a.0.min(b.0), left: a.1.min(b.1), bottom: a.0.max(b.0), right: a.1.max(b.1) })
            }
            _ => Self::Address(cells.to_owned()),
        }
    }

    fn covers(&self, cell: &Cell) -> bool {
        match self {
            Self::Everywhere => true,
            Self::Area(area) => read_a1(&cell.place()).is_some_and(|(row, column)| area.contains(row, column)),
            Self::Address(address) => cell.place() == *address,
        }
    }
}

/// The rulings on one sheet.
#[derive(Debug, Clone, Default)]
pub struct Rulings {
    all: Vec<(Scope, Question, Ruling, String)>,
}

impl Rulings {
    /// Those of the settings that concern a sheet. One that cannot be read has been refused when the file was loaded.
    #[must_use]
    pub fn of_sheet(settings: &Settings, file: &str, sheet: Option<&str>) -> Self {
        let concerned = settings.decisions.iter().filter(|decision| decision.concerns(file, sheet));
        let read = |decision: &Decision| {
            let ruling = read(decision.question, &decision.answer).ok()?;
            Some((Scope::read(decision.cells.as_deref()), decision.question, ruling, decision.credit()))
        };
        Self { all: concerned.filter_map(read).collect() }
    }

    /// The ruling on `questions` about a cell that `pick` wants, with who ruled; the last one written holds.
    pub fn find<T>(
        &self,
        cell: &Cell,
        questions: &[Question],
        pick: impl Fn(&Ruling) -> Option<T>,
    ) -> Option<(T, &str)> {
        self.all
            .iter()
            .rev()
            .filter(|(scope, question, ..)| questions.contains(question) && scope.covers(cell))
            .find_map(|(_, _, ruling, credit)| pick(ruling).map(|picked| (picked, credit.as_str())))
    }

    /// Who ruled that there is no reading in a cell.
    #[must_use]
    pub fn excludes(&self, cell: &Cell) -> Option<&str> {
        let (_, _, ruling, credit) = self.all.iter().rev().find(|(scope, ..)| scope.covers(cell))?;
        (*ruling == Ruling::NoReading).then_some(credit.as_str())
    }
}

#[cfg(test)]
mod tests {
    use super::{Ruling, Rulings, read};
    use windrow_model::decision::Decision;
    use windrow_model::settings::{DateOrder, Settings};
    use windrow_model::{Bound, PartialDate, Question, Unit};
    use windrow_source::Cell;

    #[test]
    fn answers_are_read_in_the_form_that_their_question_wants() {
        assert_eq!(read(Question::Unit, "GΩ"), Ok(Ruling::Unit(Unit::from_ucum("GOhm").unwrap())));
        assert_eq!(read(Question::DateOrder, "month-first"), Ok(Ruling::Order(DateOrder::MonthFirst)));
        assert_eq!(read(Question::Date, "1998-05-07"), Ok(Ruling::Date(PartialDate::day(1998, 5, 7).unwrap())));
        assert_eq!(read(Question::Elapsed, "10 min"), Ok(Ruling::ElapsedS(600.0)));
        assert_eq!(read(Question::Voltage, "5 kV"), Ok(Ruling::VoltageV(5000.0)));
        assert_eq!(read(Question::Circuit, "no reading"), Ok(Ruling::NoReading));
        let Ok(Ruling::Value(ceiling)) = read(Question::MissingCeiling, "2000 MΩ") else { panic!("no value") };
        assert_eq!(ceiling.parts[0].bound, Bound::AtLeast);
    }

    #[test]
    fn an_answer_of_another_form_is_refused_with_what_is_expected() {
        for (question, answer) in [
            (Question::Unit, "often"),
            (Question::Date, "07/05/98"),
            (Question::Elapsed, "10"),
            (Question::IllegibleValue, "1 or 2"),
            (Question::DateOrder, "us"),
        ] {
            assert!(read(question, answer).unwrap_err().starts_with("expected "), "{question} {answer}");
        }
        assert!(read(Question::SameTest, "same").is_err());
    }

    #[test]
    fn a_ruling_holds_in_its_cells_and_the_last_one_counts() {
        let ruling = |answer: &str, cells: Option<&str>| Decision {
            question: Question::Unit,
            answer: answer.to_owned(),
            file: Some("a.xlsx".to_owned()),
            sheet: None,
            cells: cells.map(str::to_owned),
            text: None,
            by: None,
            on: None,
            why: None,
        };
        let decisions = vec![ruling("MOhm", None), ruling("GOhm", Some("B2:B9"))];
        let settings = Settings { decisions, ..Settings::default() };
        let unit = |file: &str, row, column| {
            let rulings = Rulings::of_sheet(&settings, file, Some("S"));
            let cell = Cell::text(row, column, "5");
            let pick = |ruling: &Ruling| if let Ruling::Unit(unit) = ruling { Some(unit.ucum) } else { None };
            rulings.find(&cell, &[Question::Unit], pick).map(|(unit, _)| unit)
        };
        assert_eq!(unit("a.xlsx", 1, 1), Some("GOhm"));
        assert_eq!(unit("a.xlsx", 9, 1), Some("MOhm"));
        assert_eq!(unit("b.xlsx", 1, 1), None);
    }
}
