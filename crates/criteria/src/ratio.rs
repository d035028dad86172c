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
    use windrow_model::Bound::{AtLeast, AtMost, Exact};

    /// Worked examples PI-01 … PI-08 (computed; PI-06 and PI-07 by the rule that a ceiling is never a value).
    #[test]
    fn worked_examples() {
        assert_eq!(of((2480.0, Exact), (620.0, Exact)), Some((4.0, Exact)));
        assert_eq!(of((1190.0, Exact), (850.0, Exact)), Some((1.4, Exact)));
        assert_eq!(of((2000.0, AtLeast), (2000.0, AtLeast)), None);
        let (value, bound) = of((2000.0, AtLeast), (900.0, Exact)).unwrap();
        assert!((value - 2.222_222_222).abs() < 1e-9 && bound == AtLeast);
        assert_eq!(of((900.0, Exact), (2000.0, AtLeast)).unwrap().1, AtMost);
        assert_eq!(of((1.0, Exact), (0.0, Exact)), None);
    }
}
