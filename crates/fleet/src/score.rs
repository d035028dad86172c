//! From the surprises of all quantities to one chance a review and one a machine.

use crate::columns::Fleet;
use crate::covariates::Covariates;
use crate::evidence;
use crate::null::Nulls;
use crate::surprise::{self, Company, Kind, Readings, Surprises};
use crate::turns::{self, Turns};
use rayon::prelude::*;
use windrow_model::Bound;

/// Insulation resistance in decades (scatter and spread of the reference worlds, where a fleet is too small to tell its own).
const RESISTANCE: Kind = Kind { between: 0.5, scatter: 0.2, good: 1.0, slips: true };
/// ln of the polarization index.
const POLARIZATION: Kind = Kind { between: 0.3, scatter: 0.15, good: 1.0, slips: false };
/// ln of the slope ratio of a step curve: a rise is bad.
const KNEE: Kind = Kind { between: 0.2, scatter: 0.2, good: -1.0, slips: false };
/// ln of the unbalance of winding resistances: a rise is bad.
const UNBALANCE: Kind = Kind { between: 0.5, scatter: 0.4, good: -1.0, slips: false };
/// Weight of polarization index and knee beside the resistance.
const BESIDE: f64 = 0.6;

/// What a chance speaks of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Group {
    /// Resistance, polarization index and knee of the ground-wall insulation.
    GroundWall,
    /// Unbalance of winding resistances.
    Conductor,
    /// Surge levels of the turn insulation.
    Turns,
}

/// The newest evidence of one group on one machine.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Standing {
    /// The review it rests on.
    pub review: usize,
    /// Chance of as much by accident.
    pub p: f64,
    /// How many readings it adds up.
    pub window: usize,
}

/// Scores of a fleet.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Scores {
    /// What temperature, humidity and age do to resistances here.
    pub covariates: Covariates,
    /// Resistance, in decades.
    pub resistance: Surprises,
    /// ln polarization index.
    pub polarization: Surprises,
    /// ln knee, turned so that less is worse.
    pub knee: Surprises,
    /// ln unbalance, turned so that less is worse.
    pub unbalance: Surprises,
    /// Calibrated score of the ground wall a review; `NaN` where it was not measured.
    pub ground_wall: Vec<f64>,
    /// Levels of the turn insulation, a review.
    pub turns: Vec<Turns>,
    /// Chance of what a review brought, over the groups it measured, before later readings showed slips; `NaN` where it could not be judged.
    pub by_review: Vec<f64>,
    /// Newest evidence of each group (in the order of [`Group`]), one entry a machine.
    pub standing: Vec<[Option<Standing>; 3]>,
    /// Chance of all that is known of a machine; `NaN` where nothing could be judged, and for all in fleets below [`FEWEST_MACHINES`].
    pub by_machine: Vec<f64>,
}

/// Machines below which none is judged beside the others: how much sound ones age and scatter cannot be told from so few (common practice,
/// no source).
pub const FEWEST_MACHINES: usize = 5;

/// Scores all reviews and all machines of a fleet.
#[must_use]
pub fn score(fleet: &Fleet) -> Scores {
    let (covariates, company) = rayon::join(|| Covariates::fit(fleet), || Company::of(fleet));
    let of = |channel, kind: Kind| surprise::of(fleet, &company, &Readings::of(channel, kind.good), kind);
    let others = || {
        let pair = || (of(&fleet.reviews.knee, KNEE), of(&fleet.reviews.unbalance, UNBALANCE));
        rayon::join(|| of(&fleet.reviews.polarization, POLARIZATION), pair)
    };
    let resistance = || surprise::of(fleet, &company, &adjusted(fleet, &covariates), RESISTANCE);
    // The quantities know nothing of each other until their scores are put together. Where no machine has two reviews, there is no evidence over
    // time.
    let prepare = || {
        if fleet.reviews.time_a.len() > fleet.len() {
            evidence::prepare();
        }
    };
    let ((), (resistance, (polarization, (knee, unbalance)))) =
        rayon::join(prepare, || rayon::join(resistance, others));
    let parts = GroundWall { resistance: &resistance, polarization: &polarization, knee: &knee };
    let (ground_wall, nulls) = parts.scores();
    let ground = windows(fleet, &ground_wall);
    let conductor = windows(fleet, &unbalance.score);
    let turns = turns::chances(fleet);
    let groups =
        [ground, conductor, turns.iter().enumerate().map(|(review, chance)| chance.standing(review)).collect()];
    let chance = |review: usize, ground: Option<Standing>| together([ground, groups[1][review], groups[2][review]]);
    let mut by_review: Vec<f64> = (0..ground_wall.len()).map(|review| chance(review, groups[0][review])).collect();
    for (machine, scores) in &resistance.then {
        let reviews = fleet.reviews_of(*machine);
        let then = |review: usize| parts.score(&nulls, review, scores[review - reviews.start]);
        for (review, ground) in reviews.clone().zip(windows_of(fleet, *machine, then)) {
            by_review[review] = chance(review, ground);
        }
    }
    let standing: Vec<[Option<Standing>; 3]> = (0..fleet.len())
        .into_par_iter()
        .map(|machine| groups.each_ref().map(|group| newest(fleet, machine, group)))
        .collect();
    let judged = |groups: &[Option<Standing>; 3]| {
        if fleet.len() < FEWEST_MACHINES { f64::NAN } else { together(*groups) }
    };
    let by_machine = standing.iter().map(judged).collect();
    Scores {
        covariates,
        resistance,
        polarization,
        knee,
        unbalance,
        ground_wall,
        turns,
        by_review,
        standing,
        by_machine,
    }
}

/// Resistances without what temperature and humidity leave in them.
fn adjusted(fleet: &Fleet, covariates: &Covariates) -> Readings {
    let mut readings = Readings::of(&fleet.reviews.resistance, RESISTANCE.good);
    let shift =
        |machine: usize| fleet.reviews_of(machine).map(move |review| covariates.of_review(fleet, machine, review));
    let shifts: Vec<f64> = (0..fleet.len()).into_par_iter().flat_map_iter(shift).collect();
    readings.value.iter_mut().zip(shifts).for_each(|(value, shift)| *value -= shift);
    readings.extra.clone_from(&fleet.reviews.extra);
    readings.per_year = covariates.per_year;
    readings
}

/// What looks at the ground wall, together; again on the fleet's own scale, for the parts hang together.
struct GroundWall<'a> {
    resistance: &'a Surprises,
    polarization: &'a Surprises,
    knee: &'a Surprises,
}

impl GroundWall<'_> {
    /// Scores of all reviews, and the scale they are on.
    fn scores(&self) -> (Vec<f64>, Nulls) {
        let raw = |review: usize| self.raw(review, self.resistance.score[review]);
        let (raw, classes): (Vec<f64>, Vec<u8>) = (0..self.resistance.score.len()).into_par_iter().map(raw).unzip();
        let exact = vec![Bound::Exact; raw.len()];
        let nulls = Nulls::fit(&raw, &exact, &classes, 8);
        let scores = raw.iter().zip(&classes).map(|(raw, class)| calibrated(&nulls, *raw, *class)).collect();
        (scores, nulls)
    }

    /// The score of a review with some score of its resistance.
    fn score(&self, nulls: &Nulls, review: usize, resistance: f64) -> f64 {
        let (raw, class) = self.raw(review, resistance);
        calibrated(nulls, raw, class)
    }

    /// Weighed sum of what was measured, and which parts were.
    fn raw(&self, review: usize, resistance: f64) -> (f64, u8) {
        let (mut sum, mut squares, mut class, mut bit) = (0.0, 0.0_f64, 0_u8, 1_u8);
        for (score, weight) in
            [(resistance, 1.0), (self.polarization.score[review], BESIDE), (self.knee.score[review], BESIDE)]
        {
            if score.is_finite() {
                sum += weight * score;
                squares += weight * weight;
                class |= bit;
            }
            bit <<= 1;
        }
        (if class == 0 { f64::NAN } else { sum / squares.sqrt() }, class)
    }
}

fn calibrated(nulls: &Nulls, raw: f64, class: u8) -> f64 {
    if raw.is_finite() { nulls.score(class, raw, Bound::Exact) } else { f64::NAN }
}

/// Evidence of the last scores of each winding, at every review that has one.
fn windows(fleet: &Fleet, scores: &[f64]) -> Vec<Option<Standing>> {
    let machine = |machine: usize| windows_of(fleet, machine, |review| scores[review]);
    (0..fleet.len()).into_par_iter().flat_map_iter(machine).collect()
}

fn windows_of(fleet: &Fleet, machine: usize, score: impl Fn(usize) -> f64) -> Vec<Option<Standing>> {
    let mut known: Vec<f64> = Vec::new();
    let mut winding = None;
    let review = |review: usize| {
        if winding.replace(fleet.reviews.winding[review]) != Some(fleet.reviews.winding[review])
            || fleet.reviews.treated[review]
        {
            known.clear();
        }
        let score = score(review);
        if !score.is_finite() {
            return None;
        }
        known.push(score);
        let (m, window) = evidence::strongest(&known)?;
        Some(Standing { review, p: evidence::chance(m, known.len()), window })
    };
    fleet.reviews_of(machine).map(review).collect()
}

/// The newest evidence on the present winding of a machine.
fn newest(fleet: &Fleet, machine: usize, group: &[Option<Standing>]) -> Option<Standing> {
    let winding = |review: usize| fleet.reviews.winding[review];
    let newest = fleet.reviews_of(machine).next_back().map(winding);
    fleet
        .reviews_of(machine)
        .rev()
        .take_while(|review| Some(winding(*review)) == newest)
        .find_map(|review| group[review])
}

/// Chance that the smallest of the groups is as small (Šidák 1967); `NaN` without groups.
fn together(groups: [Option<Standing>; 3]) -> f64 {
    let (mut least, mut count) = (f64::NAN, 0.0);
    for standing in groups.into_iter().flatten() {
        least = standing.p.min(least);
        count += 1.0;
    }
    // 1 − (1 − p)^k without loss of digits.
    -(count * (-least).ln_1p()).exp_m1()
}
