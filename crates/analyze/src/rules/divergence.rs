//! # What it finds
//! A phase whose insulation resistance falls behind the other two.
//! # How it is judged
//! In each test that measured the three phases alike, the lowest over the median of the other two. Newest ratio a third or less of the usual one of two earlier
//! tests or more, and the phase five times lower than the others or more: `watch`; `plan` if the same phase was so far behind in the test
//! before. One temperature and one humidity act on all three phases, so that no correction is needed.
//! # References
//! Factors of three and five: common practice, no source.

use crate::features::Part;
use crate::finding::{self, Found, megohms};
use crate::judge::Judged;
use crate::loaded::Reading;
use crate::series::History;
use windrow_criteria::cautions;
use windrow_model::{Finding, Step};
use windrow_statistics::robust::median;

/// How far behind a phase must be now, and how much further than usual.
const BEHIND: f64 = 5.0;
const FURTHER: f64 = 3.0;
/// Earlier tests that make a usual ratio.
const FEWEST_EARLIER: usize = 2;

/// The phases of one test, at one moment.
struct Phases<'a> {
    judged: &'a Judged<'a>,
    lowest: Reading<'a>,
    /// Median of the other two, Ohm.
    others: f64,
}

impl Phases<'_> {
    fn behind(&self) -> f64 {
        self.others / self.lowest.value()
    }
}

pub(crate) fn find(history: &History<'_>) -> Option<Finding> {
    let tests = history.of_this_winding();
    let told: Vec<Phases<'_>> = tests.iter().filter_map(|judged| phases(judged)).collect();
    let (newest, earlier) = told.split_last()?;
    if earlier.len() < FEWEST_EARLIER {
        return None;
    }
    let usual = median(&earlier.iter().map(Phases::behind).collect::<Vec<f64>>())?;
    let behind = newest.behind();
    if behind < BEHIND || behind < FURTHER * usual {
        return None;
    }
    let again = earlier
        .last()
        .is_some_and(|before| before.lowest.circuit() == newest.lowest.circuit() && before.behind() >= BEHIND);
    let circuit = newest.lowest.circuit().unwrap_or_default();
    let repeat = if again { "it was behind in the test before as well" } else { "one test: repeat it" };
    let row = Found {
        rule: "phase_divergence",
        level: if again { "plan" } else { "watch" },
        statement: format!(
            "{}: phase {circuit} reads {}, {behind:.0} times lower than the other two; {usual:.1} times was usual over {} earlier tests; \
             {repeat}.",
            history.tag,
            megohms(newest.lowest.value()),
            earlier.len()
        ),
        value: Some(behind),
        limit: Some(BEHIND.max(FURTHER * usual)),
        unit: "1",
        basis: "the three phases of one test against each other and against their own past; common practice, no source"
            .to_owned(),
        cautions: cautions::GROUND_WALL,
        next_test: "each phase against earth with the other two earthed, clean and dry; terminals and cables apart",
    };
    let tests: Vec<&Judged<'_>> = told.iter().map(|phases| phases.judged).collect();
    let one = |phases: &Phases<'_>| {
        let on = phases.judged.test.performed_on.map(|on| on.to_string()).unwrap_or_default();
        let (circuit, lowest) = (phases.lowest.circuit().unwrap_or_default(), phases.lowest.value());
        let (others, ratio) = (megohms(phases.others), phases.behind());
        Step::new(
            "data",
            format!("{on}: median of the other two {others} / {circuit} {} = {ratio:.2}", megohms(lowest)),
        )
    };
    let mut working: Vec<Step> = told.iter().map(one).collect();
    working.push(Step::new(
        "arithmetic",
        format!("{behind:.2} ≥ {BEHIND} and ≥ {FURTHER} times the usual {usual:.2}, the median of the earlier ratios"),
    ));
    let row = finding::of_series(history, &tests, ("", &["insulation_resistance"]), row);
    Some(Finding { working, ..row })
}

/// The three phases against earth, or by themselves, measured at one time and voltage.
fn phases<'a>(judged: &'a Judged<'a>) -> Option<Phases<'a>> {
    // What leaves out most tests is asked first.
    if !judged.readings().any(|reading| reading.part() == Some(Part::Phase)) {
        return None;
    }
    [["U-E", "V-E", "W-E"], ["U", "V", "W"]].iter().find_map(|names| {
        let of = |name: &str| {
            let own = judged.figures().filter(move |figure| {
                figure.is_insulation_resistance() && figure.circuit() == Some(name) && figure.value() > 0.0
            });
            own.min_by(|a, b| distance_to_a_minute(a).total_cmp(&distance_to_a_minute(b)))
        };
        let all = [of(names[0])?, of(names[1])?, of(names[2])?];
        let alike = all.iter().all(|figure| {
            figure.elapsed_s() == all[0].elapsed_s() && figure.applied_voltage_v() == all[0].applied_voltage_v()
        });
        let lowest = *all.iter().min_by(|a, b| a.value().total_cmp(&b.value()))?;
        let others: Vec<f64> = all.iter().filter(|figure| **figure != lowest).map(Reading::value).collect();
        // A lowest that is only a ceiling, or others that are only floors, leave the ratio open.
        let known = lowest.bound_code() != "at_least" && all.iter().all(|figure| figure.bound_code() != "at_most");
        (alike && known).then_some(Phases { judged, lowest, others: median(&others)? })
    })
}

fn distance_to_a_minute(figure: &Reading<'_>) -> f64 {
    figure.elapsed_s().map_or(0.25, |seconds| (seconds - 60.0).abs())
}
