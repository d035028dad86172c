//! Crossings in the order of their years: thousands of them for each forecast, and thousands of forecasts for a fleet.

/// Bits of the fraction of a number of years that tell crossings apart at first: a thousand steps from one power of two to the next, so that hardly two
/// share one.
const FINE: u32 = f64::MANTISSA_DIGITS - 1 - 10;

/// Crossings (years, weight) in the order of their years, those of the same years in the order in which they come; no years are below zero.
pub(super) fn by_years(crossings: &[(f64, f64)]) -> Vec<(f64, f64)> {
    // The bits of numbers that are not below zero rise with them. Zero stands far below all others, and has a place of its own.
    let rough = |years: f64| if years > 0.0 { years.to_bits() >> FINE } else { 0 };
    let above_zero = || crossings.iter().map(|(years, _)| rough(*years)).filter(|rough| *rough > 0);
    let (Some(least), Some(largest)) = (above_zero().min(), above_zero().max()) else { return crossings.to_vec() };
    let step = |years: f64| usize::try_from((rough(years) + 1).saturating_sub(least)).unwrap_or(usize::MAX);
    // Where each step begins, then where its next crossing goes.
    let mut places = vec![0; usize::try_from(largest - least).unwrap_or(0) + 3];
    for (years, _) in crossings {
        places[step(*years) + 1] += 1;
    }
    let mut before = 0;
    for place in &mut places {
        before += *place;
        *place = before;
    }
    let mut ordered = vec![(0.0, 0.0); crossings.len()];
    for crossing in crossings {
        let place = &mut places[step(crossing.0)];
        ordered[*place] = *crossing;
        *place += 1;
    }
    for same in ordered.chunk_by_mut(|a, b| rough(a.0) == rough(b.0)) {
        same.sort_by(|a, b| a.0.total_cmp(&b.0));
    }
    ordered
}

#[cfg(test)]
mod tests {
    use super::by_years;
    use proptest::prelude::*;

    proptest! {
        /// Against the sort of the standard library.
        #[test]
        fn as_a_stable_sort_puts_them(
            years in proptest::collection::vec(prop_oneof![
                Just(0.0), Just(f64::INFINITY), Just(3.5), 0.0_f64..40.0, 1e-300_f64..1e9, (0_u32..5000).prop_map(|tenth| f64::from(tenth) / 10.0)
            ], 0..300),
        ) {
            let crossings: Vec<(f64, f64)> = years.into_iter().zip((1_u32..).map(f64::from)).collect();
            let mut sorted = crossings.clone();
            sorted.sort_by(|a, b| a.0.total_cmp(&b.0));
            prop_assert_eq!(by_years(&crossings), sorted);
        }
    }
}
