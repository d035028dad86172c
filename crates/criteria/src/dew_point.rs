//! Dew point of moist air.

/// Margin by which a winding should be warmer than the dew point, K (common practice, no source).
pub const MARGIN_K: f64 = 3.0;

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

    /// Worked examples DP-01 … DP-13 (WMO-No. 8 constants; several agree with a public weather-station table to 0.1 K).
    #[test]
    fn worked_examples() {
        for (t, rh, expected) in [
            (20.0, 50.0, 9.255_174_599),
            (25.0, 80.0, 21.306_887_2),
            (15.0, 30.0, -2.458_928_573),
            (10.0, 90.0, 8.433_938_262),
            (0.0, 80.0, -3.040_420_542),
            (25.0, 60.0, 16.693_149_01),
            (12.5, 88.0, 10.564_883_69),
            (20.0, 100.0, 20.0),
        ] {
            assert!((dew_point_c(t, rh).unwrap() - expected).abs() < 1e-6, "{t} {rh}");
        }
        assert_eq!(dew_point_c(20.0, 0.0), None);
        assert_eq!(dew_point_c(20.0, 100.1), None);
        assert_eq!(dew_point_c(f64::NAN, 50.0), None);
    }
}
