//! Every line of `worked_examples.csv`, and every worked example beside it whose result is no number, is run by name or said here to be
//! outside, and why. A new line that nobody runs fails.

use std::collections::BTreeSet;

const EXAMPLES: &str = include_str!("../../../tests/reference/worked_examples.csv");

/// Examples whose result is no number: refusals, bounds, days and statements.
const WITHOUT_NUMBER: [&str; 8] = ["IR-17", "PI-06", "UN-06", "UN-12", "CP-03", "CP-05", "CP-06", "TR-06"];

/// Tests that name the examples that they run.
const RUN_IN: [&str; 9] = [
    include_str!("reference.rs"),
    include_str!("../../text/tests/worked_examples.rs"),
    include_str!("../../text/src/measure/tests.rs"),
    include_str!("../../text/src/date/tests.rs"),
    include_str!("../../sheet/src/reader/power_factor.rs"),
    include_str!("../../statistics/tests/reference/worked_examples.rs"),
    include_str!("../../analyze/src/tests/dissipation.rs"),
    include_str!("../../windrow/tests/cli/trade.rs"),
    include_str!("../../windrow/tests/cli/plan.rs"),
];

/// Examples that are no work of this program, and why. It reads records of insulation tests and performs none.
const OUTSIDE: [(&str, &str); 8] = [
    ("WR-11", "temperature rise of a heat run: no insulation test"),
    (
        "WR-16 WR-17 WR-18 WR-19",
        "phases and branches of a star or delta: records do not tell the connection, and a reading between lines stays what was read; limits of \
         unbalance are for readings as they were made",
    ),
    ("HP-21", "power that a test set must deliver: planning of a test, which is for those who make it"),
    (
        "DC-02 DC-06 DC-07 DC-08",
        "charging current, self-discharge and energy of a capacitance: whoever tests earths for four times the time charged (DC-09), whatever \
         the capacitance",
    ),
    (
        "DF-04 DF-05",
        "capacitance from a charging current, loss in watts: records tell capacitance and dissipation factor themselves, and no judgement needs the others",
    ),
    (
        "CP-03",
        "a current of milliamperes is not doubted by its size alone: units are read from words, a column off by a thousand is a note",
    ),
    ("CP-04", "inrush: no quantity of the schema"),
    (
        "TR-01",
        "share of the previous reading alone: the step and the fall are weighed against the scatter of the machine and of the fleet",
    ),
];

#[test]
fn every_example_is_run_by_name_or_said_to_be_outside() {
    let mut rows = csv::Reader::from_reader(EXAMPLES.as_bytes());
    let numbers: BTreeSet<String> = rows.records().map(|row| row.unwrap()[0].to_owned()).collect();
    let ids: BTreeSet<&str> = numbers.iter().map(String::as_str).chain(WITHOUT_NUMBER).collect();
    let run: BTreeSet<&str> = ids.iter().copied().filter(|id| RUN_IN.iter().any(|text| text.contains(id))).collect();
    let outside: BTreeSet<&str> = OUTSIDE.iter().flat_map(|(ids, _)| ids.split(' ')).collect();
    let forgotten: Vec<&&str> = ids.iter().filter(|id| !run.contains(*id) && !outside.contains(*id)).collect();
    assert!(forgotten.is_empty(), "nobody runs {forgotten:?}");
    let both: Vec<&&str> = outside.intersection(&run).collect();
    assert!(both.is_empty(), "run and said to be outside: {both:?}");
    let unknown: Vec<&&str> = outside.difference(&ids).collect();
    assert!(unknown.is_empty(), "no such examples: {unknown:?}");
    assert_eq!((numbers.len(), ids.len(), run.len(), outside.len()), (141, 149, 134, 15));
}
