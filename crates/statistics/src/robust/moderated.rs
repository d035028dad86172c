//! Scatter of one machine, shrunk to that of its fleet.
//!
//! # References
//! Smyth 2004, *Stat. Appl. Genet. Mol. Biol.* 3:3; checked against R limma 3.54.1.

use super::spread::median;
use crate::count::as_f64;
use crate::special::{digamma, trigamma, trigamma_inverse};

/// Variances that borrow from each other.
#[derive(Debug, Clone, PartialEq)]
pub struct Moderated {
    /// Common variance.
    pub prior: f64,
    /// How many degrees of freedom it weighs; infinite when the variances differ no more than by chance.
    pub prior_df: f64,
    /// Moderated variance of each member, in order.
    pub variances: Vec<f64>,
}

/// Moderates variances with their degrees of freedom (both > 0).
///
/// `None` for fewer than two usable members. Members whose variance or degrees are not positive numbers keep what they have and do
/// not teach; a variance of zero counts as a hundred-thousandth of the median, as in the reference.
#[must_use]
pub fn moderate(members: &[(f64, f64)]) -> Option<Moderated> {
    let usable: Vec<(f64, f64)> = members
        .iter()
        .copied()
        .filter(|(variance, df)| variance.is_finite() && *variance >= 0.0 && *df > 0.0 && df.is_finite())
        .collect();
    if usable.len() < 2 {
        return None;
    }
    let middle = median(&usable.iter().map(|(variance, _)| *variance).collect::<Vec<f64>>())?;
    if !(middle > 0.0) {
        return None;
    }
    let floored: Vec<(f64, f64)> = usable.iter().map(|(variance, df)| (variance.max(1e-5 * middle), *df)).collect();
    let count = as_f64(floored.len());
    let centred: Vec<f64> =
        floored.iter().map(|(variance, df)| variance.ln() - digamma(df / 2.0) + (df / 2.0).ln()).collect();
    let mean = centred.iter().sum::<f64>() / count;
    let spread = centred.iter().map(|value| (value - mean).powi(2)).sum::<f64>() / (count - 1.0);
    let excess = spread - floored.iter().map(|(_, df)| trigamma(df / 2.0)).sum::<f64>() / count;
    let (prior, prior_df) = if excess > 0.0 {
        let half = trigamma_inverse(excess);
        ((mean + digamma(half) - half.ln()).exp(), 2.0 * half)
    } else {
        (floored.iter().map(|(variance, _)| variance).sum::<f64>() / count, f64::INFINITY)
    };
    let variances = members.iter().map(|(variance, df)| shrunk((*variance, *df), (prior, prior_df))).collect();
    Some(Moderated { prior, prior_df, variances })
}

fn shrunk((variance, df): (f64, f64), (prior, prior_df): (f64, f64)) -> f64 {
    match (variance.is_finite() && df > 0.0, prior_df.is_finite()) {
        (false, _) => variance,
        (true, false) => prior,
        (true, true) => (df * variance + prior_df * prior) / (df + prior_df),
    }
}

#[cfg(test)]
mod tests {
    use super::moderate;

    #[test]
    fn one_member_has_nothing_to_borrow_from() {
        assert_eq!(moderate(&[(0.1, 3.0)]), None);
        assert_eq!(moderate(&[(0.1, 3.0), (f64::NAN, 3.0)]), None);
        assert_eq!(moderate(&[(0.0, 3.0), (0.0, 2.0)]), None);
    }
}
