//! Codes that a workbook explains: "K = kilohms", a list of codes and their meanings on a sheet of its own.

use std::collections::BTreeMap;
use windrow_source::{Cell, Content, Grid, Workbook};
use windrow_text::{header, marks, unit};

/// Longest code, in characters.
const LONGEST_CODE: usize = 6;
/// Fewest cells of a column that use codes of a legend.
const FEWEST: usize = 2;

/// The codes of a workbook with their meanings. A code that is explained in two ways is left out.
#[derive(Debug, Clone, Default)]
pub struct Legend {
    meanings: BTreeMap<String, Option<String>>,
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
            for (code, meaning) in listed(grid) {
                legend.add(&code.text, &meaning.text);
            }
        }
        legend
    }

    fn add(&mut self, code: &str, meaning: &str) {
        let (code, meaning) = (code.trim(), meaning.trim());
        let known = self.meanings.entry(code.to_owned()).or_insert_with(|| Some(meaning.to_owned()));
        if known.as_deref() != Some(meaning) {
            *known = None;
        }
    }

    /// The meaning of a code.
    #[must_use]
    pub fn meaning(&self, code: &str) -> Option<&str> {
        self.meanings.get(code.trim())?.as_deref()
    }

    /// For each cell that is a code in a column of codes its meaning, where the meanings say anything of readings: a unit, terminals,
    /// a time, a voltage, a bound.
    #[must_use]
    pub fn expanded(&self, grid: &Grid) -> BTreeMap<usize, &str> {
        let mut columns: BTreeMap<u32, Vec<(usize, &Cell)>> = BTreeMap::new();
        for line in numbered_lines(grid).filter(|line| line.len() >= 3) {
            for (index, cell) in line.iter().filter(|(_, cell)| cell.content == Content::Text) {
                columns.entry(cell.column).or_default().push((*index, cell));
            }
        }
        let mut expanded = BTreeMap::new();
        for cells in columns.values() {
            let coded: Vec<(usize, &str)> =
                cells.iter().filter_map(|(index, cell)| Some((*index, self.meaning(&cell.text)?))).collect();
            let begin = coded.first().map_or(usize::MAX, |(index, _)| *index);
            let among = cells.iter().filter(|(index, _)| *index >= begin).count();
            let is_used = coded.len() >= FEWEST && coded.len() * 5 >= among * 4;
            if is_used && coded.iter().any(|(_, meaning)| tells(meaning)) {
                expanded.extend(coded);
            }
        }
        expanded
    }

    /// What a number stands for where it is explained as a sign of its own ("9999 = over range", "-1: not measured").
    #[must_use]
    pub fn sign(&self, number: &str) -> Option<&str> {
        let is_number = number.trim().parse::<f64>().is_ok();
        self.meaning(number).filter(|meaning| is_number && marks::standing(meaning).is_some())
    }
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
            found.push((code, meaning.trim().trim_end_matches([',', '.'])));
        }
        rest = behind;
    }
    if found.len() >= 2 { found } else { Vec::new() }
}

/// A text without the entries of a legend: what it says of the sheet itself.
#[must_use]
pub fn without(text: &str) -> String {
    let mut rest = text.to_owned();
    for (code, meaning) in entries(text) {
        rest = rest.replacen(code, " ", 1).replacen(meaning, " ", 1);
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
    let is_sign = |c: char| c.is_alphanumeric() || matches!(c, '-' | '+' | '*' | '#' | '<' | '>');
    (1..=LONGEST_CODE).contains(&text.chars().count()) && text.chars().all(is_sign)
}

fn numbered_lines(grid: &Grid) -> impl Iterator<Item = Vec<(usize, &Cell)>> {
    let mut at = 0;
    grid.cells.chunk_by(|a, b| a.row == b.row).map(move |line| {
        let first = at;
        at += line.len();
        line.iter().enumerate().map(|(index, cell)| (first + index, cell)).collect()
    })
}

/// Whether a meaning says anything of a reading.
fn tells(meaning: &str) -> bool {
    let label = header::read(meaning);
    marks::standing(meaning).is_some()
        || !unit::read(meaning, None).is_empty()
        || !label.circuits.is_empty()
        || label.elapsed_s.is_some()
        || label.voltage_v.is_some()
}
