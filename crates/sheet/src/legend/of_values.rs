//! "mode WR: winding resistance between terminals; mode SC: surge comparison": what texts say of the values of a column, each by the heading
//! and the value.

use std::collections::BTreeMap;
use windrow_source::{Cell, Content, Grid};
use windrow_text::circuit;
use windrow_text::fold::fold;
use windrow_text::header::{self, Label};
use windrow_text::vocabulary::Concept;

/// Fewest headings of a line, and fewest values that are explained.
const FEWEST: usize = 2;
/// Longest value, in characters.
const LONGEST_VALUE: usize = 4;
/// Most cells of a line that explains.
const MOST_CELLS: usize = 4;

/// What cells stand for whose value is explained together with their heading, by index, and the cells that explain.
#[derive(Debug, Default)]
pub struct Values {
    meanings: BTreeMap<usize, String>,
    explaining: Vec<usize>,
}

/// What a text says of one value of a heading.
struct Entry {
    heading: String,
    value: String,
    meaning: String,
    cell: usize,
}

impl Values {
    /// Reads a sheet. Values of which fewer than two are explained, or one twice and differently, stay what they are.
    #[must_use]
    pub fn read(grid: &Grid) -> Self {
        let mut entries: Vec<Entry> = Vec::new();
        let mut at = 0;
        for line in grid.cells.chunk_by(|a, b| a.row == b.row) {
            if line.len() <= MOST_CELLS {
                entries.extend((at..).zip(line).filter_map(|(index, cell)| entry(index, cell)));
            }
            at += line.len();
        }
        let mut values = Self::default();
        if entries.len() < FEWEST {
            return values;
        }
        // The last heading over each column.
        let mut over: BTreeMap<u32, &str> = BTreeMap::new();
        for (index, cell) in grid.cells.iter().enumerate().filter(|(_, cell)| cell.content == Content::Text) {
            let text = cell.text.trim();
            if entries.iter().any(|entry| entry.heading == fold(text)) {
                over.insert(cell.column, text);
                continue;
            }
            let Some(heading) = over.get(&cell.column) else { continue };
            let own = |entry: &&Entry| entry.heading == fold(heading) && entry.value == text;
            let told: Vec<&Entry> = entries.iter().filter(own).collect();
            if let [only] = told.as_slice() {
                values.meanings.insert(index, only.meaning.clone());
                if !values.explaining.contains(&only.cell) {
                    values.explaining.push(only.cell);
                }
            }
        }
        if values.explaining.len() < FEWEST {
            return Self::default();
        }
        values
    }

    /// Adds what they explain.
    pub(super) fn add_to<'v>(&'v self, expanded: &mut super::Expanded<'v>) {
        expanded.meanings.extend(self.meanings.iter().map(|(index, meaning)| (*index, meaning.as_str())));
        expanded.explaining.extend(&self.explaining);
    }
}

/// "# mode IR: U V W linked; to frame; dc volts as in H": the heading, the value, and what of the meaning is understood.
fn entry(index: usize, cell: &Cell) -> Option<Entry> {
    let text = cell.text.trim().trim_start_matches(['#', '*', ' ']);
    let (lead, meaning) = text.split_once([':', '=']).filter(|_| cell.content == Content::Text)?;
    let (heading, value) = lead.trim().rsplit_once(' ')?;
    let is_value = (1..=LONGEST_VALUE).contains(&value.chars().count())
        && value.chars().all(|c| c.is_uppercase() || c.is_ascii_digit())
        && value.starts_with(char::is_alphabetic);
    if !is_value || heading.split_whitespace().count() > 2 || !heading.chars().all(|c| c.is_alphabetic() || c == ' ') {
        return None;
    }
    let mut said: Vec<&str> = meaning.split(';').map(str::trim).filter(|clause| is_understood(clause)).collect();
    // "IR" names what it is short for itself.
    let names = |text: &str| {
        header::read(text).concepts.iter().any(|(concept, weight)| is_quantity(*concept) && *weight >= 0.6)
    };
    if !said.iter().any(|clause| names(clause)) && names(value) {
        said.insert(0, value);
    }
    let meaning = said.join(", ");
    let is_told = says_of_readings(&header::read(&meaning));
    is_told.then(|| Entry { heading: fold(heading), value: value.to_owned(), meaning, cell: index })
}

fn is_quantity(concept: Concept) -> bool {
    crate::fit::quantity(concept).is_some()
}

fn says_of_readings(label: &Label) -> bool {
    label.concepts.iter().any(|(concept, _)| is_quantity(*concept))
        || !label.circuits.is_empty()
        || label.elapsed_s.is_some()
}

/// Whether all of a clause is understood as what was measured, between what or for how long.
fn is_understood(clause: &str) -> bool {
    let label = header::read(clause);
    let is_circuit = !circuit::read(clause).is_empty();
    let is_own = |(concept, _): &(Concept, f32)| is_quantity(*concept);
    !clause.contains('=')
        && (is_circuit || label.unexplained.is_empty() && label.concepts.iter().all(is_own) && says_of_readings(&label))
}
