//! The open schema as Rust types: one source of truth for every table, column, quantity, unit and code.
//!
//! This crate must **not** know files, sheets, plugins, stores or pages: it holds data and their names, and does no I/O.
//!
//! Two families of types live here:
//! * *understood* records ([`raw`]): what importers hand over, in the units of the source, each attribute with the place
//!   that told it;
//! * *table rows* ([`Asset`], [`Test`], [`Reading`], …): what is stored, in SI units, described column by column through
//!   [`table::Table`], from which `schema/` is generated.

pub mod acknowledgement;
pub mod circuit;
mod code;
pub mod consolidated;
pub mod date;
pub mod decision;
pub mod disposition;
pub mod flag;
pub mod id;
pub mod kind;
pub mod layout;
pub mod lookup;
pub mod place;
pub mod quantity;
pub mod question;
pub mod raw;
pub mod rows;
pub mod settings;
pub mod stand_in;
pub mod table;
pub mod unit;

pub use acknowledgement::{Acknowledgement, Word, WorkOutcome};
pub use circuit::Circuit;
pub use date::{PartialDate, Precision};
pub use decision::Decision;
pub use disposition::Disposition;
pub use flag::Flag;
pub use kind::{Bound, Reported, Stage, TestKind};
pub use place::{Place, Step};
pub use quantity::Quantity;
pub use question::Question;
pub use rows::{
    Asset, CellRow, Coverage, Finding, Hold, ImportRow, Reading, ReportedFigure, SourceRow, Test, TestSummary, Waveform,
};
pub use unit::{Dimension, Unit};

/// Text of a source or an id: up to 23 bytes stand in place, longer ones are shared, so that copies cost next to nothing. A fleet
/// holds millions of them, most of them short or alike.
pub use smol_str::SmolStr as Text;
pub use smol_str::ToSmolStr as ToText;
