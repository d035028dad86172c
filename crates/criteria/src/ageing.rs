//! How much faster insulation ages when it is hotter.
//!
//! # References
//! Arrhenius' law as IEC 60216 and IEEE 101 use it (from memory); Boltzmann's constant: CODATA 2018. The rule of 10 K: Montsinger 1930
//! (from memory), for a rough figure only.

/// Boltzmann's constant, eV/K.
const BOLTZMANN: f64 = 8.617_333_262e-5;
/// 0 °C in kelvin.
const ZERO_CELSIUS: f64 = 273.15;

/// Life at `from_c` over life at `to_c` (°C) for an activation energy in eV. `None` below absolute zero or for what is no number.
///
/// ```
/// use windrow_criteria::ageing::life_ratio;
/// assert!(life_ratio(130.0, 140.0, 1.0).unwrap() > 2.0, "ten kelvin more take half of the life and over");
/// assert_eq!(life_ratio(f64::NAN, 140.0, 1.0), None);
/// ```
#[must_use]
pub fn life_ratio(from_c: f64, to_c: f64, activation_energy_ev: f64) -> Option<f64> {
    let (from, to) = (from_c + ZERO_CELSIUS, to_c + ZERO_CELSIUS);
    let ratio = (activation_energy_ev / BOLTZMANN * (1.0 / from - 1.0 / to)).exp();
    (from > 0.0 && to > 0.0 && ratio.is_finite()).then_some(ratio)
}

/// The same by the rule that 10 K more halve the life.
#[must_use]
pub fn life_ratio_by_halving(from_c: f64, to_c: f64) -> f64 {
    ((to_c - from_c) / 10.0).exp2()
}
