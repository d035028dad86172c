//! Properties that hold for every series.

use super::{Point, score, significance, slope};
use proptest::prelude::*;
use windrow_model::Bound;

fn series() -> impl Strategy<Value = Vec<Point>> {
    let bound = prop_oneof![3 => Just(Bound::Exact), 1 => Just(Bound::AtLeast), 1 => Just(Bound::AtMost)];
    let point = (1980_u16..2025, -300_i32..300, bound).prop_map(|(year, y, bound)| Point {
        t: f64::from(year),
        blur: 0.0,
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

    #[test]
    fn s_falls_as_the_slope_rises(points in series()) {
        let scores: Vec<i64> = (-40_i32..40).map(|b| super::kendall::score_about(&points, f64::from(b) / 100.0 + 0.0033)).collect();
        prop_assert!(scores.windows(2).all(|pair| pair[0] >= pair[1]));
    }
}

#[test]
fn dates_known_to_a_period_are_compared_only_apart() {
    let point = |t: f64, blur: f64, y: f64| Point { t, blur, y, bound: Bound::Exact };
    let years = [point(2000.5, 0.5, 3.0), point(2000.8, 0.0, 2.0), point(2003.5, 0.5, 1.0)];
    assert_eq!(score(&years), -2, "a day within the year has no order to it");
}

#[test]
fn what_is_no_number_is_left_out() {
    let point = |t: f64, y: f64| Point { t, blur: 0.0, y, bound: Bound::Exact };
    let mut points = vec![point(2000.0, 3.0), point(2001.0, 2.0), point(2002.0, 1.0)];
    let clean = (score(&points), significance(&points), slope(&points));
    points.push(point(2003.0, f64::NAN));
    points.push(point(f64::INFINITY, 2.0));
    assert_eq!((score(&points), significance(&points), slope(&points)), clean);
}

#[test]
fn equal_values_have_no_trend() {
    let points: Vec<Point> =
        (2000_i32..2005).map(|year| Point { t: f64::from(year), blur: 0.0, y: 2.5, bound: Bound::Exact }).collect();
    let found = significance(&points).unwrap();
    assert!((found.s, found.p) == (0, 1.0) && slope(&points).unwrap().middle == 0.0);
}
