//! Turn insulation: each inception level or failed withstand against the product-limit distribution of all levels of the fleet (a
//! level that was withstood is a lower bound of its own), and against what the same winding showed before.
//!
//! A winding that is low by nature is low at every test, so that a second low level says nothing that the first did not. What it adds is how
//! far it lies below the first: under chance that is the scatter of two levels, whatever the winding's own.

use crate::columns::Fleet;
use crate::score::Standing;
use crate::tally::{Tally, key};
use rayon::prelude::*;
use windrow_model::Bound;
use windrow_statistics::special::student;

/// Standard deviation of one level of a winding, per unit, and its weight in pairs of levels, before a fleet has told its own: a twentieth
/// of the usual level (common practice, no source).
const USUAL_SCATTER: f64 = 0.2;
const USUAL_COUNT: f64 = 20.0;
/// How much of the chance of an alarm goes to a low level itself, and to a fall from what the winding showed before (a weighted Bonferroni
/// bound; Holm 1979, from memory): true falls leave no doubt, and can do with less.
const BY_LEVEL: f64 = 0.8;
const BY_FALL: f64 = 1.0 - BY_LEVEL;
/// Tails of the scatter, as for readings.
const DEGREES: f64 = crate::filter::DEGREES;

/// How rare a level is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Turns {
    /// Share of windings that give way at as low a level; `NaN` where none was tried.
    pub share: f64,
    /// The review that showed more of the same winding before, where the fall from there is what is rare.
    pub fallen_from: Option<usize>,
    /// Chance of this level and of that fall.
    p: f64,
}

impl Turns {
    const NONE: Self = Self { share: f64::NAN, fallen_from: None, p: f64::NAN };

    pub(crate) fn standing(&self, review: usize) -> Option<Standing> {
        let window = 1 + usize::from(self.fallen_from.is_some());
        (!self.p.is_nan()).then_some(Standing { review, p: self.p, window })
    }
}

/// Chances of as low a level, one a review; 1 where the level was withstood.
pub(crate) fn chances(fleet: &Fleet) -> Vec<Turns> {
    let surge = &fleet.reviews.surge;
    let keys: Vec<u64> = (0..surge.value.len())
        .into_par_iter()
        .filter_map(|review| surge.get(review))
        .map(|(level, bound)| key(0, level, bound))
        .collect();
    #[expect(clippy::cast_precision_loss, reason = "counts")]
    let one = 1.0 / (keys.len() as f64).max(1.0);
    let tally = Tally::of(keys);
    let cell = tally.cell(0);
    let usual = Usual { share: |level: f64| (cell.share_up_to(level) + one).min(1.0), scatter: scatter(fleet) };
    (0..fleet.len()).into_par_iter().flat_map_iter(|machine| usual.of_machine(fleet, machine)).collect()
}

/// Robust scatter of one level, from rises between successive levels of one winding: faults make levels fall, so that falls do not tell it.
#[expect(clippy::cast_precision_loss, reason = "counts")]
fn scatter(fleet: &Fleet) -> f64 {
    let surge = &fleet.reviews.surge;
    let rises = |machine: usize| {
        let exact = |review: &usize| surge.get(*review).is_some_and(|(_, bound)| bound == Bound::Exact);
        let reviews: Vec<usize> = fleet.reviews_of(machine).filter(exact).collect();
        let rises: Vec<u64> = reviews
            .windows(2)
            .filter(|pair| fleet.reviews.winding[pair[0]] == fleet.reviews.winding[pair[1]])
            .map(|pair| surge.value[pair[1]] - surge.value[pair[0]])
            .filter(|rise| *rise > 0.0)
            .map(|rise| key(0, rise, Bound::Exact))
            .collect();
        rises
    };
    let keys: Vec<u64> = (0..fleet.len()).into_par_iter().flat_map_iter(rises).collect();
    let count = keys.len() as f64;
    let middle = Tally::of(keys).cell(0).quantile(0.5, None).unwrap_or(0.0);
    let seen = middle / windrow_statistics::special::normal::QUARTILE / std::f64::consts::SQRT_2;
    ((count * seen * seen + USUAL_COUNT * USUAL_SCATTER * USUAL_SCATTER) / (count + USUAL_COUNT)).sqrt()
}

/// What is usual in a fleet.
struct Usual<S> {
    /// Share of levels at or below one.
    share: S,
    /// Standard deviation of one level.
    scatter: f64,
}

/// The highest level that a winding showed, in which review, and how many levels it was chosen from.
#[derive(Clone, Copy)]
struct Highest {
    level: f64,
    review: usize,
    chosen_from: f64,
}

impl<S: Fn(f64) -> f64> Usual<S> {
    fn of_machine(&self, fleet: &Fleet, machine: usize) -> Vec<Turns> {
        let mut highest: Option<(u32, Highest)> = None;
        let one = |review: usize| {
            // Without a date nobody knows whether it is the newest.
            let known = fleet.reviews.surge.get(review).filter(|_| fleet.reviews.time_a[review].is_finite());
            let Some((level, bound)) = known else { return Turns::NONE };
            let winding = fleet.reviews.winding[review];
            let before = highest.filter(|(of, _)| *of == winding).map(|(_, highest)| highest);
            highest = Some((winding, Highest::of(before, level, review)));
            if bound == Bound::AtLeast { Turns { share: 1.0, p: 1.0, ..Turns::NONE } } else { self.low(level, before) }
        };
        fleet.reviews_of(machine).map(one).collect()
    }

    /// A winding that gave way: rare by its level, or by its fall from what it showed before; two questions where there is a before.
    fn low(&self, level: f64, before: Option<Highest>) -> Turns {
        let share = (self.share)(level);
        let alone = Turns { share, fallen_from: None, p: share };
        let Some(before) = before else { return alone };
        let fall = student::cdf((level - before.level) / (self.scatter * std::f64::consts::SQRT_2), DEGREES);
        let pair = both((self.share)(before.level), least_of(fall, before.chosen_from));
        let (by_level, by_fall) = (share / BY_LEVEL, pair / BY_FALL);
        let fallen_from = (by_fall < by_level).then_some(before.review);
        Turns { share, fallen_from, p: by_level.min(by_fall).min(1.0) }
    }
}

impl Highest {
    fn of(before: Option<Self>, level: f64, review: usize) -> Self {
        let chosen_from = before.map_or(0.0, |before| before.chosen_from) + 1.0;
        match before {
            Some(before) if before.level > level => Self { chosen_from, ..before },
            _ => Self { level, review, chosen_from },
        }
    }
}

/// Chance that the smallest of so many chances is as small (Šidák 1967), without loss of digits.
fn least_of(p: f64, count: f64) -> f64 {
    -(count * (-p).ln_1p()).exp_m1()
}

/// Chance of a product of two chances as small as theirs (Fisher 1932).
fn both(a: f64, b: f64) -> f64 {
    let product = a * b;
    if product > 0.0 { product * (1.0 - product.ln()) } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use super::chances;
    use crate::columns::{Channel, Fleet, Machines, Reviews};
    use windrow_model::Bound::{AtLeast, Exact};

    /// Two hundred windings that withstand 3.5 per unit at three tests each, but for the first, whose levels are given.
    fn fleet(first: [(f64, windrow_model::Bound); 3]) -> Fleet {
        let count = 200;
        let mut surge = Channel::default();
        for review in 0..3 * count {
            surge.push(Some(first.get(review).copied().unwrap_or((3.5, AtLeast))));
        }
        let reviews = Reviews {
            time_a: (0..3 * count).map(|review| f64::from(u8::try_from(review % 3).unwrap())).collect(),
            winding: vec![0; 3 * count],
            surge,
            ..Reviews::default()
        };
        Fleet { machines: Machines { end: (1..=count).map(|one| 3 * one).collect(), ..Machines::default() }, reviews }
    }

    /// One winding of a fleet is always the lowest; that it is so at each of its tests is no more surprising than that it is so at one.
    #[test]
    fn a_winding_that_is_low_by_nature_is_no_alarm_however_often_it_is_tested() {
        let turns = chances(&fleet([(3.3, Exact), (3.35, Exact), (3.3, Exact)]));
        assert!(turns[2].p > 1.0 / 600.0, "{:?}", turns[2]);
        assert_eq!(turns[2].fallen_from, None);
    }

    #[test]
    fn a_level_that_falls_is_rarer_than_one_that_is_low() {
        let fallen = chances(&fleet([(3.5, AtLeast), (3.3, Exact), (2.2, Exact)]))[2];
        assert!(fallen.p < 1e-3 && fallen.fallen_from == Some(0), "{fallen:?}");
        let low = chances(&fleet([(2.3, Exact), (2.2, Exact), (2.2, Exact)]))[2];
        assert!(low.p > 4.0 * fallen.p, "{low:?} against {fallen:?}");
        let withstood = chances(&fleet([(3.5, AtLeast); 3]))[2];
        assert_eq!((withstood.p, withstood.fallen_from), (1.0, None));
    }
}
