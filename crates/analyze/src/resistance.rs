//! The insulation resistance of a winding over the years, as points of one series.

use crate::judge::Judged;
use crate::series::History;
use jiff::civil::Date;
use windrow_model::Bound;
use windrow_statistics::trend::Point;

/// Scatter of the logarithm of healthy readings at 40 °C, decades: two tests of one winding then differ by a factor of two or more in a
/// quarter of pairs (simulated fleets; common practice, no source). Each winding's own scatter is weighed against it.
pub(crate) const USUAL_SCATTER: f64 = 0.2;

/// Smallest change that is worth a word, in decades: a factor of three. Healthy windings differ by that much between two tests in one of
/// ten pairs, so less is weather.
pub(crate) const WORTH_A_WORD: f64 = 0.477;

/// One test with its lowest one-minute resistance at 40 °C.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Dated<'a> {
    pub(crate) judged: &'a Judged<'a>,
    pub(crate) point: Point,
}

/// log10 of the resistance (Ohm) of the present winding over time (years), oldest first; of several tests of one day the lowest.
pub(crate) fn series<'a>(history: &History<'a>) -> Vec<Dated<'a>> {
    let mut found: Vec<Dated<'a>> = Vec::new();
    for judged in history.of_this_winding() {
        let Some(point) = point(judged) else { continue };
        match found.last_mut().filter(|last| last.judged.test.performed_on == judged.test.performed_on) {
            Some(last) if last.point.y <= point.y => {}
            Some(last) => *last = Dated { judged, point },
            None => found.push(Dated { judged, point }),
        }
    }
    found
}

/// Tests of a series.
pub(crate) fn tests<'a>(series: &[Dated<'a>]) -> Vec<&'a Judged<'a>> {
    series.iter().map(|dated| dated.judged).collect()
}

/// Points of a series.
pub(crate) fn points(series: &[Dated<'_>]) -> Vec<Point> {
    series.iter().map(|dated| dated.point).collect()
}

fn point(judged: &Judged<'_>) -> Option<Point> {
    let lowest = judged.test.lowest.as_ref()?;
    let value = lowest.at_40c_ohm.filter(|value| *value > 0.0 && value.is_finite())?;
    let (t, blur) = time(judged)?;
    Some(Point { t, blur, y: value.log10(), bound: Bound::from_code(&lowest.bound)? })
}

/// Time of a test in years: the middle of what its record tells, and half the length of that.
pub(crate) fn time(judged: &Judged<'_>) -> Option<(f64, f64)> {
    let first = year_of(judged.test.performed_on?);
    let length = match judged.test.performed_precision.as_str() {
        "month" => 30.0 / 365.25,
        "quarter" => 91.0 / 365.25,
        "year" => 364.0 / 365.25,
        _ => 0.0,
    };
    Some((first + length / 2.0, length / 2.0))
}

/// A day as a year with its part.
pub(crate) fn year_of(date: Date) -> f64 {
    f64::from(date.year()) + f64::from(date.day_of_year() - 1) / 365.25
}
