//! Names of phases and connections.

use windrow_model::Circuit;

/// A way of naming the three phases.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Naming {
    /// U, V, W (also U1, V1, W1).
    Uvw,
    /// A, B, C.
    Abc,
    /// R, S, T.
    Rst,
    /// R, Y, B (red, yellow, blue).
    Ryb,
    /// L1, L2, L3.
    L123,
    /// T1, T2, T3.
    T123,
    /// 1, 2, 3 after a word ("phase 2"); bare digits alone are never a phase.
    Numbered,
}

/// What a text names.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Named {
    /// Phase 0, 1 or 2, against what is not told.
    Phase(u8),
    /// Phase 0, 1 or 2 to earth.
    PhaseToEarth(u8),
    /// Pair of phases.
    Pair(u8, u8),
    /// All phases to earth, told in words ("all phases to earth", "UVW-PE").
    All,
    /// To earth, which terminals is not told ("to earth", "gegen Erde").
    ToEarth,
    /// Between phases, which ones is not told.
    BetweenPhases,
    /// Armature, field or rotor winding to earth or alone.
    Special(Circuit),
}

/// One way to read a text as a circuit.
#[derive(Debug, Clone, PartialEq)]
pub struct CircuitMeaning {
    /// What is named.
    pub named: Named,
    /// Naming it would belong to; `None` where no phase letter stands.
    pub naming: Option<Naming>,
    /// 0 to 1: a lone letter (`R`, `T`, `A`) is low, `A-G` high.
    pub weight: f32,
}

/// Every circuit that all of `text` could name: `"R"` may be phase R of R/S/T or of R/Y/B (or no circuit at all: weights are
/// low for single letters; the phases seen together on the sheet decide).
#[must_use]
pub fn read(text: &str) -> Vec<CircuitMeaning> {
    let _ = text;
    Vec::new()
}

/// The circuit of `named` for readings against earth (`to_earth`) or of the conductor.
#[must_use]
pub fn resolve(named: Named, to_earth: bool) -> Option<Circuit> {
    let _ = (named, to_earth);
    None
}
