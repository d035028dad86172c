//! Records of which little can be said: an answer, never a crash and never a false certainty.

use super::fleet::{DAYS, Machine, Test, analysis, found, machine, megohms, only, yearly};

fn rules(machines: &[Machine]) -> Vec<String> {
    analysis(machines).findings.into_iter().map(|finding| finding.rule).collect()
}

#[test]
fn without_a_nameplate_a_trend_is_told_without_a_limit() {
    let mut unknown = machine("P-1", yearly(&[3000.0, 2400.0, 1500.0, 1300.0, 700.0, 500.0, 380.0]));
    unknown.rated_voltage_v = None;
    let finding = only(&[unknown.clone()], "falling_trend");
    assert!(!finding.statement.contains("minimum"), "{}", finding.statement);
    assert_eq!(found(&[unknown], "minimum_ahead"), []);
}

#[test]
fn one_test_has_no_history() {
    assert_eq!(rules(&[machine("P-1", yearly(&[900.0]))]), Vec::<String>::new());
}

#[test]
fn only_ceilings_have_no_trend_and_no_step() {
    let tests: Vec<Test> = DAYS[..8].iter().map(|on| megohms(on, 2000.0, "at_least")).collect();
    assert_eq!(rules(&[machine("P-1", tests)]), Vec::<String>::new());
}

#[test]
fn equal_readings_do_not_fall() {
    assert!(
        rules(&[machine("P-1", yearly(&[500.0; 9]))])
            .iter()
            .all(|rule| rule != "falling_trend" && rule != "step_change")
    );
}

#[test]
fn undated_tests_are_in_no_series() {
    let mut tests = yearly(&[3000.0, 2400.0, 1500.0, 1300.0, 700.0, 500.0, 380.0]);
    for test in &mut tests {
        test.on = None;
    }
    let rules = rules(&[machine("P-1", tests)]);
    assert!(rules.iter().all(|rule| rule != "falling_trend" && rule != "minimum_ahead"), "{rules:?}");
}

#[test]
fn what_is_no_number_is_told_and_left_out() {
    let values = [3000.0, 2400.0, 1500.0, 1300.0, 700.0, 500.0, 380.0];
    let clean = analysis(&[machine("P-1", yearly(&values))]);
    let mut spoiled = machine("P-1", yearly(&values));
    for (value, on) in [(f64::NAN, "2012-03-01"), (f64::INFINITY, "2012-04-01"), (f64::NEG_INFINITY, "2012-06-01")] {
        spoiled.tests.push(megohms(on, value, "exact"));
    }
    let found = analysis(&[spoiled]);
    let trend = |analysis: &crate::Analysis| {
        analysis
            .findings
            .iter()
            .find(|finding| finding.rule == "falling_trend")
            .map(|finding| finding.statement.clone())
    };
    assert_eq!(trend(&found), trend(&clean));
    let told = found.findings.iter().filter(|finding| finding.rule == "not_a_number").count();
    assert_eq!(told, 3);
}

/// Same rows, same findings, whatever their order.
#[test]
fn order_of_machines_and_tests_changes_nothing() {
    let mut machines = vec![
        machine("A", yearly(&[3000.0, 2400.0, 1500.0, 1300.0, 700.0, 500.0, 380.0])),
        machine("B", yearly(&[900.0, 1200.0, 800.0, 1100.0, 150.0, 110.0, 130.0])),
    ];
    let before = analysis(&machines).findings;
    machines.reverse();
    assert_eq!(analysis(&machines).findings, before);
}

#[test]
fn nothing_is_ever_called_safe() {
    let machines = [machine("A", yearly(&[3000.0, 2400.0, 1500.0, 1300.0, 700.0, 500.0, 380.0]))];
    for finding in analysis(&machines).findings {
        assert!(!finding.statement.to_lowercase().contains("safe") && !finding.cautions.is_empty(), "{finding:#?}");
    }
}
