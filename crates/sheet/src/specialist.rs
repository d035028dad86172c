//! What the engine shows to importer plugins, and what they answer.
//!
//! A plugin knows one family of layouts. The engine interprets a region by the places from which its readings take their
//! attributes, and asks every plugin how much that looks like its layout.

use std::collections::{BTreeMap, BTreeSet};
use windrow_model::Quantity;
use windrow_model::raw::Via;
use windrow_source::Area;

windrow_model::coded_enum! {
    /// An attribute of a reading that some place of the sheet tells.
    pub enum Attribute {
        /// Which machine: tag or serial number.
        Asset = "asset",
        /// When.
        Date = "date",
        /// What was measured.
        Quantity = "quantity",
        /// Between which terminals.
        Circuit = "circuit",
        /// Time since voltage was applied.
        Elapsed = "elapsed",
        /// Applied voltage.
        Voltage = "voltage",
        /// Winding temperature.
        Temperature = "temperature",
        /// Unit of the number.
        Unit = "unit",
        /// As found, after cleaning, …
        Stage = "stage",
        /// Number of a step.
        Step = "step",
    }
}

/// How the cells of a region are laid out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Shape {
    /// Header over a body: columns of values.
    Table,
    /// Label–value pairs only.
    Pairs,
    /// Sentences.
    Prose,
}

/// One interpretation of a part of a sheet, seen from outside: which place told which attribute.
#[derive(Debug, Clone, PartialEq)]
pub struct Region {
    /// Name of the sheet.
    pub sheet: Option<String>,
    /// The cells it covers, in the orientation of the sheet.
    pub area: Area,
    /// Table or pairs.
    pub shape: Shape,
    /// Whether it is read turned over (rows as columns).
    pub turned: bool,
    /// For each attribute the kinds of places that told it for at least one reading.
    pub places: BTreeMap<Attribute, BTreeSet<Via>>,
    /// Readings by quantity.
    pub quantities: BTreeMap<Quantity, usize>,
    /// Lines of the body.
    pub rows: usize,
    /// Header lines over the body.
    pub header_lines: usize,
    /// Cells that name a machine without a reading (lines of a register).
    pub machines: usize,
    /// Nameplate fields that it tells.
    pub plate_fields: usize,
}

impl Region {
    /// Number of readings.
    #[must_use]
    pub fn readings(&self) -> usize {
        self.quantities.values().sum()
    }

    /// Whether a place of the kind `via` told `attribute`.
    #[must_use]
    pub fn told(&self, attribute: Attribute, via: Via) -> bool {
        self.places.get(&attribute).is_some_and(|places| places.contains(&via))
    }

    /// Share of the readings that measure one of `quantities`.
    #[must_use]
    pub fn share(&self, quantities: &[Quantity]) -> f64 {
        let some: usize = quantities.iter().filter_map(|quantity| self.quantities.get(quantity)).sum();
        let all = self.readings();
        #[expect(clippy::cast_precision_loss, reason = "counts of cells are far below 2^52")]
        let share = if all == 0 { 0.0 } else { some as f64 / all as f64 };
        share
    }
}

/// A bid of a specialist for a region.
#[derive(Debug, Clone, PartialEq)]
pub struct Claim {
    /// 0 refused, 0.3 nothing contradicts, 0.6 the headers fit, 0.9 a mark that only this layout has.
    pub confidence: f64,
    /// Why.
    pub reasons: Vec<String>,
}

impl Claim {
    /// A bid of `confidence` for one reason.
    pub fn new(confidence: f64, reason: impl Into<String>) -> Self {
        Self { confidence, reasons: vec![reason.into()] }
    }

    /// Not this layout, for `reason`.
    pub fn refuse(reason: impl Into<String>) -> Self {
        Self::new(0.0, reason)
    }
}

/// An importer plugin as the engine sees it.
pub trait Specialist {
    /// Id of the plugin.
    fn id(&self) -> &str;
    /// Version of the plugin.
    fn version(&self) -> &str;
    /// The plugin's bid for a region; cheap.
    fn claim(&self, region: &Region) -> Claim;
}
