//! The consolidated workbook that an export hands out, told once for its writer and its reader: the mark by which it is known, its
//! sheets and its headings.

/// Text of the first cell of the first sheet.
pub const MARK: &str = "Windrow consolidated workbook";

/// Version of the layout, in the cell beside the mark. A workbook of another version is read as any other.
pub const VERSION: &str = "1";

/// Name of the first sheet: the mark, what the workbook is and how to read it.
pub const ABOUT: &str = "About";

/// Name of the sheet of machines.
pub const MACHINES: &str = "Machines";

/// Name of the sheet of readings. A sheet is full at about a million rows; the next is called `Readings 2`.
pub const READINGS: &str = "Readings";

crate::coded_enum! {
    /// Headings of the sheet of machines, from the left.
    pub enum MachineColumn {
        /// Canonical tag.
        Tag = "Machine",
        /// Plant, station or ship.
        Site = "Site",
        /// Area, unit or building.
        Area = "Area",
        /// Functional location, as the owners' equipment list tells it.
        Location = "Functional location",
        /// What it belongs to, as that list tells it.
        Parent = "Belongs to",
        /// Key of the machine in that list.
        ListKey = "Key in the equipment list",
        /// What it is or drives.
        Description = "Description",
        /// ISO 14224 class.
        Class = "Class (ISO 14224)",
        /// Gravest level among its open findings.
        Worst = "Gravest open finding",
        /// Number of its open findings.
        Open = "Open findings",
        /// Number of its tests.
        Tests = "Tests",
        /// Day of its newest test.
        Newest = "Newest test",
        /// Who made it.
        Manufacturer = "Manufacturer",
        /// Type or model.
        Model = "Model",
        /// Serial number.
        Serial = "Serial number",
        /// W.
        Power = "Rated power (W)",
        /// V, line to line.
        Voltage = "Rated voltage (V)",
        /// A.
        Current = "Rated current (A)",
        /// 1/min.
        Speed = "Rated speed (1/min)",
        /// Hz.
        Frequency = "Rated frequency (Hz)",
        /// `random` or `form`.
        Winding = "Winding",
        /// IEC 60085 class.
        InsulationClass = "Insulation class",
        /// `thermoplastic` or `thermosetting`.
        InsulationEra = "Insulation",
        /// `copper` or `aluminium`.
        Conductor = "Conductor",
        /// Year of manufacture.
        Made = "Made in",
        /// Years of rewinds.
        Rewound = "Rewound in",
        /// `yes` or `no`.
        InService = "In service",
        /// Other spellings.
        Aliases = "Also written",
        /// Id.
        Id = "Machine id",
    }
}

crate::coded_enum! {
    /// Headings of the sheets of readings, from the left.
    pub enum ReadingColumn {
        /// Canonical tag.
        Tag = "Machine",
        /// Plant, station or ship.
        Site = "Site",
        /// Day, or first day of its period.
        Date = "Date",
        /// Precision of the date.
        Precision = "Date known to",
        /// Kind of test.
        Kind = "Test",
        /// What was measured.
        Quantity = "Quantity",
        /// Between which terminals.
        Circuit = "Circuit",
        /// s since voltage was applied.
        Elapsed = "After (s)",
        /// V.
        Voltage = "At voltage (V)",
        /// The number, in `Unit`.
        Value = "Value",
        /// Symbol of its unit.
        Unit = "Unit",
        /// How it bounds the value.
        Bound = "Bound",
        /// The value at the reference temperature, in `Unit`.
        Corrected = "At reference temperature",
        /// That temperature, °C.
        Reference = "Reference (°C)",
        /// `withstood`, `broke_down`, `stopped`.
        Outcome = "Outcome",
        /// `as_read` or `corrected`.
        Reported = "As reported",
        /// °C that the source corrected to.
        ReportedReference = "Corrected by the source to (°C)",
        /// Codes, apart by a blank.
        Flags = "Flags",
        /// °C.
        Temperature = "Winding temperature (°C)",
        /// Where it comes from.
        TemperatureBasis = "Temperature basis",
        /// °C.
        Ambient = "Ambient temperature (°C)",
        /// %.
        Humidity = "Relative humidity (%)",
        /// °C.
        DewPoint = "Dew point (°C)",
        /// V.
        TestVoltage = "Test voltage (V)",
        /// `recorded`, or `assumed` where the record does not tell it.
        TestVoltageBasis = "Test voltage basis",
        /// When in the life of the winding.
        Stage = "Stage",
        /// As written.
        Instrument = "Instrument",
        /// As written, or as the export was told to name testers.
        Tester = "Tester",
        /// As written.
        Remarks = "Remarks",
        /// As written.
        WorkOrder = "Work order",
        /// The source's words for pass or fail.
        ReportedOutcome = "Outcome in words",
        /// Text of the source.
        Original = "Original text",
        /// Path below the imported folder; a link to the file.
        Source = "Source",
        /// Its sheet.
        SourceSheet = "Source sheet",
        /// Its cell.
        SourceCell = "Source cell",
        /// `test_id` of the row kept, for a copy of another test.
        CopyOf = "Copy of test",
        /// Id.
        Machine = "Machine id",
        /// Id.
        Test = "Test id",
    }
}
