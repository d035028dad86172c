//! # What it finds
//! A falling one-minute insulation resistance at 40 °C over the years.
//! # How it is judged
//! `watch` if falling at an exact two-sided p of 0.05 or less over five tests or more: it describes, it does not alarm.
//! # References
//! Akritas, Murphy, LaValley 1995; Kendall; see the module `trend`.

use crate::finding::{self, Found};
use crate::series::History;
use crate::trend::{Point, significance, slope};
use windrow_model::{Bound, Finding};

/// Fewer tests cannot be significant.
const FEWEST: usize = 5;
/// Two-sided level.
const LEVEL: f64 = 0.05;

pub(crate) fn find(history: &History<'_>) -> Option<Finding> {
    let points: Vec<Point> = history.tests.iter().filter_map(|judged| point(judged.test)).collect();
    if points.len() < FEWEST {
        return None;
    }
    let found = significance(&points).filter(|found| found.s < 0 && found.p <= LEVEL)?;
    let slope = slope(&points).filter(|slope| slope.middle < 0.0)?;
    let (newest, _) = history.newest(|judged| point(judged.test))?;
    let factor = 10_f64.powf(-slope.middle);
    let statement = format!(
        "{}: insulation resistance at 40 °C falls by a factor of {factor:.2} a year over {} tests (p = {:.3}).",
        history.tag,
        points.len(),
        found.p
    );
    let found = Found {
        rule: "falling_trend",
        level: "watch",
        statement,
        value: Some(slope.middle),
        limit: None,
        unit: "1/a",
        basis: "Akritas-Theil-Sen slope of log10 resistance, Kendall's S (Akritas et al. 1995)".to_owned(),
        next_test: "the same test at a similar temperature and humidity",
    };
    Some(finding::row(history, newest, found))
}

fn point(test: &crate::features::TestFeatures) -> Option<Point> {
    let date = test.performed_on?;
    let lowest = test.lowest.as_ref()?;
    let value = lowest.at_40c_ohm.filter(|value| *value > 0.0 && value.is_finite())?;
    let t = f64::from(date.year()) + f64::from(date.day_of_year()) / 365.25;
    Some(Point { t, y: value.log10(), bound: Bound::from_code(&lowest.bound)? })
}
