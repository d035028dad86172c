//! # What it finds
//! Tests before the machine was made, and tests later than the day on which their records were imported (or than the day `--as-of` which
//! they are judged).
//! # How it is judged
//! `note`, one a machine or sheet. A year of manufacture counts to its end of the period told; one day of grace for time zones.
//! # References
//! The nameplate; the calendar.

use super::found::{Doubt, key, lines, note, place};
use super::proposal::{entries, entry};
use crate::loaded::{Loaded, SheetName, Test};
use jiff::ToSpan;
use jiff::civil::Date;
use std::collections::BTreeMap;
use windrow_model::{Finding, Question, Step};

/// Findings by machine and by sheet. Without `known_on` nothing is in the future.
pub(crate) fn find(records: &Loaded, known_on: Option<Date>) -> Vec<Finding> {
    let mut early: BTreeMap<&str, Vec<Test<'_>>> = BTreeMap::new();
    let mut late: BTreeMap<&SheetName, Vec<Test<'_>>> = BTreeMap::new();
    let last = known_on.and_then(|day| day.checked_add(1.day()).ok());
    for test in records.tests() {
        let Some(day) = test.performed_on() else { continue };
        if let (Some(asset), Some(made)) = (test.asset_id(), test.made_year())
            && i32::from(day.year()) < made
        {
            early.entry(asset).or_default().push(test);
        }
        if last.is_some_and(|last| day > last) {
            late.entry(test.sheet()).or_default().push(test);
        }
    }
    let before_made = early.into_iter().filter_map(|(asset, tests)| before_made(asset, &tests));
    let in_future = late.into_iter().filter_map(|(sheet, tests)| in_future(sheet, &tests, (records, known_on?)));
    before_made.chain(in_future).collect()
}

fn shown(test: Test<'_>) -> String {
    let day = test.performed_on().map(|day| day.to_string()).unwrap_or_default();
    format!("{}: {day} at {}, cell {}", test.tag(), place(test.sheet()), test.cell())
}

fn counted(tests: usize) -> String {
    if tests == 1 { "1 test is".to_owned() } else { format!("{tests} tests are") }
}

fn before_made(asset: &str, tests: &[Test<'_>]) -> Option<Finding> {
    let (first, made) = (tests.first()?, tests.first()?.made_year()?);
    let earliest = tests.iter().filter_map(Test::performed_on).min()?;
    let mut working = lines("data", tests.iter().copied().map(shown));
    working.push(Step::new(
        "arithmetic",
        format!("{} < {made}, the year of manufacture on the nameplate", earliest.year()),
    ));
    working.push(Step::new(
        "look_alike",
        "the tests of the machine that stood there before: then they belong to another machine (windrow decide, question same_machine or machine)",
    ));
    Some(note(Doubt {
        rule: "before_manufacture",
        key: vec![asset.to_owned()],
        asset_id: first.asset_id().map(windrow_model::Text::new).clone(),
        statement: format!(
            "{}: {} older than the machine, which was made in {made}; the first is of {earliest}. A date, the nameplate, or whose tests \
             these are must be wrong.",
            first.tag(),
            counted(tests.len())
        ),
        value: Some(f64::from(earliest.year())),
        limit: Some(f64::from(made)),
        unit: "a",
        basis: "year of manufacture as the records tell it".to_owned(),
        working,
        evidence: tests.iter().map(|test| test.test_id().to_string()).collect(),
        seen: tests.iter().filter_map(Test::performed_on).max(),
        ..Doubt::default()
    }))
}

fn in_future(sheet: &SheetName, tests: &[Test<'_>], (records, known_on): (&Loaded, Date)) -> Option<Finding> {
    let latest = tests.iter().filter_map(Test::performed_on).max()?;
    let cells = tests.iter().flat_map(|test| records.resistances_of(test.place));
    let mut working = lines("data", tests.iter().copied().map(shown));
    working.push(Step::new("arithmetic", format!("{latest} > {known_on}, the day on which the records were known")));
    Some(note(Doubt {
        rule: "in_the_future",
        key: key(sheet),
        statement: format!(
            "{}: {} dated later than {known_on}, when these records were read; the last is of {latest}.",
            place(sheet),
            counted(tests.len())
        ),
        value: Some(f64::from(latest.year())),
        limit: Some(f64::from(known_on.year())),
        unit: "a",
        basis: "a test cannot be later than its record".to_owned(),
        working,
        proposal: entries(cells.map(|record| {
            let whose = shown(record.test());
            format!(
                "# the date that is meant, for {whose}\n{}",
                entry(Question::Date, "YYYY-MM-DD", sheet, Some(&record.cell()))
            )
        })),
        evidence: tests.iter().map(|test| test.test_id().to_string()).collect(),
        seen: Some(latest),
        ..Doubt::default()
    }))
}

#[cfg(test)]
mod tests {
    use crate::records::fixture::Records;
    use crate::records::fixture::test;
    use jiff::civil::date;

    fn find(records: &Records, known_on: Option<jiff::civil::Date>) -> Vec<windrow_model::Finding> {
        super::find(&records.loaded(), known_on)
    }

    #[test]
    fn tests_before_the_machine_and_after_the_import_are_told() {
        let mut early = test("M1", "1988-05-06", "S");
        early.made_year = Some(1997);
        let records = Records { tests: vec![early, test("M2", "2104-05-06", "S")], readings: Vec::new() };
        let found = find(&records, Some(date(2026, 11, 28)));
        assert_eq!(
            found.iter().map(|finding| finding.rule.as_str()).collect::<Vec<_>>(),
            ["before_manufacture", "in_the_future"]
        );
        assert!(found[0].statement.contains("made in 1997") && found[1].statement.contains("2104-05-06"));
    }

    #[test]
    fn the_year_of_manufacture_and_the_day_of_the_import_are_no_contradictions() {
        let mut new = test("M1", "1997-01-01", "S");
        (new.made_year, new.performed_precision) = (Some(1997), "year".into());
        let records = Records { tests: vec![new, test("M2", "2026-11-29", "S")], readings: Vec::new() };
        assert!(find(&records, Some(date(2026, 11, 28))).is_empty(), "one day of grace");
        assert!(find(&records, None).is_empty());
    }
}
