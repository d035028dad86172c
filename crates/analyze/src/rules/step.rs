//! # What it finds
//! A one-minute insulation resistance at 40 °C that stepped from one level to another, apart from drift.
//! # How it is judged
//! A step that chance exceeds in one of a hundred series, by a factor of three or more, which fits better than a straight line and has a
//! level on both sides: a fall that goes on is drift, a reading that the next one takes back is one bad reading. Down:
//! `plan` if it is a factor of ten or more and two tests or more confirm it, `note` if five tests or more lie behind it, else `watch`; seen at
//! the newest test alone, it cannot be told from one bad reading, and is never more than `watch`. Up: `note`, unless the record tells of
//! cleaning, drying or repair. `note` too where the rate of false discoveries over all series of the fleet is above 0.20.
//! # References
//! Worsley 1979 with the usual scatter weighed in; critical values by simulation; see `windrow_statistics::step`.

use super::trend::factor;
use crate::asked::{Answer, Question};
use crate::finding::{self, Found, megohms};
use crate::resistance::{Dated, Scatter, Series, WORTH_A_WORD};
use crate::series::History;
use windrow_criteria::cautions;
use windrow_model::{Bound, Finding, Step as Shown};
use windrow_statistics::regression;
use windrow_statistics::robust::median;
use windrow_statistics::step::{FEWEST, Step, chance, critical, largest_step, pettitt};
use windrow_statistics::trend::Point;

/// A step so many tests ago is history.
const OLD: usize = 5;

/// Whether one step explains the series better than a straight line.
pub(crate) fn explains_better(points: &[Point], scatter: Scatter) -> bool {
    step(points, scatter).is_some()
}

/// Whether some split of the series has sides far enough apart to look for a step, whatever its scatter; `None` where there are too few tests to
/// ask.
pub(crate) fn is_possible(history: &History<'_>) -> Option<bool> {
    let series = history.resistance.as_ref().filter(|series| series.dated.len() >= FEWEST)?;
    let y: Vec<f64> = series.dated.iter().map(|dated| dated.point.y).collect();
    let apart = |first: usize| {
        let (before, after) = y.split_at(first);
        median(before).zip(median(after)).is_some_and(|(before, after)| (before - after).abs() >= WORTH_A_WORD)
    };
    Some((1..y.len()).any(apart))
}

/// A step beyond chance that fits better than a line.
fn step(points: &[Point], scatter: Scatter) -> Option<Step> {
    let (t, y): (Vec<f64>, Vec<f64>) = points.iter().map(|point| (point.t, point.y)).unzip();
    let step = largest_step(&y, Some(scatter.decades))?;
    let beyond_chance = step.statistic > critical(points.len())?.one;
    let worth = (step.before - step.after).abs() >= WORTH_A_WORD;
    let drift = regression::line(&t, &y).and_then(|line| squares(&line, &t, &y));
    let better = drift.is_none_or(|drift| step.residual_squares < drift);
    (beyond_chance && worth && better && is_certain(points, &step) && has_levels(&y, &step)).then_some(step)
}

/// Whether each side keeps a level, the newest readings their own: no drift of its own worth a word, and no more than one reading in
/// five nearer to the other side.
fn has_levels(y: &[f64], step: &Step) -> bool {
    let (before, after) = y.split_at(step.first_length);
    let (Some(first), Some(second)) = (median(before), median(after)) else { return false };
    let nearer_to = |own: f64, other: f64| move |value: &f64| (value - own).abs() < (value - other).abs();
    let kept = |side: &[f64], own: f64, other: f64| side.iter().filter(|value| nearer_to(own, other)(value)).count();
    let is_kept = |side: &[f64], own: f64, other: f64| 5 * kept(side, own, other) >= 4 * side.len();
    let newest_kept = after.last().is_some_and(nearer_to(second, first));
    (first - second).abs() >= WORTH_A_WORD
        && newest_kept
        && is_kept(before, first, second)
        && is_kept(after, second, first)
        && !drifts(before)
        && !drifts(after)
}

/// Whether the second half of a side lies away from its first half by as much as is worth a word.
fn drifts(side: &[f64]) -> bool {
    let (early, late) = side.split_at(side.len() / 2);
    match (median(early), median(late)) {
        (Some(early), Some(late)) if side.len() > 1 => (early - late).abs() >= WORTH_A_WORD,
        _ => false,
    }
}

fn squares(line: &regression::Line, t: &[f64], y: &[f64]) -> Option<f64> {
    let rest = t.iter().zip(y).map(|(t, y)| (y - line.intercept - line.slope * t).powi(2));
    Some(rest.sum::<f64>()).filter(|sum| sum.is_finite())
}

/// A reading that is only bounded must lie on the side to which its bound points: the true step is then the larger one.
fn is_certain(points: &[Point], step: &Step) -> bool {
    let higher_first = step.before > step.after;
    points.iter().enumerate().all(|(index, point)| {
        let on_higher_side = (index < step.first_length) == higher_first;
        match point.bound {
            Bound::Exact => true,
            Bound::AtLeast => on_higher_side,
            Bound::AtMost => !on_higher_side,
        }
    })
}

/// The answer, and how likely it is by chance; asked at the first look already.
pub(crate) fn answer(history: &History<'_>, scatter: Scatter) -> Option<Answer> {
    let series = history.resistance.as_ref()?;
    let step = step(&series.points(), scatter)?;
    let (before, after) = series.dated.split_at_checked(step.first_length)?;
    let change = step.after - step.before;
    if change > 0.0 && is_told(after) {
        return None;
    }
    let when = format!("between {} and {}", day(before.last()?), day(after.first()?));
    let levels = format!("{} before, {} since", typical(step.before), typical(step.after));
    let (level, statement) = if change > 0.0 {
        let why = "the record tells no cleaning, drying or repair: ask what was done, or whether it is another machine or instrument";
        ("note", format!("stepped up by a factor {} {when} ({levels}); {why}", factor(change)))
    } else if after.len() == 1 {
        let once = "seen at the newest test alone, which cannot be told from one bad reading: repeat the test";
        ("watch", format!("stepped down by a factor {} {when} ({levels}); {once}", factor(-change)))
    } else {
        let level = match after.len() {
            OLD.. => "note",
            _ if change <= -1.0 => "plan",
            _ => "watch",
        };
        let confirmed = format!("{} tests since confirm it", after.len());
        (level, format!("stepped down by a factor {} {when} ({levels}); {confirmed}", factor(-change)))
    };
    let found = Found {
        rule: "step_change",
        level,
        statement: format!("{}: insulation resistance at 40 °C {statement}.", history.tag),
        value: Some(change),
        limit: None,
        unit: "1",
        basis: format!(
            "largest standardised step of log10 resistance over {} tests (Worsley 1979), beyond the simulated 1 % value for one winding; {} \
             weighed in",
            series.dated.len(),
            scatter.words()
        ),
        cautions: cautions::GROUND_WALL,
        next_test: "the same test, clean, dry, at a known temperature and with the instrument and connection noted",
    };
    let row = finding::of_series(history, &series.tests(), ("", &["insulation_resistance"]), found);
    let p = chance(step.statistic, series.dated.len());
    let finding = Finding { working: working(series, &step, scatter), ..row };
    Some(Answer { question: Question::Step, told: Some((finding, p)) })
}

/// The two levels, the statistic and what chance gives.
fn working(series: &Series<'_>, step: &Step, scatter: Scatter) -> Vec<Shown> {
    let mut steps = series.told();
    let (first, second) = (step.first_length, series.dated.len() - step.first_length);
    steps.push(Shown::new(
        "arithmetic",
        format!(
            "means of log10 Ω: {:.2} over {first} tests before, {:.2} over {second} since; squares left {:.3}; s² = (8·{:.2}² + \
             {:.3})/(8 + {} − 2); |difference|/(s·√(1/{first} + 1/{second})) = {:.2}",
            step.before,
            step.after,
            step.residual_squares,
            scatter.decades,
            step.residual_squares,
            series.dated.len(),
            step.statistic
        ),
    ));
    if let Some(critical) = critical(series.dated.len()) {
        steps.push(Shown::new("chance", format!("exceeded by chance in one of a hundred series: {:.2}", critical.one)));
    }
    let y: Vec<f64> = series.dated.iter().map(|dated| dated.point.y).collect();
    if let Some(ranks) = pettitt(&y) {
        steps.push(Shown::new(
            "chance",
            format!(
                "by ranks alone (Pettitt 1979): K = {} after test {}, p about {:.3}",
                ranks.k, ranks.first_length, ranks.p
            ),
        ));
    }
    steps.push(Shown::new("model", scatter.words()));
    steps
}

/// Whether the record tells what raised the level.
fn is_told(after: &[Dated<'_>]) -> bool {
    let stage = after.first().and_then(|dated| dated.judged.test.stage.as_deref());
    matches!(stage, Some("after_cleaning" | "after_drying" | "after_rewind" | "before_return" | "new"))
}

fn day(dated: &Dated<'_>) -> String {
    let test = dated.judged.test;
    match (test.performed_on, test.performed_precision.as_str()) {
        (Some(on), "year") => on.year().to_string(),
        (Some(on), "month" | "quarter") => format!("{}-{:02}", on.year(), on.month()),
        (Some(on), _) => on.to_string(),
        (None, _) => "an unknown day".to_owned(),
    }
}

fn typical(level: f64) -> String {
    megohms(10_f64.powf(level))
}
