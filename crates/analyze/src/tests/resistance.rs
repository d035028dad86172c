//! Insulation and winding resistance over the years.

use super::fleet::{DAYS, Machine, Reading, Test, analysis, found, machine, megohms, only, reading, test, yearly};

/// A scatter of the size that healthy windings show, without a trend.
const STEADY: [f64; 8] = [900.0, 1200.0, 700.0, 1100.0, 800.0, 1300.0, 950.0, 1000.0];

#[test]
fn a_fall_over_the_years_is_described() {
    let falling = machine("P-1", yearly(&[3000.0, 2400.0, 1500.0, 1300.0, 700.0, 500.0, 380.0]));
    let finding = only(&[falling], "falling_trend");
    assert_eq!(finding.level, "watch");
    assert!(
        finding.statement.contains("by a factor 1.43 a year") && finding.statement.contains("7 tests"),
        "{}",
        finding.statement
    );
    assert!(finding.statement.contains("still above its minimum of 100 MΩ, but"), "{}", finding.statement);
    assert!(finding.q_value.is_some() && finding.evidence.len() == 7);
}

#[test]
fn a_steady_winding_has_no_finding() {
    assert_eq!(analysis(&[machine("P-1", yearly(&STEADY))]).findings, []);
}

#[test]
fn one_slow_fall_among_many_steady_machines_is_a_note_only() {
    let tags = ["A", "B", "C", "D", "E", "F", "G", "H", "I", "J", "K", "L", "M", "N", "O"];
    let mut machines: Vec<Machine> = tags.iter().map(|tag| machine(tag, yearly(&STEADY))).collect();
    // S = -8 of 10 pairs: p = 0.083, and S = -10: p = 0.017 (exact table), which among sixteen machines is no surprise.
    machines.push(machine("Z", yearly(&[900.0, 700.0, 500.0, 400.0, 250.0])));
    assert_eq!(only(&machines, "falling_trend").level, "note");
}

#[test]
fn readings_before_a_rewind_belong_to_another_winding() {
    let mut rewound = machine("P-1", yearly(&[3000.0, 2400.0, 1500.0, 1300.0, 700.0, 500.0, 380.0]));
    rewound.rewound_years = vec![2008];
    assert_eq!(found(&[rewound.clone()], "falling_trend"), []);
    rewound.rewound_years = Vec::new();
    rewound.tests[4].stage = Some("after_rewind");
    assert_eq!(found(&[rewound], "falling_trend"), []);
}

#[test]
fn a_step_down_is_told_apart_from_drift() {
    let values = [900.0, 1200.0, 800.0, 1100.0, 150.0, 110.0, 130.0];
    let finding = only(&[machine("P-1", yearly(&values))], "step_change");
    assert_eq!(finding.level, "watch");
    assert!(finding.statement.contains("between 2008-05-01 and 2009-05-01"), "{}", finding.statement);
    assert!(finding.statement.contains("3 tests since confirm it"), "{}", finding.statement);
    assert_eq!(found(&[machine("P-1", yearly(&values))], "falling_trend"), []);
}

/// The step of two tests of which one series in a hundred seems to have as large a one: among a hundred steady machines a note.
#[test]
fn a_step_that_chance_explains_among_so_many_machines_is_a_note() {
    const TAGS: [&str; 12] = ["A", "B", "C", "D", "E", "F", "G", "H", "I", "J", "K", "L"];
    let values = [900.0, 1200.0, 800.0, 1100.0, 950.0, 310.0, 290.0];
    let alone = only(&[machine("P-1", yearly(&values))], "step_change");
    let mut machines: Vec<Machine> = TAGS.iter().map(|tag| machine(tag, yearly(&STEADY))).collect();
    machines.push(machine("P-1", yearly(&values)));
    let among = only(&machines, "step_change");
    assert!(among.q_value > alone.q_value, "{:?} {:?}", among.q_value, alone.q_value);
    assert!(among.working.iter().any(|step| step.detail.contains("13 series of four tests or more of this fleet")));
}

#[test]
fn a_step_at_the_newest_test_alone_asks_for_a_repeat() {
    let finding = only(&[machine("P-1", yearly(&[900.0, 1200.0, 800.0, 1100.0, 1000.0, 90.0]))], "step_change");
    assert_eq!(finding.level, "watch");
    assert!(finding.statement.contains("repeat the test"), "{}", finding.statement);
}

#[test]
fn a_reading_that_the_next_one_takes_back_is_no_step() {
    assert_eq!(
        found(&[machine("P-1", yearly(&[2000.0, 1800.0, 2100.0, 1900.0, 1700.0, 2.0, 1800.0]))], "step_change"),
        []
    );
}

/// A plateau, then a fall that goes on: drift, however well one step fits the logarithms.
#[test]
fn a_fall_that_goes_on_is_drift() {
    let values = [1500.0, 1400.0, 1600.0, 1450.0, 1300.0, 1000.0, 400.0, 300.0, 200.0, 30.0, 4.0, 1.3, 0.6];
    let machines = [machine("P-1", yearly(&values))];
    assert_eq!(found(&machines, "step_change"), []);
    assert_eq!(only(&machines, "falling_trend").level, "watch");
}

/// Thirty years of a level that held, and a fall since: one straight slope over all of them is slower than ageing is told.
#[test]
fn a_level_that_held_for_decades_does_not_hide_what_it_does_since() {
    const YEARS: [&str; 14] = [
        "1975-05-01",
        "1978-05-01",
        "1981-05-01",
        "1984-05-01",
        "1987-05-01",
        "1990-05-01",
        "1993-05-01",
        "1996-05-01",
        "1999-05-01",
        "2002-05-01",
        "2005-05-01",
        "2008-05-01",
        "2011-05-01",
        "2014-05-01",
    ];
    let of = |values: [f64; 14]| {
        [machine("P-1", values.iter().zip(YEARS).map(|(value, on)| megohms(on, *value, "exact")).collect())]
    };
    let held = [1500.0, 1450.0, 1550.0, 1400.0, 1480.0, 1520.0, 1430.0, 1470.0, 1410.0, 1380.0];
    let with = |newest: [f64; 4]| {
        let mut values = [0.0; 14];
        values[..10].copy_from_slice(&held);
        values[10..].copy_from_slice(&newest);
        of(values)
    };
    let finding = only(&with([1200.0, 400.0, 60.0, 8.0]), "falling_trend");
    assert!(finding.statement.contains("late rather than evenly, from about 1480 MΩ"), "{}", finding.statement);
    assert!(finding.value.is_some_and(|slope| slope < -0.03), "{finding:#?}");
    assert_eq!(found(&with([1350.0, 1300.0, 1100.0, 900.0]), "falling_trend"), [], "slow ageing is no news");
    assert_eq!(found(&with([1370.0, 1360.0, 1350.0, 8.0]), "falling_trend"), [], "one bad reading is no fall");
}

/// Sound windings age too.
#[test]
fn slow_ageing_is_no_news() {
    let values: Vec<f64> = (0_u8..16)
        .map(|year| 3000.0 * 0.945_f64.powi(i32::from(year)) * (1.0 + 0.01 * f64::from(year * 7 % 5)))
        .collect();
    assert_eq!(analysis(&[machine("P-1", yearly(&values))]).findings, []);
}

#[test]
fn a_step_up_is_asked_about_unless_the_record_tells_why() {
    let mut risen = machine("P-1", yearly(&[200.0, 150.0, 180.0, 2000.0, 1500.0, 1800.0]));
    let finding = only(&[risen.clone()], "step_change");
    assert_eq!(finding.level, "note");
    assert!(finding.statement.contains("ask what was done"), "{}", finding.statement);
    risen.tests[3].stage = Some("after_cleaning");
    assert_eq!(found(&[risen], "step_change"), []);
}

/// ">2000" four times and then less: the ceilings hide how deep the fall is, not that there is one.
#[test]
fn ceilings_before_a_step_do_not_hide_it() {
    let bounded = |on| megohms(on, 2000.0, "at_least");
    let mut tests: Vec<Test> = DAYS[..4].iter().map(|on| bounded(on)).collect();
    tests.extend([megohms(DAYS[4], 200.0, "exact"), megohms(DAYS[5], 150.0, "exact")]);
    assert_eq!(only(&[machine("P-1", tests.clone())], "step_change").level, "plan");
    // A ceiling on the low side may hide anything: no step is stated.
    tests[5] = megohms(DAYS[5], 150.0, "at_least");
    assert_eq!(found(&[machine("P-1", tests)], "step_change"), []);
}

#[test]
fn a_watched_winding_gets_an_outlook_with_dates() {
    let falling = [2000.0, 1500.0, 1300.0, 900.0, 600.0, 350.0, 190.0];
    let finding = only(&[machine("P-1", yearly(&falling))], "minimum_ahead");
    assert_eq!(finding.level, "plan");
    assert!(finding.statement.contains("before the next planned test"), "{}", finding.statement);
    let (from, middle) = (finding.forecast_from.unwrap(), finding.forecast_date.unwrap());
    assert!(from <= middle && from.year() >= 2011 && middle.year() <= 2014, "{from} {middle}");
    assert_eq!(found(&[machine("P-1", yearly(&STEADY))], "minimum_ahead"), [], "nothing was found on it");
}

#[test]
fn temperature_left_over_is_stated_from_twelve_readings_on() {
    let tests = |count: usize| -> Vec<Test> {
        DAYS[..count]
            .iter()
            .enumerate()
            .map(|(index, on)| {
                let number = |from: usize| f64::from(u8::try_from(from).unwrap());
                let (warm, wobble) = (20.0 + 2.5 * number(index * 5 % 16), 1.0 + 0.02 * number(index * 7 % 5));
                let value = 1000.0 * wobble * 10_f64.powf(-0.025 * (warm - 40.0));
                Test { temperature_c: Some(warm), ..megohms(on, value, "exact") }
            })
            .collect()
    };
    let finding = only(&[machine("P-1", tests(14))], "temperature_left_over");
    assert!(finding.level == "note" && finding.statement.contains("10 K"), "{}", finding.statement);
    assert_eq!(found(&[machine("P-1", tests(11))], "temperature_left_over"), []);
}

fn phases(on: &'static str, values: [f64; 3]) -> Test {
    let one = |(circuit, value): (&'static str, f64)| Reading {
        elapsed_s: Some(60.0),
        ..reading("insulation_resistance", circuit, value * 1e6)
    };
    test("insulation_resistance", on, ["U-E", "V-E", "W-E"].into_iter().zip(values).map(one).collect())
}

#[test]
fn a_phase_that_falls_behind_is_named() {
    let tests = vec![
        phases(DAYS[0], [900.0, 1000.0, 1100.0]),
        phases(DAYS[1], [700.0, 800.0, 650.0]),
        phases(DAYS[2], [900.0, 120.0, 1000.0]),
    ];
    let finding = only(&[machine("P-1", tests.clone())], "phase_divergence");
    assert!(finding.level == "watch" && finding.statement.contains("phase V-E"), "{}", finding.statement);
    assert!(finding.statement.contains("repeat"), "{}", finding.statement);
    let again = [tests, vec![phases(DAYS[3], [800.0, 100.0, 900.0])]].concat();
    assert_eq!(only(&[machine("P-1", again)], "phase_divergence").level, "plan");
}

fn windings(on: &'static str, values: [f64; 3]) -> Test {
    let one = |(circuit, value): (&'static str, f64)| reading("winding_resistance", circuit, value);
    test("winding_resistance", on, ["U-V", "V-W", "W-U"].into_iter().zip(values).map(one).collect())
}

#[test]
fn an_unbalance_that_grows_below_its_limit_is_watched() {
    let tests = vec![
        windings(DAYS[0], [0.500, 0.502, 0.501]),
        windings(DAYS[1], [0.501, 0.502, 0.500]),
        windings(DAYS[2], [0.500, 0.501, 0.506]),
    ];
    let finding = only(&[machine("P-1", tests)], "unbalance_growth");
    assert!(finding.level == "watch" && finding.statement.contains("but the unbalance"), "{}", finding.statement);
}
