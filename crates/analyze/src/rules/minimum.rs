//! # What it finds
//! A newest one-minute insulation resistance at 40 °C below the minimum for the machine.
//! # How it is judged
//! Readings of stator and armature only: a rotor or a field has a voltage of its own, by which the records seldom let it be judged.
//! `act` if the test before was below as well, else `plan`: one bad reading says "repeat the test". Where the records leave the
//! insulation system open, both corrected values stand beside both minima: below both is judged alike, below one is `watch`.
//! # References
//! IEEE 43-2013 Table 3, by `windrow-criteria`.

use crate::features::Lowest;
use crate::finding::{self, Found, megohms};
use crate::judge::{Hypothesis, Judged};
use crate::series::History;
use windrow_criteria::Limit;
use windrow_criteria::cautions;
use windrow_model::{Finding, Step};

/// What a test says of the minimum.
enum Verdict {
    /// Surely below: value at 40 °C and limit.
    Below(f64, Limit),
    /// Below whichever insulation system it is; the system with the milder verdict.
    BelowEitherWay([(Hypothesis, Limit); 2]),
    /// Below for one system only.
    BelowIf((Hypothesis, Limit)),
}

/// The lowest resistance of a test, where it is that of a winding with the machine's rated voltage: a rotor or a field has no minimum here,
/// and its tests say nothing of the stator.
fn of_rated_voltage<'a>(judged: &Judged<'a>) -> Option<&'a Lowest> {
    judged.test.lowest.as_ref().filter(|lowest| lowest.has_rated_voltage())
}

/// A ceiling below the limit proves nothing.
fn verdict(judged: &Judged<'_>) -> Option<Verdict> {
    let lowest = of_rated_voltage(judged).filter(|lowest| lowest.bound != "at_least")?;
    if let (Some(value), Some(limit)) = (lowest.at_40c_ohm, judged.minimum_of(lowest.part).cloned()) {
        return (value < limit.value).then_some(Verdict::Below(value, limit));
    }
    let below = |hypothesis: &Hypothesis| {
        let limit = hypothesis.minimum.clone().filter(|limit| hypothesis.value_ohm < limit.value)?;
        Some((hypothesis.clone(), limit))
    };
    match judged.by_system.as_ref()?.each_ref().map(below) {
        [Some(a), Some(b)] => Some(Verdict::BelowEitherWay([a, b])),
        [Some(one), None] | [None, Some(one)] => Some(Verdict::BelowIf(one)),
        [None, None] => None,
    }
}

fn is_surely_below(judged: &Judged<'_>) -> bool {
    matches!(verdict(judged), Some(Verdict::Below(..) | Verdict::BelowEitherWay(_)))
}

pub(crate) fn find(history: &History<'_>) -> Option<Finding> {
    let is_on_basis = |lowest: &Lowest| lowest.at_40c_ohm.is_some() || lowest.bracket_ohm.is_some();
    let (newest, lowest) = history.newest(|judged| of_rated_voltage(judged).filter(|lowest| is_on_basis(lowest)))?;
    let verdict = verdict(newest)?;
    let before = history.tests.iter().rev().skip_while(|judged| !std::ptr::eq(**judged, newest)).skip(1);
    let again =
        before.filter(|judged| of_rated_voltage(judged).is_some()).take(1).any(|judged| is_surely_below(judged));
    let circuit = lowest.circuit.as_deref().map_or(String::new(), |circuit| format!(" ({circuit})"));
    let time = if lowest.time_told {
        ""
    } else {
        "; the record does not tell the time of the reading, which is taken as one minute"
    };
    let repeat = if again { "the test before was below it as well" } else { "one reading: repeat the test" };
    let (statement, value, limit) = match verdict {
        Verdict::Below(value, limit) => {
            let text = format!("{} is below the minimum of {}", megohms(value), megohms(limit.value));
            (format!("insulation resistance{circuit} at 40 °C: {text}; {repeat}{time}"), value, limit)
        }
        Verdict::BelowEitherWay(both) => {
            let text = both.each_ref().map(told).join(", ");
            let [(_, _), (milder, limit)] = both;
            let open = "the records do not tell the insulation system, and it is below the minimum either way";
            (
                format!("insulation resistance{circuit} at 40 °C: {open}: {text}; {repeat}{time}"),
                milder.value_ohm,
                limit,
            )
        }
        Verdict::BelowIf((hypothesis, limit)) => {
            let text = told(&(hypothesis.clone(), limit.clone()));
            let open = "the records do not tell the insulation system, on which the correction and the minimum rest; it is below \
                        the minimum only if";
            let (value, statement) =
                (hypothesis.value_ohm, format!("insulation resistance{circuit} at 40 °C: {open} {text}{time}"));
            return Some(row(history, newest, ("watch", statement, value, limit)));
        }
    };
    Some(row(history, newest, (if again { "act" } else { "plan" }, statement, value, limit)))
}

fn told((hypothesis, limit): &(Hypothesis, Limit)) -> String {
    let (value, limit) = (megohms(hypothesis.value_ohm), megohms(limit.value));
    format!("{}: {value} against {limit}", hypothesis.system)
}

fn row(
    history: &History<'_>,
    newest: &Judged<'_>,
    (level, statement, value, limit): (&'static str, String, f64, Limit),
) -> Finding {
    let found = Found {
        rule: "ir_minimum",
        level,
        statement: format!("{}: {}.", history.tag, statement),
        value: Some(value),
        limit: Some(limit.value),
        unit: "Ohm",
        basis: limit.basis.to_string(),
        cautions: cautions::GROUND_WALL,
        next_test: "insulation resistance and polarization index, clean, dry and at a known temperature",
    };
    Finding { working: working(newest, (value, limit.value)), ..finding::row(history, newest, found) }
}

/// The reading, its correction, and how it stands to the limit.
fn working(newest: &Judged<'_>, (value, limit): (f64, f64)) -> Vec<Step> {
    let test = newest.test;
    let read = test.lowest.as_ref().map(|lowest| {
        let circuit = lowest.circuit.as_deref().unwrap_or("a circuit that is not told");
        let at = test.winding_temperature_c.map_or("an unknown temperature".to_owned(), |told| format!("{told} °C"));
        Step::new("data", format!("lowest one-minute reading: {} on {circuit} at {at}", megohms(lowest.value_ohm)))
    });
    let ratio = Step::new(
        "arithmetic",
        format!("{} at 40 °C / {} = {:.3}, less than 1", megohms(value), megohms(limit), value / limit),
    );
    read.into_iter().chain([ratio]).collect()
}
