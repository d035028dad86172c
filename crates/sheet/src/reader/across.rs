//! Of which lines a line across the columns tells: "Winding °C" once below a table is of all its readings, below each machine of that machine's.

use super::Reader;
use super::date::When;
use super::line::Line;
use crate::column::{Column, Role};
use crate::context::ReadTable;
use crate::cut::BodyLine;
use crate::heading::Heading;
use crate::pool::Count;
use crate::view::{Item, View};
use std::collections::BTreeMap;
use windrow_model::Disposition;
use windrow_text::vocabulary::Concept;

/// The lines across of the present table.
#[derive(Debug, Clone, Default)]
pub(crate) struct Across {
    /// Those that tell of a line, by its row: their numbers in the body.
    told: BTreeMap<u32, Vec<usize>>,
    /// What they tell, each with the first value of the first that does.
    kinds: Vec<(Concept, Item)>,
}

/// Finds of which lines each line across tells.
pub(super) fn across(view: &View<'_>, read: &ReadTable) -> Across {
    let body = &read.table.body;
    let mut kinds: Vec<(Concept, Vec<usize>)> = Vec::new();
    for (at, line) in body.iter().enumerate().filter(|(_, line)| read.table.tells_across(line)) {
        let Some(concept) = line.items.first().and_then(|label| view.sense(label).concept()) else { continue };
        match kinds.iter_mut().find(|(known, _)| *known == concept) {
            Some((_, lines)) => lines.push(at),
            None => kinds.push((concept, vec![at])),
        }
    }
    let mut across = Across::default();
    for (concept, lines) in &kinds {
        let value = lines.first().and_then(|at| body.get(*at)).and_then(|line| line.items.get(1));
        across.kinds.extend(value.map(|value| (*concept, *value)));
        let is_told = |at: &usize| !body[*at].is_across && !body[*at].is_statistic;
        // Once among the machines: of those above or of those below, and nothing says which.
        let is_named = |at: usize| is_told(&at) && name(view, read, at).is_some();
        if let [only] = lines.as_slice()
            && (0..*only).any(is_named)
            && (*only + 1..body.len()).any(is_named)
        {
            continue;
        }
        let between = |two: &[usize]| (two[0]..two[1]).any(|at| is_told(&at));
        if !lines.windows(2).any(between) {
            for at in (0..body.len()).filter(is_told) {
                across.told.entry(body[at].row).or_default().extend(lines);
            }
            continue;
        }
        let groups = if stand_above(read, lines) { groups_below(read, lines) } else { groups_above(view, read, lines) };
        for (own, at) in groups {
            across.told.entry(body[own].row).or_default().push(at);
        }
    }
    across
}

/// The column that names the machines of a table's lines.
fn column_of_names(read: &ReadTable) -> Option<u32> {
    let names = |column: &&Column| matches!(column.role, Role::Field(Concept::Tag | Concept::Serial));
    read.columns.iter().find(names).map(|column| column.column)
}

/// The name in the line number `at` of a table's body.
fn name<'a>(view: &View<'a>, read: &ReadTable, at: usize) -> Option<&'a str> {
    let named = column_of_names(read)?;
    let item = read.table.body.get(at)?.items.iter().find(|item| item.column == named)?;
    Some(view.grid.cells.get(item.cell as usize)?.text.trim())
}

/// Whether each line across stands over lines that it tells of: the first is the first of the table, the last is not its last.
fn stand_above(read: &ReadTable, lines: &[usize]) -> bool {
    let body = &read.table.body;
    let is_told = |line: &BodyLine| !line.is_across && !line.is_statistic;
    let first = body.iter().position(is_told);
    let last = body.iter().rposition(is_told);
    matches!((first, last, lines), (Some(first), Some(last), [begin, .., end]) if *begin < first && *end < last)
}

/// The lines below each of several lines across, up to the next.
fn groups_below(read: &ReadTable, lines: &[usize]) -> Vec<(usize, usize)> {
    let is_told = |line: &BodyLine| !line.is_across && !line.is_statistic;
    let told = read.table.body.iter().enumerate().filter(|(_, line)| is_told(line)).map(|(own, _)| own);
    told.filter_map(|own| Some((own, *lines.iter().rev().find(|at| **at < own)?))).collect()
}

/// The lines right above each of several lines across, up to where another machine begins; none where it cannot be told whether each of them
/// speaks of what stands above or of what stands below.
fn groups_above(view: &View<'_>, read: &ReadTable, lines: &[usize]) -> Vec<(usize, usize)> {
    let body = &read.table.body;
    let named = column_of_names(read);
    let mut groups: Vec<Vec<(usize, usize)>> = Vec::new();
    for at in lines {
        let mut group = Vec::new();
        let mut known: Option<&str> = None;
        for own in (0..*at).rev().take_while(|own| lines.binary_search(own).is_err()) {
            let line = &body[own];
            if line.is_across || line.is_statistic {
                continue;
            }
            // Above the cell of a name stands what is of another machine.
            let own_name = name(view, read, own);
            if known.is_some_and(|known| own_name != Some(known)) {
                break;
            }
            known = known.or(own_name);
            group.push((own, *at));
        }
        groups.push(group);
    }
    let is_even = groups.windows(2).all(|two| two[0].len() == two[1].len());
    let stand_below = groups.iter().all(|group| !group.is_empty());
    if stand_below && (named.is_some() || is_even) { groups.concat() } else { Vec::new() }
}

impl Reader<'_, '_, '_> {
    /// Marks a line across, which was understood although it may speak of no reading.
    pub(super) fn mark_across(&mut self, line: &BodyLine) {
        for item in &line.items {
            self.mark(item, Disposition::Label, Some("tells a circumstance of the lines beside it"));
        }
    }

    /// Circumstances that other lines tell of the date or machine that heads the column.
    pub(super) fn apply_across(&mut self, read: &ReadTable, column: &Column, line: &mut Line) {
        let mut told: Vec<(Concept, Item, Item, Heading)> = Vec::new();
        // A line that has no value for this column leaves what a title tells.
        let mut blank: Vec<Concept> = Vec::new();
        for at in self.across.told.get(&line.row).cloned().unwrap_or_default() {
            let items = read.table.body.get(at).map(|other| other.items.as_slice());
            let Some([label, values @ ..]) = items else { continue };
            let heading = Heading::sum(self.view, std::slice::from_ref(label));
            let value = values.iter().find(|value| value.column <= column.column && column.column <= value.right);
            match (heading.concept(), value) {
                (Some(concept), Some(value)) => told.push((concept, *label, *value, heading)),
                (Some(concept), None) => blank.push(concept),
                (None, _) => {}
            }
        }
        for (concept, first) in self.across.kinds.clone() {
            let text = |item: &Item| self.view.cell(item).text.trim();
            let own: Vec<_> = told.iter().filter(|(of, ..)| *of == concept).collect();
            // Two voltages on top of each other: of which machines each is nothing says.
            let are_one = own.windows(2).all(|two| text(&two[0].2) == text(&two[1].2));
            if own.is_empty() && blank.contains(&concept) {
                continue;
            }
            if own.is_empty() || concept != Concept::Remarks && !are_one {
                withhold(line, concept, &first);
                continue;
            }
            for (_, label, value, heading) in own {
                self.mark(label, Disposition::Label, Some("says what its line holds"));
                self.apply(line, concept, value, heading, Count::default(), true);
            }
        }
    }
}

/// Leaves open what lines across tell of other lines, or contradict each other on: what a title tells is then no answer either.
fn withhold(line: &mut Line, concept: Concept, value: &Item) {
    match concept {
        Concept::Date => line.when = When::Unclear(*value),
        Concept::TestVoltage => line.voltage = None,
        Concept::WindingTemperature => line.winding = None,
        Concept::Temperature => line.some_temperature = None,
        Concept::AmbientTemperature => line.ambient = None,
        Concept::Humidity => line.humidity = None,
        Concept::DewPoint => line.dew_point = None,
        _ => return,
    }
    line.fields.push((concept, *value));
}
