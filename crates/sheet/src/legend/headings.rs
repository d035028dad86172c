//! Headings that are codes: what texts beside the table say of each ("UP = test voltage in V", "ST: 0 ok / 1 over range").

use super::{is_code, numbered_lines};
use std::collections::{BTreeMap, BTreeSet};
use windrow_source::{Cell, Content, Grid};
use windrow_text::{circuit, header};

/// Fewest headings of a line, and fewest of them that are explained.
const FEWEST_HEADINGS: usize = 3;
const FEWEST_EXPLAINED: usize = 2;
/// Most cells of a line that explains.
const MOST_CELLS: usize = 4;
/// Longest code in a column whose heading the text explains together with its codes.
const LONGEST_VALUE: usize = 3;

/// What texts say of the headings of a sheet, by the heading's cell.
#[derive(Debug, Default)]
pub(super) struct Headings<'g> {
    /// What a heading stands for.
    pub(super) meanings: BTreeMap<usize, &'g str>,
    /// What the codes below a heading stand for.
    pub(super) codes: BTreeMap<usize, Vec<(&'g str, &'g str)>>,
    /// Cells that explain one heading and nothing else.
    pub(super) explaining: BTreeSet<usize>,
}

/// What one text says of one heading.
#[derive(Debug, Default)]
struct Entry<'g> {
    code: &'g str,
    meaning: &'g str,
    values: Vec<(&'g str, &'g str)>,
    /// Whether a sign of equality or a colon stands behind the code.
    is_signed: bool,
}

impl<'g> Headings<'g> {
    /// Reads a sheet: each line of headings of which most are codes, with what the texts of other lines say of them.
    pub(super) fn read(grid: &'g Grid) -> Self {
        let mut headings = Self::default();
        let lines: Vec<Vec<(usize, &Cell)>> = numbered_lines(grid).collect();
        let is_coded = |line: &&Vec<(usize, &Cell)>| {
            let codes = line.iter().filter(|(_, cell)| is_heading_code(cell)).count();
            line.len() >= FEWEST_HEADINGS && codes >= FEWEST_HEADINGS && codes * 2 >= line.len()
        };
        for line in lines.iter().filter(is_coded) {
            let codes = line.iter().filter(|(_, cell)| is_heading_code(cell)).map(|(_, cell)| cell.text.trim());
            // "A | B | C": phases, which nobody explains as codes.
            let letters = codes.clone().filter(|code| !circuit::read(code).is_empty()).count();
            let known: BTreeSet<&str> = codes.filter(|code| letters < 3 || code.chars().count() > 1).collect();
            let others = lines.iter().filter(|other| other.len() <= MOST_CELLS && !std::ptr::eq(*other, line));
            let texts = others.flatten().filter(|(_, cell)| cell.content == Content::Text);
            let mut told: BTreeMap<&str, Option<Entry<'g>>> = BTreeMap::new();
            for entry in texts.flat_map(|(_, cell)| entries(&cell.text, &known)) {
                let is_again = told.contains_key(entry.code);
                // What is explained twice is not explained.
                told.insert(entry.code, Some(entry).filter(|_| !is_again));
            }
            let told: BTreeMap<&str, Entry<'_>> =
                told.into_iter().filter_map(|(code, entry)| Some((code, entry?))).collect();
            if told.len() < FEWEST_EXPLAINED {
                continue;
            }
            for (index, cell) in line {
                let Some(entry) = told.get(cell.text.trim()) else { continue };
                if says_something(entry.meaning) {
                    headings.meanings.insert(*index, entry.meaning);
                }
                if !entry.values.is_empty() {
                    headings.codes.insert(*index, entry.values.clone());
                }
            }
        }
        headings.read_single(&lines);
        headings
    }

    /// "TB = température du bobinage" above or below a heading "TB": a text that explains one heading by a sign of equality.
    fn read_single(&mut self, lines: &[Vec<(usize, &'g Cell)>]) {
        let mut told: BTreeMap<&str, Option<(&'g str, Vec<usize>)>> = BTreeMap::new();
        for (index, cell) in lines.iter().filter(|line| line.len() <= MOST_CELLS).flatten() {
            let Some((code, meaning)) = single(cell) else { continue };
            match told.entry(code).or_insert_with(|| Some((meaning, Vec::new()))) {
                Some((known, cells)) if *known == meaning => cells.push(*index),
                other => *other = None,
            }
        }
        for line in lines.iter().filter(|line| line.len() >= FEWEST_HEADINGS && !told.is_empty()) {
            let known = line.iter().filter(|(_, cell)| is_known_heading(cell)).count();
            let is_heading = line.iter().all(|(_, cell)| cell.content == Content::Text) && known >= FEWEST_EXPLAINED;
            for (index, cell) in line.iter().filter(|_| is_heading) {
                let Some(Some((meaning, cells))) = told.get(cell.text.trim()) else { continue };
                // "R12 = between terminals 1 and 2, etc." speaks of R23 and R31 as well.
                let own = family(&cell.text);
                if line.iter().any(|(other, cell)| other != index && family(&cell.text) == own) {
                    continue;
                }
                self.meanings.entry(*index).or_insert(meaning);
                self.explaining.extend(cells);
            }
        }
    }
}

/// A heading with a sign for each of its digits.
fn family(text: &str) -> String {
    text.trim().chars().map(|c| if c.is_ascii_digit() { '#' } else { c }).collect()
}

/// Longest heading that a text of its own explains.
const LONGEST_SINGLE: usize = 8;

/// The one heading that a text explains, and as what.
fn single(cell: &Cell) -> Option<(&str, &str)> {
    let text = cell.text.trim().trim_start_matches(['#', '*', ' ']);
    let (code, meaning) = text.split_once('=').filter(|_| cell.content == Content::Text)?;
    let (code, meaning) = (code.trim(), meaning.trim());
    let is_of_code = |c: char| c.is_alphanumeric() || matches!(c, '.' | '_' | '-');
    let is_code = (2..=LONGEST_SINGLE).contains(&code.chars().count())
        && code.starts_with(char::is_alphabetic)
        && code.chars().all(is_of_code);
    let is_meaning = || {
        let (own, told) = (header::read(code), header::read(meaning));
        // "Unit = MΩ" beside a column of units says what they are, and no other name of the column.
        let is_open = own.concepts.is_empty() && own.units.is_empty() && own.circuits.is_empty();
        told.concept().is_some() && (is_open || own.concept() == told.concept())
    };
    let is_text = meaning.starts_with(char::is_alphabetic) && !meaning.contains('=');
    (is_code && is_text && is_meaning()).then_some((code, meaning))
}

/// Whether a cell names a concept and nothing else, as a value hardly does.
fn is_known_heading(cell: &Cell) -> bool {
    let label = header::read(&cell.text);
    let is_sure =
        label.concepts.iter().any(|(_, weight)| *weight >= 0.6) || label.circuits.iter().any(|by| by.weight >= 0.5);
    is_sure && label.unexplained.is_empty() && !cell.text.contains(|c: char| c.is_ascii_digit())
}

/// "UP", "RX", "st": capitals or a few letters, which name no terminals. "Läufer" and "Nota" are words.
fn is_heading_code(cell: &Cell) -> bool {
    let text = cell.text.trim();
    let is_short = text.chars().count() <= 3 || !text.contains(char::is_lowercase);
    let names_terminals = || circuit::read(text).iter().any(|meaning| meaning.weight >= 0.5);
    cell.content == Content::Text
        && is_code(text)
        && is_short
        && text.chars().all(char::is_alphanumeric)
        && text.starts_with(char::is_alphabetic)
        && !names_terminals()
}

/// Whether the engine understands anything of a meaning: one that says nothing known is no better than the code.
fn says_something(meaning: &str) -> bool {
    let label = header::read(meaning);
    !label.concepts.is_empty() || !label.units.is_empty() || !label.circuits.is_empty()
}

/// What a text says of headings `known`; a heading without a sign behind it counts only beside another one.
fn entries<'g>(text: &'g str, known: &BTreeSet<&str>) -> Vec<Entry<'g>> {
    let mut found: Vec<Entry<'g>> = Vec::new();
    for clause in clauses(text) {
        let clause = clause.trim_matches(|c: char| c.is_whitespace() || matches!(c, '#' | '*' | ';' | '/' | ',' | '.'));
        let (code, rest, is_signed) = first_word(clause);
        if known.contains(code) {
            let mut entry = Entry { code, is_signed, ..Entry::default() };
            explain(rest, &mut entry);
            found.push(entry);
        } else if let (Some(last), Some(value)) = (found.last_mut(), value(clause)) {
            last.values.push(value);
        }
    }
    let is_list = found.iter().filter(|entry| entry.code.chars().count() >= 2).count() >= FEWEST_EXPLAINED;
    let says = |entry: &Entry<'_>| entry.meaning.starts_with(char::is_alphabetic) || !entry.values.is_empty();
    found.retain(|entry| (entry.is_signed || is_list) && says(entry));
    found
}

/// The first word of a clause, what follows it, and whether a sign of equality or a colon parts them.
fn first_word(clause: &str) -> (&str, &str, bool) {
    let end = clause.find(|c: char| c.is_whitespace() || matches!(c, '=' | ':')).unwrap_or(clause.len());
    let (word, rest) = clause.split_at(end);
    let rest = rest.trim_start();
    let behind = rest.trim_start_matches(['=', ':']);
    (word, behind.trim_start(), behind.len() < rest.len())
}

/// "unit of RX (6 = Mohm; 9 = Gohm)", "connection: 7 = U-E", "0 ok": the meaning of a heading and the first of its codes.
fn explain<'g>(rest: &'g str, entry: &mut Entry<'g>) {
    if let Some((meaning, inside)) = rest.split_once('(').filter(|(_, inside)| inside.contains(['=', ':'])) {
        entry.meaning = meaning.trim();
        entry.values.extend(inside.trim_end_matches(')').split([';', ',']).filter_map(value));
    } else if let Some(first) = value(rest) {
        entry.values.push(first);
    } else if let Some((meaning, first)) = rest.split_once(':') {
        entry.meaning = meaning.trim();
        entry.values.extend(value(first.trim()));
    } else {
        entry.meaning = rest.trim();
    }
}

/// "7 = U-E", "0 ok": a short code with its meaning.
fn value(text: &str) -> Option<(&str, &str)> {
    let text = text.trim();
    let (code, meaning, is_signed) = first_word(text);
    let is_number = code.parse::<f64>().is_ok();
    let meaning = meaning.split('(').next().unwrap_or_default().trim();
    let is_short = (1..=LONGEST_VALUE).contains(&code.chars().count()) && code.chars().all(char::is_alphanumeric);
    (is_short && (is_number || is_signed) && meaning.contains(char::is_alphabetic)).then_some((code, meaning))
}

/// A text cut at semicolons, commas, bars and slashes between blanks, but not inside brackets.
fn clauses(text: &str) -> Vec<&str> {
    let (mut found, mut from, mut depth) = (Vec::new(), 0, 0usize);
    let mut before = ' ';
    for (at, c) in text.char_indices() {
        match c {
            '(' | '[' => depth += 1,
            ')' | ']' => depth = depth.saturating_sub(1),
            _ => {}
        }
        let behind = text.get(at + c.len_utf8()..).and_then(|rest| rest.chars().next());
        let is_apart = || behind.is_none_or(char::is_whitespace);
        let ends = match c {
            ';' | '\n' | '|' => true,
            ',' => is_apart(),
            '/' => before.is_whitespace() && is_apart(),
            _ => false,
        };
        if ends && depth == 0 {
            found.extend(text.get(from..at));
            from = at + c.len_utf8();
        }
        before = c;
    }
    found.extend(text.get(from..));
    found
}

#[cfg(test)]
mod tests {
    use super::entries;
    use std::collections::BTreeSet;

    type Told<'t> = (&'t str, &'t str, Vec<(&'t str, &'t str)>);

    fn told(text: &str) -> Vec<Told<'_>> {
        let known: BTreeSet<&str> = ["UP", "EX", "ST", "CX", "MAQ", "T", "R"].into_iter().collect();
        entries(text, &known).into_iter().map(|entry| (entry.code, entry.meaning, entry.values)).collect()
    }

    #[test]
    fn a_text_explains_headings_and_the_codes_below_them() {
        assert_eq!(told("UP = Prüfspannung in V"), [("UP", "Prüfspannung in V", vec![])]);
        assert_eq!(
            told("# T = elapsed s; EX = unit of RX (6 = Mohm; 9 = Gohm)"),
            [("T", "elapsed s", vec![]), ("EX", "unit of RX", vec![("6", "Mohm"), ("9", "Gohm")])]
        );
        assert_eq!(
            told("ST: 0 ok / 1 over range (RX is then the range end)"),
            [("ST", "", vec![("0", "ok"), ("1", "over range")])]
        );
        assert_eq!(
            told("; MAQ máquina / CX conexión: 7 = U-tierra; 8 = V-tierra"),
            [("MAQ", "máquina", vec![]), ("CX", "conexión", vec![("7", "U-tierra"), ("8", "V-tierra")])]
        );
        assert_eq!(told("R U V W tested"), [], "one heading without a sign is a word");
        assert_eq!(told("polarization index T 3.33, R 3.24"), [], "values of phases explain nothing");
    }
}
