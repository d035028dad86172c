//! What later readings say of one that is far off: whether units slipped is a question about the records, and those after a reading tell as
//! much of it as those before.
//!
//! The filter runs back over the readings behind it as it ran forth over those before it, and both levels are put together as two estimates
//! that share what was known at the start (the two-filter form of a smoother: Fraser and Potter 1969, *IEEE Trans. Automatic Control* 14:387, from
//! memory).

use crate::beside::Beside;
use crate::filter::{Filter, Forecast, Start};
use crate::pass::{Judged, Look, Slip};
use crate::slip::{Off, Slips};
use crate::surprise::age;
use windrow_model::Bound;

/// Readings that are nearer than this to what was expected, decades, are not asked about: they are no slip, seen from any side.
const NEAR: f64 = 1.5;

/// Looks at one machine from its newest review back, and corrects what is said of slips.
pub(crate) fn add((look, slips): (&Look<'_>, Slips), start: Start, machine: usize, all: &mut [Judged]) {
    if !all.iter().any(|judged| judged.off.abs() > NEAR) {
        return;
    }
    let Look { fleet, cleaned, readings, .. } = look;
    let reviews = &fleet.reviews;
    let mut later: Option<Later> = None;
    for (review, judged) in fleet.reviews_of(machine).zip(all).rev() {
        let (value, time) = (cleaned[review], reviews.time_a[review]);
        if !(value.is_finite() && time.is_finite()) {
            continue;
        }
        // Behind a rewind or a cleaning the level is another.
        let same = |after: usize| reviews.winding[after] == reviews.winding[review] && !reviews.treated[after];
        let after = later.filter(|later| same(later.review));
        let usual = start.level + start.slope * age(fleet, review);
        let (mut filter, years) = match after {
            Some(later) => (later.filter, (reviews.time_a[later.review] - time).max(0.0)),
            None => (Filter::new(Start { level: usual, slope: -start.slope, ..start }), 0.0),
        };
        let back = filter.forecast(years, readings.extra[review]);
        let bound = readings.bound[review];
        if let Some(later) = after.filter(|_| bound == Bound::Exact) {
            let (mean, scale) = together(judged, back, (usual, start.between));
            judged.off = value - mean;
            let is_slip = slips.is_slip(Off { error: judged.off, scale, scatter: judged.scatter() })
                && judged.before.contradicts(value, judged.off) != Some(false)
                && later.beside.contradicts(value, judged.off) == Some(true);
            judged.slip = seen_from_both_sides(judged.slip, is_slip);
        }
        let mut beside = after.map_or(Beside::NONE, |later| later.beside);
        if !matches!(judged.slip, Slip::Told | Slip::Hindsight) {
            filter.learn(back, value, bound);
            beside.add(value, bound);
        }
        later = Some(Later { filter, review, beside });
    }
}

/// What the readings behind one tell.
#[derive(Clone, Copy)]
struct Later {
    filter: Filter,
    /// The next review.
    review: usize,
    beside: Beside,
}

/// Mean and scale of a reading by those before and after it: both levels weighed by their variances, less once what is usual, from which both
/// set out.
fn together(before: &Judged, after: Forecast, (usual, between): (f64, f64)) -> (f64, f64) {
    let (first, second) = (1.0 / before.level, 1.0 / after.level);
    // A level that was loosened knows less than the start: what comes after takes nothing away.
    let sum = (first + second - 1.0 / between).max(first);
    let mean = usual + (first * (before.mean - usual) + second * (after.mean - usual)) / sum;
    (mean, before.scatter().hypot(sum.sqrt().recip()))
}

fn seen_from_both_sides(then: Slip, now: bool) -> Slip {
    match (then, now) {
        (Slip::Told, false) => Slip::TakenBack,
        (Slip::No | Slip::TakenBack, true) => Slip::Hindsight,
        (same, _) => same,
    }
}
