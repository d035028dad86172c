//! One pass of the filter over the readings of every machine: each against what those before it led to expect.

use crate::beside::Beside;
use crate::columns::Fleet;
use crate::filter::{Filter, Start};
use crate::hindsight;
use crate::slip::{Off, Slips};
use crate::surprise::{Readings, age};
use rayon::prelude::*;
use windrow_model::Bound;

/// A surprise above this, to the good, is a winding that was mended: its level may be anything.
const MENDED: f64 = 3.2;

/// What a pass looks at.
pub(crate) struct Look<'a> {
    pub(crate) fleet: &'a Fleet,
    /// Readings without what campaigns share.
    pub(crate) cleaned: &'a [f64],
    pub(crate) readings: &'a Readings,
    /// How slips are told, where readings may be wrong by a factor of a thousand.
    pub(crate) slips: Option<Slips>,
}

/// What a pass made of one review.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Judged {
    /// What was expected, and its scale.
    pub(crate) mean: f64,
    pub(crate) scale: f64,
    /// Variance of the level that was expected.
    pub(crate) level: f64,
    /// Reading less the level that the readings before show and, where it is far off, those after it.
    pub(crate) off: f64,
    /// The readings before it.
    pub(crate) before: Beside,
    pub(crate) history: u16,
    pub(crate) slip: Slip,
}

impl Judged {
    /// Scatter of the reading alone.
    pub(crate) fn scatter(&self) -> f64 {
        (self.scale * self.scale - self.level).max(0.0).sqrt()
    }
}

/// Whether a reading looks wrong by a factor of a thousand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Slip {
    No,
    /// It does; it is not scored, and nothing is learnt of it.
    Told,
    /// It did, but later readings say otherwise: it is not scored, for that was not known then, and is no slip.
    TakenBack,
    /// Only later readings show it; it is not scored, and nothing is learnt of it once it is known.
    Hindsight,
}

const NOTHING: Judged = Judged {
    mean: f64::NAN,
    scale: f64::NAN,
    level: f64::NAN,
    off: f64::NAN,
    before: Beside::NONE,
    history: 0,
    slip: Slip::No,
};

/// Judges all reviews, from what each machine starts from, in the room of `all`, whatever stood there before.
pub(crate) fn pass(look: &Look<'_>, start: impl Fn(usize) -> Start + Sync, all: &mut Vec<Judged>) {
    all.resize(look.readings.value.len(), NOTHING);
    let mut rest = &mut all[..];
    let machines: Vec<&mut [Judged]> = (0..look.fleet.len())
        .map(|machine| {
            let reviews = look.fleet.reviews_of(machine).len().min(rest.len());
            let (own, others) = std::mem::take(&mut rest).split_at_mut(reviews);
            rest = others;
            own
        })
        .collect();
    machines.into_par_iter().enumerate().for_each_init(Vec::new, |judged, (machine, own)| {
        judge(look, start(machine), machine, judged);
        if let Some(slips) = look.slips {
            hindsight::add((look, slips), start(machine), machine, judged);
        }
        own.iter_mut().zip(judged).for_each(|(own, judged)| *own = *judged);
    });
}

/// A machine of which later readings showed a slip, as it was judged before that was known.
pub(crate) struct Before {
    pub(crate) machine: usize,
    /// Its first review.
    pub(crate) first: usize,
    pub(crate) judged: Vec<Judged>,
}

/// The pass again over the machines of which later readings show a slip, as if it had not been read; gives how they were judged before.
pub(crate) fn again(look: &Look<'_>, start: impl Fn(usize) -> Start, judged: &mut [Judged]) -> Vec<Before> {
    let is_late = |judged: &Judged| judged.slip == Slip::Hindsight;
    let fleet = look.fleet;
    let late: Vec<usize> = (0..fleet.len()).filter(|one| judged[fleet.reviews_of(*one)].iter().any(is_late)).collect();
    let mut cleaned = look.cleaned.to_vec();
    cleaned.iter_mut().zip(&*judged).filter(|(_, judged)| is_late(judged)).for_each(|(value, _)| *value = f64::NAN);
    let look = Look { cleaned: &cleaned, ..*look };
    let one = |machine: usize| {
        let reviews = fleet.reviews_of(machine);
        let before = Before { machine, first: reviews.start, judged: judged[reviews.clone()].to_vec() };
        let mut now = Vec::new();
        judge(&look, start(machine), machine, &mut now);
        for (now, then) in now.into_iter().zip(&mut judged[reviews]) {
            let slip = if now.slip == Slip::No { Slip::No } else { then.slip };
            if !is_late(then) {
                *then = Judged { off: then.off, slip, ..now };
            }
        }
        before
    };
    late.into_iter().map(one).collect()
}

/// Judges the reviews of one machine, one entry each in `all`, whatever stood there before.
fn judge(look: &Look<'_>, start: Start, machine: usize, all: &mut Vec<Judged>) {
    let Look { fleet, cleaned, readings, slips } = look;
    let reviews = &fleet.reviews;
    let mut filter: Option<(Filter, usize)> = None;
    all.clear();
    // A reading that looks wrong and that no later one has spoken of yet: its place here, its value, and how far off it is.
    let mut open: Option<(usize, f64, f64)> = None;
    let (mut history, mut before) = (0_u16, Beside::NONE);
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
                (history, before) = (0, Beside::NONE);
                open = None;
                (fresh(review), 0.0)
            }
        };
        if reviews.treated[review] {
            state.loosen(start);
            before = Beside::NONE;
        }
        let mut forecast = state.forecast(years, readings.extra[review]);
        let bound = readings.bound[review];
        let error = value - forecast.mean;
        history = history.saturating_add(1);
        // The level that the reading before showed holds, where this one is nearer to it than to the level before that.
        let confirmed = open.take_if(|(_, _, off)| 2.0 * error * off.signum() > off.abs());
        if let Some(before) = confirmed.and_then(|(place, ..)| all.get_mut(place)) {
            before.slip = Slip::TakenBack;
        }
        let judged = Judged {
            mean: forecast.mean,
            scale: forecast.scale,
            level: forecast.level,
            off: error,
            before,
            history,
            slip: Slip::No,
        };
        let off = Off { error, scale: judged.scale, scatter: judged.scatter() };
        let looks_wrong = bound == Bound::Exact
            && slips.is_some_and(|slips| slips.is_slip(off))
            && before.contradicts(value, error) != Some(false);
        let slip = if looks_wrong && confirmed.is_none() {
            // Nothing is learnt of a reading that is probably wrong, until the next one says the same.
            open = Some((all.len(), value, error));
            Slip::Told
        } else {
            if let Some((_, level, _)) = confirmed {
                state.begin_at(level);
                forecast = state.forecast(0.0, readings.extra[review]);
            } else if error > MENDED * forecast.scale && bound != Bound::AtMost {
                state.loosen(start);
            }
            open = None;
            state.learn(forecast, value, bound);
            before.add(value, bound);
            Slip::No
        };
        filter = Some((state, review));
        all.push(Judged { slip, ..judged });
    }
}
