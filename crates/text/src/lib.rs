//! Reading what people write: numbers, units, bounds, dates, tags, circuits and the words of headers, in English,
//! German, French and Spanish.
//!
//! Everything here is a pure function that returns **every reasonable meaning** of a text with its evidence, never just one:
//! deciding belongs to who sees the neighbours. This crate must **not** know files, sheets or plugins.

pub mod applied;
pub mod circuit;
mod data;
pub mod date;
pub mod explained;
pub mod exported;
pub mod figures;
pub mod fold;
pub mod header;
pub mod initials;
pub mod marks;
pub mod measure;
pub mod mention;
pub mod naming;
pub mod number;
pub mod prose;
pub mod rated_part;
pub mod remark;
pub mod retold;
pub mod round;
pub mod said;
pub mod tag;
pub mod ticks;
pub mod unit;
pub mod vocabulary;
pub mod volts;
