//! From files to consistent table rows: read and understand each file, then normalize, identify and correct all of them
//! together.
//!
//! This crate must **not** know stores or pages. What comes out is a function of the files and the settings: the order of
//! files and the number of threads change nothing.

mod intake;
mod rows;

pub use intake::understand_all;
pub use rows::{Rows, rows_of};
