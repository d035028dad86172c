//! What was changed of a test in an export: all that an export hands out of it beside what the source tells, in words, the source's first.

use super::{close, same_key};
use windrow_model::stand_in::is_but_for_names;
use windrow_model::{Reading, Test, Text};

/// What `export` tells of the test itself otherwise than `source`. A name that the export left out or replaced is no change.
pub(super) fn of_test(export: &Test, source: &Test) -> Vec<String> {
    let day = |test: &Test| test.performed_on.map(|day| format!("{day} ({})", test.performed_precision));
    let (day_there, day_here) = (day(source), day(export));
    let texts = [
        ("kind", Some(source.kind.as_str()), Some(export.kind.as_str())),
        ("date", day_there.as_deref(), day_here.as_deref()),
        ("stage", source.stage.as_deref(), export.stage.as_deref()),
        (
            "basis of the winding temperature",
            Some(source.winding_temperature_basis.as_str()),
            Some(export.winding_temperature_basis.as_str()),
        ),
        ("work order", source.work_order.as_deref(), export.work_order.as_deref()),
    ];
    let with_names = [
        ("instrument", source.instrument.as_deref(), export.instrument.as_deref()),
        ("remarks", source.remarks.as_deref(), export.remarks.as_deref()),
        ("outcome in words", source.reported_outcome.as_deref(), export.reported_outcome.as_deref()),
        ("tester", source.tester.as_deref().filter(|_| export.tester.is_some()), export.tester.as_deref()),
    ];
    let numbers = [
        ("winding temperature, °C", source.winding_temperature_c, export.winding_temperature_c),
        ("ambient temperature, °C", source.ambient_temperature_c, export.ambient_temperature_c),
        ("relative humidity, %", source.relative_humidity_pct, export.relative_humidity_pct),
        ("dew point, °C", source.dew_point_c, export.dew_point_c),
        ("test voltage, V", source.test_voltage_v, export.test_voltage_v),
    ];
    let texts = texts.into_iter().filter(|(_, there, here)| there.map(str::trim) != here.map(str::trim));
    let with_names = with_names.into_iter().filter(|(_, there, here)| match (there, here) {
        (Some(there), Some(here)) => {
            let (there, here) = (there.trim(), here.trim());
            !is_but_for_names(here, there) && !is_but_for_names(there, here)
        }
        _ => there != here,
    });
    let numbers = numbers.into_iter().filter(|(_, there, here)| !close(*there, *here));
    let texts = texts.chain(with_names).map(|(name, there, here)| said(name, there, here));
    texts.chain(numbers.map(|(name, there, here)| said(name, there, here))).collect()
}

/// Outcomes that a reading of the export tells where the same reading of the source tells none, or the other way round; two that
/// contradict each other differ as values do.
pub(super) fn outcomes(export: &[usize], source: &[usize], readings: &[Reading]) -> Vec<String> {
    let differs = |index: &usize| {
        let here = &readings[*index];
        let mut same = source.iter().map(|other| &readings[*other]).filter(|other| same_key(here, other)).peekable();
        let there = *same.peek()?;
        if same.any(|other| other.outcome.is_none() == here.outcome.is_none()) {
            return None;
        }
        let word = |reading: &Reading| reading.outcome.clone().unwrap_or_else(|| Text::new_static("none"));
        Some(format!("outcome: {} at {} / {} at {}", word(there), there.source_cell, word(here), here.source_cell))
    };
    export.iter().filter_map(differs).collect()
}

/// That readings of the export are none of the source, if any are.
pub(super) fn readings_apart(count: usize) -> Option<String> {
    match count {
        0 => None,
        1 => Some("1 reading differs in what was measured, when or at which voltage".to_owned()),
        _ => Some(format!("{count} readings differ in what was measured, when or at which voltage")),
    }
}

fn said(name: &str, there: Option<impl ToString>, here: Option<impl ToString>) -> String {
    let word = |value: Option<String>| value.unwrap_or_else(|| "nothing".to_owned());
    format!("{name}: {} / {}", word(there.map(|there| there.to_string())), word(here.map(|here| here.to_string())))
}
