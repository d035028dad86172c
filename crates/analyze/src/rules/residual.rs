//! # What it finds
//! A resistance at 40 °C that still follows the winding temperature, or follows the humidity.
//! # How it is judged
//! `note`, and only with twelve exact readings or more that spread by 20 K (or 30 % relative humidity): after their own trend, the readings follow by
//! Kendall's S at p ≤ 0.01, by a factor of 1.5 or more over 10 K (10 %), with a rate of false discoveries over all machines that were asked. Fewer
//! readings leave it open and nothing is said.
//! # References
//! Kendall & Gibbons 1990; Theil 1950, Sen 1968; see `windrow_statistics::trend`.

use super::trend::factor;
use crate::asked::{Answer, Question};
use crate::finding::{self, Found};
use crate::resistance::{Dated, Series};
use crate::series::History;
use windrow_criteria::cautions;
use windrow_model::{Bound, Finding, Step};
use windrow_statistics::trend::{Point, significance, slope};

/// Fewest readings.
const FEWEST: usize = 12;
/// Two-sided level.
const LEVEL: f64 = 0.01;
/// Smallest change over ten units that is worth a word, decades: a factor of 1.5.
const WORTH_A_WORD: f64 = 0.176;

/// What the readings may follow.
struct Influence {
    question: Question,
    rule: &'static str,
    of: fn(&Dated<'_>) -> Option<f64>,
    /// Least spread between the lowest and the highest.
    spread: f64,
    unit: &'static str,
    means: &'static str,
    next_test: &'static str,
}

const INFLUENCES: [Influence; 2] = [
    Influence {
        question: Question::Temperature,
        rule: "temperature_left_over",
        of: |dated| {
            dated
                .judged
                .test
                .winding_temperature_c
                .filter(|_| dated.judged.test.winding_temperature_basis == "measured")
        },
        spread: 20.0,
        unit: "10 K of winding temperature",
        means: "the correction does not fit this winding, or its temperature was measured elsewhere",
        next_test: "two tests at temperatures 20 K or more apart within a few days, to fit the correction to this winding",
    },
    Influence {
        question: Question::Humidity,
        rule: "humidity_dependence",
        of: |dated| dated.judged.test.relative_humidity_pct,
        spread: 30.0,
        unit: "10 % of relative humidity",
        means: "its surface is likely dirty or wet, which hides what the insulation does",
        next_test: "the same test before and after cleaning, on a dry day",
    },
];

pub(crate) fn ask(history: &History<'_>) -> Vec<Answer> {
    let Some(series) = history.resistance.as_ref().filter(|series| series.dated.len() >= FEWEST) else {
        return Vec::new();
    };
    INFLUENCES.iter().filter_map(|influence| of_influence(history, series, influence)).collect()
}

fn of_influence(history: &History<'_>, series: &Series<'_>, influence: &Influence) -> Option<Answer> {
    let exact = series.dated.iter().filter(|dated| dated.point.bound == Bound::Exact);
    let told: Vec<(f64, Point)> = exact.filter_map(|dated| Some(((influence.of)(dated)?, dated.point))).collect();
    let (low, high) =
        told.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), (x, _)| (low.min(*x), high.max(*x)));
    if told.len() < FEWEST || high - low < influence.spread {
        return None;
    }
    let told = tell(history, series, (influence, &told));
    Some(Answer { question: influence.question, told })
}

/// What there is to tell, and how likely it is by chance.
fn tell(
    history: &History<'_>,
    series: &Series<'_>,
    (influence, told): (&Influence, &[(f64, Point)]),
) -> Option<(Finding, f64)> {
    let drift = slope(&told.iter().map(|(_, point)| *point).collect::<Vec<Point>>())?.middle;
    let rest: Vec<Point> =
        told.iter().map(|(x, point)| Point { t: *x, blur: 0.0, y: point.y - drift * point.t, ..*point }).collect();
    let found = significance(&rest).filter(|found| found.p <= LEVEL)?;
    let by_ten = 10.0 * slope(&rest)?.middle;
    if by_ten.abs() < WORTH_A_WORD {
        return None;
    }
    let way = if by_ten < 0.0 { "falls" } else { "rises" };
    let row = Found {
        rule: influence.rule,
        level: "note",
        statement: format!(
            "{}: insulation resistance at 40 °C {way} by a factor {} with every {} ({} tests, p = {:.4}): {}.",
            history.tag,
            factor(by_ten.abs()),
            influence.unit,
            told.len(),
            found.p,
            influence.means
        ),
        value: Some(by_ten),
        limit: None,
        unit: "1",
        basis: "slope of what the own trend leaves of log10 resistance (Theil 1950, Sen 1968), Kendall's S".to_owned(),
        cautions: cautions::GROUND_WALL,
        next_test: influence.next_test,
    };
    let mut working: Vec<Step> = told
        .iter()
        .map(|(x, point)| {
            Step::new(
                "data",
                format!("{x}: log10 Ω {:.2}, less the own trend {:.2}", point.y, point.y - drift * point.t),
            )
        })
        .collect();
    working.push(Step::new(
        "arithmetic",
        format!("{by_ten:+.3} decades for every {}; S = {}, p = {:.4}", influence.unit, found.s, found.p),
    ));
    let row = finding::of_series(history, &series.tests(), ("", &["insulation_resistance"]), row);
    Some((Finding { working, ..row }, found.p))
}
