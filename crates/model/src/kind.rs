//! Kinds of tests, stages, bounds and what the source had done to a value.

crate::coded_enum! {
    /// Kind of a test.
    pub enum TestKind {
        /// Spot or timed insulation resistance; polarization index and absorption ratio follow from its readings.
        InsulationResistance = "insulation_resistance",
        /// Direct-voltage withstand at one level.
        DcWithstand = "dc_withstand",
        /// Direct voltage raised in steps.
        DcStep = "dc_step",
        /// Direct voltage raised continuously.
        DcRamp = "dc_ramp",
        /// Alternating-voltage withstand.
        AcWithstand = "ac_withstand",
        /// Surge comparison between phases.
        Surge = "surge",
        /// Direct-current resistance of the conductor.
        WindingResistance = "winding_resistance",
        /// Dissipation factor (tan delta), usually with capacitance.
        DissipationFactor = "dissipation_factor",
        /// Partial discharge.
        PartialDischarge = "partial_discharge",
        /// Inductance or impedance.
        Inductance = "inductance",
        /// A record of sampled signals that does not tell the kind of test.
        Waveform = "waveform",
    }
}

crate::coded_enum! {
    /// When in the life of a winding a test was made.
    pub enum Stage {
        /// On a new winding.
        New = "new",
        /// As found, before any work.
        AsFound = "as_found",
        /// After cleaning.
        AfterCleaning = "after_cleaning",
        /// After drying.
        AfterDrying = "after_drying",
        /// After a rewind.
        AfterRewind = "after_rewind",
        /// After repair, before return to service.
        BeforeReturn = "before_return",
        /// In service, routine.
        InService = "in_service",
    }
}

crate::coded_enum! {
    /// How a number bounds the true value.
    pub enum Bound {
        /// The value itself.
        Exact = "exact",
        /// The instrument's ceiling: the true value is this or more.
        AtLeast = "at_least",
        /// The instrument's floor: the true value is this or less.
        AtMost = "at_most",
    }
}

crate::coded_enum! {
    /// Whether the source had already corrected a value.
    pub enum Reported {
        /// As the instrument showed it.
        AsRead = "as_read",
        /// Corrected to a reference temperature by the source; never corrected again.
        Corrected = "corrected",
    }
}

crate::coded_enum! {
    /// Where a winding temperature comes from.
    pub enum TemperatureBasis {
        /// Measured on or in the winding.
        Measured = "measured",
        /// Taken from the air around it.
        Ambient = "ambient",
        /// Assumed, with a flag.
        Assumed = "assumed",
        /// Not told.
        Unknown = "unknown",
    }
}

crate::coded_enum! {
    /// Where a test voltage comes from.
    pub enum VoltageBasis {
        /// The source tells it.
        Recorded = "recorded",
        /// Assumed, with a flag.
        Assumed = "assumed",
        /// Not told.
        Unknown = "unknown",
    }
}

crate::coded_enum! {
    /// What a voltage did to a circuit, as the source says it.
    pub enum Outcome {
        /// The circuit withstood it.
        Withstood = "withstood",
        /// It broke down.
        BrokeDown = "broke_down",
        /// The test was stopped.
        Stopped = "stopped",
    }
}
