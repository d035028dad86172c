//! What each kind of test stresses and what it cannot see.

use serde::Deserialize;
use std::sync::LazyLock;
use windrow_model::TestKind;

/// A part of a winding that a test can prove something of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Insulation {
    /// Conductor to earth.
    GroundWall,
    /// Between phases.
    PhaseToPhase,
    /// Between turns of one coil.
    TurnToTurn,
    /// No insulation: joints and connections of the conductor.
    Connections,
}

impl Insulation {
    /// All parts.
    pub const ALL: [Self; 4] = [Self::GroundWall, Self::PhaseToPhase, Self::TurnToTurn, Self::Connections];
    /// The parts that a voltage can break.
    pub const INSULATING: [Self; 3] = [Self::GroundWall, Self::PhaseToPhase, Self::TurnToTurn];

    /// Code as stored in `coverage`.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::GroundWall => "ground_wall",
            Self::PhaseToPhase => "phase_to_phase",
            Self::TurnToTurn => "turn_to_turn",
            Self::Connections => "connections",
        }
    }

    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::GroundWall => "ground wall",
            Self::PhaseToPhase => "phase to phase",
            Self::TurnToTurn => "turn to turn",
            Self::Connections => "connections",
        }
    }
}

/// Facts about a kind of test.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TestFacts {
    kind: String,
    /// Name, in words.
    pub title: String,
    /// What it always stresses.
    pub stresses: Vec<Insulation>,
    /// What it stresses as well when one phase is tested against the others, those earthed.
    #[serde(default)]
    pub between_phases: Vec<Insulation>,
    /// What it cannot see.
    pub cannot_see: String,
    /// What must hold before it.
    pub before: String,
    /// Where this is from, and how it is known.
    pub basis: String,
    /// Why no limit of its figures is claimed, where none is, and what they are compared with instead.
    #[serde(default)]
    pub no_limit: Option<String>,
}

impl TestFacts {
    /// Code of the kind of test.
    #[must_use]
    pub fn kind(&self) -> &str {
        &self.kind
    }

    /// What it stresses, in words: `ground wall; phase to phase where phases are tested one by one`.
    #[must_use]
    pub fn stresses_in_words(&self) -> String {
        let list = |parts: &[Insulation]| parts.iter().map(|part| part.words()).collect::<Vec<_>>().join(", ");
        if self.between_phases.is_empty() {
            return list(&self.stresses);
        }
        format!("{}; {} where phases are tested one by one", list(&self.stresses), list(&self.between_phases))
    }

    /// What it stresses in a test of `circuit`: with all phases together nothing lies between them.
    ///
    /// ```
    /// use windrow_criteria::facts::{Insulation, of};
    /// let test = of(windrow_model::TestKind::DcWithstand);
    /// assert!(test.stressed(Some("UVW-E")).eq([Insulation::GroundWall]));
    /// assert!(test.stressed(Some("U-E")).eq([Insulation::GroundWall, Insulation::PhaseToPhase]));
    /// assert!(test.stressed(None).eq([Insulation::GroundWall]), "not told: only what every circuit stresses");
    /// ```
    pub fn stressed(&self, circuit: Option<&str>) -> impl Iterator<Item = Insulation> {
        let (first, then) = match circuit {
            Some("U-E" | "V-E" | "W-E") => (&self.stresses, &self.between_phases[..]),
            Some("U-V" | "V-W" | "W-U") if !self.between_phases.is_empty() => (&self.between_phases, &[][..]),
            _ => (&self.stresses, &[][..]),
        };
        first.iter().chain(then).copied()
    }
}

#[derive(Deserialize)]
struct FactsFile {
    test: Vec<TestFacts>,
}

static FACTS: LazyLock<Vec<TestFacts>> = LazyLock::new(|| {
    // The file is part of the program; a test reads it and fails when it cannot be read.
    toml::from_str::<FactsFile>(include_str!("../data/tests.toml")).map(|file| file.test).unwrap_or_default()
});

static UNKNOWN: TestFacts = TestFacts {
    kind: String::new(),
    title: String::new(),
    stresses: Vec::new(),
    between_phases: Vec::new(),
    cannot_see: String::new(),
    before: String::new(),
    basis: String::new(),
    no_limit: None,
};

/// All kinds, in the order in which the tests are made.
#[must_use]
pub fn in_order() -> &'static [TestFacts] {
    &FACTS
}

/// Facts about tests of `kind`.
#[must_use]
pub fn of(kind: TestKind) -> &'static TestFacts {
    in_order().iter().find(|facts| facts.kind == kind.code()).unwrap_or(&UNKNOWN)
}

#[cfg(test)]
mod tests {
    use super::{Insulation, in_order, of};
    use windrow_model::TestKind;

    #[test]
    fn every_kind_has_facts_with_basis_and_what_it_cannot_see() {
        assert_eq!(in_order().len(), TestKind::ALL.len());
        for kind in TestKind::ALL {
            let facts = of(*kind);
            assert_eq!(facts.kind(), kind.code());
            assert_eq!(facts.stresses.is_empty(), *kind == TestKind::Waveform);
            assert!(!facts.cannot_see.is_empty() && !facts.before.is_empty());
            assert!(["verified", "memory", "quoted", "common practice"].iter().any(|how| facts.basis.contains(how)));
        }
    }

    /// Only a surge puts a voltage between turns (research notes, quoted second-hand; common practice).
    #[test]
    fn turns_are_stressed_by_surges_alone() {
        for kind in TestKind::ALL {
            let facts = of(*kind);
            let turns = facts.stresses.contains(&Insulation::TurnToTurn);
            assert_eq!(turns, *kind == TestKind::Surge, "{kind}");
            assert!(
                turns
                    || *kind == TestKind::WindingResistance
                    || facts.cannot_see.contains("turns")
                    || *kind == TestKind::Inductance
            );
        }
    }

    /// Each test is read by itself, on a sheet or in a calendar: nothing says "as for" another (isolated, discharged, above the dew point:
    /// IEEE 43-2013 clauses 5 and 6, from memory).
    #[test]
    fn what_must_hold_before_a_test_of_the_insulation_is_told_with_the_test() {
        for kind in TestKind::ALL.iter().filter(|kind| crate::stress::Form::of(**kind).is_some()) {
            let before = &of(*kind).before;
            for needed in ["isolated", "discharged", "dew point"] {
                assert!(before.contains(needed), "{kind}: {before}");
            }
        }
    }

    /// Navy practice cures low insulation resistance first and makes the dielectric test last (MIL-M-17413A, verified).
    #[test]
    fn the_highest_voltage_comes_last_and_insulation_resistance_before_every_high_voltage() {
        let at = |kind: TestKind| in_order().iter().position(|facts| facts.kind() == kind.code());
        for later in [TestKind::Surge, TestKind::DcStep, TestKind::DcRamp, TestKind::DcWithstand, TestKind::AcWithstand]
        {
            assert!(at(TestKind::InsulationResistance) < at(later), "{later}");
        }
        assert_eq!(in_order().last().map(super::TestFacts::kind), Some("ac_withstand"));
    }
}
