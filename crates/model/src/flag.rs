//! What a person should know about a reading before trusting it.

crate::coded_enum! {
    /// Flag of a reading; `…_assumed` owns up to something the source did not tell.
    pub enum Flag {
        /// The unit was assumed.
        UnitAssumed = "unit_assumed",
        /// The test voltage was assumed.
        VoltageAssumed = "voltage_assumed",
        /// The winding temperature, its unit or its meaning was assumed.
        TemperatureAssumed = "temperature_assumed",
        /// The order of day and month was assumed.
        DateOrderAssumed = "date_order_assumed",
        /// The century of a two-digit year was assumed.
        CenturyAssumed = "century_assumed",
        /// The circuit was assumed.
        CircuitAssumed = "circuit_assumed",
        /// The time since voltage was applied was assumed.
        ElapsedAssumed = "elapsed_assumed",
        /// The decimal mark was assumed.
        DecimalAssumed = "decimal_assumed",
        /// Whether the source had corrected the value was assumed.
        CorrectedAssumed = "corrected_assumed",
        /// The corrected value rests on the insulation's era, which the year of manufacture suggests; the reading itself is as told.
        EraByYear = "era_by_year",
        /// The corrected value rests on the conductor being copper, which the records do not tell; the reading itself is as told.
        ConductorPresumed = "conductor_presumed",
        /// The value is outside the range in which the correction law holds; no corrected value.
        OutsideCorrectionRange = "outside_correction_range",
        /// No temperature: no corrected value.
        NoTemperature = "no_temperature",
        /// Repeated from the cell above by a ditto mark.
        Ditto = "ditto",
        /// Stood in a hidden row, column or sheet.
        Hidden = "hidden",
        /// The source marks it as approximate.
        Approximate = "approximate",
        /// The source marks it as doubtful.
        Doubtful = "doubtful",
        /// Another copy of the same test tells another number.
        CopiesDiffer = "copies_differ",
        /// The ceiling is the instrument's range, told elsewhere in the source.
        CeilingFromRange = "ceiling_from_range",
        /// The record ends before the last sample that it tells of.
        CutShort = "cut_short",
        /// Samples are on the secondary side of a transformer, as recorded.
        SecondarySide = "secondary_side",
        /// A layout file told the quantity or the unit.
        LayoutFile = "layout_file",
        /// Some samples are missing.
        SamplesMissing = "samples_missing",
    }
}
