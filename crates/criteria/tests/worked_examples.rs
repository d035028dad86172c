//! Every line of `worked_examples.csv` is run by name, or said here to be the arithmetic of a textbook that no function of this program
//! does. A new line that nobody runs fails.

use std::collections::BTreeSet;

const EXAMPLES: &str = include_str!("../../../tests/reference/worked_examples.csv");

/// Tests that name the examples that they run.
const RUN_IN: [&str; 4] = [
    include_str!("reference.rs"),
    include_str!("../../text/tests/worked_examples.rs"),
    include_str!("../../text/src/measure/tests.rs"),
    include_str!("../../windrow/tests/cli/trade.rs"),
];

/// Examples without a function: what the program neither computes nor judges.
const NO_FUNCTION: [(&str, &str); 10] = [
    (
        "WR-11 WR-16 WR-17 WR-18 WR-19",
        "temperature rise, and phases of a star or delta: readings between lines stay as read",
    ),
    ("HP-21", "reactive power of an alternating test"),
    ("DC-01 DC-02 DC-06 DC-07 DC-08", "ramp rates, charging current, time constant and energy of a capacitance"),
    ("DC-10", "rise of the current over the last step"),
    ("DF-01 DF-02 DF-03 DF-04 DF-05", "power factor, tip-up, capacitance and loss: dissipation factors stay as read"),
    ("UN-09", "a difference of temperatures: no quantity of the schema"),
    ("CP-04", "inrush: no quantity of the schema"),
    ("TR-01 TR-03 TR-05", "shares and ratios of two readings"),
    ("TR-02", "slope of an exact halving: the slope is held against the cases of stats_trend.json"),
    ("TR-04", "a robust score: scores are held against the cases of stats_robust.json"),
];

#[test]
fn every_example_is_run_by_name_or_said_to_have_no_function() {
    let mut rows = csv::Reader::from_reader(EXAMPLES.as_bytes());
    let ids: BTreeSet<String> = rows.records().map(|row| row.unwrap()[0].to_owned()).collect();
    let run: BTreeSet<&String> = ids.iter().filter(|id| RUN_IN.iter().any(|text| text.contains(id.as_str()))).collect();
    let without: BTreeSet<&str> = NO_FUNCTION.iter().flat_map(|(ids, _)| ids.split(' ')).collect();
    let forgotten: Vec<&String> = ids.iter().filter(|id| !run.contains(id) && !without.contains(id.as_str())).collect();
    assert!(forgotten.is_empty(), "nobody runs {forgotten:?}");
    let both: Vec<&&str> = without.iter().filter(|id| run.iter().any(|run| run.as_str() == **id)).collect();
    assert!(both.is_empty(), "run and said to be not run: {both:?}");
    assert_eq!((run.len(), without.len(), ids.len()), (117, 24, 141));
}
