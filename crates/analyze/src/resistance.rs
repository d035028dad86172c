//! The insulation resistance of a winding over the years, as points of one series.

use crate::features::Part;
use crate::finding::megohms;
use crate::judge::Judged;
use jiff::civil::Date;
use std::collections::BTreeSet;
use windrow_criteria::Limit;
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
    /// As the fleet model estimated it, to a thousandth of a decade: its own error is larger (a middle of n sizes is known to about 0.8/√n of
    /// itself, 0.0007 decade from 50,000 differences), and forecasts that rest on it stay as they are when one more test moves it by less.
    pub(crate) fn of(covariates: &Covariates) -> Self {
        const STEPS_A_DECADE: f64 = 1000.0;
        let decades = (covariates.scatter_as_read * STEPS_A_DECADE).round() / STEPS_A_DECADE;
        Self { decades, differences: covariates.differences }
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

/// The history of one part of the present winding.
#[derive(Debug)]
pub(crate) struct Series<'a> {
    /// The part that all its tests measured.
    pub(crate) part: Part,
    /// log10 of the resistance (Ohm) over time (years), oldest first, never empty; of several tests of one day the lowest.
    pub(crate) dated: Vec<Dated<'a>>,
    /// Later tests that measured other circuits only.
    elsewhere: usize,
    /// Later tests of this part that cannot be brought to 40 °C.
    uncorrected: usize,
}

/// Insulation resistance at 40 °C of the present winding over the years; `None` where no dated test tells any.
///
/// Three phases together read about a third of one, so that a series keeps to one [`part`] of the winding.
/// `tests` are those of the present winding.
pub(crate) fn series<'a>(tests: &[&'a Judged<'a>]) -> Option<Series<'a>> {
    let part = part(tests, |_| true, |judged, part| point(judged, part).is_some())?;
    let mut dated: Vec<Dated<'a>> = Vec::new();
    for judged in tests {
        let Some(point) = point(judged, part) else { continue };
        match dated.last_mut().filter(|last| last.judged.test.performed_on == judged.test.performed_on) {
            Some(last) if last.point.y <= point.y => {}
            Some(last) => *last = Dated { judged, point },
            None => dated.push(Dated { judged, point }),
        }
    }
    let newest = dated.last()?.judged.test.performed_on;
    let later = tests.iter().filter(|judged| judged.test.performed_on > newest && judged.test.lowest.is_some());
    let uncorrected = later.clone().filter(|judged| judged.test.lowest_of(part).is_some()).count();
    let elsewhere = later.count() - uncorrected;
    Some(Series { part, dated, elsewhere, uncorrected })
}

impl<'a> Series<'a> {
    /// Its tests.
    pub(crate) fn tests(&self) -> Vec<&'a Judged<'a>> {
        self.dated.iter().map(|dated| dated.judged).collect()
    }

    /// Its points.
    pub(crate) fn points(&self) -> Vec<Point> {
        self.dated.iter().map(|dated| dated.point).collect()
    }

    /// The minimum that holds for its newest test, where that test passes it.
    pub(crate) fn minimum_passed(&self) -> Option<&'a Limit> {
        let newest = self.dated.last()?;
        newest.judged.minimum_of(Some(self.part)).filter(|limit| newest.point.y > limit.value.log10())
    }

    /// What was read, test by test, as the first steps of a working.
    pub(crate) fn told(&self) -> Vec<Step> {
        let one = |dated: &Dated<'_>| {
            let bound = match dated.point.bound {
                Bound::Exact => "",
                Bound::AtLeast => "at least ",
                Bound::AtMost => "at most ",
            };
            let on = dated.judged.test.performed_on.map(|on| on.to_string()).unwrap_or_default();
            format!("{on}: {bound}{} at 40 °C, log10 Ω {:.2}", megohms(10_f64.powf(dated.point.y)), dated.point.y)
        };
        let mut steps: Vec<Step> = self.dated.iter().map(|dated| Step::new("data", one(dated))).collect();
        let later = [(self.elsewhere, "measured other circuits"), (self.uncorrected, "cannot be brought to 40 °C")];
        for (count, what) in later.into_iter().filter(|(count, _)| *count > 0) {
            let tests = if count == 1 { "test" } else { "tests" };
            steps.push(Step::new("data", format!("{count} later {tests} {what}")));
        }
        steps
    }
}

/// Days with tests of one part of the winding that make a history of it.
const HISTORY: usize = 5;

/// The part `among` those asked for whose history is looked at: of those that tests tell of (`tells`) on days enough for one that which was
/// tested last, then that which was tested longest, then on the most days; among equals the first of [`Part::ALL`].
pub(crate) fn part(
    tests: &[&Judged<'_>],
    among: impl Fn(Part) -> bool,
    tells: impl Fn(&Judged<'_>, Part) -> bool,
) -> Option<Part> {
    let weight = |part: Part| {
        let mut of_part = tests.iter().filter(|judged| tells(judged, part)).peekable();
        of_part.peek()?;
        let days: BTreeSet<Date> = of_part.filter_map(|judged| judged.test.performed_on).collect();
        let (first, last) = (days.first(), days.last());
        let span = first.zip(last).map_or(0, |(first, last)| (*last - *first).get_days());
        Some((days.len().min(HISTORY), last.copied(), span, days.len()))
    };
    // Of equals the last one is taken: hence backwards.
    let weighed =
        Part::ALL.into_iter().rev().filter(|part| among(*part)).filter_map(|part| Some((weight(part)?, part)));
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
