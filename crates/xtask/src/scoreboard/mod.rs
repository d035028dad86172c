//! `cargo xtask scoreboard`: simulated fleets through the real tables and the real analyzer, beside the simple rules that must be beaten.
//!
//! The fleets are our own, so they rank methods and set goals; they promise nothing about a real plant. Settings of the analyzer were
//! chosen on seeds below 100; what is printed by default uses seeds from 1000 on.

mod bars;
mod baselines;
#[cfg(test)]
mod direct;
mod draw;
mod habits;
mod measure;
mod run;
mod tables;
#[cfg(test)]
mod tests;
mod world;

pub(crate) use draw::world;
pub(crate) use habits::A;
pub(crate) use run::run;
pub(crate) use tables::{Rows, frames, rows};
