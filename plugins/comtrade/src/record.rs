//! A record: its words, its day, its clock.

use windrow_model::{PartialDate, Step};
use windrow_source::wave::{Day, Record};

use crate::config::{Config, Line};
use crate::samples::{Parts, Samples};

/// Years of two digits below this are of this century: nothing was recorded in digits before 1970 (common practice, no source).
const PIVOT: i16 = 70;

/// The record of a configuration and its samples.
pub(crate) fn of(parts: &Parts<'_>, samples: Samples) -> Record {
    let config = parts.config;
    Record {
        station: parts.words(&config.station, 0),
        recorder: parts.words(&config.station, 1),
        day: config.first_sample().and_then(|line| day(parts, line)),
        started: config.first_sample().map(|line| line.fields.join(" ")),
        steps: steps(config),
        stretches: samples.stretches,
        is_cut: samples.is_cut,
        channels: samples.channels,
    }
}

/// What holds for all channels, line by line.
fn steps(config: &Config) -> Vec<Step> {
    let edition = match config.station.field(2) {
        "" => "of 1991, for no year of another is told".to_owned(),
        year => format!("of {year}"),
    };
    let mut steps = vec![Step::new("standard", format!("IEEE C37.111, edition {edition}"))];
    steps.push(Step::new("clock", config.rest.iter().map(|line| line.fields.join(",")).collect::<Vec<_>>().join("; ")));
    steps
}

fn day(parts: &Parts<'_>, line: &Line) -> Option<Day> {
    let words = parts.words(line, 0)?;
    let date = read_day(&words.text, parts.config);
    let is_short = words.text.rsplit('/').next().is_some_and(|year| year.trim().len() <= 2);
    Some(Day { date, is_short, words })
}

/// The day in the order that the edition prescribes: the first one has the month first, later ones the day. A configuration that tells
/// no edition but has the fields of a later one leaves the order open where both are possible.
fn read_day(text: &str, config: &Config) -> Option<PartialDate> {
    let parts: Vec<&str> = text.split('/').map(str::trim).collect();
    let [first, second, year_text] = parts.as_slice() else { return None };
    let (first, second): (i8, i8) = (first.parse().ok()?, second.parse().ok()?);
    let year: i16 = year_text.parse().ok()?;
    let year = if year_text.len() > 2 {
        year
    } else if year < PIVOT {
        2000 + year
    } else {
        1900 + year
    };
    let (day_first, month_first) = (PartialDate::day(year, second, first), PartialDate::day(year, first, second));
    if !config.station.field(2).is_empty() {
        return day_first;
    }
    let is_later = config.analog_lines.iter().any(|line| line.fields.len() > 10);
    match (is_later, day_first, month_first) {
        (false, _, month_first) => month_first,
        (true, Some(one), Some(other)) => (one == other).then_some(one),
        (true, one, other) => one.or(other),
    }
}
