//! Lists of codes with headings: "Characteristic | Short text | Unit" on a sheet of its own, "Status | Meaning" beside the records, "Status: G good,
//! V void" above them. A column of records is coded by the list whose heading it bears.

use super::{Expanded, is_code, key};
use std::collections::{BTreeMap, BTreeSet};
use windrow_source::{Area, Cell, Content, Grid, Workbook};
use windrow_text::fold::fold;
use windrow_text::vocabulary::Concept;
use windrow_text::{circuit, explained, exported, header};

/// Fewest codes of a list, and fewest cells that use them.
const FEWEST: usize = 2;
/// Most codes of a list.
const MOST_CODES: usize = 300;
/// Most columns of a list beside its codes: what goes on farther is a table of something else.
const MOST_COLUMNS: u32 = 5;
/// Longest heading, in characters.
const LONGEST_HEADING: usize = 40;
/// Longest code in a sentence.
const LONGEST_IN_TEXT: usize = 3;

/// A list of codes.
#[derive(Debug, Clone)]
struct List {
    /// The heading over the codes, folded.
    head: String,
    /// The headings over what they mean, folded.
    meant: Vec<String>,
    meanings: BTreeMap<String, String>,
    /// Sheet and cells of the list, which explains no column of itself.
    sheet: Option<String>,
    area: Area,
}

/// The lists of a workbook.
#[derive(Debug, Clone, Default)]
pub(super) struct Catalogue {
    lists: Vec<List>,
}

impl Catalogue {
    pub(super) fn of_book(book: &Workbook) -> Self {
        let grids = book.sheets.iter().filter(|grid| !grid.is_signal);
        Self { lists: grids.flat_map(|grid| told(grid).into_iter().chain(listed(grid))).collect() }
    }

    /// Adds the meanings of the cells of `grid` that stand in a column of codes.
    pub(super) fn add_to<'c>(&'c self, grid: &Grid, expanded: &mut Expanded<'c>) {
        if self.lists.is_empty() {
            return;
        }
        let mut columns: BTreeMap<u32, Vec<(usize, &Cell)>> = BTreeMap::new();
        for (index, cell) in grid.cells.iter().enumerate() {
            columns.entry(cell.column).or_default().push((index, cell));
        }
        for cells in columns.values() {
            for (at, (_, heading)) in cells.iter().enumerate().filter(|(_, (_, cell))| is_heading(cell)) {
                let is_headed = |list: &&List| {
                    let is_itself = list.sheet == grid.name && list.area.contains(heading.row, heading.column);
                    !is_itself && list.heads(&heading.text)
                };
                let mut headed = self.lists.iter().filter(is_headed).peekable();
                if headed.peek().is_none() {
                    continue;
                }
                let below: Vec<(usize, &Cell)> =
                    cells[at + 1..].iter().filter(|(_, cell)| cell.content != Content::NoResult).copied().collect();
                let list = headed.find(|list| list.explains(&below));
                let Some(list) = list else { continue };
                let coded =
                    below.iter().filter_map(|(index, cell)| Some((*index, list.meanings.get(&key(&cell.text))?)));
                let coded: Vec<(usize, &'c str)> = coded.map(|(index, meaning)| (index, meaning.as_str())).collect();
                let measured: BTreeSet<&str> =
                    coded.iter().map(|(_, meaning)| *meaning).filter(|meaning| names_measured(meaning)).collect();
                expanded.are_lines |= measured.len() >= FEWEST;
                expanded.meanings.extend(coded);
            }
        }
    }
}

impl List {
    /// Whether a heading is that of the codes: it bears their heading, that of what they mean, or says that it holds codes where the list
    /// calls them no more than that.
    fn heads(&self, heading: &str) -> bool {
        let is_part = |part: &str| {
            let part = fold(part.trim());
            !part.is_empty() && (part == self.head || self.meant.contains(&part))
        };
        let has_word = || fold(heading).split(' ').any(|word| word == self.head);
        is_part(heading) || heading.split('/').any(is_part) || exported::heads_codes(&self.head) && has_word()
    }

    /// Whether the cells below a heading are codes of the list, nine in ten of them at least.
    fn explains(&self, below: &[(usize, &Cell)]) -> bool {
        let known = below.iter().filter(|(_, cell)| self.meanings.contains_key(&key(&cell.text))).count();
        known >= FEWEST && known * 10 >= below.len() * 9
    }
}

fn is_heading(cell: &Cell) -> bool {
    cell.content == Content::Text
        && cell.text.chars().count() <= LONGEST_HEADING
        && cell.text.contains(char::is_alphabetic)
}

/// The lists that stand in cells: a heading over codes, each once, and right beside it headings over texts.
fn listed(grid: &Grid) -> Vec<List> {
    let at: BTreeMap<(u32, u32), &Cell> = grid.cells.iter().map(|cell| ((cell.row, cell.column), cell)).collect();
    let mut lists = Vec::new();
    for cell in grid.cells.iter().filter(|cell| is_heading(cell)) {
        let beside = |by: u32| at.get(&(cell.row, cell.column + by)).copied().filter(|cell| is_heading(cell));
        let heads: Vec<&Cell> = (1..=MOST_COLUMNS + 1).map_while(beside).collect();
        // What goes on to the left is a table of something else.
        let is_first = cell.column.checked_sub(1).is_none_or(|before| !at.contains_key(&(cell.row, before)));
        if heads.is_empty() || heads.len() > MOST_COLUMNS as usize || !is_first {
            continue;
        }
        let rows = (cell.row + 1..).take(MOST_CODES + 1);
        let codes: Vec<&Cell> = rows
            .map_while(|row| {
                at.get(&(row, cell.column)).copied().filter(|cell| is_code(cell.text.trim()) || is_empty_code(cell))
            })
            .collect();
        let different: BTreeSet<String> = codes.iter().map(|code| key(&code.text)).collect();
        // "W | to earth" over "U | to earth" and "V | to earth": a record over others, and no heading.
        let is_record = different.contains(&key(&cell.text))
            || heads.first().is_some_and(|head| {
                codes.iter().any(|code| at.get(&(code.row, head.column)).is_some_and(|cell| cell.text == head.text))
            });
        if codes.len() < FEWEST || codes.len() > MOST_CODES || different.len() < codes.len() || is_record {
            continue;
        }
        lists.extend(list(grid, cell, &heads, &codes, &at));
    }
    lists
}

/// "(blank)" and the like may be longer than codes are.
fn is_empty_code(cell: &Cell) -> bool {
    let text = cell.text.trim();
    text.starts_with('(') && text.ends_with(')') && text.chars().count() <= 10
}

/// A list by its cells: the first column of texts that says what was measured or what became of it, with the unit that another tells.
fn list(grid: &Grid, head: &Cell, heads: &[&Cell], codes: &[&Cell], at: &BTreeMap<(u32, u32), &Cell>) -> Option<List> {
    let column = |heading: &Cell| -> Vec<Option<&str>> {
        let cell = |code: &&Cell| at.get(&(code.row, heading.column)).copied();
        codes.iter().map(|code| cell(code).map(|cell| cell.text.trim())).collect()
    };
    let is_limit = |heading: &Cell| header::read(&heading.text).statistic.is_some();
    // A number beside the codes is a value, unless it is a limit: then this is a table of values.
    let has_values = heads.iter().filter(|heading| !is_limit(heading)).any(|heading| {
        codes.iter().any(|code| {
            let is_number = |cell: &&Cell| {
                matches!(cell.content, Content::Number(_)) || cell.text.trim().replace(',', ".").parse::<f64>().is_ok()
            };
            at.get(&(code.row, heading.column)).is_some_and(is_number)
        })
    });
    if has_values {
        return None;
    }
    let is_unit = |heading: &&&Cell| header::read(&heading.text).concept() == Some(Concept::UnitColumn);
    let units = heads.iter().find(is_unit).map(|heading| column(heading));
    let texts: Vec<&&Cell> = heads.iter().filter(|heading| !is_unit(heading) && !is_limit(heading)).collect();
    let is_name =
        header::read(&head.text).concept().is_some_and(crate::fit::names_machine) && !exported::heads_codes(&head.text);
    let chosen = texts.iter().map(|heading| column(heading)).find(|meanings| {
        let told: Vec<&str> = meanings.iter().flatten().copied().collect();
        says_of_readings(&told, is_name) && told.len() * 10 >= codes.len() * 9
    })?;
    let unit = |line: usize| units.as_ref().and_then(|units| units.get(line).copied().flatten());
    let meanings = codes.iter().zip(&chosen).enumerate().filter_map(|(line, (code, meaning))| {
        let meaning = (*meaning)?;
        let told = unit(line).map_or_else(|| meaning.to_owned(), |unit| format!("{meaning} ({unit})"));
        Some((key(&code.text), told))
    });
    Some(List {
        head: fold(head.text.trim()),
        meant: texts.iter().map(|heading| fold(heading.text.trim())).collect(),
        meanings: meanings.collect(),
        sheet: grid.name.clone(),
        area: Area {
            top: head.row,
            left: head.column,
            bottom: codes.last().map_or(head.row, |code| code.row),
            right: heads.last().map_or(head.column, |heading| heading.column),
        },
    })
}

/// The lists that a text tells: "Status: G good, R repeat of the entry before it, V void".
fn told(grid: &Grid) -> Vec<List> {
    let texts = grid.cells.iter().filter(|cell| cell.content == Content::Text && cell.text.contains(':'));
    let list = |cell: &Cell| -> Option<List> {
        let (head, rest) = cell.text.split_once(':')?;
        let head = fold(head.trim().trim_start_matches(['#', '*']));
        let clauses = rest.trim().trim_end_matches('.').split([',', ';']).map(|clause| code_first(clause.trim()));
        let pairs: Vec<(&str, &str)> = clauses.collect::<Option<_>>()?;
        let meanings: BTreeMap<String, String> =
            pairs.iter().map(|(code, meaning)| (key(code), (*meaning).to_owned())).collect();
        let told: Vec<&str> = pairs.iter().map(|(_, meaning)| *meaning).collect();
        let is_list = pairs.len() >= FEWEST && meanings.len() == pairs.len() && head.split(' ').count() <= 2;
        let area = Area { top: cell.row, left: cell.column, bottom: cell.row, right: cell.column };
        let sheet = grid.name.clone();
        (is_list && says_of_readings(&told, false)).then(|| List { head, meant: Vec::new(), meanings, sheet, area })
    };
    texts.filter_map(list).collect()
}

/// "G good", "V = void": a short code in capitals or a number, and what it means.
fn code_first(clause: &str) -> Option<(&str, &str)> {
    let (code, meaning) = clause.split_once([' ', '='])?;
    let meaning = meaning.trim_start_matches([' ', '=', '-', '–']).trim();
    let is_short = (1..=LONGEST_IN_TEXT).contains(&code.chars().count());
    let is_of_code = |c: char| c.is_uppercase() || c.is_ascii_digit();
    (is_short && code.chars().all(is_of_code) && meaning.starts_with(char::is_alphabetic)).then_some((code, meaning))
}

/// Whether meanings say what was measured or between what, half of them at least, or of some what became of the value. Codes that name
/// machines have to say nothing else.
fn says_of_readings(meanings: &[&str], is_name: bool) -> bool {
    let measured = meanings.iter().filter(|meaning| names_measured(meaning) || names_terminals(meaning)).count();
    if is_name {
        return measured == meanings.len();
    }
    let is_state = |meaning: &&&str| exported::is_withdrawn(meaning) || explained::standing(meaning).is_some();
    measured * 2 >= meanings.len() && measured > 0 || meanings.iter().any(|meaning| is_state(&meaning))
}

fn names_measured(meaning: &str) -> bool {
    let label = header::read(meaning);
    label.concepts.iter().any(|(concept, weight)| crate::fit::quantity(*concept).is_some() && *weight >= 0.6)
}

fn names_terminals(meaning: &str) -> bool {
    circuit::read(meaning).iter().any(|meaning| meaning.weight >= 0.5)
}
