//! # What it finds
//! A newest one-minute insulation resistance at 40 °C below the minimum for the machine.
//! # How it is judged
//! `act` if the test before was below as well, else `plan`: one bad reading says "repeat the test".
//! # References
//! IEEE 43-2013 Table 3, by `windrow-criteria`.

use crate::finding::{self, Found, megohms};
use crate::judge::Judged;
use crate::series::History;
use windrow_model::Finding;

/// Value and limit of a test that is surely below: a ceiling below the limit proves nothing.
fn below(judged: &Judged<'_>) -> Option<(f64, f64)> {
    let lowest = judged.test.lowest.as_ref()?;
    let (value, limit) = (lowest.at_40c_ohm?, judged.minimum.as_ref()?.value);
    (value < limit && lowest.bound != "at_least").then_some((value, limit))
}

pub(crate) fn find(history: &History<'_>) -> Option<Finding> {
    let (newest, lowest) =
        history.newest(|judged| judged.test.lowest.as_ref().filter(|lowest| lowest.at_40c_ohm.is_some()))?;
    let (value, limit) = below(newest)?;
    let before = history.tests.iter().rev().skip_while(|judged| !std::ptr::eq(**judged, newest)).skip(1);
    let again = before.filter(|judged| judged.test.lowest.is_some()).take(1).any(|judged| below(judged).is_some());
    let circuit = lowest.circuit.as_deref().map_or(String::new(), |circuit| format!(" ({circuit})"));
    let time = if lowest.time_told {
        ""
    } else {
        "; the record does not tell the time of the reading, which is taken as one minute"
    };
    let repeat = if again { "the test before was below it as well" } else { "one reading: repeat the test" };
    let statement = format!(
        "{}: insulation resistance {}{circuit} at 40 °C is below the minimum of {}; {repeat}{time}.",
        history.tag,
        megohms(value),
        megohms(limit)
    );
    let basis = newest.minimum.as_ref().map(|limit| limit.basis.clone()).unwrap_or_default();
    let found = Found {
        rule: "ir_minimum",
        level: if again { "act" } else { "plan" },
        statement,
        value: Some(value),
        limit: Some(limit),
        unit: "Ohm",
        basis,
        next_test: "insulation resistance and polarization index, clean, dry and at a known temperature",
    };
    Some(finding::row(history, newest, found))
}
