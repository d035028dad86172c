//! From files to consistent table rows: read and understand each file, add what earlier imports of the fleet found, then normalize,
//! identify and correct all of them together.
//!
//! This crate must **not** know stores or pages. What comes out is a function of the files and the settings: the order of
//! files, the number of threads and the number of imports change nothing.

pub mod corrected;
mod intake;
pub mod rated;
mod rows;
mod union;

pub use intake::{Source, understand_all};
pub use rows::{Rows, rows_of};
pub use union::{Missing, News, Order, Refused, Union, take_in};
