//! One quantity over the whole fleet: every reading against what the past of its machine and its sister machines led to expect, with
//! the fleet's own scatter as the yardstick.

use crate::campaign;
use crate::cohort::{self, Cohorts};
use crate::columns::{Channel, Fleet};
use crate::filter::{DEGREES, Filter, Start};
use crate::normal::{self, Curve};
use crate::null::Nulls;
use crate::slip::Slips;
use crate::tally::{Tally, key};
use rayon::prelude::*;
use std::sync::OnceLock;
use windrow_model::Bound;

/// A surprise above this, to the good, is a winding that was mended: its level may be anything.
const MENDED: f64 = 3.2;
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
    /// Calibrated normal score: below zero is bad.
    pub score: Vec<f64>,
    /// Readings of this winding up to and with this one.
    pub history: Vec<u16>,
    /// Whether the reading looks wrong by a factor of a thousand; its score is then not told.
    pub slip: Vec<bool>,
}

/// One pass of the filter over one review.
#[derive(Debug, Clone, Copy)]
struct Judged {
    mean: f64,
    scale: f64,
    history: u16,
    slip: Slip,
}

/// Whether a reading looks wrong by a factor of a thousand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Slip {
    No,
    /// It does; it is not scored, and nothing is learnt of it.
    Told,
    /// It did, but the next reading says the same: it is not scored, for that was not known then, and is no slip.
    TakenBack,
}

const NOTHING: Judged = Judged { mean: f64::NAN, scale: f64::NAN, history: 0, slip: Slip::No };

pub(crate) fn of(fleet: &Fleet, readings: &Readings, kind: Kind) -> Surprises {
    let count = readings.value.len();
    let variance = scatter(fleet, readings, kind.scatter).powi(2);
    let mut shared = vec![0.0; count];
    let mut judged = Vec::new();
    let mut slips = Slips::usual();
    for round in 0..=ROUNDS {
        let cleaned: Vec<f64> = readings.value.par_iter().zip(&shared).map(|(value, shift)| value - shift).collect();
        let cohorts = cohorts(fleet, &cleaned, readings, kind.between);
        let between = (cohorts.between - variance * 0.3).max(0.1 * cohorts.between);
        let start =
            |machine: usize| Start { level: cohorts.level[machine], slope: readings.per_year, between, variance };
        judged = pass((fleet, &cleaned, readings), (kind, slips), start);
        if round < ROUNDS {
            shared = campaigns(fleet, readings, &judged);
            let error = |(review, judged): (usize, &Judged)| match readings.bound[review] {
                Bound::Exact => cleaned[review] - judged.mean,
                Bound::AtLeast | Bound::AtMost => f64::NAN,
            };
            slips = Slips::of(&judged.par_iter().enumerate().map(error).collect::<Vec<f64>>());
        }
    }
    scored(readings, &shared, &judged)
}

/// What campaigns share: first by site and year, then, of the rest, by month.
fn campaigns(fleet: &Fleet, readings: &Readings, judged: &[Judged]) -> Vec<f64> {
    let error = |(review, judged): (usize, &Judged)| {
        // A first reading tells more of the machine than of the campaign.
        if judged.history < 2 || judged.slip != Slip::No { f64::NAN } else { readings.value[review] - judged.mean }
    };
    let errors: Vec<f64> = judged.par_iter().enumerate().map(error).collect();
    let yearly = campaign::shared(&errors, &readings.bound, &fleet.reviews.campaign);
    let rest: Vec<f64> = errors.iter().zip(&yearly).map(|(error, shift)| error - shift).collect();
    let monthly = campaign::shared(&rest, &readings.bound, &fleet.reviews.visit);
    yearly.iter().zip(&monthly).map(|(year, month)| year + month).collect()
}

fn cohorts(fleet: &Fleet, cleaned: &[f64], readings: &Readings, usual: f64) -> Cohorts {
    let middles: Vec<_> = (0..fleet.len())
        .into_par_iter()
        .map(|machine| {
            let aged = |review: usize| cleaned[review] - readings.per_year * age(fleet, review);
            let known = fleet.reviews_of(machine).filter(|review| cleaned[*review].is_finite());
            let mut all: Vec<(f64, Bound)> = known.map(|review| (aged(review), readings.bound[review])).collect();
            cohort::middle(&mut all)
        })
        .collect();
    cohort::fit(&fleet.machines, &middles, usual)
}

/// Age of the winding; where it is not told, that of a middle-aged one.
fn age(fleet: &Fleet, review: usize) -> f64 {
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
            let reviews: Vec<usize> = fleet.reviews_of(machine).filter(exact).collect();
            let pairs: Vec<u64> = reviews
                .windows(2)
                .filter(|pair| fleet.reviews.winding[pair[0]] == fleet.reviews.winding[pair[1]])
                .map(|pair| key(0, (readings.value[pair[1]] - readings.value[pair[0]]).abs(), Bound::Exact))
                .collect();
            pairs
        })
        .collect();
    let count = keys.len() as f64;
    let middle = Tally::of(keys).cell(0).quantile(0.5, None).unwrap_or(0.0);
    let seen = middle / 0.674_49 / std::f64::consts::SQRT_2;
    ((count * seen * seen + USUAL_COUNT * usual * usual) / (count + USUAL_COUNT)).sqrt().max(0.02)
}

fn pass(
    columns: (&Fleet, &[f64], &Readings),
    kind: (Kind, Slips),
    start: impl Fn(usize) -> Start + Sync,
) -> Vec<Judged> {
    (0..columns.0.len())
        .into_par_iter()
        .flat_map_iter(|machine| one_machine(columns, kind, start(machine), machine))
        .collect()
}

fn one_machine(
    (fleet, cleaned, readings): (&Fleet, &[f64], &Readings),
    (kind, slips): (Kind, Slips),
    start: Start,
    machine: usize,
) -> Vec<Judged> {
    let reviews = &fleet.reviews;
    let mut filter: Option<(Filter, usize)> = None;
    let mut all: Vec<Judged> = Vec::with_capacity(fleet.reviews_of(machine).len());
    // A reading that looks wrong and that no later one has spoken of yet: its place here, and how far off it is.
    let mut open: Option<(usize, f64)> = None;
    let mut history = 0_u16;
    for review in fleet.reviews_of(machine) {
        let (value, time) = (cleaned[review], reviews.time_a[review]);
        if !(value.is_finite() && time.is_finite()) {
            all.push(NOTHING);
            continue;
        }
        let fresh = |at: usize| Filter::new(Start { level: start.level + start.slope * age(fleet, at), ..start });
        let (mut state, years) = match filter {
            Some((state, before)) if reviews.winding[before] == reviews.winding[review] => {
                (state, (time - reviews.time_a[before]).max(0.0))
            }
            _ => {
                history = 0;
                open = None;
                (fresh(review), 0.0)
            }
        };
        if reviews.treated[review] {
            state.loosen(start);
        }
        let forecast = state.forecast(years, readings.extra[review]);
        let bound = readings.bound[review];
        let error = value - forecast.mean;
        history = history.saturating_add(1);
        // The level that the reading before showed holds, where this one is nearer to it than to the level before that.
        let confirmed = open.take_if(|(_, off)| 2.0 * error * off.signum() > off.abs());
        if let Some(before) = confirmed.and_then(|(place, _)| all.get_mut(place)) {
            before.slip = Slip::TakenBack;
        }
        let looks_wrong = kind.slips && bound == Bound::Exact && slips.is_slip(error, forecast.scale);
        let slip = if looks_wrong && confirmed.is_none() {
            // Nothing is learnt of a reading that is probably wrong, until the next one says the same.
            open = Some((all.len(), error));
            Slip::Told
        } else {
            if error > MENDED * forecast.scale && bound != Bound::AtMost || confirmed.is_some() {
                state.loosen(start);
            }
            open = None;
            state.learn(forecast, value, bound);
            Slip::No
        };
        filter = Some((state, review));
        all.push(Judged { mean: forecast.mean, scale: forecast.scale, history, slip });
    }
    all
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

fn scored(readings: &Readings, shared: &[f64], judged: &[Judged]) -> Surprises {
    let curve = student();
    let raw: Vec<f64> = judged
        .par_iter()
        .enumerate()
        .map(|(review, judged)| {
            if judged.slip == Slip::No {
                curve.at((readings.value[review] - shared[review] - judged.mean) / judged.scale)
            } else {
                f64::NAN
            }
        })
        .collect();
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
    let score = |review: usize| {
        if raw[review].is_finite() {
            nulls.score(classes[review], raw[review], readings.bound[review])
        } else {
            f64::NAN
        }
    };
    Surprises {
        expected: judged.iter().enumerate().map(expected).collect(),
        low: end(0),
        high: end(1),
        shared: shared.to_vec(),
        error: judged.iter().enumerate().map(|(review, judged)| readings.value[review] - judged.mean).collect(),
        score: (0..raw.len()).into_par_iter().map(score).collect(),
        history: judged.iter().map(|judged| judged.history).collect(),
        slip: judged.iter().map(|judged| judged.slip == Slip::Told).collect(),
    }
}
