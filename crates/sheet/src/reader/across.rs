//! Which line across a table speaks of which readings: "Test voltage | 500 | 500 | 1000" above the machines of a shop, "Winding °C" below
//! each machine, either once for all of a table.

use super::Reader;
use super::date::When;
use super::line::Line;
use crate::column::{Column, Role};
use crate::context::ReadTable;
use crate::cut::BodyLine;
use crate::heading::Heading;
use crate::pool::Count;
use crate::view::Item;
use std::collections::BTreeMap;
use windrow_model::Disposition;
use windrow_text::vocabulary::Concept;

/// What lines across tell of a line of readings.
#[derive(Debug, PartialEq, Eq)]
enum Spoken<T> {
    /// These lines speak of it; several only of remarks.
    By(Vec<T>),
    /// Which of them does cannot be told.
    Unclear(T),
    /// None does.
    Nothing,
}

/// The place of a line across among the lines of readings: how many stand above it.
type Place = usize;

impl Reader<'_, '_, '_> {
    /// Circumstances that other lines tell of the date or machine that heads the column.
    pub(super) fn apply_across(&mut self, read: &ReadTable, column: &Column, line: &mut Line) {
        let mut told: BTreeMap<Concept, Vec<(&BodyLine, Option<Item>)>> = BTreeMap::new();
        for other in read.table.body.iter().filter(|other| read.table.tells_across(other)) {
            let [label, values @ ..] = other.items.as_slice() else { continue };
            let Some(concept) = Heading::sum(self.view, std::slice::from_ref(label)).concept() else { continue };
            let is_over = |value: &&Item| value.column <= column.column && column.column <= value.right;
            told.entry(concept).or_default().push((other, values.iter().find(is_over).copied()));
        }
        let rows: Vec<u32> = lines_of_readings(read).map(|line| line.row).collect();
        for (concept, lines) in told {
            self.apply_lines(read, (concept, &lines), &rows, line);
        }
    }

    fn apply_lines(
        &mut self,
        read: &ReadTable,
        (concept, lines): (Concept, &[(&BodyLine, Option<Item>)]),
        rows: &[u32],
        line: &mut Line,
    ) {
        let texts = || lines.iter().map(|(_, item)| item.map(|item| self.view.cell(&item).text.trim()));
        let is_one = texts().all(|text| text.is_some() && Some(text) == texts().next());
        let places: Vec<Place> =
            lines.iter().map(|(other, _)| rows.iter().filter(|row| **row < other.row).count()).collect();
        let at = rows.iter().filter(|row| **row < line.row).count();
        let spoken = match lines {
            [_] if !self.is_between_machines(read, &places, rows.len()) => Spoken::By(vec![0]),
            _ if is_one && lines.len() > 1 && concept != Concept::Remarks => Spoken::By(vec![0]),
            _ => speaker(&places, (at, rows.len()), concept),
        };
        match spoken {
            Spoken::By(speakers) => {
                for (other, item) in speakers.into_iter().filter_map(|speaker| lines.get(speaker)) {
                    let (Some(label), Some(item)) = (other.items.first(), item) else { continue };
                    let heading = Heading::sum(self.view, std::slice::from_ref(label));
                    self.mark(label, Disposition::Label, Some("says what its line holds"));
                    self.apply(line, concept, item, &heading, Count::default(), true);
                }
            }
            Spoken::Unclear(speaker) => {
                let item = lines.get(speaker).and_then(|(_, item)| *item);
                if let Some(item) = item.or_else(|| lines.iter().find_map(|(_, item)| *item)) {
                    withhold(line, concept, &item);
                }
            }
            Spoken::Nothing => {}
        }
    }

    /// Whether the one line of a circumstance stands between lines that name machines, so that it is not of all of them.
    fn is_between_machines(&self, read: &ReadTable, places: &[Place], count: usize) -> bool {
        let names = |column: &Column| {
            matches!(column.role, Role::Field(Concept::Tag | Concept::Serial | Concept::Description | Concept::Area))
        };
        places.iter().any(|place| (1..count).contains(place)) && read.columns.iter().any(names)
    }

    /// Marks the lines across that spoke of no reading: they were understood nevertheless.
    pub(super) fn mark_across(&mut self, line: &BodyLine) {
        for item in &line.items {
            self.mark(item, Disposition::Label, Some("tells a circumstance of the lines beside it"));
        }
    }
}

/// The lines of a table that may hold readings; the title of a section holds none.
fn lines_of_readings(read: &ReadTable) -> impl Iterator<Item = &BodyLine> {
    let is_reading = |item: &Item| {
        let mut columns = read.columns.iter();
        columns.any(|column| column.column == item.column && matches!(column.role, Role::Reading(_) | Role::Asked(_)))
    };
    read.table
        .body
        .iter()
        .filter(move |line| !line.is_statistic && !line.is_across && line.items.iter().any(is_reading))
}

/// Which of the lines of one circumstance at `places` speaks of the reading line number `at` of `count`.
fn speaker(places: &[Place], (at, count): (usize, usize), concept: Concept) -> Spoken<usize> {
    let (Some(first), Some(last)) = (places.first(), places.last()) else { return Spoken::Nothing };
    let is_alone = places.len() == 1;
    let leads = *first == 0 && *last < count || is_alone && *last < count && concept == Concept::TestVoltage;
    let closes = *last == count && *first > 0;
    // The line above the reading that is next to it, or the one below.
    let place = match (leads, closes) {
        (true, false) => places.iter().rev().find(|place| **place <= at),
        (false, true) => places.iter().find(|place| **place > at),
        _ => return Spoken::Unclear(0),
    };
    let Some(place) = place else { return if is_alone { Spoken::Unclear(0) } else { Spoken::Nothing } };
    let speakers: Vec<usize> = (0..places.len()).filter(|index| places[*index] == *place).collect();
    // "Test voltage, LV motors" right below "Test voltage, HV motors": of which of them a machine is, its line does not tell.
    if speakers.len() > 1 && concept != Concept::Remarks {
        return Spoken::Unclear(speakers[0]);
    }
    // Below single machines a line is of the machine right above it only.
    if closes && *place > at + 1 && !is_alone && sizes(places).contains(&1) {
        return Spoken::Unclear(speakers[0]);
    }
    Spoken::By(speakers)
}

/// How many lines of readings stand above each line and below the one before it.
fn sizes(places: &[Place]) -> Vec<usize> {
    let before = std::iter::once(&0).chain(places);
    places.iter().zip(before).map(|(place, before)| place - before).collect()
}

/// Leaves a circumstance open that is told for some readings, and nobody can say for which; what a title tells is then no answer either.
fn withhold(line: &mut Line, concept: Concept, item: &Item) {
    match concept {
        Concept::Date => line.when = When::Unclear(*item),
        Concept::TestVoltage => line.voltage = None,
        Concept::WindingTemperature => line.winding = None,
        Concept::Temperature => line.some_temperature = None,
        Concept::AmbientTemperature => line.ambient = None,
        Concept::Humidity => line.humidity = None,
        Concept::DewPoint => line.dew_point = None,
        _ => {}
    }
    line.fields.push((concept, *item));
}

#[cfg(test)]
mod tests {
    use super::{Spoken, speaker};
    use windrow_text::vocabulary::Concept::{Remarks, TestVoltage, WindingTemperature};

    #[test]
    fn lines_across_speak_of_the_lines_that_they_lead_or_close() {
        let by = |index: usize| Spoken::By(vec![index]);
        let volts = |places: &[usize], at: usize| speaker(places, (at, 6), TestVoltage);
        assert_eq!((volts(&[0, 4], 3), volts(&[0, 4], 4)), (by(0), by(1)));
        assert_eq!((volts(&[2, 6], 1), volts(&[2, 6], 2)), (by(0), by(1)));
        let warmth = |at: usize| speaker(&[1, 2, 4, 6], (at, 6), WindingTemperature);
        assert_eq!((warmth(0), warmth(1), warmth(3)), (by(0), by(1), by(2)));
        assert_eq!(warmth(2), Spoken::Unclear(2), "the line below the next machine is not its own");
        assert_eq!(volts(&[0, 0, 4], 2), Spoken::Unclear(0), "two lines on top of each other");
        assert_eq!(speaker(&[3, 3, 6], (1, 6), Remarks), Spoken::By(vec![0, 1]));
        assert_eq!(volts(&[0, 6], 2), Spoken::Unclear(0), "one above and one below");
        assert_eq!((volts(&[3], 4), volts(&[3], 1)), (by(0), Spoken::Unclear(0)));
        assert_eq!(speaker(&[3], (4, 6), WindingTemperature), Spoken::Unclear(0));
    }
}
