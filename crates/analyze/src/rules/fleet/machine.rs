//! # What it finds
//! A machine whose newest readings are worse than its own past and its sister machines lead one to expect, by more than the scatter of
//! the whole fleet explains: ground wall (insulation resistance, polarization index, knee of a step curve), conductor (unbalance), turns
//! (surge levels).
//! # How it is judged
//! False discoveries over the fleet: `plan` at a rate of 0.10, `watch` at 0.20; `act` only at 0.01 and with two readings or more. One
//! reading alone says "repeat the test".
//! # References
//! Conjugate filter: West and Harrison 1997, chapter 4; empirical null: Efron 2004, *JASA* 99:96; evidence over time: Page 1954, Lai
//! 1995; rates: Benjamini and Hochberg 1995, or Benjamini and Yekutieli 2001 by setting.

use super::words::{compared, counted, factor, resistance};
use crate::finding::{self, Found, small};
use crate::fleet::{Model, Quantity, Review};
use crate::judge::Judged;
use crate::ratios::Unbalances;
use crate::series::History;
use windrow_criteria::cautions;
use windrow_fleet::{Group, Standing};
use windrow_model::place::Step;
use windrow_model::{Bound, Finding};

const PLAN: f64 = 0.10;
const WATCH: f64 = 0.20;
const ACT: f64 = 0.01;
/// A part that surprises less than this (a normal score) is not named.
const WORTH_NAMING: f64 = -1.0;
/// A site accounts for this much before it is named, decades: a factor of 1.25.
const SITE_WORTH_NAMING: f64 = 0.1;

/// Whether the machine stands out.
pub(super) fn is_told(model: &Model<'_>, machine: usize) -> bool {
    model.q.get(machine).is_some_and(|q| *q <= WATCH)
}

pub(super) fn find(
    model: &Model<'_>,
    machine: usize,
    history: &History<'_>,
    reviews: &[Review<'_>],
) -> Option<Finding> {
    let q = model.q.get(machine).copied().filter(|q| *q <= WATCH)?;
    let first = model.columns.reviews_of(machine).start;
    let of = |place: usize| reviews.get(place.checked_sub(first)?);
    let standing = model.scores.standing.get(machine)?;
    let groups = [Group::GroundWall, Group::Conductor, Group::Turns];
    let known = groups.into_iter().zip(standing).filter_map(|(group, standing)| Some((group, (*standing)?)));
    let (group, standing) = known.min_by(|a, b| a.1.p.total_cmp(&b.1.p))?;
    let review = of(standing.review)?;
    let of_kind = |is: &dyn Fn(&Judged<'_>) -> bool| review.tests.iter().copied().find(|judged| is(judged));
    let speaks = match group {
        Group::GroundWall => review
            .resistance()
            .map(|resistance| resistance.judged)
            .or_else(|| of_kind(&|judged| judged.polarization_index.is_some() || judged.test.kind == "dc_step")),
        Group::Conductor => of_kind(&|judged| review.unbalances.value(judged).is_some()),
        Group::Turns => of_kind(&|judged| judged.test.kind == "surge"),
    };
    let judged = speaks.or(review.tests.first().copied())?;
    let again = match (group, standing.window) {
        (_, 1) => "one reading: repeat the test".to_owned(),
        (Group::Turns, _) => "both tests together".to_owned(),
        (_, window) => format!("the last {window} tests together"),
    };
    let (told, value, unit) = told(model, group, standing, review)?;
    let found = Found {
        rule: match group {
            Group::GroundWall => "fleet_ground_wall",
            Group::Conductor => "fleet_conductor",
            Group::Turns => "fleet_turns",
        },
        level: match q {
            q if q <= ACT && standing.window > 1 => "act",
            q if q <= PLAN => "plan",
            _ => "watch",
        },
        statement: format!("{}: {told}; {again}.", history.tag),
        value,
        limit: None,
        unit,
        basis: format!(
            "surprise against the machine's own past and its sister machines, with the fleet's scatter (West and Harrison 1997 ch. 4; Efron \
             2004); {} over {}",
            model.method,
            counted(model.judged, "machine", "machines")
        ),
        cautions: match group {
            Group::GroundWall => cautions::GROUND_WALL,
            Group::Conductor => cautions::CONDUCTOR,
            Group::Turns => cautions::HIGH_VOLTAGE,
        },
        next_test: match group {
            Group::GroundWall => "insulation resistance and polarization index, clean, dry and at a known temperature",
            Group::Conductor => "winding resistance at the machine's own terminals, all joints measured",
            Group::Turns => {
                "surge comparison of all three phases at the level of the test before, by qualified people, after a good insulation resistance"
            }
        },
    };
    let mut finding = finding::row(history, judged, found);
    finding.evidence = evidence(model, machine, (group, standing), of);
    finding.q_value = Some(q);
    finding.working = working(model, machine, (group, standing, q));
    Some(finding)
}

/// Readings of the tests that were added up.
fn evidence<'a, 'b: 'a>(
    model: &Model<'_>,
    machine: usize,
    (group, standing): (Group, Standing),
    of: impl Fn(usize) -> Option<&'a Review<'b>>,
) -> Vec<String> {
    let parts = parts(group);
    let turns = model.scores.turns.get(standing.review).filter(|_| group == Group::Turns);
    let fallen_from = turns.and_then(|turns| turns.fallen_from);
    let is_part = |review: &usize| {
        parts.iter().any(|(quantity, _)| model.surprises(*quantity).score[*review].is_finite())
            || *review == standing.review
            || Some(*review) == fallen_from
    };
    let reviews =
        model.columns.reviews_of(machine).rev().skip_while(|review| *review > standing.review).filter(is_part);
    let tests = reviews.take(standing.window).filter_map(of).flat_map(|review| &review.tests);
    tests.flat_map(|judged| judged.evidence()).collect()
}

/// What speaks for a group, with its name.
fn parts(group: Group) -> &'static [(Quantity, &'static str)] {
    match group {
        Group::GroundWall => &[
            (Quantity::Resistance, "insulation resistance at 40 °C, log10 MΩ"),
            (Quantity::Polarization, "ln polarization index"),
            (Quantity::Knee, "−ln slope ratio of the step curve"),
        ],
        Group::Conductor => &[(Quantity::Unbalance, "−ln unbalance of winding resistances")],
        Group::Turns => &[],
    }
}

/// The statement, its value and unit.
fn told(
    model: &Model<'_>,
    group: Group,
    standing: Standing,
    review: &Review<'_>,
) -> Option<(String, Option<f64>, &'static str)> {
    let place = standing.review;
    match group {
        Group::GroundWall => Some(ground_wall(model, place, review)),
        Group::Conductor => {
            let (value, _) = model.columns.reviews.unbalance.get(place)?;
            let surprises = &model.scores.unbalance;
            let expected = (value + surprises.error[place] - surprises.shared[place]).exp();
            let (value, expected_pct) = (value.exp(), expected * 100.0);
            let what = match review.unbalances {
                Unbalances::Recomputed => "winding resistances differ from their mean by",
                Unbalances::Recorded => "the record gives an unbalance of winding resistances of",
            };
            let text = format!(
                "{what} {:.1} %, where its own past and its sister machines lead one to expect {expected_pct:.1} %",
                value * 100.0
            );
            Some((text, Some(value), "1"))
        }
        Group::Turns => {
            let (level, bound) = model.columns.reviews.surge.get(place)?;
            let what = if bound == Bound::Exact {
                "breakdown between turns began at"
            } else {
                "the turn insulation did not withstand"
            };
            let turns = model.scores.turns.get(place).filter(|turns| turns.share > 0.0)?;
            let mut text = format!(
                "{what} {level:.1} times the rated phase voltage's crest; about one in {:.0} windings of this fleet is as low",
                (1.0 / turns.share).max(1.0)
            );
            if let Some((before, bound)) = turns.fallen_from.and_then(|review| model.columns.reviews.surge.get(review))
            {
                let showed = if bound == Bound::Exact { "it began only at" } else { "it withstood" };
                text = format!("{text}; {showed} {before:.1} times before");
            }
            Some((text, Some(level), "1"))
        }
    }
}

fn ground_wall(model: &Model<'_>, place: usize, review: &Review<'_>) -> (String, Option<f64>, &'static str) {
    let resistances = &model.scores.resistance;
    let mut told = Vec::new();
    let mut value = None;
    if let Some((decades, bound)) =
        model.columns.reviews.resistance.get(place).filter(|_| resistances.score[place] < WORTH_NAMING)
    {
        let surprise = resistances.error[place] - resistances.shared[place];
        let at_most = if bound == Bound::AtMost { "at most " } else { "" };
        let whom = if resistances.history[place] > 1 {
            "its own past and its sister machines lead"
        } else {
            "its sister machines lead"
        };
        let mut text = format!(
            "insulation resistance reads {} times lower than {whom} one to expect ({at_most}{} at 40 °C against about {})",
            factor(surprise),
            resistance(decades),
            resistance(decades - surprise)
        );
        if review.passes_minimum() {
            text.insert_str(0, "passes the minimum, but its ");
        }
        if resistances.shared[place] < -SITE_WORTH_NAMING {
            let site = factor(resistances.shared[place]);
            text = format!("{text}, beyond the factor of {site} by which the whole site read low then");
        }
        if model.columns.reviews.extra[place] > 0.0 {
            text.push_str("; the record tells no temperature that can be corrected, or a winding near the dew point");
        }
        value = Some(10_f64.powf(-surprise));
        told.push(text);
    }
    let polarization = &model.scores.polarization;
    if let Some((ln, _)) =
        model.columns.reviews.polarization.get(place).filter(|_| polarization.score[place] < WORTH_NAMING)
    {
        let expected = (ln - polarization.error[place] + polarization.shared[place]).exp();
        told.push(format!("polarization index {:.1} where {expected:.1} was to be expected", ln.exp()));
    }
    let knee = &model.scores.knee;
    if let Some((ln, _)) = model.columns.reviews.knee.get(place).filter(|_| knee.score[place] < WORTH_NAMING) {
        let expected = (ln + knee.error[place] - knee.shared[place]).exp();
        told.push(format!(
            "leakage current rises {:.1} times as steeply at the last voltage step as at the first, where {expected:.1} was to be expected",
            ln.exp()
        ));
    }
    if told.is_empty() {
        told.push(
            "several readings of the ground-wall insulation are each a little worse than was to be expected".to_owned(),
        );
    }
    (told.join("; "), value, "1")
}

fn working(model: &Model<'_>, machine: usize, (group, standing, q): (Group, Standing, f64)) -> Vec<Step> {
    let place = standing.review;
    let mut steps = Vec::new();
    let is_scored = |part: &&(Quantity, &str)| model.surprises(part.0).score[place].is_finite();
    for (quantity, name) in parts(group).iter().filter(is_scored) {
        let surprises = model.surprises(*quantity);
        steps.push(compared(model, (*quantity, name), (machine, place)));
        let (expected, error) = (surprises.expected[place], surprises.error[place] - surprises.shared[place]);
        steps.push(Step::new(
            "arithmetic",
            format!(
                "{name}, less what temperature and humidity leave here: {:.3}; expected {expected:.3} after {}; 8 of 10 sound windings between \
                 {:.3} and {:.3}; campaign {:+.3}; normal score {:.2}",
                expected + error,
                counted(usize::from(surprises.history[place].saturating_sub(1)), "earlier reading", "earlier readings"),
                surprises.low[place],
                surprises.high[place],
                surprises.shared[place],
                surprises.score[place]
            ),
        ));
    }
    if group == Group::GroundWall {
        steps.push(Step::new(
            "model",
            "score of the ground wall = (resistance + 0.6 polarization index + 0.6 knee)/root of the sum of squared weights, on the scale of \
             the fleet; evidence = least of the sums of the last 1 to 4 scores over the root of their number",
        ));
    }
    if group == Group::Turns {
        steps.push(Step::new(
            "group",
            format!(
                "{} of this fleet, in times the crest of the rated phase voltage; one that was withstood counts as at least that (Kaplan and \
                 Meier 1958)",
                counted(model.levels(), "level", "levels")
            ),
        ));
        steps.push(Step::new(
            "model",
            "chance of a level = 1.25 × share of windings that give way at as low a one; of a fall = 5 × a b (1 − ln a b), with a the share at or \
             below the highest level that the winding showed before and b the chance of so large a fall by the scatter of two levels; the \
             smaller counts",
        ));
    }
    steps.push(Step::new(
        "chance",
        format!(
            "p = {} for {}; over all that was measured p = {}; q = {} over {}",
            small(standing.p),
            counted(standing.window, "reading", "readings"),
            small(model.p_of_review_machine(place)),
            small(q),
            counted(model.judged, "machine", "machines")
        ),
    ));
    steps.push(Step::new(
        "look_alike",
        match group {
            Group::GroundWall => {
                "moisture or dirt, a wrong temperature, another test voltage or connection, a cable left connected"
            }
            Group::Conductor => "contact resistance of the leads, cables in the circuit, unequal temperatures",
            Group::Turns => "another test level or instrument, the rotor's position",
        },
    ));
    steps
}
