//! Whether groups differ by more than their members do.
//!
//! # References
//! Fisher 1925; checked against NIST StRD SiRstv.

use crate::count::as_f64;

/// F of a one-way analysis of variance: mean square between `groups` over that within.
///
/// `None` for fewer than two groups with members, no freedom within, no scatter within, or a number that is not finite.
#[must_use]
pub fn one_way_f(groups: &[Vec<f64>]) -> Option<f64> {
    let groups: Vec<&Vec<f64>> = groups.iter().filter(|group| !group.is_empty()).collect();
    let all: Vec<f64> = groups.iter().flat_map(|group| group.iter().copied()).collect();
    if groups.len() < 2 || all.len() <= groups.len() || all.iter().any(|value| !value.is_finite()) {
        return None;
    }
    let mean = |values: &[f64]| values.iter().sum::<f64>() / as_f64(values.len());
    let grand = mean(&all);
    let (mut between, mut within) = (0.0, 0.0);
    for group in &groups {
        let own = mean(group);
        between += as_f64(group.len()) * (own - grand).powi(2);
        within += group.iter().map(|value| (value - own).powi(2)).sum::<f64>();
    }
    let freedom = (as_f64(groups.len()) - 1.0, as_f64(all.len() - groups.len()));
    (within > 0.0).then(|| between / freedom.0 / (within / freedom.1))
}
