//! What service puts on the parts of an insulation, to hold tests against.

use crate::facts::Insulation;
use crate::formula::per_unit_v;
use crate::machine::{Machine, Missing};
use crate::rule::{self, Subject};
use windrow_model::{TestKind, Text};

/// How a test voltage is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// Direct voltage.
    Direct,
    /// Root mean square of an alternating voltage.
    Rms,
    /// Peak of a surge.
    Peak,
}

impl Form {
    /// How the voltages of `kind` are told; `None` for tests whose voltage proves nothing.
    #[must_use]
    pub const fn of(kind: TestKind) -> Option<Self> {
        match kind {
            TestKind::InsulationResistance | TestKind::DcWithstand | TestKind::DcStep | TestKind::DcRamp => {
                Some(Self::Direct)
            }
            TestKind::AcWithstand | TestKind::DissipationFactor | TestKind::PartialDischarge => Some(Self::Rms),
            TestKind::Surge => Some(Self::Peak),
            TestKind::WindingResistance | TestKind::Inductance | TestKind::Waveform => None,
        }
    }

    /// Code as stored in `coverage`.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Direct => "direct",
            Self::Rms => "rms",
            Self::Peak => "peak",
        }
    }

    /// What stands behind the figure: `V DC`, `V rms`, `V peak`.
    #[must_use]
    pub const fn unit(self) -> &'static str {
        match self {
            Self::Direct => "V DC",
            Self::Rms => "V rms",
            Self::Peak => "V peak",
        }
    }

    /// Crest of `volts`, V (√2 of a root mean square: definition of a sine).
    ///
    /// ```
    /// use windrow_criteria::stress::Form;
    /// assert!((Form::Rms.crest_v(1000.0) - 1414.2136).abs() < 1e-3);
    /// assert_eq!(Form::Direct.crest_v(1000.0), 1000.0);
    /// ```
    #[must_use]
    pub fn crest_v(self, volts: f64) -> f64 {
        match self {
            Self::Direct | Self::Peak => volts,
            Self::Rms => std::f64::consts::SQRT_2 * volts,
        }
    }

    /// `volts` in per unit of the rated phase-to-earth voltage of `machine`, like over like.
    ///
    /// # Errors
    /// When the rated voltage is missing or cannot be true.
    pub fn per_unit(self, volts: f64, machine: &Machine) -> Result<f64, Missing> {
        Ok(self.crest_v(volts) / per_unit_v(machine.rated_voltage()?))
    }
}

/// Crest of what service puts on `insulation` of `machine`, V, with its basis; `None` for connections.
///
/// # Errors
/// When the rated voltage is missing or cannot be true.
///
/// ```
/// use windrow_criteria::{Insulation, Machine, stress::in_service};
/// let machine = Machine { rated_voltage_v: Some(4160.0), ..Machine::default() };
/// // worked example SU-01: 1 pu of 4.16 kV
/// let (volts, basis) = in_service(Insulation::GroundWall, &machine).unwrap().unwrap();
/// assert!((volts - 3396.625_777).abs() < 1e-5 && basis.contains("SERVICE-EARTH"));
/// ```
pub fn in_service(insulation: Insulation, machine: &Machine) -> Result<Option<(f64, Text)>, Missing> {
    machine.rated_voltage()?;
    let subject = match insulation {
        Insulation::GroundWall => Subject::ServiceStressToEarth,
        Insulation::PhaseToPhase => Subject::ServiceStressBetweenPhases,
        Insulation::TurnToTurn => Subject::ServiceStressBetweenTurns,
        Insulation::Connections => return Ok(None),
    };
    let Some(rule) = rule::on(subject).next() else { return Ok(None) };
    Ok(Some((rule.value.value(machine)?, rule.basis())))
}

#[cfg(test)]
mod tests {
    use super::Form;
    use crate::Machine;
    use proptest::prelude::*;

    /// 1 pu is the rated phase voltage, whichever way it is told (definition, IEEE 522, quoted second-hand).
    #[test]
    fn the_rated_phase_voltage_is_one_per_unit() {
        let machine = Machine { rated_voltage_v: Some(6600.0), ..Machine::default() };
        let phase = 6600.0 / 3.0_f64.sqrt();
        assert!((Form::Rms.per_unit(phase, &machine).unwrap() - 1.0).abs() < 1e-12);
        assert!((Form::Peak.per_unit(phase * 2.0_f64.sqrt(), &machine).unwrap() - 1.0).abs() < 1e-12);
        assert!(Form::Rms.per_unit(phase, &Machine::default()).is_err());
    }

    proptest! {
        #[test]
        fn the_crest_grows_with_the_voltage_and_is_never_below_it(volts in 0.0_f64..1e5, more in 0.0_f64..1e3) {
            for form in [Form::Direct, Form::Rms, Form::Peak] {
                prop_assert!(form.crest_v(volts) >= volts);
                prop_assert!(form.crest_v(volts + more) >= form.crest_v(volts));
            }
        }
    }
}
