//! Columns of times written with colons.

use super::{Cells, Column, Role};
use crate::view::View;
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

/// Times under a heading that names their form are the time since voltage was applied, if it speaks of such a time.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    for column in columns.iter_mut().filter(|column| column.heading.has(Concept::Elapsed)) {
        if clock_form(&column.heading.text(view)).is_none() {
            continue;
        }
        let Some(cells) = cells.get(&column.column).filter(|cells| !cells.is_empty()) else { continue };
        let sample = cells.iter().take(200);
        let clocks = sample.clone().filter(|item| date::clock(&view.cell(item).text).is_some()).count();
        // "PI" and "DAR" stand below the times.
        if clocks * 10 >= sample.count() * 7 {
            (column.role, column.fit) = (Role::Field(Concept::Elapsed), 1.0);
        }
    }
}
