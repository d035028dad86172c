//! Against reference libraries (tests/reference/stats_trend.json names library and version of each case) and properties.

use super::kendall::{normal_p, permutation_variance};
use super::{Point, score, significance, slope, tau_b};
use proptest::prelude::*;
use serde_json::Value;
use windrow_model::Bound;

fn cases(prefix: &str) -> Vec<Value> {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/reference/stats_trend.json");
    let all: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    let cases: Vec<Value> = all
        .as_array()
        .unwrap()
        .iter()
        .filter(|case| case["id"].as_str().unwrap().starts_with(prefix))
        .cloned()
        .collect();
    assert!(!cases.is_empty(), "no reference case {prefix}");
    cases
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(|number| number.as_f64().unwrap()).collect()
}

fn nile() -> (Vec<f64>, Vec<f64>) {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/reference/stats_datasets.json");
    let sets: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    let nile = sets.as_array().unwrap().iter().find(|set| set["id"] == "nile").unwrap();
    (numbers(&nile["t"]), numbers(&nile["y"]))
}

fn points(case: &Value) -> Vec<Point> {
    let inputs = &case["inputs"];
    let (t, y) = if inputs["t"].is_array() { (numbers(&inputs["t"]), numbers(&inputs["y"])) } else { nile() };
    let bounds: Vec<bool> = inputs["at_least"].as_array().map_or_else(
        || vec![false; t.len()],
        |flags| flags.iter().map(|flag| flag.as_bool().unwrap_or(flag == 1)).collect(),
    );
    t.into_iter()
        .zip(y)
        .zip(bounds)
        .map(|((t, y), at_least)| Point { t, y, bound: if at_least { Bound::AtLeast } else { Bound::Exact } })
        .collect()
}

fn close(case: &Value, have: f64, want: f64) {
    let tolerance = case["rel_tol"].as_f64().unwrap().max(1e-9);
    let near = (have - want).abs() <= tolerance * want.abs().max(1e-3);
    assert!(near, "{}: have {have}, want {want}", case["id"]);
}

#[test]
fn theil_sen_as_scipy() {
    for case in cases("theil-sen/") {
        close(&case, slope(&points(&case)).unwrap().middle, case["expected"]["slope"].as_f64().unwrap());
    }
}

#[test]
fn mann_kendall_as_pymannkendall() {
    for case in cases("mann-kendall/") {
        let (points, expected) = (points(&case), &case["expected"]);
        #[expect(clippy::cast_precision_loss, reason = "small")]
        let s = score(&points) as f64;
        close(&case, s, expected["s"].as_f64().unwrap());
        close(&case, permutation_variance(&points), expected["var_s"].as_f64().unwrap());
        close(&case, normal_p(score(&points), permutation_variance(&points)), expected["p"].as_f64().unwrap());
    }
}

#[test]
fn exact_p_and_tau_as_scipy() {
    for case in cases("kendall-exact/") {
        let points = points(&case);
        let found = significance(&points).unwrap();
        assert!(found.exact);
        close(&case, found.p, case["expected"]["p"].as_f64().unwrap());
        close(&case, tau_b(&points).unwrap(), case["expected"]["tau_b"].as_f64().unwrap());
    }
    for case in cases("kendall-ties/") {
        close(&case, tau_b(&points(&case)).unwrap(), case["expected"]["tau_b"].as_f64().unwrap());
    }
}

#[test]
fn bounded_series_as_enumerated() {
    for case in cases("ats/") {
        let (points, expected) = (points(&case), &case["expected"]);
        assert_eq!(score(&points), expected["s"].as_i64().unwrap(), "{}", case["id"]);
        let found = slope(&points).unwrap();
        close(&case, found.middle, expected["slope"].as_f64().unwrap());
        close(&case, found.low, expected["slope_low"].as_f64().unwrap());
        close(&case, permutation_variance(&points), expected["var_s_permutation"].as_f64().unwrap());
        if let (Some(p), true) = (expected["p_exact_permutation"].as_f64(), points.len() <= 8) {
            close(&case, significance(&points).unwrap().p, p);
        }
    }
}

fn series() -> impl Strategy<Value = Vec<Point>> {
    let bound = prop_oneof![3 => Just(Bound::Exact), 1 => Just(Bound::AtLeast), 1 => Just(Bound::AtMost)];
    let point = (1980_u16..2025, -300_i32..300, bound).prop_map(|(year, y, bound)| Point {
        t: f64::from(year),
        y: f64::from(y) / 100.0,
        bound,
    });
    proptest::collection::vec(point, 3..8)
}

proptest! {
    #[test]
    fn order_of_rows_changes_nothing(points in series()) {
        let mut reversed = points.clone();
        reversed.reverse();
        prop_assert_eq!(significance(&points), significance(&reversed));
        prop_assert_eq!(slope(&points).map(|found| found.middle), slope(&reversed).map(|found| found.middle));
    }

    #[test]
    fn another_unit_changes_no_p(points in series()) {
        let shifted: Vec<Point> = points.iter().map(|point| Point { y: point.y + 6.0, ..*point }).collect();
        prop_assert_eq!(score(&points), score(&shifted));
    }

    #[test]
    fn a_ceiling_that_rises_never_looks_worse(points in series()) {
        let raised: Vec<Point> = points
            .iter()
            .enumerate()
            .map(|(index, point)| if index == points.len() - 1 { Point { t: 2030.0, bound: Bound::AtLeast, ..*point } } else { *point })
            .collect();
        let mut higher = raised.clone();
        if let Some(last) = higher.last_mut() { last.y += 1.0; }
        prop_assert!(score(&higher) >= score(&raised));
    }
}
