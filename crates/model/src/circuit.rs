//! What was measured against what.

crate::coded_enum! {
    /// Circuit of a reading. Phases are named U, V, W whatever the source calls them (A/B/C, R/S/T, L1/L2/L3, T1/T2/T3).
    pub enum Circuit {
        /// All phases together to earth.
        AllToEarth = "UVW-E",
        /// First phase to earth.
        UToEarth = "U-E",
        /// Second phase to earth.
        VToEarth = "V-E",
        /// Third phase to earth.
        WToEarth = "W-E",
        /// First to second phase.
        UToV = "U-V",
        /// Second to third phase.
        VToW = "V-W",
        /// Third to first phase.
        WToU = "W-U",
        /// First phase alone.
        U = "U",
        /// Second phase alone.
        V = "V",
        /// Third phase alone.
        W = "W",
        /// Armature to earth (direct-current machine).
        ArmatureToEarth = "A-E",
        /// Field winding to earth.
        FieldToEarth = "F-E",
        /// Rotor winding to earth.
        RotorToEarth = "R-E",
    }
}

impl Circuit {
    /// The three single phases to earth, in order.
    pub const PHASES_TO_EARTH: [Self; 3] = [Self::UToEarth, Self::VToEarth, Self::WToEarth];
    /// The three pairs of phases, in order.
    pub const PAIRS: [Self; 3] = [Self::UToV, Self::VToW, Self::WToU];
    /// The three phases alone, in order.
    pub const PHASES: [Self; 3] = [Self::U, Self::V, Self::W];
}
