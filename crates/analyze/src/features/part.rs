//! What a reading was measured on.

use windrow_model::Circuit;

/// A part of the windings of a machine: three phases together read about a third of one, so that a history must not mix them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Part {
    /// All phases together to earth, or not told.
    Whole,
    /// A single phase.
    Phase,
    /// One phase to another.
    Pair,
    /// Armature of a direct-current machine.
    Armature,
    /// Field winding.
    Field,
    /// Rotor winding.
    Rotor,
}

impl Part {
    /// The parts in the order in which they are preferred.
    pub(crate) const ALL: [Self; 6] = [Self::Whole, Self::Phase, Self::Pair, Self::Armature, Self::Field, Self::Rotor];

    /// The part of a circuit; `None` for a circuit that the schema does not know, which is taken for no other.
    pub(crate) fn of(circuit: Option<&str>) -> Option<Self> {
        let Some(code) = circuit else { return Some(Self::Whole) };
        Some(match Circuit::from_code(code)? {
            Circuit::AllToEarth => Self::Whole,
            Circuit::UToEarth | Circuit::VToEarth | Circuit::WToEarth | Circuit::U | Circuit::V | Circuit::W => {
                Self::Phase
            }
            Circuit::UToV | Circuit::VToW | Circuit::WToU => Self::Pair,
            Circuit::ArmatureToEarth => Self::Armature,
            Circuit::FieldToEarth => Self::Field,
            Circuit::RotorToEarth => Self::Rotor,
        })
    }

    /// Whether it belongs to the stator.
    pub(crate) fn is_of_stator(self) -> bool {
        matches!(self, Self::Whole | Self::Phase | Self::Pair)
    }

    /// Whether the machine's rated voltage is its own, so that limits by rated voltage hold for it; rotors and fields have another, which
    /// records seldom tell.
    pub(crate) fn has_rated_voltage(self) -> bool {
        self.is_of_stator() || self == Self::Armature
    }
}

#[cfg(test)]
mod tests {
    use super::Part;

    #[test]
    fn a_circuit_that_is_not_known_is_no_part() {
        assert_eq!(Part::of(None), Some(Part::Whole));
        assert_eq!(Part::of(Some("R-E")), Some(Part::Rotor));
        for code in ["X-E", "Rx", "Fan", ""] {
            assert_eq!(Part::of(Some(code)), None, "{code}");
        }
    }
}
