//! Dew point of moist air.

use crate::machine::Machine;
use crate::rule::{self, Subject};

/// Margin by which a winding should be warmer than the dew point, K, with its basis: the widest of the rules.
#[must_use]
pub fn least_margin_k() -> Option<(f64, String)> {
    let margins = rule::on(Subject::DewPointMargin);
    let told = margins.filter_map(|rule| Some((rule.value.value(&Machine::default()).ok()?, rule.basis().to_string())));
    told.max_by(|a, b| a.0.total_cmp(&b.0))
}

/// How much warmer than the dew point a winding at `winding_c` is in air at `air_c` and `relative_humidity_pct`, K; negative
/// when it is colder. `None` where there is no dew point.
///
/// ```
/// // worked example DP-20: winding 16 °C, air 25 °C and 60 %
/// let margin = windrow_criteria::dew_point::margin_k(16.0, 25.0, 60.0).unwrap();
/// assert!((margin + 0.693_149_0).abs() < 1e-6);
/// ```
#[must_use]
pub fn margin_k(winding_c: f64, air_c: f64, relative_humidity_pct: f64) -> Option<f64> {
    dew_point_c(air_c, relative_humidity_pct).map(|dew| winding_c - dew)
}

/// Dew point in °C of air at `temperature_c` (−45 to 60 °C) and `relative_humidity_pct` (above 0, up to 100).
///
/// WMO-No. 8, Annex 4.B, constants 17.62 and 243.12 °C over water (verified constants, range from memory). `None` outside.
///
/// ```
/// // worked example DP-01: 20 °C and 50 % give 9.2552 °C
/// let dew = windrow_criteria::dew_point::dew_point_c(20.0, 50.0).unwrap();
/// assert!((dew - 9.255_174_599).abs() < 1e-6);
/// ```
#[must_use]
pub fn dew_point_c(temperature_c: f64, relative_humidity_pct: f64) -> Option<f64> {
    let moist = relative_humidity_pct > 0.0 && relative_humidity_pct <= 100.0;
    if !(moist && (-45.0..=60.0).contains(&temperature_c)) {
        return None;
    }
    let g = (relative_humidity_pct / 100.0).ln() + 17.62 * temperature_c / (243.12 + temperature_c);
    Some(243.12 * g / (17.62 - g))
}

#[cfg(test)]
mod tests {
    use super::dew_point_c;
    use proptest::prelude::*;

    /// Outside the formula's range there is no dew point, and no guess.
    #[test]
    fn outside_the_range_there_is_none() {
        for (t, rh) in
            [(20.0, 0.0), (20.0, -5.0), (20.0, 100.1), (f64::NAN, 50.0), (20.0, f64::NAN), (60.1, 50.0), (-45.1, 50.0)]
        {
            assert_eq!(dew_point_c(t, rh), None, "{t} {rh}");
        }
        assert!(dew_point_c(60.0, 100.0).is_some() && dew_point_c(-45.0, 1.0).is_some());
    }

    proptest! {
        #[test]
        fn never_warmer_than_the_air_and_rising_with_humidity(t in -45.0_f64..60.0, rh in 1.0_f64..99.0) {
            let dew = dew_point_c(t, rh).unwrap();
            prop_assert!(dew <= t + 1e-9 && dew < dew_point_c(t, rh + 1.0).unwrap());
        }
    }
}
