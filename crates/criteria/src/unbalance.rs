//! Unbalance of three phases, by the three definitions in use.

/// A definition of unbalance; they differ by up to a factor of two, so it is named wherever a figure stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Definition {
    /// Largest deviation from the mean, over the mean: ANSI/EASA AR100-2020 clause 4.3.1 (quoted second-hand).
    DeviationOverMean,
    /// (max − min) over the mean (common practice, no source).
    SpreadOverMean,
    /// (max − min) over the least (common practice, no source).
    SpreadOverLeast,
}

impl Definition {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::DeviationOverMean, Self::SpreadOverMean, Self::SpreadOverLeast];

    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::DeviationOverMean => "largest deviation from the mean, over the mean",
            Self::SpreadOverMean => "largest less least, over the mean",
            Self::SpreadOverLeast => "largest less least, over the least",
        }
    }

    /// Unbalance of `values` as a pure number; `None` for fewer than two values or values that are not positive.
    ///
    /// ```
    /// use windrow_criteria::unbalance::Definition;
    /// // worked examples WR-12 to WR-14: one set of readings, three figures
    /// let ohms = [0.5021, 0.5043, 0.5102];
    /// let percent = Definition::ALL.map(|definition| definition.of(&ohms).unwrap() * 100.0);
    /// assert!((percent[0] - 0.923_117_5).abs() < 1e-6 && (percent[2] - 1.613_224_5).abs() < 1e-6);
    /// ```
    #[must_use]
    pub fn of(self, values: &[f64]) -> Option<f64> {
        if values.len() < 2 || values.iter().any(|value| !value.is_finite() || *value <= 0.0) {
            return None;
        }
        #[expect(clippy::cast_precision_loss, reason = "three phases")]
        let mean = values.iter().sum::<f64>() / values.len() as f64;
        let most = values.iter().copied().reduce(f64::max)?;
        let least = values.iter().copied().reduce(f64::min)?;
        Some(match self {
            Self::DeviationOverMean => (most - mean).max(mean - least) / mean,
            Self::SpreadOverMean => (most - least) / mean,
            Self::SpreadOverLeast => (most - least) / least,
        })
    }
}

/// Unbalance by [`Definition::DeviationOverMean`], the one that limits are given for.
#[must_use]
pub fn from_mean(values: &[f64]) -> Option<f64> {
    Definition::DeviationOverMean.of(values)
}

#[cfg(test)]
mod tests {
    use super::Definition;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn scale_and_order_change_nothing_and_the_definitions_are_ordered(
            values in proptest::collection::vec(0.01_f64..10.0, 3), scale in 0.001_f64..1000.0
        ) {
            let mut turned: Vec<f64> = values.iter().map(|value| value * scale).collect();
            turned.reverse();
            let [a, b, c] = Definition::ALL.map(|definition| definition.of(&values).unwrap());
            for (definition, before) in Definition::ALL.into_iter().zip([a, b, c]) {
                prop_assert!((definition.of(&turned).unwrap() - before).abs() < 1e-9);
            }
            prop_assert!(a <= b + 1e-12 && b <= c + 1e-12 && b <= 2.0 * a + 1e-12);
        }
    }

    #[test]
    fn what_is_not_a_set_of_resistances_has_no_unbalance() {
        for values in [&[][..], &[1.0], &[1.0, 0.0], &[1.0, -1.0], &[1.0, f64::NAN], &[1.0, f64::INFINITY]] {
            assert_eq!(Definition::SpreadOverMean.of(values), None);
        }
    }
}
