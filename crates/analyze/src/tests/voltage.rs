//! Step-voltage curves, withstand and inception levels, waveforms.

use super::fleet::{DAYS, Reading, Test, found, machine, only, reading, test};

fn steps(on: &'static str, bend_v: f64, factor: f64) -> Test {
    let one = |step: u8| {
        let volts = 1000.0 * f64::from(step);
        let wobble = if step.is_multiple_of(2) { 1.004 } else { 0.996 };
        let amperes = wobble * factor * (1e-9 * volts + 3e-9 * (volts - bend_v).max(0.0));
        Reading { volts: Some(volts), elapsed_s: Some(60.0), ..reading("leakage_current", "UVW-E", amperes) }
    };
    test("dc_step", on, (1..=9).map(one).collect())
}

#[test]
fn a_knee_is_watched_and_planned_for_when_it_comes_again() {
    let finding = only(&[machine("P-1", vec![steps(DAYS[0], 7000.0, 1.0)])], "step_voltage_knee");
    assert_eq!((finding.level.as_str(), finding.value), ("watch", Some(7000.0)));
    assert!(finding.statement.contains("repeat the test") && finding.evidence.len() == 9, "{}", finding.statement);
    let both = vec![steps(DAYS[0], 7000.0, 1.0), steps(DAYS[2], 5000.0, 1.0)];
    let finding = only(&[machine("P-1", both)], "step_voltage_knee");
    assert!(finding.level == "plan" && finding.statement.contains("has come lower"), "{}", finding.statement);
    assert_eq!(found(&[machine("P-1", vec![steps(DAYS[0], 20_000.0, 1.0)])], "step_voltage_knee"), []);
}

#[test]
fn leakage_that_grew_at_the_same_voltage_asks_for_a_repeat() {
    let tests = |warmer: Option<f64>| {
        let mut tests =
            vec![steps(DAYS[0], 20_000.0, 1.0), steps(DAYS[2], 20_000.0, 1.1), steps(DAYS[4], 20_000.0, 5.0)];
        tests[2].temperature_c = warmer.map(|warmer| 40.0 + warmer);
        vec![machine("P-1", tests)]
    };
    let finding = only(&tests(Some(0.0)), "leakage_growth");
    assert!(finding.level == "watch" && finding.statement.contains("repeat"), "{}", finding.statement);
    assert_eq!(found(&tests(Some(15.0)), "leakage_growth"), [], "warmth explains a factor of 2.8 of the 4.8");
    assert_eq!(only(&tests(None), "leakage_growth").level, "note");
}

fn inception(on: &'static str, kilovolts: f64, bound: &'static str) -> Test {
    let one = Reading { bound, ..reading("surge_inception_voltage", "U-V", 1e3 * kilovolts) };
    test("surge", on, vec![one])
}

#[test]
fn an_inception_level_that_falls_toward_its_stress_gets_a_date() {
    let levels = [24.0, 22.5, 20.0, 17.0, 13.5, 11.0];
    let tests: Vec<Test> = levels.iter().zip(DAYS).map(|(level, on)| inception(on, *level, "exact")).collect();
    let finding = only(&[machine("P-1", tests.clone())], "falling_strength");
    assert!(matches!(finding.level.as_str(), "plan" | "watch"), "{finding:#?}");
    assert!(finding.forecast_date.is_some() && finding.forecast_from <= finding.forecast_date, "{finding:#?}");
    assert!(finding.statement.contains("before the next planned test"), "{}", finding.statement);
}

#[test]
fn an_inception_below_its_stress_is_planned_for_and_acted_on_when_it_comes_again() {
    let tests = |levels: &[f64]| -> Vec<Test> {
        levels.iter().zip(DAYS).map(|(level, on)| inception(on, *level, "exact")).collect()
    };
    let once = only(&[machine("P-1", tests(&[20.0, 19.0, 5.0]))], "falling_strength");
    assert!(once.level == "plan" && once.statement.contains("repeat"), "{}", once.statement);
    let twice = only(&[machine("P-1", tests(&[20.0, 19.0, 5.0, 4.0]))], "falling_strength");
    assert!(twice.level == "act" && twice.statement.contains("no longer carries"), "{}", twice.statement);
}

/// A surge comparison that only failed says that phases differ, not that a voltage was not carried.
#[test]
fn a_failed_comparison_is_no_level() {
    let failed = |on: &'static str, outcome| {
        let peak = Reading { outcome: Some(outcome), ..reading("surge_peak_voltage", "U-V", 9e3) };
        test("surge", on, vec![peak])
    };
    let tests =
        vec![inception(DAYS[0], 20.0, "exact"), inception(DAYS[1], 19.0, "exact"), failed(DAYS[2], "broke_down")];
    assert_eq!(found(&[machine("P-1", tests)], "falling_strength"), [], "another rule tells of the breakdown");
}

#[test]
fn a_steady_inception_level_is_no_finding() {
    let levels = [20.0, 21.5, 19.0, 20.5, 19.8];
    let tests: Vec<Test> = levels.iter().zip(DAYS).map(|(level, on)| inception(on, *level, "exact")).collect();
    assert_eq!(found(&[machine("P-1", tests)], "falling_strength"), []);
}

#[test]
fn what_was_only_ever_withstood_gives_no_forecast() {
    let tests: Vec<Test> = DAYS[..5].iter().map(|on| inception(on, 14.0, "at_least")).collect();
    assert_eq!(found(&[machine("P-1", tests)], "falling_strength"), []);
}

fn ringing(frequency: f64) -> Vec<f32> {
    #[expect(clippy::cast_possible_truncation, reason = "as the store keeps samples")]
    let sample = |k: u16| {
        let t = f64::from(k) * 1e-6;
        (10_000.0 * (-4_000.0 * t).exp() * (2.0 * std::f64::consts::PI * frequency * t).cos()) as f32
    };
    (0..600).map(sample).collect()
}

#[test]
fn waveforms_that_differ_are_noted_without_a_limit() {
    let record = |on, frequencies: [f64; 3]| Test {
        waves: ["U-V", "V-W", "W-U"].into_iter().zip(frequencies.map(ringing)).collect(),
        ..test("surge", on, Vec::new())
    };
    let alike = record(DAYS[0], [20e3, 20e3, 20e3]);
    assert_eq!(found(&[machine("P-1", vec![alike.clone()])], "waveform_difference"), []);
    let differing = record(DAYS[1], [20e3, 20e3, 21e3]);
    let findings = found(&[machine("P-1", vec![alike, differing])], "waveform_difference");
    assert_eq!(findings.len(), 2, "between phases and between dates: {findings:#?}");
    for finding in &findings {
        assert!(finding.level == "note" && finding.limit.is_none(), "{finding:#?}");
        assert!(finding.statement.contains("No limit exists"), "{}", finding.statement);
    }
}
