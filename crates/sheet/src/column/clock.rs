//! Columns of times written with colons.

use super::{Cells, Column, Role};
use crate::view::{Item, View};
use windrow_source::Content;
use windrow_text::date;
use windrow_text::vocabulary::Concept;

/// What the numbers of a clock are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Clock {
    /// Minutes and seconds.
    Minutes,
    /// Hours, minutes and, where told, seconds.
    Hours,
}

/// The form that a heading names: "Time (mm:ss)", "min:s", "hh:mm:ss".
#[must_use]
pub fn clock_form(heading: &str) -> Option<Clock> {
    let compact: String = heading.to_lowercase().chars().filter(|c| !c.is_whitespace()).collect();
    let has = |forms: &[&str]| forms.iter().any(|form| compact.contains(form));
    if has(&["h:mm", "h:m", "std:min"]) {
        return Some(Clock::Hours);
    }
    has(&["mm:ss", "m:ss", "m:s", "min:s"]).then_some(Clock::Minutes)
}

/// Most cells of a column that are looked at.
const SAMPLE: usize = 200;
/// Latest first reading of a test whose times are told from its beginning, s. Common practice, no source.
const FIRST: f64 = 60.0;

/// Times under a heading that names their form are the time since voltage was applied if it speaks of such a time. So are those in hours,
/// minutes and seconds that rise from the first minute on, as on no clock, under such a heading or one that says nothing known.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    for column in columns {
        let is_headed = column.heading.has(Concept::Elapsed);
        let cells = cells.get(&column.column).map(Vec::as_slice).unwrap_or_default();
        if cells.is_empty() || !is_headed && column.role != Role::Unknown {
            continue;
        }
        let sample = || cells.iter().take(SAMPLE);
        let clocks: Vec<date::Clock> = sample().filter_map(|item| date::clock(&view.cell(item).text)).collect();
        // "PI" and "DAR" stand below the times.
        if clocks.is_empty() || clocks.len() * 10 < sample().count() * 7 {
            continue;
        }
        let named = clock_form(&column.heading.text(view)).filter(|_| is_headed);
        if let Some(form) = named.or_else(|| rise_from_start(&clocks).then_some(Clock::Hours)) {
            column.heading.clock = Some(form);
            (column.role, column.fit) = (Role::Field(Concept::Elapsed), 1.0);
        }
    }
}

/// Fewest times in a column that its cells alone make one of times.
const FEWEST_TIMES: usize = 3;

/// "t" over "30 s", "60 s", "90 s": times that rise, each with its unit, are those since voltage was applied where the heading says
/// nothing else and no other column tells any.
pub(super) fn settle_told(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    let is_elapsed =
        |column: &Column| column.role == Role::Field(Concept::Elapsed) || column.heading.elapsed_s.is_some();
    if columns.iter().any(is_elapsed) {
        return;
    }
    let seconds = |item: &Item| {
        let sense = view.sense(item);
        let is_alone = sense.label.concepts.is_empty() && sense.label.unexplained.is_empty();
        sense.label.elapsed_s.filter(|_| is_alone && view.cell(item).content == Content::Text)
    };
    let is_told = |column: &&mut Column| {
        let own = cells.get(&column.column).map(Vec::as_slice).unwrap_or_default();
        let times: Option<Vec<f64>> = own.iter().map(seconds).collect();
        let rise = |times: Vec<f64>| times.windows(2).filter(|two| two[0] < two[1]).count() * 2 >= times.len();
        matches!(column.role, Role::Reading(None) | Role::Unknown)
            && column.heading.concepts.iter().all(|(_, weight, _)| *weight < 0.6)
            && own.len() >= FEWEST_TIMES
            && times.is_some_and(rise)
    };
    let mut told: Vec<&mut Column> = columns.iter_mut().filter(is_told).collect();
    if let [column] = told.as_mut_slice() {
        column.heading.circuits.clear();
        (column.role, column.fit) = (Role::Field(Concept::Elapsed), 1.0);
    }
}

/// Whether times in hours, minutes and seconds rise from the first minute on.
fn rise_from_start(clocks: &[date::Clock]) -> bool {
    let are_whole = clocks.iter().all(|clock| clock.third.is_some() && clock.afternoon.is_none());
    let is_early = clocks.first().is_some_and(|clock| clock.as_hours_s() <= FIRST);
    let rises = clocks.windows(2).all(|two| two[0].as_hours_s() < two[1].as_hours_s());
    clocks.len() >= 3 && are_whole && is_early && rises
}
