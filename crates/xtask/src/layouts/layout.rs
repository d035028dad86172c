//! Layout descriptions: where each attribute of a reading is told.

mod families;
mod settle;

pub(super) use families::{FAMILIES, Family, draw, winding};

use super::study::Dim;

/// Where the unit of the readings is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum UnitPlace {
    Header,
    Caption,
    Cell,
    Row,
    Format,
    Column,
    Nowhere,
}

/// Where an attribute that is no axis is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Place {
    Row,
    Block,
    Caption,
    Nowhere,
}

/// Which circuits were measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Circuits {
    ToEarth,
    Pairs,
    /// Each phase to earth, then each pair.
    Both,
}

/// Columns beside the readings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Extra {
    Voltage,
    Temperature,
    Ambient,
    Humidity,
    Unit,
    By,
    Remark,
    Verdict,
    /// Mean of the readings of the row.
    Mean,
    /// Unbalance of the readings of the row.
    Unbalance,
    /// Ten minutes over one minute.
    Index,
}

/// What a hand sees before it writes.
#[derive(Debug, Clone)]
#[expect(clippy::struct_excessive_bools, reason = "each is a habit of its own")]
pub(super) struct Layout {
    pub(super) quantities: Vec<&'static str>,
    pub(super) circuits: Circuits,
    pub(super) rows: Vec<Dim>,
    pub(super) columns: Vec<Dim>,
    pub(super) blocks: Vec<Dim>,
    /// The dimension that names the sheets.
    pub(super) sheet: Option<Dim>,
    /// Rows are some tests, not the full product.
    pub(super) sampled: bool,
    /// All levels of the header in one cell.
    pub(super) flat: bool,
    /// The heading names the quantity.
    pub(super) measure_in_header: bool,
    pub(super) captioned: bool,
    pub(super) unit: UnitPlace,
    pub(super) voltage: Place,
    pub(super) temperature: Place,
    /// A time that holds for all readings, where time is no axis.
    pub(super) elapsed: Place,
    /// "All phases to earth" stands in the caption.
    pub(super) all_phases: bool,
    pub(super) beside: bool,
    pub(super) turned: bool,
    /// Years name the columns, not days.
    pub(super) years: bool,
    pub(super) extras: Vec<Extra>,
    /// Columns stand in any order.
    pub(super) shuffled: bool,
    /// Machines are told by serial number, which a list of machines explains.
    pub(super) keyed: bool,
    /// Blocks are forms: nothing but labels with values.
    pub(super) form: bool,
    pub(super) noise: Noise,
}

/// What stands among the readings and is none.
#[derive(Debug, Clone, Copy, Default)]
#[expect(clippy::struct_excessive_bools, reason = "each comes and goes by itself")]
pub(super) struct Noise {
    pub(super) average_row: bool,
    pub(super) limit_row: bool,
    pub(super) page_header: bool,
    pub(super) footer: bool,
    pub(super) blank_rows: bool,
    pub(super) repeated_key_blank: bool,
    /// Cells that repeat their key are merged with it.
    pub(super) merged_down: bool,
    /// Some values are marked as corrected to 40 °C.
    pub(super) starred: bool,
    /// A note tells the range that "OL" is beyond.
    pub(super) ceiling: bool,
    pub(super) ditto: bool,
}
