//! One quantity over the whole fleet: every reading against what the past of its machine and its sister machines led to expect, with
//! the fleet's own scatter as the yardstick.

use crate::campaign::{self, Groups};
use crate::cohort::{self, Middle};
use crate::columns::{Channel, Fleet};
use crate::filter::{DEGREES, Start};
use crate::normal::{self, Curve};
use crate::null::Nulls;
use crate::pass::{Before, Judged, Look, Slip, again, pass};
use crate::slip::Slips;
use crate::tally::{Tally, key};
use rayon::prelude::*;
use std::sync::OnceLock;
use windrow_model::Bound;

/// Rounds of learning what campaigns share.
const ROUNDS: usize = 2;
/// Surprises beyond so many scales count as so many.
const FARTHEST_T: f64 = 40.0;
/// Classes of history: 1, 2, 3–4, 5–8, 9 and more readings.
const CLASSES: u8 = 5;

/// What is usual of a quantity where a fleet is too small to tell, and what to watch for.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Kind {
    /// Standard deviation between machines of one kind.
    pub(crate) between: f64,
    /// Standard deviation of one reading.
    pub(crate) scatter: f64,
    /// −1 where a rise is bad.
    pub(crate) good: f64,
    /// Whether a reading may be wrong by a factor of a thousand.
    pub(crate) slips: bool,
}

/// All readings of one quantity, on a scale on which more is better.
pub(crate) struct Readings {
    pub(crate) value: Vec<f64>,
    pub(crate) bound: Vec<Bound>,
    /// Sd of the error of each beyond the usual scatter.
    pub(crate) extra: Vec<f64>,
    /// Change a year that all windings share.
    pub(crate) per_year: f64,
}

impl Readings {
    pub(crate) fn of(channel: &Channel, good: f64) -> Self {
        let flip = |bound: &Bound| match bound {
            Bound::AtLeast if good < 0.0 => Bound::AtMost,
            Bound::AtMost if good < 0.0 => Bound::AtLeast,
            other => *other,
        };
        Self {
            value: channel.value.iter().map(|value| if value.is_finite() { value * good } else { f64::NAN }).collect(),
            bound: channel.bound.iter().map(flip).collect(),
            extra: vec![0.0; channel.value.len()],
            per_year: 0.0,
        }
    }
}

/// What came of one quantity. One entry a review; `NaN` where it was not measured or could not be judged.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Surprises {
    /// What was expected, campaign included.
    pub expected: Vec<f64>,
    /// Where eight of ten readings of sound windings lie.
    pub low: Vec<f64>,
    /// Upper end.
    pub high: Vec<f64>,
    /// What the campaign added.
    pub shared: Vec<f64>,
    /// Reading less expectation, campaign still in.
    pub error: Vec<f64>,
    /// Reading less what those before and after it show, campaign taken out.
    pub off: Vec<f64>,
    /// Calibrated normal score: below zero is bad.
    pub score: Vec<f64>,
    /// Machines of which later readings showed a slip, and the scores of their reviews as they were known before.
    pub(crate) then: Vec<(usize, Vec<f64>)>,
    /// Readings of this winding up to and with this one.
    pub history: Vec<u16>,
    /// Whether the reading looks wrong by a factor of a thousand; its score is then not told.
    pub slip: Vec<bool>,
    /// What the sister machines alone lead one to expect.
    pub usual: Usual,
}

/// What is usual of a quantity before the readings of a machine are seen.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Usual {
    /// Level by the cohort of each machine, for a winding as good as new; one entry a machine.
    pub level: Vec<f64>,
    /// Change a year of age.
    pub per_year: f64,
    /// Standard deviation between machines of one cohort.
    pub between: f64,
    /// Standard deviation of one reading.
    pub scatter: f64,
}

impl Usual {
    /// The level of a machine at the age that its winding had at a review.
    #[must_use]
    pub fn at(&self, fleet: &Fleet, (machine, review): (usize, usize)) -> f64 {
        self.level.get(machine).map_or(f64::NAN, |level| level + self.per_year * age(fleet, review))
    }
}

/// Whom all quantities are compared with: machines of a kind, and reviews that share what their site had then.
pub(crate) struct Company {
    cohorts: cohort::Cells,
    yearly: Groups,
    monthly: Groups,
}

impl Company {
    pub(crate) fn of(fleet: &Fleet) -> Self {
        let groups = || rayon::join(|| Groups::of(&fleet.reviews.campaign), || Groups::of(&fleet.reviews.visit));
        let (cohorts, (yearly, monthly)) = rayon::join(|| cohort::Cells::of(&fleet.machines, fleet.len()), groups);
        Self { cohorts, yearly, monthly }
    }
}

pub(crate) fn of(fleet: &Fleet, company: &Company, readings: &Readings, kind: Kind) -> Surprises {
    let count = readings.value.len();
    let variance = scatter(fleet, readings, kind.scatter).powi(2);
    let mut shared = vec![0.0; count];
    let (mut judged, mut then, mut usual) = (Vec::new(), Vec::new(), Usual::default());
    let mut slips = Slips::usual();
    for round in 0..=ROUNDS {
        let cleaned: Vec<f64> = readings.value.par_iter().zip(&shared).map(|(value, shift)| value - shift).collect();
        let middles = middles(fleet, &cleaned, readings);
        let cohorts = cohort::fit(&company.cohorts, &middles, kind.between);
        let between = (cohorts.between - variance * 0.3).max(0.1 * cohorts.between);
        let start =
            |machine: usize| Start { level: cohorts.level[machine], slope: readings.per_year, between, variance };
        let look = Look { fleet, cleaned: &cleaned, readings, slips: kind.slips.then_some(slips) };
        pass(&look, start, &mut judged);
        if round == ROUNDS {
            then = again(&look, start, &mut judged);
            let [between, scatter] = [between, variance].map(f64::sqrt);
            usual = Usual { level: cohorts.level, per_year: readings.per_year, between, scatter };
        } else {
            shared = campaigns(company, readings, &judged);
            let off = |(review, judged): (usize, &Judged)| match readings.bound[review] {
                Bound::Exact => judged.off,
                Bound::AtLeast | Bound::AtMost => f64::NAN,
            };
            slips = Slips::of(&judged.par_iter().enumerate().map(off).collect::<Vec<f64>>(), variance.sqrt());
        }
    }
    Surprises { usual, ..scored(readings, &shared, (&judged, &then)) }
}

/// What campaigns share: first by site and year, then, of the rest, by month.
fn campaigns(company: &Company, readings: &Readings, judged: &[Judged]) -> Vec<f64> {
    let error = |(review, judged): (usize, &Judged)| {
        // A first reading tells more of the machine than of the campaign.
        if judged.history < 2 || judged.slip != Slip::No { f64::NAN } else { readings.value[review] - judged.mean }
    };
    let errors: Vec<f64> = judged.par_iter().enumerate().map(error).collect();
    let yearly = campaign::shared(&errors, &readings.bound, &company.yearly);
    let rest: Vec<f64> = errors.iter().zip(&yearly).map(|(error, shift)| error - shift).collect();
    let monthly = campaign::shared(&rest, &readings.bound, &company.monthly);
    yearly.iter().zip(&monthly).map(|(year, month)| year + month).collect()
}

/// The middle of the readings of each machine, for a winding as good as new.
fn middles(fleet: &Fleet, cleaned: &[f64], readings: &Readings) -> Vec<Middle> {
    (0..fleet.len())
        .into_par_iter()
        .map_init(cohort::Room::default, |room, machine| {
            let aged = |review: usize| cleaned[review] - readings.per_year * age(fleet, review);
            let known = fleet.reviews_of(machine).filter(|review| cleaned[*review].is_finite());
            room.middle(known.map(|review| (aged(review), readings.bound[review])))
        })
        .collect()
}

/// Age of the winding; where it is not told, that of a middle-aged one.
pub(crate) fn age(fleet: &Fleet, review: usize) -> f64 {
    const USUAL_A: f64 = 20.0;
    fleet.reviews.age_a.get(review).copied().filter(|age| age.is_finite()).unwrap_or(USUAL_A).clamp(0.0, 80.0)
}

/// Robust scatter of one reading, from differences of successive exact ones; drawn to `usual` where there are few.
#[expect(clippy::cast_precision_loss, reason = "counts")]
fn scatter(fleet: &Fleet, readings: &Readings, usual: f64) -> f64 {
    const USUAL_COUNT: f64 = 20.0;
    let keys: Vec<u64> = (0..fleet.len())
        .into_par_iter()
        .flat_map_iter(|machine| {
            let exact = |review: &usize| readings.value[*review].is_finite() && readings.bound[*review] == Bound::Exact;
            let reviews = fleet.reviews_of(machine).filter(exact);
            let pairs = reviews.clone().zip(reviews.skip(1));
            let of_a_winding = pairs.filter(|(a, b)| fleet.reviews.winding[*a] == fleet.reviews.winding[*b]);
            of_a_winding.map(|(a, b)| key(0, (readings.value[b] - readings.value[a]).abs(), Bound::Exact))
        })
        .collect();
    let count = keys.len() as f64;
    let middle = Tally::of(keys).cell(0).quantile(0.5, None).unwrap_or(0.0);
    let seen = middle / 0.674_49 / std::f64::consts::SQRT_2;
    ((count * seen * seen + USUAL_COUNT * usual * usual) / (count + USUAL_COUNT)).sqrt().max(0.02)
}

fn class(history: u16) -> u8 {
    match history {
        0 | 1 => 0,
        2 => 1,
        3 | 4 => 2,
        5..=8 => 3,
        _ => 4,
    }
}

/// Normal scores of Student-t numbers with the degrees of freedom of the filter.
fn student() -> &'static Curve {
    static CURVE: OnceLock<Curve> = OnceLock::new();
    CURVE.get_or_init(|| Curve::of(FARTHEST_T, |t| normal::score_of_t(t, DEGREES)))
}

fn scored(readings: &Readings, shared: &[f64], (judged, then): (&[Judged], &[Before])) -> Surprises {
    let curve = student();
    let raw_of = |review: usize, judged: &Judged| {
        curve.at((readings.value[review] - shared[review] - judged.mean) / judged.scale)
    };
    let raw_now = |(review, judged): (usize, &Judged)| {
        if judged.slip == Slip::No { raw_of(review, judged) } else { f64::NAN }
    };
    let raw: Vec<f64> = judged.par_iter().enumerate().map(raw_now).collect();
    let classes: Vec<u8> = judged.par_iter().map(|judged| class(judged.history)).collect();
    let nulls = Nulls::fit(&raw, &readings.bound, &classes, CLASSES);
    let tenth: Vec<[f64; 2]> = (0..CLASSES)
        .map(|class| [-1.281_55, 1.281_55].map(|z| normal::t_of_score(nulls.of(class).raw(z), DEGREES)))
        .collect();
    let expected = |(review, judged): (usize, &Judged)| judged.mean + shared[review];
    let end = |side: usize| {
        let tenth = &tenth;
        let end = move |(review, judged): (usize, &Judged)| {
            judged.mean + shared[review] + judged.scale * tenth[usize::from(class(judged.history))][side]
        };
        judged.iter().enumerate().map(end).collect()
    };
    let score = |review: usize, class: u8, raw: f64| {
        if raw.is_finite() { nulls.score(class, raw, readings.bound[review]) } else { f64::NAN }
    };
    let score_then = |(review, judged): (usize, &Judged)| {
        let was_scored = matches!(judged.slip, Slip::No | Slip::Hindsight);
        let raw = if was_scored { raw_of(review, judged) } else { f64::NAN };
        score(review, class(judged.history), raw)
    };
    let scores_then =
        |before: &Before| (before.machine, (before.first..).zip(&before.judged).map(score_then).collect());
    Surprises {
        expected: judged.iter().enumerate().map(expected).collect(),
        low: end(0),
        high: end(1),
        shared: shared.to_vec(),
        error: judged.iter().enumerate().map(|(review, judged)| readings.value[review] - judged.mean).collect(),
        off: judged.iter().map(|judged| judged.off).collect(),
        score: (0..raw.len()).into_par_iter().map(|review| score(review, classes[review], raw[review])).collect(),
        then: then.iter().map(scores_then).collect(),
        history: judged.iter().map(|judged| judged.history).collect(),
        slip: judged.iter().map(|judged| matches!(judged.slip, Slip::Told | Slip::Hindsight)).collect(),
        usual: Usual::default(),
    }
}
