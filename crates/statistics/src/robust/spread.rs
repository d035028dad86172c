//! Median and median absolute deviation.
//!
//! # References
//! Hampel 1974, *J. Am. Stat. Assoc.* 69:383.

use crate::special::normal;

/// Middle of `values`, the mean of the two middle ones for an even count; what is not a finite number is left out. `None` when
/// nothing is left.
#[must_use]
pub fn median(values: &[f64]) -> Option<f64> {
    let mut finite: Vec<f64> = values.iter().copied().filter(|value| value.is_finite()).collect();
    let middle = finite.len() / 2;
    let (_, upper, _) = (!finite.is_empty()).then(|| finite.select_nth_unstable_by(middle, f64::total_cmp))?;
    let upper = *upper;
    if finite.len() % 2 == 1 {
        return Some(upper);
    }
    let lower = finite[..middle].iter().copied().fold(f64::NEG_INFINITY, f64::max);
    Some(f64::midpoint(lower, upper))
}

/// Median absolute deviation from the median over Φ⁻¹(3/4): the standard deviation where the values are normal. Zero when more than
/// half are equal, `None` without values.
#[must_use]
pub fn deviation(values: &[f64]) -> Option<f64> {
    let centre = median(values)?;
    let distances: Vec<f64> = values.iter().map(|value| (value - centre).abs()).collect();
    Some(median(&distances)? / normal::QUARTILE)
}

/// (x − median) / deviation of each value. `None` where more than half are equal: the scatter is then unknown, not zero.
#[must_use]
pub fn robust_scores(values: &[f64]) -> Option<Vec<f64>> {
    let (centre, scale) = (median(values)?, deviation(values)?);
    (scale > 0.0).then(|| values.iter().map(|value| (value - centre) / scale).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_has_no_middle() {
        assert_eq!(median(&[]), None);
        assert_eq!(median(&[f64::NAN, f64::INFINITY]), None);
        assert_eq!(median(&[f64::NAN, 3.0, 1.0]), Some(2.0));
    }
}
