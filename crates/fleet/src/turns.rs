//! Turn insulation: each inception level or failed withstand against the product-limit distribution of all levels of the fleet (a
//! level that was withstood is a lower bound of its own).

use crate::columns::Fleet;
use crate::score::Standing;
use crate::tally::{Tally, key};
use rayon::prelude::*;
use windrow_model::Bound;

/// How rare a level is.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Chance {
    /// Share of windings that give way at as low a level; `NaN` where none was tried.
    pub(crate) share: f64,
    /// Chance of this and the level before.
    p: f64,
    /// How many levels it adds up.
    window: usize,
}

impl Chance {
    pub(crate) fn standing(&self, review: usize) -> Option<Standing> {
        (!self.p.is_nan()).then_some(Standing { review, p: self.p, window: self.window })
    }
}

/// Chances of as low a level, one a review; 1 where the level was withstood.
pub(crate) fn chances(fleet: &Fleet) -> Vec<Chance> {
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
    let share = |review: usize| match surge.get(review) {
        // Without a date nobody knows whether it is the newest.
        _ if !fleet.reviews.time_a[review].is_finite() => f64::NAN,
        None => f64::NAN,
        Some((_, Bound::AtLeast)) => 1.0,
        Some((level, _)) => (cell.share_up_to(level) + one).min(1.0),
    };
    (0..fleet.len()).into_par_iter().flat_map_iter(|machine| of_machine(fleet, machine, share)).collect()
}

fn of_machine(fleet: &Fleet, machine: usize, share: impl Fn(usize) -> f64) -> Vec<Chance> {
    let mut before: Option<(u32, f64)> = None;
    let one = |review: usize| {
        let share = share(review);
        let alone = Chance { share, p: share, window: 1 };
        if share.is_nan() {
            return alone;
        }
        let winding = fleet.reviews.winding[review];
        match before.replace((winding, share)) {
            Some((same, earlier)) if same == winding && earlier < 1.0 && share < 1.0 => {
                Chance { p: both(earlier, share), window: 2, ..alone }
            }
            _ => alone,
        }
    };
    fleet.reviews_of(machine).map(one).collect()
}

/// Chance of a product of two chances as small as theirs (Fisher 1932).
fn both(a: f64, b: f64) -> f64 {
    let product = a * b;
    product * (1.0 - product.ln())
}
