//! What importers hand over: tests and machines as the source tells them, every attribute with the place that told it.
//!
//! Nothing here is in stored units yet; `windrow-normalize` turns it into table rows and writes the derivation.

use crate::Text;
use crate::circuit::Circuit;
use crate::date::PartialDate;
use crate::disposition::Disposition;
use crate::flag::Flag;
use crate::kind::{Bound, Outcome, Reported, Stage, TemperatureBasis, TestKind};
use crate::place::{Place, Step};
use crate::quantity::Quantity;
use crate::question::Question;
use crate::unit::Unit;
use serde::{Deserialize, Serialize};

crate::coded_enum! {
    /// Which place told an attribute, nearest first.
    pub enum Via {
        /// The cell itself.
        Cell = "cell",
        /// A key cell of the same row.
        Row = "row",
        /// A header over the same column.
        Column = "column",
        /// A label–value pair or caption of the block.
        Block = "block",
        /// A row of another table found by a key.
        Joined = "joined",
        /// A title or pair above the block.
        Section = "section",
        /// The sheet's title, text or number formats.
        Sheet = "sheet",
        /// The sheet's name.
        SheetName = "sheet name",
        /// The file's name or cover sheet.
        File = "file",
        /// The folder or its other files.
        Folder = "folder",
        /// The fleet's settings.
        Settings = "settings",
        /// A ruling of a person.
        Decision = "decision",
        /// Nothing told it: it was assumed, and a flag says so.
        Assumed = "assumed",
        /// A layout file of the fleet.
        Layout = "layout file",
    }
}

/// An attribute with the place that told it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Told<T> {
    /// The attribute.
    pub value: T,
    /// Kind of place.
    pub via: Via,
    /// Text as it stood there.
    pub text: Text,
    /// The place, when it is a cell.
    pub place: Option<Place>,
}

impl<T> Told<T> {
    /// An attribute told by the cell at `place`, reading `text`.
    pub fn at(value: T, via: Via, text: impl Into<Text>, place: Place) -> Self {
        Self { value, via, text: text.into(), place: Some(place) }
    }

    /// An attribute that no cell told (a name, a setting, an assumption); `text` says what did.
    pub fn without_place(value: T, via: Via, text: impl Into<Text>) -> Self {
        Self { value, via, text: text.into(), place: None }
    }

    /// The same provenance with another value.
    pub fn map<U>(self, change: impl FnOnce(T) -> U) -> Told<U> {
        Told { value: change(self.value), via: self.via, text: self.text, place: self.place }
    }
}

crate::coded_enum! {
    /// A nameplate field.
    pub enum PlateField {
        /// Who made it.
        Manufacturer = "manufacturer",
        /// Type or model.
        Model = "model",
        /// Rated power, W.
        RatedPower = "rated_power_w",
        /// Rated line-to-line voltage, V.
        RatedVoltage = "rated_voltage_v",
        /// Rated current, A.
        RatedCurrent = "rated_current_a",
        /// Rated speed, 1/min.
        RatedSpeed = "rated_speed_rpm",
        /// Rated frequency, Hz.
        RatedFrequency = "rated_frequency_hz",
        /// `random` or `form`.
        WindingKind = "winding_kind",
        /// IEC 60085 thermal class.
        InsulationClass = "insulation_class",
        /// `thermoplastic` or `thermosetting`.
        InsulationEra = "insulation_era",
        /// `copper` or `aluminium`.
        Conductor = "conductor",
        /// Year of manufacture.
        MadeYear = "made_year",
        /// Year of a rewind.
        RewoundYear = "rewound_year",
        /// ISO 14224 class: `EM`, `EG`.
        EquipmentClass = "equipment_class",
        /// Whether it is in service.
        InService = "in_service",
    }
}

/// Value of a nameplate field: a number in the stored unit, or text.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum PlateValue {
    /// A number in the stored unit of the field.
    Number(f64),
    /// A text.
    Text(String),
}

/// What a record says of the machine it is about.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Mention {
    /// Plant tag as written.
    pub tag: Option<Told<Text>>,
    /// Other tags told for the same machine ("formerly …").
    pub other_tags: Vec<Told<Text>>,
    /// Serial number as written.
    pub serial: Option<Told<Text>>,
    /// Description or service.
    pub description: Option<Told<Text>>,
    /// Site, plant or station.
    pub site: Option<Told<Text>>,
    /// Area, unit or building.
    pub area: Option<Told<Text>>,
    /// Nameplate fields.
    pub plate: Vec<(PlateField, Told<PlateValue>)>,
    /// From when the tag holds in place of the other tags, in a list of renumbered machines.
    pub renumbered: Option<Renumbered>,
    /// Key of the machine in the equipment list that this is an entry of.
    pub list_key: Option<Told<Text>>,
    /// Functional location, in an equipment list.
    pub location: Option<Told<Text>>,
    /// What it belongs to: key, tag or location, in an equipment list.
    pub parent: Option<Told<Text>>,
}

/// The line of a list that gives machines other tags.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Renumbered {
    /// First day of the new tag, when told.
    pub on: Option<Told<PartialDate>>,
}

impl Mention {
    /// Whether it is an entry of the owners' equipment list, which is the authority for tags and places.
    #[must_use]
    pub const fn is_listed(&self) -> bool {
        self.list_key.is_some() || self.location.is_some() || self.parent.is_some()
    }
}

/// A reading as the source tells it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RawReading {
    /// What was measured, and the place that told it.
    pub quantity: Told<Quantity>,
    /// Between which terminals.
    pub circuit: Option<Told<Circuit>>,
    /// Time since voltage was applied, s.
    pub elapsed_s: Option<Told<f64>>,
    /// Voltage at this reading, V.
    pub applied_voltage_v: Option<Told<f64>>,
    /// The number as written, before any unit. For "over range" without a stated ceiling the reading is held instead.
    pub number: f64,
    /// The unit of `number`. Ratios carry [`Unit::ONE`] or [`Unit::PERCENT`].
    pub unit: Told<Unit>,
    /// How the number bounds the value.
    pub bound: Bound,
    /// Whether the source had corrected it.
    pub as_reported: Reported,
    /// Reference temperature of the source's correction, °C.
    pub reported_reference_c: Option<f64>,
    /// What the voltage did, for a voltage or surge reading.
    pub outcome: Option<Outcome>,
    /// Text as it stood.
    pub raw_text: Text,
    /// Where it stood.
    pub place: Place,
    /// Steps taken so far (decimal mark, ditto, number format, …), in order.
    pub steps: Vec<Step>,
    /// What a person should know.
    pub flags: Vec<Flag>,
}

/// A test as the source tells it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RawTest {
    /// The machine.
    pub machine: Mention,
    /// Kind of test.
    pub kind: TestKind,
    /// When.
    pub performed: Option<Told<PartialDate>>,
    /// Stage, when told.
    pub stage: Option<Told<Stage>>,
    /// Winding temperature, °C.
    pub winding_temperature_c: Option<Told<f64>>,
    /// Where the winding temperature comes from.
    pub winding_temperature_basis: TemperatureBasis,
    /// Ambient temperature, °C.
    pub ambient_temperature_c: Option<Told<f64>>,
    /// Relative humidity, %.
    pub relative_humidity_pct: Option<Told<f64>>,
    /// Dew point, °C.
    pub dew_point_c: Option<Told<f64>>,
    /// Nominal applied voltage, V.
    pub test_voltage_v: Option<Told<f64>>,
    /// Instrument as written.
    pub instrument: Option<Told<Text>>,
    /// Tester as written.
    pub tester: Option<Told<Text>>,
    /// Remarks, joined by "; ".
    pub remarks: Vec<Told<Text>>,
    /// Work order.
    pub work_order: Option<Told<Text>>,
    /// The source's own words for pass or fail.
    pub reported_outcome: Option<Told<Text>>,
    /// Where the test begins.
    pub place: Place,
    /// Readings in the order of the source.
    pub readings: Vec<RawReading>,
    /// Ratios and other values that the source computed from these readings; kept for comparison with ours.
    pub derived: Vec<RawReading>,
    /// Flags that hold for all readings of the test (date, temperature, voltage assumptions).
    pub flags: Vec<Flag>,
    /// Under which ids an export of tables told the test.
    pub exported: Option<Exported>,
}

/// The ids of a test in the fleet that it was exported from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Exported {
    /// Its own.
    pub test_id: Text,
    /// That of the test which it repeats, where it was known as a copy.
    pub copy_of: Option<Text>,
}

impl RawTest {
    /// A test of which nothing else is told yet.
    #[must_use]
    pub const fn blank(machine: Mention, kind: TestKind, place: Place) -> Self {
        Self {
            machine,
            kind,
            performed: None,
            stage: None,
            winding_temperature_c: None,
            winding_temperature_basis: TemperatureBasis::Unknown,
            ambient_temperature_c: None,
            relative_humidity_pct: None,
            dew_point_c: None,
            test_voltage_v: None,
            instrument: None,
            tester: None,
            remarks: Vec::new(),
            work_order: None,
            reported_outcome: None,
            place,
            readings: Vec::new(),
            derived: Vec::new(),
            flags: Vec::new(),
            exported: None,
        }
    }
}

/// Row and column that a cell became.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum Target {
    /// Column of the reading number `reading` of test number `test` of the same source.
    Reading {
        /// Index into [`Understood::tests`].
        test: u32,
        /// Index into [`RawTest::readings`].
        reading: u32,
        /// Column of `readings`.
        column: Text,
    },
    /// Column of test number `test` of the same source (for a shared field: its first test).
    Test {
        /// Index into [`Understood::tests`].
        test: u32,
        /// Column of `tests`.
        column: Text,
    },
    /// Column of `assets`, told for machine mention number `mention` of the same source.
    Asset {
        /// Index into [`Understood::machines`].
        mention: u32,
        /// Column of `assets`.
        column: Text,
    },
    /// Samples of the waveform number `waveform` of the same source.
    Waveform {
        /// Index into [`Understood::waveforms`].
        waveform: u32,
    },
    /// A figure that the source computed from the readings of test number `test` of the same source.
    Figure {
        /// Index into [`Understood::tests`].
        test: u32,
    },
}

/// Disposition of one non-empty cell.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct CellMark {
    /// Where it stands.
    pub place: Place,
    /// Text as it stood.
    pub raw_text: Text,
    /// What became of it.
    pub disposition: Disposition,
    /// What it became, for values.
    pub target: Option<Target>,
    /// Why, in words.
    pub reason: Option<Text>,
}

/// A question to a person about cells of one source.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RawHold {
    /// The cell, a range, or the whole sheet.
    pub place: Place,
    /// Text as it stood.
    pub raw_text: Text,
    /// What is asked.
    pub question: Question,
    /// Answers to choose from, most likely first, with what follows from each.
    pub choices: Vec<String>,
    /// What the engine saw: evidence for and against.
    pub context: String,
    /// Holds with the same cause are one question (a column's unit, a file's date order).
    pub cause: String,
}

/// Who reads a region, and why.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RegionReport {
    /// The region as a range on a sheet.
    pub place: Place,
    /// Id of the importer plugin that read it; `None` if nobody claimed it.
    pub importer: Option<String>,
    /// Its version.
    pub importer_version: Option<String>,
    /// Layout found, in words.
    pub layout: String,
    /// Confidence of the claim, 0 to 1.
    pub confidence: f64,
    /// Reasons of the claim.
    pub reasons: Vec<String>,
    /// Other claims: id and confidence, best first.
    pub runners_up: Vec<(String, f64)>,
    /// How each attribute was read: attribute and the places that told it, in words.
    pub columns: Vec<(String, String)>,
}

/// Samples of one channel at even times, as the source tells them.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RawWaveform {
    /// Index into [`Understood::tests`].
    pub test: u32,
    /// Name of the channel as written.
    pub channel: String,
    /// Between which terminals.
    pub circuit: Option<Told<Circuit>>,
    /// Unit of `samples`; `None` where the source tells none that is known.
    pub unit: Option<Told<Unit>>,
    /// The unit as written.
    pub unit_text: String,
    /// Date and time of the first sample of the record as written.
    pub started: Option<String>,
    /// Time of the first of `samples` after the first sample of the record, s.
    pub start_s: f64,
    /// Time between samples, s.
    pub interval_s: f64,
    /// Samples in `unit`; `None` where one is missing.
    pub samples: Vec<Option<f32>>,
    /// Where they stand.
    pub place: Place,
    /// Steps from what is stored to `samples`, in order.
    pub steps: Vec<Step>,
    /// What a person should know.
    pub flags: Vec<Flag>,
}

crate::coded_enum! {
    /// How far a source was read.
    pub enum SourceStatus {
        /// Opened, and every cell has a disposition other than `held` or `unread`.
        Read = "read",
        /// Opened; some cells are held or unread.
        PartlyRead = "partly read",
        /// Not opened: encrypted, damaged, over a limit, alien.
        Refused = "refused",
        /// Not opened and no loss: a lock file, a file manager's note.
        Skipped = "skipped",
    }
}

/// Everything one source gave, before normalization.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Understood {
    /// Path below the imported folder, with `/`.
    pub source_file: String,
    /// BLAKE3 hash of the bytes read, hexadecimal.
    pub blake3: String,
    /// Size of the file.
    pub bytes: u64,
    /// BLAKE3 hash of the file beside it that it was read together with, hexadecimal.
    pub companion_blake3: Option<String>,
    /// Media type by content.
    pub media_type: String,
    /// How far it was read.
    pub status: SourceStatus,
    /// For a refused source: what was wrong and what to do.
    pub reason: Option<String>,
    /// Id of the reader plugin.
    pub reader: Option<String>,
    /// Who read which region.
    pub regions: Vec<RegionReport>,
    /// Tests.
    pub tests: Vec<RawTest>,
    /// Sampled signals.
    pub waveforms: Vec<RawWaveform>,
    /// Machines told by registers and nameplates without a test.
    pub machines: Vec<Mention>,
    /// One mark for each non-empty cell.
    pub cells: Vec<CellMark>,
    /// Questions.
    pub holds: Vec<RawHold>,
    /// What else a person should know of this source (limits met, things the container could not tell).
    pub notes: Vec<String>,
}

impl Understood {
    /// A source of which nothing is known yet but its name.
    pub fn blank(source_file: impl Into<String>, status: SourceStatus) -> Self {
        Self {
            source_file: source_file.into(),
            blake3: String::new(),
            bytes: 0,
            companion_blake3: None,
            media_type: String::new(),
            status,
            reason: None,
            reader: None,
            regions: Vec::new(),
            tests: Vec::new(),
            waveforms: Vec::new(),
            machines: Vec::new(),
            cells: Vec::new(),
            holds: Vec::new(),
            notes: Vec::new(),
        }
    }
}
