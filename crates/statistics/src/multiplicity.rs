//! Many questions at once: p-values to q-values that bound the share of false discoveries.
//!
//! # References
//! Benjamini & Hochberg 1995, *J. R. Stat. Soc. B* 57:289; Benjamini & Yekutieli 2001, *Ann. Stat.* 29:1165.

use crate::count::as_f64;

/// q-values by Benjamini and Hochberg, in the order of `p`: q of the i-th smallest is min over j ≥ i of m·p(j)/j.
///
/// Equal p share one q. A p that is not a number, or outside 0…1, is no question that was asked: it counts nowhere and its q is not
/// a number. O(m log m).
#[must_use]
pub fn benjamini_hochberg(p: &[f64]) -> Vec<f64> {
    adjusted(p, |_| 1.0)
}

/// q-values by Benjamini and Yekutieli, which hold under any dependence: those of [`benjamini_hochberg`] times Σ 1/j, at most 1.
#[must_use]
pub fn benjamini_yekutieli(p: &[f64]) -> Vec<f64> {
    adjusted(p, |questions| (1..=questions).map(|rank| 1.0 / as_f64(rank)).sum())
}

fn adjusted(p: &[f64], factor: impl Fn(usize) -> f64) -> Vec<f64> {
    let mut order: Vec<usize> = (0..p.len()).filter(|index| (0.0..=1.0).contains(&p[*index])).collect();
    order.sort_by(|a, b| p[*a].total_cmp(&p[*b]));
    let factor = factor(order.len()) * as_f64(order.len());
    let mut q = vec![f64::NAN; p.len()];
    let mut least = 1.0_f64;
    for (below, index) in order.iter().enumerate().rev() {
        least = least.min(factor * p[*index] / as_f64(below + 1));
        q[*index] = least;
    }
    q
}

#[cfg(test)]
mod tests {
    use super::{benjamini_hochberg, benjamini_yekutieli};
    use proptest::prelude::*;

    #[test]
    fn what_is_no_p_value_is_not_counted() {
        let q = benjamini_hochberg(&[0.02, f64::NAN, 0.04, 7.0]);
        assert!(q[1].is_nan() && q[3].is_nan());
        assert_eq!((q[0], q[2]), (0.04, 0.04));
        assert!(benjamini_hochberg(&[]).is_empty());
    }

    proptest! {
        #[test]
        fn never_below_p_and_in_its_order(p in proptest::collection::vec(0.0_f64..=1.0, 0..40)) {
            for q in [benjamini_hochberg(&p), benjamini_yekutieli(&p)] {
                for (p, q) in p.iter().zip(&q) {
                    prop_assert!(*q >= *p - 1e-15 && *q <= 1.0);
                }
                for (i, j) in (0..p.len()).flat_map(|i| (0..p.len()).map(move |j| (i, j))) {
                    prop_assert!(p[i] > p[j] || q[i] <= q[j]);
                }
            }
        }
    }
}
