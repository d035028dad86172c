//! Questions to a person: why something is held.

crate::coded_enum! {
    /// Code of a hold's question.
    pub enum Question {
        /// Which unit is meant?
        Unit = "unit",
        /// Two places tell different units: which holds?
        UnitConflict = "unit_conflict",
        /// Is a mark between digits a decimal or a thousands mark?
        DecimalMark = "decimal_mark",
        /// Which number was written?
        IllegibleValue = "illegible_value",
        /// Over range without the instrument's ceiling: what was the range?
        MissingCeiling = "missing_ceiling",
        /// Day first or month first?
        DateOrder = "date_order",
        /// Which date is meant? (impossible, contradictory, half converted)
        Date = "date",
        /// Which machine is meant?
        Machine = "machine",
        /// What was measured?
        Quantity = "quantity",
        /// Between which terminals?
        Circuit = "circuit",
        /// At which time after voltage was applied?
        Elapsed = "elapsed",
        /// At which voltage?
        Voltage = "voltage",
        /// Celsius or Fahrenheit?
        TemperatureUnit = "temperature_unit",
        /// Already corrected to a reference temperature?
        Corrected = "corrected",
        /// Two plugins claim the same region equally well: which reads it?
        Importer = "importer",
        /// The layout can be read in two ways: which one?
        Layout = "layout",
        /// Are two records one machine?
        SameMachine = "same_machine",
        /// Are two near-equal tests one test with a slip?
        SameTest = "same_test",
        /// What does the nameplate say? (sources differ, a figure cannot be what it seems, or it is missing)
        Nameplate = "nameplate",
        /// A formula has no stored result: what was it?
        FormulaResult = "formula_result",
    }
}
