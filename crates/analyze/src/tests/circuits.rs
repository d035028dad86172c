//! Windings of which several circuits were measured: stator and rotor, all phases together and each alone.

use super::fleet::{DAYS, Machine, Reading, Test, analysis, circuits, found, machine, megohms, minute, only, test};
use crate::Analysis;

/// Falls by 1.43 a year.
const FALLING: [f64; 7] = [3000.0, 2400.0, 1500.0, 1300.0, 700.0, 500.0, 380.0];
const STEADY: [f64; 8] = [900.0, 1200.0, 700.0, 1100.0, 800.0, 1300.0, 950.0, 1000.0];

/// Yearly tests of one circuit.
fn yearly_of(circuit: &'static str, days: &[&'static str], values: &[f64]) -> Vec<Test> {
    days.iter().zip(values).map(|(on, value)| circuits(on, &[(circuit, *value)])).collect()
}

/// Whether the insulation resistance of each review took part in the fleet model.
fn takes_part(analysis: &Analysis) -> Vec<bool> {
    analysis.reviewed.iter().map(|review| review.surprise.is_finite()).collect()
}

#[test]
fn a_part_that_cannot_be_brought_to_40_degrees_makes_no_series() {
    let mut tests = yearly_of("U-E", &DAYS[..7], &FALLING);
    let unknown = |on: &&'static str| {
        test("insulation_resistance", on, vec![Reading { correctable: false, ..minute("UVW-E", 900.0) }])
    };
    tests.extend(DAYS[..9].iter().map(unknown));
    let finding = only(&[machine("P-1", tests)], "falling_trend");
    let told = |text: &str| finding.working.iter().any(|step| step.detail == text);
    assert!(told("2 later tests measured other circuits"), "{:#?}", finding.working);
}

#[test]
fn several_tests_of_one_day_are_one_day_of_a_history() {
    let mut tests = yearly_of("U-E", &DAYS[..7], &FALLING);
    for on in &DAYS[13..16] {
        tests.extend([circuits(on, &[("UVW-E", 900.0)]), circuits(on, &[("UVW-E", 950.0)])]);
    }
    let finding = only(&[machine("P-1", tests)], "falling_trend");
    assert!(finding.statement.contains("7 tests"), "{}", finding.statement);
}

#[test]
fn reviews_look_at_the_part_of_the_present_winding_that_was_measured() {
    let mut tests = yearly_of("U-E", &DAYS[..7], &STEADY);
    tests.extend(yearly_of("UVW-E", &DAYS[9..12], &STEADY));
    let rewound = Machine { rewound_years: vec![2012], ..machine("P-1", tests) };
    assert_eq!(takes_part(&analysis(&[rewound]))[7..], [true; 3]);
}

#[test]
fn reviews_of_a_machine_whose_rotor_is_tested_most_look_at_the_stator_part_tested_most() {
    let mut tests = yearly_of("R-E", &DAYS[..8], &STEADY);
    tests.extend(yearly_of("UVW-E", &DAYS[8..9], &STEADY));
    tests.extend(yearly_of("U-E", &DAYS[9..14], &STEADY));
    assert_eq!(takes_part(&analysis(&[machine("P-1", tests)]))[9..], [true; 5]);
}

/// IEEE 43-2013 Table 3 goes by the rated voltage of stator or armature (clause 3 and the footnotes of the table, from memory): 100 MΩ here,
/// which a rotor of some hundred volts never meets.
#[test]
fn a_rotor_is_not_held_against_the_minimum_of_its_stator_and_does_not_hide_it() {
    let both = |on, stator: f64| circuits(on, &[("UVW-E", stator), ("R-E", 2.0)]);
    let sound = machine("P-1", vec![both(DAYS[0], 500.0), both(DAYS[1], 480.0)]);
    let told = analysis(std::slice::from_ref(&sound));
    assert_eq!(found(&[sound], "ir_minimum"), []);
    assert_eq!(told.summaries[0].ir_1min_ohm, Some(500e6));
    assert!(told.summaries[0].ir_minimum_ohm.is_some());
    let wet = machine("P-1", vec![both(DAYS[0], 50.0), both(DAYS[1], 40.0), circuits(DAYS[2], &[("R-E", 2.0)])]);
    let finding = only(std::slice::from_ref(&wet), "ir_minimum");
    assert!(finding.level == "act" && finding.value == Some(40e6), "{finding:#?}");
    assert!(finding.statement.contains("(UVW-E)"), "{}", finding.statement);
    let rotor = analysis(&[wet]).summaries.remove(2);
    assert_eq!((rotor.ir_1min_ohm, rotor.ir_minimum_ohm), (Some(2e6), None));
}

#[test]
fn an_armature_is_held_against_the_minimum() {
    let tests = vec![circuits(DAYS[0], &[("A-E", 50.0), ("F-E", 1.0)])];
    let finding = only(&[machine("P-1", tests)], "ir_minimum");
    assert!(finding.value == Some(50e6) && finding.statement.contains("(A-E)"), "{finding:#?}");
}

#[test]
fn a_rotor_that_falls_is_told_without_the_minimum_of_the_stator() {
    let machines = [machine("P-1", yearly_of("R-E", &DAYS[..7], &FALLING))];
    let finding = only(&machines, "falling_trend");
    assert!(!finding.statement.contains("minimum"), "{}", finding.statement);
    assert_eq!(found(&machines, "minimum_ahead"), []);
}

#[test]
fn a_slip_is_told_of_the_test_that_read_it() {
    let mut tests: Vec<Test> = STEADY.iter().zip(DAYS).map(|(value, on)| megohms(on, *value, "exact")).collect();
    tests.push(circuits(DAYS[8], &[("R-E", 300.0)]));
    tests.push(megohms(DAYS[8], 1e6, "exact"));
    let finding = only(&[machine("P-1", tests)], "unit_slip");
    assert_eq!(finding.test_id.as_deref(), Some("P-1 09"));
    assert_eq!(finding.evidence, ["P-1 09 r0"]);
    assert!(
        finding.basis.contains("within 1.25 of 3 decades") && finding.basis.contains("chance of 0.55 or more"),
        "{}",
        finding.basis
    );
}

#[test]
fn what_the_fleet_says_of_a_ground_wall_is_told_of_the_test_that_read_it() {
    let tags = ["A", "B", "C", "D", "E", "F", "G", "H", "I", "J", "K", "L", "M", "N", "O"];
    let steady = || -> Vec<Test> { STEADY.iter().zip(DAYS).map(|(value, on)| megohms(on, *value, "exact")).collect() };
    let mut machines: Vec<Machine> = tags.iter().map(|tag| machine(tag, steady())).collect();
    let mut tests = steady();
    tests.extend([circuits(DAYS[8], &[("R-E", 300.0)]), megohms(DAYS[8], 9.0, "exact")]);
    machines.push(machine("Z", tests));
    assert_eq!(only(&machines, "fleet_ground_wall").test_id.as_deref(), Some("Z 09"));
}

#[test]
fn in_a_fleet_of_a_few_no_machine_is_judged_beside_the_others() {
    let ranked = |count: usize| {
        let tags = ["A", "B", "C", "D", "E"];
        let machines: Vec<Machine> =
            tags[..count].iter().map(|tag| machine(tag, yearly_of("UVW-E", &DAYS[..8], &STEADY))).collect();
        analysis(&machines).ranking
    };
    assert!(ranked(4).iter().all(|ranked| ranked.p.is_none() && ranked.q.is_none()));
    assert!(ranked(5).iter().all(|ranked| ranked.q.is_some()));
}
