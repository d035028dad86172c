//! Magnitudes that no winding has: there the unit or the quantity was misread, and a person is asked.

use windrow_model::raw::{Told, Via};
use windrow_model::{Quantity, Unit};

/// Least and greatest value of a quantity in its stored unit that a test of a machine can give. Wide on purpose: what lies
/// outside is a reading error, what lies inside may still be a sick winding. Common practice, no source.
const fn bounds(quantity: Quantity) -> Option<(f64, f64)> {
    Some(match quantity {
        // Testers end at some tens of teraohms.
        Quantity::InsulationResistance => (1.0, 1e14),
        Quantity::WindingResistance => (1e-6, 1e5),
        Quantity::LeakageCurrent => (1e-13, 5e-1),
        Quantity::Capacitance => (1e-13, 1e-3),
        Quantity::DissipationFactor | Quantity::SurgeDifference | Quantity::Unbalance => (1e-7, 1.0),
        Quantity::SurgePeakVoltage | Quantity::SurgeInceptionVoltage => (5e1, 1e5),
        Quantity::PolarizationIndex | Quantity::AbsorptionRatio => (1e-2, 1e2),
        Quantity::Inductance => (1e-8, 1e3),
        _ => return None,
    })
}

/// Greatest voltage that a test puts on a winding, V: of machines up to 40 kV, direct 1.7 times twice the rated voltage and 1 kV, impulses four
/// times the rated voltage and 5 kV (IEC 60034-1 and IEC 60034-15, from memory), and room. Kilovolts of what was written in volts lie above.
const GREATEST_VOLTS: f64 = 2e5;

/// Greatest voltage that insulation resistance is measured with, V: testers end at 15 kV. Common practice, no source; with room.
const GREATEST_METERED_VOLTS: f64 = 3e4;

/// Whether a test of this quantity may put this voltage on a winding.
pub(super) fn is_applied(quantity: Quantity, volts: f64) -> bool {
    let is_metered =
        matches!(quantity, Quantity::InsulationResistance | Quantity::PolarizationIndex | Quantity::AbsorptionRatio);
    !volts.is_finite() || volts <= if is_metered { GREATEST_METERED_VOLTS } else { GREATEST_VOLTS }
}

/// Whether a winding may give this value; zero and what is no number are other questions.
pub(super) fn is_plausible(quantity: Quantity, stored: f64) -> bool {
    let Some((least, greatest)) = bounds(quantity) else { return true };
    stored == 0.0 || !stored.is_finite() || (least..=greatest).contains(&stored.abs())
}

/// From here on a loss, an unbalance or a difference without a unit is in percent as likely as not. Common practice, no source.
const LARGE_SHARE: f64 = 0.2;

/// Whether a number that no place gives a unit is far more than the share of one that its quantity usually is.
pub(super) fn is_likely_percent(quantity: Quantity, unit: &Told<Unit>, number: f64) -> bool {
    let is_share = matches!(quantity, Quantity::DissipationFactor | Quantity::SurgeDifference | Quantity::Unbalance);
    is_share
        && unit.value == Unit::ONE
        && unit.place.is_none()
        && unit.via != Via::Decision
        && number.abs() > LARGE_SHARE
}

#[cfg(test)]
mod tests {
    use super::{is_applied, is_plausible};
    use windrow_model::Quantity;

    #[test]
    fn misread_units_stand_out_and_sick_windings_do_not() {
        assert!(!is_plausible(Quantity::SurgePeakVoltage, 3.76), "kV read as V");
        assert!(!is_plausible(Quantity::WindingResistance, 5.8e10), "a phase letter read as tera");
        assert!(!is_plausible(Quantity::LeakageCurrent, 4.06), "a phase letter read as ampere");
        assert!(!is_plausible(Quantity::DissipationFactor, 18.65), "another column");
        assert!(
            is_plausible(Quantity::InsulationResistance, 200.0) && is_plausible(Quantity::InsulationResistance, 0.0)
        );
        assert!(is_plausible(Quantity::Unbalance, 0.4));
        assert!(!is_applied(Quantity::LeakageCurrent, 8.3e6) && is_applied(Quantity::LeakageCurrent, 1.65e5));
        assert!(!is_applied(Quantity::InsulationResistance, 5e4) && is_applied(Quantity::InsulationResistance, 1.5e4));
    }
}
