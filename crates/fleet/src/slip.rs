//! Readings that are wrong by a factor of a thousand, one unit taken for another, told from readings that are merely far off.
//!
//! Both are rare, and how rare differs between fleets: so each fleet tells it. Surprises well short of a thousand show how often readings
//! are far off here, on each side; how many more lie about a thousand than that lets expect shows how often units slip. A reading is
//! called a slip from a stated chance on (a local false discovery rate; Efron 2004, *JASA* 99:96).

use rayon::prelude::*;

/// A slip is beyond so many scales.
pub const BEYOND_SCALES: f64 = 4.0;
/// Decades of a thousand.
pub const THOUSAND: f64 = 3.0;
/// How far from a thousand a slip may lie, decades.
pub const REACH: f64 = 1.25;
/// Surprises short of a thousand and beyond it show how often readings are far off here; those between hold the slips.
const SHORT: (f64, f64) = (1.75, 2.25);
const ABOUT: (f64, f64) = (2.25, 3.75);
const BEYOND: (f64, f64) = (3.75, 4.75);
/// Shares expected before the fleet is seen, and their weight in readings: one in a thousand slips to each side, as many are far off and short of
/// a thousand, a tenth of them beyond it.
const USUAL: f64 = 0.001;
const USUAL_BEYOND: f64 = 0.0001;
const WEIGHT: f64 = 1000.0;
/// From this chance on a reading is called a slip: what is called so is looked at in the source, and counts for nothing until then.
pub const LIKELY: f64 = 0.55;

/// Scatter of a reading where a fleet has told none, decades.
const USUAL_SCATTER: f64 = crate::covariates::USUAL_SCATTER;
/// A winding whose readings scatter more than usual is far off more often, by a power of its scatter; at most so many times.
const MOST_TIMES: f64 = 8.0;

/// What was expected of a reading, and how far it is off.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Off {
    /// Decades from what was expected.
    pub(crate) error: f64,
    /// Scale of that: of the reading and of the level that was expected.
    pub(crate) scale: f64,
    /// Scatter of the readings of this winding alone.
    pub(crate) scatter: f64,
}

/// How often readings of a fleet slip, and how many are far off: readings a decade, as ln, at the middles of [`SHORT`] and [`BEYOND`].
#[derive(Debug, Clone, Copy, PartialEq)]
struct Side {
    slips: f64,
    far: [f64; 2],
}

/// Both sides of a fleet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Slips {
    below: Side,
    above: Side,
    /// Usual scatter of a reading.
    scatter: f64,
}

/// Density of readings about what they should be, in scales: a Student-t with 4 degrees of freedom, heavy as records of tests are.
fn density(t: f64) -> f64 {
    0.375 * (1.0 + t * t / 4.0).powf(-2.5)
}

impl Slips {
    /// What is expected before a fleet is seen.
    pub(crate) fn usual() -> Self {
        let side = Side::of(0, [0; 3]);
        Self { below: side, above: side, scatter: USUAL_SCATTER }
    }

    /// From the surprises of a fleet in decades, `NaN` where there is none, and its usual scatter. Counts are the same in any order.
    pub(crate) fn of(errors: &[f64], scatter: f64) -> Self {
        let count = |wanted: &(dyn Fn(f64) -> bool + Sync)| errors.par_iter().filter(|error| wanted(**error)).count();
        let all = count(&|error| error.is_finite());
        let side = |sign: f64| {
            let between = |(from, to): (f64, f64)| count(&|error| (from..to).contains(&(sign * error)));
            Side::of(all, [SHORT, ABOUT, BEYOND].map(between))
        };
        Self { below: side(-1.0), above: side(1.0), scatter }
    }

    /// Whether a reading is likely a slip and not merely far off.
    pub(crate) fn is_slip(&self, Off { error, scale, scatter }: Off) -> bool {
        let off = error.abs() - THOUSAND;
        if !(error.abs() > BEYOND_SCALES * scale && off.abs() < REACH) {
            return false;
        }
        let side = if error < 0.0 { self.below } else { self.above };
        let slip = side.slips * density(off / scale) / scale;
        let times = (scatter / self.scatter).powf(side.degrees()).clamp(1.0 / MOST_TIMES, MOST_TIMES);
        let far = side.far(error.abs()) * times;
        slip >= LIKELY * (slip + far)
    }
}

impl Side {
    #[expect(clippy::cast_precision_loss, reason = "counts")]
    fn of(all: usize, [short, about, beyond]: [usize; 3]) -> Self {
        let share = |count: f64, usual: f64| (count + usual * WEIGHT) / (all as f64 + WEIGHT);
        let a_decade =
            |count: usize, usual: f64, (from, to): (f64, f64)| (share(count as f64, usual) / (to - from)).ln();
        let far = [a_decade(short, USUAL, SHORT), a_decade(beyond, USUAL_BEYOND, BEYOND)];
        let expected = Self { slips: 0.0, far }.far(f64::midpoint(ABOUT.0, ABOUT.1)) * (ABOUT.1 - ABOUT.0);
        let slips = (about as f64 - expected * all as f64).max(0.0);
        Self { slips: share(slips, USUAL), far }
    }

    /// Readings that are merely so far off, a decade, as a share of all: a power of the distance through the two places that were counted, as
    /// the tails of Student's t are.
    fn far(&self, decades: f64) -> f64 {
        let [short, _] = Self::places();
        (self.far[0] - self.power() * (decades.ln() - short)).exp()
    }

    fn power(&self) -> f64 {
        let [short, beyond] = Self::places();
        (self.far[0] - self.far[1]) / (beyond - short)
    }

    /// Degrees of freedom of a Student-t with such a tail: how far a reading is off grows with the scatter of its winding, so that the chance
    /// of being as far off as this grows by this power. Errors that come of something else, even over the decades, have none.
    fn degrees(&self) -> f64 {
        (self.power() - 1.0).clamp(0.0, 4.0)
    }

    /// ln of the middles of [`SHORT`] and [`BEYOND`].
    fn places() -> [f64; 2] {
        [SHORT, BEYOND].map(|(from, to)| f64::midpoint(from, to).ln())
    }
}

#[cfg(test)]
mod tests {
    use super::{Off, REACH, Slips};

    /// A thousand readings, some of them far off below, some of them a thousand too high.
    fn fleet(far: usize, slips: usize) -> Slips {
        let mut errors = vec![0.1; 1000];
        errors[..far].fill(-2.0);
        errors[far..far + slips].fill(3.0);
        Slips::of(&errors, 0.2)
    }

    fn off(error: f64, scale: f64) -> Off {
        Off { error, scale, scatter: 0.2 }
    }

    #[test]
    fn a_thousand_is_a_slip_and_a_hundred_is_none() {
        for slips in [Slips::usual(), fleet(0, 0), fleet(0, 10)] {
            assert!(slips.is_slip(off(3.0, 0.3)) && slips.is_slip(off(-3.1, 0.3)), "{slips:?}");
            assert!(
                !slips.is_slip(off(2.0, 0.3)) && !slips.is_slip(off(-2.0, 0.3)) && !slips.is_slip(off(3.0, 0.8)),
                "{slips:?}"
            );
            assert!(!slips.is_slip(off(3.0 + REACH, 0.3)) && !slips.is_slip(off(f64::NAN, 0.3)), "{slips:?}");
        }
    }

    #[test]
    fn where_many_readings_are_far_off_a_slip_must_be_nearer_to_a_thousand() {
        let (few, many) = (fleet(0, 5), fleet(40, 5));
        assert!(few.is_slip(off(-2.75, 0.3)) && !many.is_slip(off(-2.75, 0.3)));
        assert!(many.is_slip(off(2.6, 0.3)), "the other side has its own count");
    }

    /// Readings that scatter much are far off more often, so that less of what lies about a thousand off is a slip.
    #[test]
    fn a_winding_that_scatters_more_is_believed_to_be_far_off() {
        let fleet = fleet(20, 3);
        let with = |scatter: f64| fleet.is_slip(Off { error: -2.9, scale: 0.3, scatter });
        assert!(with(0.1) && !with(0.4));
    }
}
