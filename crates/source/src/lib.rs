//! Finding and opening inputs under limits, and the cells they hold.
//!
//! This crate must **not** know layouts, motors or tests: it knows bytes, containers and grids of cells.

pub mod archive;
pub mod encoding;
pub mod error;
pub mod find;
pub mod grid;
pub mod limits;
pub mod members;
pub mod number_format;
pub mod reader;
pub mod schedule;
pub mod shape;
pub mod sniff;
pub mod spreadsheet;
pub mod wave;
pub mod worker;
pub mod xml;

pub use error::{ReadError, Refusal};
pub use grid::{Area, Cell, Content, Grid, Workbook};
pub use limits::{FEWER_CELLS, Limits};
pub use members::Preview;
pub use reader::{Companion, Input, Maturity, Probe, ReaderPlugin, Verdict};
