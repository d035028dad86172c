//! Codes that a workbook explains: "K = kilohms", a list of codes and their meanings on a sheet of its own.

mod catalogue;
mod headings;
mod of_values;

use catalogue::Catalogue;
use headings::Headings;
pub use of_values::Values;
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::Dimension;
use windrow_source::{Cell, Content, Grid, Workbook};
use windrow_text::vocabulary::Concept;
use windrow_text::{circuit, explained, header, marks, measure, retold, unit};

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
    /// Lists of codes, each for the columns that bear its heading.
    catalogue: Catalogue,
}

/// Fewest lines of a long export.
const FEWEST_LINES: usize = 4;

impl Coded<'_> {
    /// Whether most of the meanings name a quantity, and two at least are named.
    fn names_measured(&self) -> bool {
        let names = |meaning: &&str| {
            let label = header::read(meaning);
            label.concepts.iter().any(|(concept, weight)| crate::fit::quantity(*concept).is_some() && *weight >= 0.6)
        };
        let meanings: BTreeSet<&str> = self.cells.iter().map(|(_, meaning)| *meaning).collect();
        let named = meanings.iter().filter(|meaning| names(meaning)).count();
        self.cells.len() >= FEWEST_LINES && named >= 2 && named * 2 >= meanings.len()
    }
}

/// What the codes of a sheet mean.
#[derive(Debug, Default)]
pub struct Expanded<'l> {
    /// The meaning of each cell that is a code, by index.
    pub meanings: BTreeMap<usize, &'l str>,
    /// Whether a column of codes names what was measured in each line, as in a long export: no sheet turned over is one.
    pub are_lines: bool,
    /// Cells that explain codes or headings which the sheet uses, and so say nothing of the sheet itself.
    pub explaining: BTreeSet<usize>,
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
        let mut legend = Self { catalogue: Catalogue::of_book(book), ..Self::default() };
        for grid in book.sheets.iter().filter(|grid| !grid.is_signal) {
            let texts = grid.cells.iter().filter(|cell| cell.content == Content::Text);
            for (code, meaning) in texts.flat_map(|cell| entries(&cell.text)) {
                legend.add(code, meaning);
            }
            for (code, meaning) in across(grid) {
                legend.add(code, meaning);
            }
            for entry in listed(grid) {
                for (code, meaning) in &entry.meanings {
                    legend.add(code, meaning);
                }
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
    pub fn expanded<'l>(&'l self, grid: &'l Grid, values: &'l Values) -> Expanded<'l> {
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
        let mut explaining = self.explaining(grid, &meanings);
        explaining.extend(&headings.explaining);
        let are_lines = columns.iter().any(Coded::names_measured);
        let mut expanded = Expanded { meanings, are_lines, explaining };
        values.add_to(&mut expanded);
        self.catalogue.add_to(grid, &mut expanded);
        expanded
    }

    /// The cells of a sheet that explain codes which its columns use, and so say nothing of the sheet itself.
    fn explaining(&self, grid: &Grid, used: &BTreeMap<usize, &str>) -> BTreeSet<usize> {
        let listed = listed(grid);
        if listed.is_empty() {
            return BTreeSet::new();
        }
        let codes: BTreeSet<String> =
            used.keys().filter_map(|at| grid.cells.get(*at)).map(|cell| key(&cell.text)).collect();
        // A code that stands among other cells of a line is used, whether it is understood there or not.
        let wide = numbered_lines(grid).filter(|line| line.len() >= 3).flatten();
        let texts: BTreeSet<String> =
            wide.filter(|(_, cell)| cell.content == Content::Text).map(|(_, cell)| key(&cell.text)).collect();
        let is_plain = |code: &str, meaning: &str| {
            code.chars().count() >= 2 && circuit::read(code).is_empty() && meaning.starts_with(char::is_alphabetic)
        };
        let is_used = |entry: &Entry<'_>| {
            let mut codes_of = entry.meanings.iter();
            codes_of.any(|(code, meaning)| {
                codes.contains(&key(code))
                    || is_plain(code, meaning) && tells_measured(meaning) && texts.contains(&key(code))
            })
        };
        // A list of which one code is used says nothing of the sheet in its other lines either.
        let used: BTreeSet<usize> = listed.iter().filter(|entry| is_used(entry)).map(|entry| entry.list).collect();
        listed.iter().filter(|entry| used.contains(&entry.list)).flat_map(|entry| entry.cells).collect()
    }

    /// The codes of a column, where it is one of codes and the meanings say what it is there for.
    fn coded(&self, cells: &[(usize, &Cell)], headings: &Headings<'_>) -> Option<Coded<'_>> {
        let coded: Vec<(usize, &str)> =
            cells.iter().filter_map(|(index, cell)| Some((*index, self.meaning(&cell.text)?))).collect();
        let (begin, _) = *coded.first()?;
        let among = cells.iter().filter(|(index, _)| *index >= begin).count();
        // "UV" among codes of times tells itself between what was measured.
        let tells_itself = |cell: &Cell| self.meaning(&cell.text).is_none() && !circuit::read(&cell.text).is_empty();
        let own = cells.iter().filter(|(index, cell)| *index >= begin && tells_itself(cell)).count();
        let others: BTreeSet<String> = cells
            .iter()
            .filter(|(index, cell)| *index >= begin && self.meaning(&cell.text).is_none() && !tells_itself(cell))
            .map(|(_, cell)| key(&cell.text))
            .collect();
        let known: BTreeSet<&str> = coded.iter().map(|(_, meaning)| *meaning).collect();
        // All codes but one are explained.
        let are_known = known.len() > FEWEST && others.len() <= 1;
        let is_used = coded.len() >= FEWEST && (coded.len() * 5 >= (among - own) * 4 || are_known);
        let are = |test: fn(&str) -> bool| {
            cells.iter().any(|(_, cell)| self.meaning(&cell.text).is_some() && test(cell.text.trim()))
        };
        // "K1 | Cooling pump 6 kV" explains a machine, "I1 | insulation resistance after 1 min" what was measured.
        let is_name = coded.iter().any(|(index, meaning)| {
            let code = cells.iter().find(|(other, _)| other == index).map(|(_, cell)| cell.text.trim());
            code.is_some_and(|code| windrow_text::tag::likeness(code) >= 0.5)
                && !tells_measured(meaning)
                && !tells_circumstance(meaning)
        });
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
            found.push((code, explained::before_otherwise(meaning).trim().trim_end_matches([',', '.'])));
        }
        rest = behind;
    }
    found.retain(|(code, meaning)| !is_quantity(code, meaning));
    let is_state = |(code, meaning): &(&str, &str)| is_reserved(code) && explained::standing(meaning).is_some();
    if found.len() >= 2 || found.iter().all(is_state) { found } else { Vec::new() }
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

/// A line that explains one code or several with the same meaning.
struct Entry<'g> {
    /// The cells of the codes and of what they mean.
    cells: [usize; 2],
    meanings: Vec<(&'g str, String)>,
    /// Number of the list that the line is of.
    list: usize,
}

/// Codes with their meanings in lines of two cells, two or more below each other.
fn listed(grid: &Grid) -> Vec<Entry<'_>> {
    let pair = |line: &[(usize, &'_ Cell)]| matches!(line, [(_, code), (_, meaning)] if is_entry(code, meaning));
    let lines: Vec<Vec<(usize, &Cell)>> = numbered_lines(grid).collect();
    let same = |a: &Vec<(usize, &Cell)>, b: &Vec<(usize, &Cell)>| {
        let place = |line: &[(usize, &Cell)]| line.iter().map(|(_, cell)| cell.column).collect::<Vec<_>>();
        pair(a) && pair(b) && place(a) == place(b)
    };
    let mut entries = Vec::new();
    for (list, run) in lines.chunk_by(same).filter(|run| run.len() >= 2).enumerate() {
        let mut before: Option<String> = None;
        for line in run {
            let [(at_code, code), (at_meaning, meaning)] = line.as_slice() else { continue };
            let told = meaning.text.trim();
            let told = before.as_deref().and_then(|before| retold::in_full(before, told)).unwrap_or(told.to_owned());
            let codes = codes(&code.text);
            let each = retold::of_each(&codes, &told).unwrap_or_else(|| vec![told.clone(); codes.len()]);
            let meanings = codes.into_iter().zip(each).collect();
            entries.push(Entry { cells: [*at_code, *at_meaning], meanings, list });
            before = Some(told);
        }
    }
    entries
}

fn is_entry(code: &Cell, meaning: &Cell) -> bool {
    let says = meaning.content == Content::Text && meaning.text.chars().filter(|c| c.is_alphabetic()).count() >= 2;
    !codes(&code.text).is_empty() && says
}

/// The code that a cell is, or the codes that it lists ("RUV / RVW / RWU").
fn codes(text: &str) -> Vec<&str> {
    let text = text.trim();
    if is_code(text) {
        return vec![text];
    }
    let parts =
        [" / ", ", ", "; "].iter().find(|mark| text.contains(**mark)).map(|mark| text.split(*mark).map(str::trim));
    let codes: Vec<&str> = parts.into_iter().flatten().collect();
    if codes.iter().all(|code| is_code(code)) { codes } else { Vec::new() }
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

/// Whether a meaning says what was measured, or nothing but how and between what.
fn tells_measured(meaning: &str) -> bool {
    let label = header::read(meaning);
    let is_measured = |(concept, weight): &(Concept, f32)| crate::fit::quantity(*concept).is_some() && *weight >= 0.6;
    label.concepts.iter().any(is_measured) || label.unexplained.is_empty() && tells(None, meaning)
}

/// "Humidity in the motor house": what was recorded beside the readings, and no machine.
fn tells_circumstance(meaning: &str) -> bool {
    let label = header::read(meaning);
    label.concepts.iter().any(|(concept, weight)| {
        let is_told = matches!(
            concept,
            Concept::Humidity
                | Concept::WindingTemperature
                | Concept::AmbientTemperature
                | Concept::Temperature
                | Concept::DewPoint
                | Concept::OtherFigure
        );
        is_told && *weight >= 0.6
    })
}

/// Whether a meaning says what the column is there for: terminals under "circuit", a unit under "unit". Under a heading that names machines,
/// days or temperatures it says nothing of readings.
fn tells(heading: Option<Concept>, meaning: &str) -> bool {
    let label = header::read(meaning);
    let is_standing = explained::standing(meaning).is_some();
    match heading {
        None | Some(Concept::TestKind) => {
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
