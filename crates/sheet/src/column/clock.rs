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

/// Most cells of a column that are looked at.
const SAMPLE: usize = 200;
/// Latest first reading of a test whose times are told from its beginning, s. Common practice, no source.
const FIRST: f64 = 60.0;

/// Times under a heading that names their form are the time since voltage was applied if it speaks of such a time. So are those in hours,
/// minutes and seconds that rise from the first minute on, as on no clock, under such a heading or one that says nothing known.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    for column in columns {
        let Some(cells) = cells.get(&column.column).filter(|cells| !cells.is_empty()) else { continue };
        let texts = cells.iter().take(SAMPLE).map(|item| view.cell(item).text.trim());
        let is_whole = |text: &&str| text.matches(':').count() == 2;
        let clocks: Vec<&str> = texts.clone().filter(|text| date::clock(text).is_some()).collect();
        let are_whole = clocks.iter().all(is_whole);
        let is_headed = column.heading.has(Concept::Elapsed);
        let is_elapsed = is_headed && clock_form(&column.heading.text(view)).is_some()
            || (is_headed || column.role == Role::Unknown) && are_whole && rise_from_start(&clocks);
        // "PI" and "DAR" stand below the times.
        if is_elapsed && !clocks.is_empty() && clocks.len() * 10 >= texts.count() * 7 {
            (column.role, column.fit) = (Role::Field(Concept::Elapsed), 1.0);
        }
    }
}

fn rise_from_start(clocks: &[&str]) -> bool {
    let seconds: Option<Vec<f64>> = clocks.iter().map(|text| whole_seconds(text)).collect();
    seconds.is_some_and(|seconds| {
        let is_early = seconds.first().is_some_and(|first| *first <= FIRST);
        seconds.len() >= 3 && is_early && seconds.windows(2).all(|two| two[0] < two[1])
    })
}

/// "00:01:30" in seconds.
fn whole_seconds(text: &str) -> Option<f64> {
    let parts: Vec<f64> = text.split(':').map(|part| part.trim().parse().ok()).collect::<Option<_>>()?;
    let [hours, minutes, seconds] = parts.as_slice() else { return None };
    Some(hours * 3600.0 + minutes * 60.0 + seconds)
}
