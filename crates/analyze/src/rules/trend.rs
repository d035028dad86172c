//! # What it finds
//! A falling one-minute insulation resistance at 40 °C over the years.
//! # How it is judged
//! `watch` if falling at a two-sided p of 0.05 or less over five tests or more, by a factor of three or more over the years
//! tested: slow ageing is no news, and a trend describes, it does not alarm.
//! # References
//! Akritas, Murphy, LaValley 1995; Kendall; `windrow_statistics::trend`.

use crate::finding::{self, Found};
use crate::series::History;
use windrow_criteria::cautions;
use windrow_model::{Bound, Finding};
use windrow_statistics::trend::{Point, significance, slope};

/// Fewer tests cannot be significant.
const FEWEST: usize = 5;
/// Two-sided level.
const LEVEL: f64 = 0.05;
/// Smallest fall over the years tested that is worth a word, in decades: a factor of three. Healthy windings differ by that
/// much between two tests in one of ten pairs (scatter of the reference worlds), so less is weather.
const SMALLEST_FALL: f64 = 0.477;

pub(crate) fn find(history: &History<'_>) -> Option<Finding> {
    let points: Vec<Point> = history.tests.iter().filter_map(|judged| point(judged.test)).collect();
    if points.len() < FEWEST {
        return None;
    }
    let found = significance(&points).filter(|found| found.s < 0 && found.p <= LEVEL)?;
    let slope = slope(&points).filter(|slope| slope.middle < 0.0)?;
    let (newest, _) = history.newest(|judged| point(judged.test))?;
    let years = span(&points);
    let fall = -slope.middle * years;
    if fall < SMALLEST_FALL {
        return None;
    }
    let factor = 10_f64.powf(fall);
    let statement = format!(
        "{}: insulation resistance at 40 °C fell by a factor of {factor:.0} over {years:.0} years and {} tests ({}).",
        history.tag,
        points.len(),
        chance(found.p)
    );
    let found = Found {
        rule: "falling_trend",
        level: "watch",
        statement,
        value: Some(slope.middle),
        limit: None,
        unit: "1/a",
        basis: "Akritas-Theil-Sen slope of log10 resistance, Kendall's S (Akritas et al. 1995)".to_owned(),
        cautions: cautions::GROUND_WALL,
        next_test: "the same test at a similar temperature and humidity",
    };
    Some(finding::row(history, newest, found))
}

/// Years between the first and the last point.
fn span(points: &[Point]) -> f64 {
    let times = || points.iter().map(|point| point.t);
    times().fold(f64::NEG_INFINITY, f64::max) - times().fold(f64::INFINITY, f64::min)
}

/// A p-value as people write it.
fn chance(p: f64) -> String {
    if p < 0.001 { "p < 0.001".to_owned() } else { format!("p = {p:.3}") }
}

fn point(test: &crate::features::TestFeatures) -> Option<Point> {
    let date = test.performed_on?;
    let lowest = test.lowest.as_ref()?;
    let value = lowest.at_40c_ohm.filter(|value| *value > 0.0 && value.is_finite())?;
    let t = f64::from(date.year()) + f64::from(date.day_of_year()) / 365.25;
    Some(Point { t, blur: 0.0, y: value.log10(), bound: Bound::from_code(&lowest.bound)? })
}
