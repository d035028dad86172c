//! Test summaries, trends and findings over the tables of a fleet.
//!
//! This crate must **not** know files, importers or pages: it is given tables and gives rows.

pub mod trend;
