//! Machines that a list on one sheet numbers, where other sheets bear no more than the numbers: "No. | Tag | kW" and "No. | Date | 1 min".

use std::collections::{BTreeMap, BTreeSet};
use windrow_model::Text;
use windrow_source::{Cell, Content, Grid, Workbook};
use windrow_text::fold::fold;
use windrow_text::header;
use windrow_text::vocabulary::Concept;

/// Fewest machines of a list, and fewest lines that bear their numbers.
const FEWEST: usize = 3;
/// Most rows without a number between numbers: units, sections.
const GAP: u32 = 3;
/// Lines among which one may bear a number that the list does not know.
const SLIPS: usize = 20;
/// Longest number, in digits.
const LONGEST: usize = 4;
/// Least weight of a heading that says that names of machines stand below it.
const NAMES: f32 = 0.4;

/// A numbered list of machines.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Numbered {
    /// The heading over the numbers, folded, on the list and on the sheets that bear them.
    pub head: String,
    /// The sheet of the list.
    pub sheet: Option<String>,
    /// The machine of each number.
    pub names: BTreeMap<String, Text>,
}

impl Numbered {
    /// Whether numbers are those of the list: all but a slip here and there, whose line stays without a machine.
    fn is_borne_by(&self, numbers: &[&str]) -> bool {
        let unknown = numbers.iter().filter(|number| !self.names.contains_key(**number)).count();
        !numbers.is_empty() && unknown * SLIPS <= numbers.len()
    }

    /// Whether lines that bear these numbers are of its machines: numbers that only rise count lines as well, unless they are all of the list.
    pub(crate) fn names_lines(&self, numbers: &[&str]) -> bool {
        self.is_borne_by(numbers) && (!counts_lines(numbers) || numbers.len() == self.names.len())
    }
}

/// A heading of numbers with what stands below it.
struct Column<'g> {
    head: String,
    sheet: Option<&'g str>,
    numbers: Vec<&'g str>,
    /// The names beside the numbers, where a column of names stands beside them.
    names: Option<Vec<Option<&'g Cell>>>,
}

/// The lists of a workbook. A list is one only where no other sheet has a list under the same heading, and the lines of some sheet bear its
/// numbers otherwise than a count of lines does: again, or out of order.
pub(crate) fn of_book(book: &Workbook) -> Vec<Numbered> {
    if book.sheets.len() < 2 {
        return Vec::new();
    }
    let columns: Vec<Column<'_>> = book.sheets.iter().filter(|grid| !grid.is_signal).flat_map(columns).collect();
    let lists: Vec<(&Column<'_>, Numbered)> =
        columns.iter().filter_map(|column| Some((column, numbered(column)?))).collect();
    let is_alone = |list: &Numbered| lists.iter().filter(|(_, other)| other.head == list.head).count() == 1;
    let is_borne = |list: &Numbered| {
        columns.iter().any(|column| {
            column.names.is_none()
                && column.head == list.head
                && column.sheet != list.sheet.as_deref()
                && column.numbers.len() >= FEWEST
                && list.is_borne_by(&column.numbers)
                && !counts_lines(&column.numbers)
        })
    };
    lists.iter().map(|(_, list)| list).filter(|list| is_alone(list) && is_borne(list)).cloned().collect()
}

fn columns(grid: &Grid) -> Vec<Column<'_>> {
    let at: BTreeMap<(u32, u32), &Cell> = grid.cells.iter().map(|cell| ((cell.row, cell.column), cell)).collect();
    let is_head = |cell: &&Cell| {
        cell.content == Content::Text && header::read(cell.text.trim()).concept() == Some(Concept::RowNumber)
    };
    let column = |head: &Cell| {
        let beside = at.range((head.row, head.column + 1)..(head.row + 1, 0)).map(|(_, cell)| *cell);
        let names = beside.clone().find(|cell| heads_names(cell));
        let mut rows: Vec<u32> = Vec::new();
        let mut row = head.row + 1;
        while row <= rows.last().map_or(head.row, |last| *last) + GAP {
            if at.get(&(row, head.column)).is_some_and(|cell| is_number(cell.text.trim())) {
                rows.push(row);
            }
            row += 1;
        }
        let of = |column: u32| move |row: &u32| (*row, column);
        Column {
            head: fold(head.text.trim()),
            sheet: grid.name.as_deref(),
            numbers: rows.iter().filter_map(|row| at.get(&(*row, head.column))).map(|cell| cell.text.trim()).collect(),
            names: names.map(|names| rows.iter().map(of(names.column)).map(|place| at.get(&place).copied()).collect()),
        }
    };
    grid.cells.iter().filter(is_head).map(column).filter(|column| column.numbers.len() >= FEWEST).collect()
}

fn is_number(text: &str) -> bool {
    (1..=LONGEST).contains(&text.len()) && text.bytes().all(|b| b.is_ascii_digit())
}

fn heads_names(cell: &Cell) -> bool {
    let label = header::read(cell.text.trim());
    let is_tag = |(concept, weight): &(Concept, f32)| *concept == Concept::Tag && *weight >= NAMES;
    cell.content == Content::Text && label.concepts.first().is_some_and(is_tag) && label.units.is_empty()
}

/// The list that a column of numbers beside names is: each number and each name once.
fn numbered(column: &Column<'_>) -> Option<Numbered> {
    let told: Option<Vec<&str>> = column.names.as_ref()?.iter().map(|cell| Some(cell.as_ref()?.text.trim())).collect();
    let told = told?;
    let is_name = |name: &&str| name.contains(char::is_alphabetic);
    let (names, numbers): (BTreeSet<&str>, BTreeSet<&str>) =
        (told.iter().copied().collect(), column.numbers.iter().copied().collect());
    let is_list = names.len() == told.len() && numbers.len() == told.len() && told.iter().all(is_name);
    is_list.then(|| Numbered {
        head: column.head.clone(),
        sheet: column.sheet.map(str::to_owned),
        names: column.numbers.iter().zip(told).map(|(number, name)| ((*number).to_owned(), name.into())).collect(),
    })
}

/// Whether numbers rise or fall from line to line, as a count of lines does, lines taken out or not.
fn counts_lines(numbers: &[&str]) -> bool {
    let numbers: Vec<u32> = numbers.iter().filter_map(|number| number.parse().ok()).collect();
    let mut pairs = numbers.iter().zip(numbers.iter().skip(1));
    pairs.clone().all(|(one, next)| one < next) || pairs.all(|(one, next)| one > next)
}
