//! Codes that a workbook explains: "K = kilohms", a list of codes and their meanings on a sheet of its own.

mod headings;

use headings::Headings;
use std::collections::BTreeMap;
use windrow_model::Dimension;
use windrow_source::{Cell, Content, Grid, Workbook};
use windrow_text::vocabulary::Concept;
use windrow_text::{explained, header, marks, measure, unit};

/// Longest code, in characters.
const LONGEST_CODE: usize = 6;
/// Most cells that explain one code each.
const MOST_ALONE: usize = 100;
/// Fewest cells of a column that use codes of a legend.
const FEWEST: usize = 2;

/// The codes of a workbook with their meanings. A code that is explained in two ways is left out.
#[derive(Debug, Clone, Default)]
pub struct Legend {
    meanings: BTreeMap<String, Option<String>>,
}

/// The cells of a column of codes, with their meanings.
struct Coded<'l> {
    cells: Vec<(usize, &'l str)>,
    are_numbers: bool,
    is_headed: bool,
}

impl Legend {
    /// Everything that the sheets explain.
    #[must_use]
    pub fn of_book(book: &Workbook) -> Self {
        let mut legend = Self::default();
        for grid in book.sheets.iter().filter(|grid| !grid.is_signal) {
            let texts = grid.cells.iter().filter(|cell| cell.content == Content::Text);
            for (code, meaning) in texts.flat_map(|cell| entries(&cell.text)) {
                legend.add(code, meaning);
            }
            for (code, meaning) in across(grid) {
                legend.add(code, meaning);
            }
            for (code, meaning) in listed(grid) {
                legend.add(&code.text, &meaning.text);
            }
        }
        legend
    }

    fn add(&mut self, code: &str, meaning: &str) {
        let meaning = meaning.trim();
        let known = self.meanings.entry(key(code)).or_insert_with(|| Some(meaning.to_owned()));
        if known.as_deref() != Some(meaning) {
            *known = None;
        }
    }

    /// The meaning of a code.
    #[must_use]
    pub fn meaning(&self, code: &str) -> Option<&str> {
        self.meanings.get(&key(code))?.as_deref()
    }

    /// For each cell that is a code in a column of codes its meaning, where the meanings say anything of readings: a unit, terminals,
    /// a time, a voltage, a bound; and for each heading that is a code what a text says of it.
    #[must_use]
    pub fn expanded<'l>(&'l self, grid: &'l Grid) -> BTreeMap<usize, &'l str> {
        let headings = Headings::read(grid);
        let mut columns: BTreeMap<u32, Vec<(usize, &Cell)>> = BTreeMap::new();
        // What explains a code uses none.
        let is_told =
            |cell: &Cell| matches!(cell.content, Content::Text | Content::Number(_)) && single(cell).is_none();
        for line in numbered_lines(grid).filter(|line| line.len() >= 3) {
            for (index, cell) in line.iter().filter(|(_, cell)| is_told(cell)) {
                columns.entry(cell.column).or_default().push((*index, cell));
            }
        }
        let mut meanings = headings.meanings.clone();
        columns.retain(|_, cells| {
            let own = of_heading(cells, &headings);
            meanings.extend(own.iter().copied());
            own.is_empty()
        });
        let columns: Vec<Coded<'_>> = columns.values().filter_map(|cells| self.coded(cells, &headings)).collect();
        // States by number in two columns that their headings do not call states: of which of them the legend speaks is not told.
        let open = columns.iter().filter(|column| column.are_numbers && !column.is_headed).count();
        let is_meant = |column: &&Coded<'_>| !column.are_numbers || column.is_headed || open == 1;
        meanings.extend(columns.iter().filter(is_meant).flat_map(|column| column.cells.iter().copied()));
        meanings
    }

    /// The codes of a column, where it is one of codes and the meanings say what it is there for.
    fn coded(&self, cells: &[(usize, &Cell)], headings: &Headings<'_>) -> Option<Coded<'_>> {
        let coded: Vec<(usize, &str)> =
            cells.iter().filter_map(|(index, cell)| Some((*index, self.meaning(&cell.text)?))).collect();
        let (begin, _) = *coded.first()?;
        let among = cells.iter().filter(|(index, _)| *index >= begin).count();
        let is_used = coded.len() >= FEWEST && coded.len() * 5 >= among * 4;
        let are = |test: fn(&str) -> bool| {
            cells.iter().any(|(_, cell)| self.meaning(&cell.text).is_some() && test(cell.text.trim()))
        };
        // "K1 | Cooling pump 6 kV" explains a machine.
        let is_name = are(|code| windrow_text::tag::likeness(code) >= 0.5);
        let above = cells.iter().rev().find(|(index, cell)| *index < begin && cell.content == Content::Text);
        let text = |(index, cell): &(usize, &Cell)| {
            headings.meanings.get(index).map_or_else(|| cell.text.to_string(), |meaning| (*meaning).to_owned())
        };
        let heading = above.and_then(|above| header::read(&text(above)).concept());
        // "1 = 500 V" beside a column of "Range": all that the legend explains are voltages of tests, and all cells are explained.
        let are_settings =
            above.is_some_and(|(_, cell)| marks::heads_settings(&cell.text)) && self.are_voltages(cells, begin);
        let heading = if are_settings { Some(Concept::TestVoltage) } else { heading };
        let are_numbers = are(is_number);
        // States by number ("0 = valid, 1 = over range") tell bounds and nothing else.
        let tells_own = |meaning: &str| {
            tells(heading, meaning) && (!are_numbers || heading.is_some() || explained::standing(meaning).is_some())
        };
        let is_headed = heading == Some(Concept::OverRange);
        let is_coded = is_used && !is_name && coded.iter().any(|(_, meaning)| tells_own(meaning));
        is_coded.then_some(Coded { cells: coded, are_numbers, is_headed })
    }

    /// Whether each cell from `begin` on is a code of a voltage that tests are made with.
    fn are_voltages(&self, cells: &[(usize, &Cell)], begin: usize) -> bool {
        let is_voltage = |text: &str| self.meaning(text).and_then(voltage).is_some_and(windrow_text::volts::is_usual);
        cells.iter().filter(|(index, _)| *index >= begin).all(|(_, cell)| is_voltage(&cell.text))
    }

    /// What a number stands for where it is explained as a sign of its own ("9999 = over range", "-1: not measured").
    #[must_use]
    pub fn sign(&self, number: &str) -> Option<&str> {
        self.meaning(number).filter(|meaning| is_reserved(number.trim()) && explained::standing(meaning).is_some())
    }
}

/// The codes of a column with the meanings that a text gives them together with its heading, where most of its cells are such codes.
fn of_heading<'g>(cells: &[(usize, &Cell)], headings: &Headings<'g>) -> Vec<(usize, &'g str)> {
    let head = cells.iter().position(|(index, _)| headings.codes.contains_key(index));
    let codes = head.and_then(|at| headings.codes.get(&cells.get(at)?.0));
    let (Some(head), Some(codes)) = (head, codes) else { return Vec::new() };
    let below = cells.get(head + 1..).unwrap_or_default();
    let meaning = |text: &str| codes.iter().find(|(code, _)| key(code) == key(text)).map(|(_, meaning)| *meaning);
    let coded: Vec<(usize, &str)> =
        below.iter().filter_map(|(index, cell)| Some((*index, meaning(&cell.text)?))).collect();
    let is_used = coded.len() >= FEWEST && coded.len() * 5 >= below.len() * 4;
    if is_used { coded } else { Vec::new() }
}

/// A code as it is looked up: "9999.0" is 9999.
fn key(code: &str) -> String {
    let code = code.trim();
    code.parse::<f64>().map_or_else(|_| code.to_owned(), |number| number.to_string())
}

fn is_number(text: &str) -> bool {
    text.parse::<f64>().is_ok()
}

/// Whether a number is none that anybody reads by chance: below zero, or of three digits and more. "1 = over range" is a state.
fn is_reserved(text: &str) -> bool {
    is_number(text) && (text.starts_with('-') || text.chars().filter(char::is_ascii_digit).count() >= 3)
}

/// Whether a text explains codes.
#[must_use]
pub fn explains(text: &str) -> bool {
    !entries(text).is_empty()
}

/// The entries "CODE = meaning" of a text, where it has two or more.
fn entries(text: &str) -> Vec<(&str, &str)> {
    let mut found: Vec<(&str, &str)> = Vec::new();
    let mut rest = text;
    while let Some((before, behind)) = rest.split_once('=') {
        let code = before.trim_end().rsplit(|c: char| c.is_whitespace() || matches!(c, ',' | ';' | '(' | ':')).next();
        // The meaning ends before the next code, or where a clause ends.
        let next = behind.find('=').map_or(behind, |at| behind.get(..at).unwrap_or_default());
        let end = if next.len() < behind.len() {
            next.trim_end().rfind(|c: char| c.is_whitespace() || matches!(c, ',' | ';' | '('))
        } else {
            None
        };
        let meaning = end.map_or(next, |end| next.get(..end).unwrap_or_default());
        let meaning = meaning.split(['\n', ';', ')']).next().unwrap_or_default();
        let meaning = meaning.split("  ").find(|part| !part.trim().is_empty()).unwrap_or_default();
        if let Some(code) = code.map(str::trim).filter(|code| is_code(code) && !meaning.trim().is_empty()) {
            found.push((code, before_otherwise(meaning).trim().trim_end_matches([',', '.'])));
        }
        rest = behind;
    }
    found.retain(|(code, meaning)| !is_quantity(code, meaning));
    let is_state = |(code, meaning): &(&str, &str)| is_reserved(code) && explained::standing(meaning).is_some();
    if found.len() >= 2 || found.iter().all(is_state) { found } else { Vec::new() }
}

/// "kΩ, sonst MΩ": a meaning without what a text says of everything that bears no code. Common practice, no source.
fn before_otherwise(meaning: &str) -> &str {
    const OTHERWISE: [&str; 9] =
        ["otherwise", "else", "sonst", "ansonsten", "sinon", "autrement", "resto", "demas", "rest"];
    let is_other = |piece: &str| {
        let folded = windrow_text::fold::fold(piece);
        folded.split(' ').find(|word| !word.is_empty()).is_some_and(|word| OTHERWISE.contains(&word))
    };
    let other = meaning.match_indices(',').find(|(at, _)| meaning.get(at + 1..).is_some_and(is_other));
    other.and_then(|(at, _)| meaning.get(..at)).unwrap_or(meaning)
}

/// Codes that stand each in a cell of its own with its meaning, two or more beside or below each other ("1 = 500 V | 2 = 1000 V").
fn across(grid: &Grid) -> Vec<(&str, &str)> {
    let alone: Vec<&Cell> = grid.cells.iter().filter(|cell| single(cell).is_some()).take(MOST_ALONE).collect();
    let is_next = |a: &Cell, b: &Cell| {
        a.row == b.row && a.column.abs_diff(b.column) <= 2 || a.column == b.column && a.row.abs_diff(b.row) == 1
    };
    let has_fellow = |cell: &Cell| alone.iter().any(|other| is_next(cell, other) && !std::ptr::eq(*other, cell));
    alone.iter().filter(|cell| has_fellow(cell)).filter_map(|cell| single(cell)).collect()
}

/// The one code that a cell explains, and nothing else.
#[must_use]
pub fn single(cell: &Cell) -> Option<(&str, &str)> {
    let (code, meaning) = cell.text.split_once('=').filter(|_| cell.content == Content::Text)?;
    let (code, meaning) = (code.trim(), meaning.trim());
    let is_alone = !meaning.contains('=') && meaning.contains(char::is_alphabetic);
    let is_plain = is_code(code) && code.chars().all(char::is_alphanumeric);
    (is_alone && is_plain && !is_quantity(code, meaning)).then_some((code, meaning))
}

/// The volts that a meaning is.
fn voltage(meaning: &str) -> Option<f64> {
    let (part, _) = measure::begin(meaning)?;
    let unit = unit::read(&part.unit_text, Some(Dimension::Voltage)).first()?.unit;
    Some(unit.to_stored(part.numbers.first()?.value)).filter(|_| unit.dimension == Dimension::Voltage)
}

/// Whether "U = 1000 V" gives a quantity its value, by the letter symbols of ISO 80000 and their usual indices.
fn is_quantity(code: &str, meaning: &str) -> bool {
    let is_number = meaning.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '-' | '+' | '<' | '>' | '~'));
    is_number && SYMBOLS.contains(&windrow_text::fold::fold(code).as_str())
}

/// Letter symbols of quantities, folded: voltage, temperature, resistance, current, time, power, frequency, speed, humidity.
const SYMBOLS: [&str; 34] = [
    "u", "up", "un", "ut", "us", "e", "v", "t", "ta", "tw", "tu", "tm", "r", "ri", "ris", "riso", "rw", "i", "in",
    "il", "p", "pn", "s", "sn", "f", "fn", "n", "nn", "rh", "rf", "hr", "ir", "ip", "pi",
];

/// A text without the entries of a legend: what it says of the sheet itself.
#[must_use]
pub fn without(text: &str) -> String {
    let mut rest = text.to_owned();
    // Each where it stands: the letter of a code is one of other words as well ("MΩ; M = wet").
    let begin = |part: &str| part.as_ptr().addr().checked_sub(text.as_ptr().addr());
    let mut told: Vec<(usize, usize)> = entries(text)
        .into_iter()
        .flat_map(|(code, meaning)| [code, meaning])
        .filter_map(|part| begin(part).map(|at| (at, at + part.len())))
        .collect();
    told.sort_unstable();
    for (from, to) in told.into_iter().rev() {
        if rest.is_char_boundary(from) && rest.is_char_boundary(to) && to <= rest.len() {
            rest.replace_range(from..to, " ");
        }
    }
    rest
}

/// Codes with their meanings in lines of two cells, two or more below each other.
fn listed(grid: &Grid) -> Vec<(&Cell, &Cell)> {
    let pair = |line: &[(usize, &'_ Cell)]| matches!(line, [(_, code), (_, meaning)] if is_entry(code, meaning));
    let lines: Vec<Vec<(usize, &Cell)>> = numbered_lines(grid).collect();
    let same = |a: &Vec<(usize, &Cell)>, b: &Vec<(usize, &Cell)>| {
        let place = |line: &[(usize, &Cell)]| line.iter().map(|(_, cell)| cell.column).collect::<Vec<_>>();
        pair(a) && pair(b) && place(a) == place(b)
    };
    let runs = lines.chunk_by(same).filter(|run| run.len() >= 2);
    runs.flatten().filter_map(|line| Some((line.first()?.1, line.get(1)?.1))).collect()
}

fn is_entry(code: &Cell, meaning: &Cell) -> bool {
    let says = meaning.content == Content::Text && meaning.text.chars().filter(|c| c.is_alphabetic()).count() >= 2;
    is_code(code.text.trim()) && says
}

fn is_code(text: &str) -> bool {
    let is_of_code = |c: char| c.is_alphanumeric() || matches!(c, '-' | '+' | '*' | '#' | '<' | '>' | '.');
    (1..=LONGEST_CODE).contains(&text.chars().count()) && text.chars().all(is_of_code)
}

fn numbered_lines(grid: &Grid) -> impl Iterator<Item = Vec<(usize, &Cell)>> {
    let mut at = 0;
    grid.cells.chunk_by(|a, b| a.row == b.row).map(move |line| {
        let first = at;
        at += line.len();
        line.iter().enumerate().map(|(index, cell)| (first + index, cell)).collect()
    })
}

/// Whether a meaning says what the column is there for: terminals under "circuit", a unit under "unit". Under a heading that names machines,
/// days or temperatures it says nothing of readings.
fn tells(heading: Option<Concept>, meaning: &str) -> bool {
    let label = header::read(meaning);
    let is_standing = explained::standing(meaning).is_some();
    match heading {
        None => {
            is_standing
                || !unit::read(meaning, None).is_empty()
                || !label.circuits.is_empty()
                || label.elapsed_s.is_some()
                || label.voltage_v.is_some()
        }
        Some(Concept::Circuit) => !label.circuits.is_empty(),
        Some(Concept::UnitColumn) => !unit::read(meaning, None).is_empty(),
        Some(Concept::Elapsed) => label.elapsed_s.is_some(),
        Some(Concept::TestVoltage) => label.voltage_v.is_some(),
        Some(Concept::OverRange | Concept::Result | Concept::Remarks | Concept::Stage) => is_standing,
        Some(concept) => crate::fit::quantity(concept).is_some() && is_standing,
    }
}
