//! The insulation resistance of a winding over the years, as points of one series.

use crate::features::Part;
use crate::finding::megohms;
use crate::judge::Judged;
use crate::series::History;
use jiff::civil::Date;
use windrow_fleet::{Covariates, USUAL_COUNT, USUAL_SCATTER};
use windrow_model::{Bound, Step};
use windrow_statistics::trend::Point;

/// Scatter of the logarithm of healthy readings at 40 °C, as this fleet shows it; each winding's own is weighed against it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Scatter {
    /// Standard deviation of one reading, decades.
    pub(crate) decades: f64,
    /// Differences between successive readings that it rests on.
    differences: usize,
}

impl Scatter {
    /// As the fleet model estimated it.
    pub(crate) fn of(covariates: &Covariates) -> Self {
        Self { decades: covariates.scatter_as_read, differences: covariates.differences }
    }

    /// What it is and what it rests on.
    pub(crate) fn words(self) -> String {
        format!(
            "scatter of {:.2} decade, from {} differences between successive readings of this fleet ({USUAL_SCATTER} expected beforehand, \
             with the weight of {USUAL_COUNT})",
            self.decades, self.differences
        )
    }
}

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
///
/// Three phases together read about a third of one, so that a series keeps to one [`part`] of the winding.
pub(crate) fn series<'a>(history: &History<'a>) -> Vec<Dated<'a>> {
    let tests = history.of_this_winding();
    let Some(part) = part(&tests) else { return Vec::new() };
    let mut found: Vec<Dated<'a>> = Vec::new();
    for judged in tests {
        let Some(point) = point(judged, part) else { continue };
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

/// What was read, test by test, as the first steps of a working.
pub(crate) fn told(series: &[Dated<'_>]) -> Vec<Step> {
    let one = |dated: &Dated<'_>| {
        let bound = match dated.point.bound {
            Bound::Exact => "",
            Bound::AtLeast => "at least ",
            Bound::AtMost => "at most ",
        };
        let on = dated.judged.test.performed_on.map(|on| on.to_string()).unwrap_or_default();
        format!("{on}: {bound}{} at 40 °C, log10 Ω {:.2}", megohms(10_f64.powf(dated.point.y)), dated.point.y)
    };
    series.iter().map(|dated| Step::new("data", one(dated))).collect()
}

/// Points of a series.
pub(crate) fn points(series: &[Dated<'_>]) -> Vec<Point> {
    series.iter().map(|dated| dated.point).collect()
}

/// Tests of one part of the winding that make a history of it.
const HISTORY: usize = 5;

/// The part of the winding whose history is looked at: of those with tests enough for one that which was tested last, then that which
/// was tested longest, then most often; among equals the first.
pub(crate) fn part(tests: &[&Judged<'_>]) -> Option<Part> {
    let weight = |part: Part| {
        let of_part = || tests.iter().filter(|judged| judged.test.lowest_of(part).is_some());
        let dates = || of_part().filter_map(|judged| judged.test.performed_on);
        let (first, last) = (dates().min(), dates().max());
        let days = first.zip(last).map_or(0, |(first, last)| (last - first).get_days());
        let count = of_part().count();
        (count.min(HISTORY), last, days, count)
    };
    let weighed = Part::ALL.into_iter().rev().map(|part| (weight(part), part)).filter(|(weight, _)| weight.3 > 0);
    weighed.max_by_key(|(weight, _)| *weight).map(|(_, part)| part)
}

fn point(judged: &Judged<'_>, part: Part) -> Option<Point> {
    let lowest = judged.test.lowest_of(part)?;
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
