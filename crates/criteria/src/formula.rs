//! Formulas of limits and levels.

use crate::machine::{Machine, Missing};
use crate::rule;
use serde::Deserialize;

/// A figure as a function of the machine, in the unit of its rule. E is the rated voltage of the winding in V.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Formula {
    /// The figure itself.
    Fixed(f64),
    /// `per_volt` · E + `plus`, not below `at_least` and not above `at_most`.
    Linear {
        /// Factor on the rated voltage.
        per_volt: f64,
        /// Addend.
        #[serde(default)]
        plus: f64,
        /// Floor.
        at_least: Option<f64>,
        /// Cap.
        at_most: Option<f64>,
    },
    /// `times` · √(2/3) · E + `plus`, not below `at_least`: multiples of the peak line-to-earth voltage.
    PerUnit {
        /// Factor on the peak of the line-to-earth voltage.
        times: f64,
        /// Addend, V.
        #[serde(default)]
        plus: f64,
        /// Floor, V.
        at_least: Option<f64>,
    },
    /// E / (kVA / `kva_divisor` + `plus`) megohms, in Ohm.
    OverPower {
        /// Divisor of the rated apparent power in kVA.
        kva_divisor: f64,
        /// Addend.
        plus: f64,
    },
    /// `times` the figure of another rule.
    Of {
        /// Name of the other rule.
        rule: String,
        /// Factor.
        times: f64,
    },
}

/// Line-to-line over phase voltage of three phases: √3 (circuit geometry).
pub(crate) const PHASE_TO_LINE: f64 = 1.732_050_807_568_877_2;

/// Peak line-to-earth voltage, V, of a winding rated `line_voltage_v` line to line: 1 pu of surge tests (IEEE 522, quoted
/// second-hand).
///
/// ```
/// // worked example SU-01: 4.16 kV
/// assert!((windrow_criteria::per_unit_v(4160.0) - 3396.625_777).abs() < 1e-5);
/// ```
#[must_use]
pub fn per_unit_v(line_voltage_v: f64) -> f64 {
    (2.0_f64 / 3.0).sqrt() * line_voltage_v
}

impl Formula {
    /// The figure for `machine`.
    ///
    /// # Errors
    /// The field of the nameplate that it needs and that is missing or cannot be true.
    pub fn value(&self, machine: &Machine) -> Result<f64, Missing> {
        match self {
            Self::Of { rule: name, times } => match rule::rule(name).map(|rule| &rule.value) {
                Some(Self::Of { .. }) | None => Err(Missing::new("rule", format!("the data lack rule {name}"))),
                Some(base) => base.own_value(machine).map(|value| value * times),
            },
            own => own.own_value(machine),
        }
    }

    fn own_value(&self, machine: &Machine) -> Result<f64, Missing> {
        match self {
            Self::Fixed(value) => Ok(*value),
            Self::Linear { per_volt, plus, at_least, at_most } => {
                let value = per_volt * machine.rated_voltage()? + plus;
                Ok(value.max(at_least.unwrap_or(f64::MIN)).min(at_most.unwrap_or(f64::MAX)))
            }
            Self::PerUnit { times, plus, at_least } => {
                let value = times * per_unit_v(machine.rated_voltage()?) + plus;
                Ok(value.max(at_least.unwrap_or(f64::MIN)))
            }
            Self::OverPower { kva_divisor, plus } => {
                let kva = machine.rated_power()? / 1000.0;
                Ok(machine.rated_voltage()? / (kva / kva_divisor + plus) * 1e6)
            }
            Self::Of { rule, .. } => Err(Missing::new("rule", format!("rule {rule} cannot stand by itself"))),
        }
    }
}
