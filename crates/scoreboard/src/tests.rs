//! The scoreboard on a small fleet: fails when the method is broken.

use super::habits::{A, Habits};
use super::run::{flagged, outcome};
use super::{direct, draw, measure, tables};
use std::collections::HashMap;
use windrow_analyze::analyze;
use windrow_dice::Dice;
use windrow_model::Finding;
use windrow_model::settings::Settings;

/// Half of the faults of 800 machines at ten false alarms per thousand reviews, twice what a drop below the own median finds there.
#[test]
fn the_analyzer_finds_faults_and_keeps_quiet_otherwise() {
    let outcome = outcome(Habits { faults: 0.15, ..A }, 800, 7).unwrap();
    let found = |scores: &[f64]| {
        measure::detected(&outcome.world, scores, measure::threshold(&outcome.world, scores, 10.0)).all
    };
    let rules = super::baselines::all(&outcome.world);
    let best = rules.iter().map(|(_, scores)| found(scores)).fold(0.0, f64::max);
    let ours = found(&outcome.scores);
    assert!(ours > 0.5 && ours > best, "{ours} against {best}");
    let (wrong, right) = measure::discoveries(&measure::faulty_now(&outcome.world), &flagged(&outcome, 0.1));
    assert!(wrong <= 0.15 && right > 0.2, "{wrong} wrong, {right} found");
}

/// Both ways into the model are one: columns straight from the world, and rows through tables, frames and features.
#[test]
fn the_tables_give_the_scores_of_the_columns() {
    let world = draw::world(super::habits::C, 300, 11);
    let straight = windrow_fleet::score(&direct::columns(&world));
    let frames = tables::frames(tables::rows(&world, 0)).unwrap();
    let analysis = analyze(&frames, &Settings::default()).unwrap();
    assert_eq!(straight.by_review.len(), analysis.reviewed.len());
    for (place, (a, b)) in straight.by_review.iter().zip(&analysis.reviewed).enumerate() {
        assert!((a - b.p).abs() < 1e-6 || a.is_nan() && b.p.is_nan(), "review {place}: {a} and {}", b.p);
    }
}

/// Neither the order of rows nor the number of threads reaches the findings.
#[test]
fn findings_are_the_same_in_any_order_and_with_any_threads() {
    let world = draw::world(super::habits::C, 200, 3);
    let straight = analyze(&tables::frames(tables::rows(&world, 0)).unwrap(), &Settings::default()).unwrap();
    assert!(straight.findings.iter().any(|finding| finding.q_value.is_some()), "the fleet has something to tell");
    let mut rows = tables::rows(&world, 0);
    let mut dice = Dice::new(9, 9);
    dice.shuffle(&mut rows.assets);
    dice.shuffle(&mut rows.tests);
    dice.shuffle(&mut rows.readings);
    let frames = tables::frames(rows).unwrap();
    let pool = rayon::ThreadPoolBuilder::new().num_threads(5).build().unwrap();
    let shuffled = pool.install(|| analyze(&frames, &Settings::default())).unwrap();
    assert_eq!(straight.findings, shuffled.findings);
    assert_eq!(straight.ranking, shuffled.ranking);
}

/// Nor does the number of parts in which the machines are worked on.
#[test]
fn findings_are_the_same_in_any_number_of_parts() {
    let world = draw::world(super::habits::C, 120, 8);
    let frames = tables::frames(tables::rows(&world, 0)).unwrap();
    let whole = windrow_analyze::analyze_in_parts(&frames, &Settings::default(), 120).unwrap();
    assert!(whole.findings.len() > 5 && whole.summaries.len() > 500, "the fleet has something to tell");
    for machines in [1, 7, 64] {
        let parts = windrow_analyze::analyze_in_parts(&frames, &Settings::default(), machines).unwrap();
        assert!(parts == whole, "parts of {machines} machines");
    }
}

/// What is measured without forecasts is the whole analysis but for them.
#[test]
fn without_forecasts_only_what_they_tell_is_missing() {
    let world = draw::world(Habits { faults: 0.3, ..A }, 300, 5);
    let frames = tables::frames(tables::rows(&world, 0)).unwrap();
    let whole = analyze(&frames, &Settings::default()).unwrap();
    let (mut summaries, mut coverage) = (Vec::new(), Vec::new());
    let rest = windrow_analyze::analyze_without_forecasts(&frames, &Settings::default(), &mut |rows| {
        summaries.extend(rows.summaries);
        coverage.extend(rows.coverage);
    });
    let rest = rest.unwrap();
    let forecast = |findings: &[Finding]| findings.iter().filter(|finding| finding.forecast_from.is_some()).count();
    assert!(forecast(&whole.findings) > 3 && forecast(&rest.findings) == 0, "{}", forecast(&whole.findings));
    let others = |findings: &[Finding]| -> Vec<Finding> {
        let is_other = |finding: &&Finding| !["minimum_ahead", "falling_strength"].contains(&finding.rule.as_str());
        findings.iter().filter(is_other).cloned().collect()
    };
    assert_eq!(others(&whole.findings), others(&rest.findings));
    assert!(whole.summaries == summaries && whole.coverage == coverage && whole.ranking == rest.ranking);
}

/// What the fleet model says has a rate, evidence down to readings, its working, a basis and a next test; one reading says "repeat".
#[test]
fn findings_of_the_fleet_say_what_they_rest_on() {
    let outcome = outcome(Habits { faults: 0.15, ..A }, 600, 21).unwrap();
    let rules = ["fleet_ground_wall", "fleet_conductor", "fleet_turns"];
    let findings: Vec<_> =
        outcome.analysis.findings.iter().filter(|finding| rules.contains(&finding.rule.as_str())).collect();
    assert!(findings.len() > 5, "{}", findings.len());
    for finding in findings {
        let q = finding.q_value.unwrap();
        let one = finding.statement.contains("one reading: repeat the test");
        match finding.level.as_str() {
            "act" => assert!(q <= 0.01 && !one, "{finding:?}"),
            "plan" => assert!(q <= 0.10, "{finding:?}"),
            level => assert!(level == "watch" && q <= 0.20, "{finding:?}"),
        }
        assert!(
            !finding.evidence.is_empty() && !finding.working.is_empty() && !finding.cautions.is_empty(),
            "{finding:?}"
        );
        assert!(finding.basis.contains("Benjamini") && finding.next_test.is_some(), "{finding:?}");
        let tells = |name: &str| finding.working.iter().any(|step| step.step == name);
        assert!(tells("group") && tells("chance"), "whom it was compared with: {finding:?}");
        assert!(!finding.statement.contains("safe"), "{finding:?}");
    }
}

/// A tenth of the site-years wet: told as such, and not of the machines.
#[test]
fn a_site_that_reads_low_in_one_year_is_a_finding_of_its_own() {
    let wet = Habits { faults: 0.0, wet: (0.1, 0.8), site: 60, ..A };
    let outcome = outcome(wet, 600, 4).unwrap();
    let campaigns = outcome.analysis.findings.iter().filter(|finding| finding.rule == "odd_campaign");
    let lower = campaigns.filter(|finding| finding.statement.contains("times lower")).count();
    assert!(lower > 3, "{lower}");
    let machines = flagged(&outcome, 0.1).iter().filter(|flagged| **flagged).count();
    assert!(machines <= 2, "{machines} machines are flagged for the weather of their site");
}

#[test]
fn fleets_of_one_and_of_ten_keep_quiet() {
    for (count, seed) in [(1, 1), (10, 2), (10, 3), (10, 4)] {
        let outcome = outcome(Habits { faults: 0.0, ..A }, count, seed).unwrap();
        // That whoever read them rounds, as the simulated hands do, is true and says nothing of a machine.
        let of_machine = |finding: &&Finding| finding.q_value.is_some() && finding.asset_id.is_some();
        let told: Vec<_> = outcome.analysis.findings.iter().filter(of_machine).collect();
        assert!(told.is_empty(), "{told:?}");
    }
}

/// Dates that are not known, numbers that are none, nameplates that tell nothing: an answer, and nobody else is touched.
#[test]
fn odd_records_are_answered() {
    let world = draw::world(A, 60, 6);
    let mut rows = tables::rows(&world, 0);
    let of = |id: &str, number: u32| id.starts_with(&format!("m{number:07}"));
    let machine_of: HashMap<_, _> =
        rows.tests.iter().map(|test| (test.test_id.clone(), test.asset_id.clone().unwrap_or_default())).collect();
    for test in rows.tests.iter_mut().filter(|test| of(&machine_of[&test.test_id], 3)) {
        test.performed_on = None;
        test.performed_precision = "unknown".into();
    }
    for (place, reading) in rows.readings.iter_mut().filter(|reading| of(&machine_of[&reading.test_id], 5)).enumerate()
    {
        reading.value = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 0.0, -1.0][place % 5];
        reading.value_ref = Some(reading.value);
    }
    for reading in rows.readings.iter_mut().filter(|reading| of(&machine_of[&reading.test_id], 7)) {
        reading.bound = "at_least".into();
    }
    for asset in rows.assets.iter_mut().filter(|asset| of(&asset.asset_id, 9)) {
        asset.site = None;
        asset.manufacturer = None;
        asset.rated_voltage_v = None;
        asset.winding_kind = None;
        asset.insulation_class = None;
        asset.insulation_era = None;
        asset.made_year = None;
    }
    let analysis = analyze(&tables::frames(rows).unwrap(), &Settings::default()).unwrap();
    let p = |number: u32| analysis.ranking.iter().find(|ranked| of(&ranked.asset_id, number)).unwrap().p;
    assert_eq!((p(3), p(5)), (None, None), "nothing to judge is told as such");
    assert!(p(7).unwrap() > 0.3, "ceilings are no bad news: {:?}", p(7));
    assert!(p(9).is_some());
    assert_eq!(analysis.ranking.len(), 60);
}
