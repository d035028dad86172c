//! Ratios of two timed readings, with bounds carried through.

use windrow_model::Bound;

/// `late` over `early`, each with its bound; `None` when the bounds leave the ratio open or a value is not positive.
///
/// Polarization index: ten minutes over one; absorption ratio: sixty seconds over thirty. Both readings stand at the same
/// temperature and are never corrected (IEEE 43-2013, from memory).
#[must_use]
pub fn of(late: (f64, Bound), early: (f64, Bound)) -> Option<(f64, Bound)> {
    let ((late, late_bound), (early, early_bound)) = (late, early);
    if !(late > 0.0 && early > 0.0 && late.is_finite() && early.is_finite()) {
        return None;
    }
    let bound = match (late_bound, early_bound) {
        (Bound::Exact, Bound::Exact) => Bound::Exact,
        (Bound::AtLeast, Bound::Exact | Bound::AtMost) | (Bound::Exact, Bound::AtMost) => Bound::AtLeast,
        (Bound::AtMost, Bound::Exact | Bound::AtLeast) | (Bound::Exact, Bound::AtLeast) => Bound::AtMost,
        (Bound::AtLeast, Bound::AtLeast) | (Bound::AtMost, Bound::AtMost) => return None,
    };
    Some((late / early, bound))
}

#[cfg(test)]
mod tests {
    use super::of;
    use proptest::prelude::*;
    use windrow_model::Bound::{self, AtLeast, AtMost, Exact};

    /// PI-06 and PI-07: a ceiling is never a value, and two ceilings leave the ratio open.
    #[test]
    fn bounds_are_carried_through() {
        assert_eq!(of((2000.0, AtLeast), (2000.0, AtLeast)), None);
        assert_eq!(of((2000.0, AtLeast), (900.0, Exact)).map(|ratio| ratio.1), Some(AtLeast));
        assert_eq!(of((900.0, Exact), (2000.0, AtLeast)).map(|ratio| ratio.1), Some(AtMost));
        for nothing in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert_eq!(of((1.0, Exact), (nothing, Exact)), None);
            assert_eq!(of((nothing, Exact), (1.0, Exact)), None);
        }
    }

    /// A value that the bound allows.
    fn allowed(value: f64, bound: Bound, stretch: f64) -> f64 {
        match bound {
            Exact => value,
            AtLeast => value * stretch,
            AtMost => value / stretch,
        }
    }

    proptest! {
        #[test]
        fn the_bound_holds_for_every_pair_of_values_that_the_readings_allow(
            late in 0.1_f64..1e6, early in 0.1_f64..1e6, bounds in (0_usize..3, 0_usize..3), stretch in (1.0_f64..100.0, 1.0_f64..100.0)
        ) {
            let kinds = [Exact, AtLeast, AtMost];
            let (late_bound, early_bound) = (kinds[bounds.0], kinds[bounds.1]);
            if let Some((ratio, bound)) = of((late, late_bound), (early, early_bound)) {
                let real = allowed(late, late_bound, stretch.0) / allowed(early, early_bound, stretch.1);
                let tolerance = 1e-12 * ratio;
                let holds = match bound {
                    Exact => (real - ratio).abs() <= tolerance,
                    AtLeast => real >= ratio - tolerance,
                    AtMost => real <= ratio + tolerance,
                };
                prop_assert!(holds, "{real} against {bound} {ratio}");
            }
        }
    }
}
