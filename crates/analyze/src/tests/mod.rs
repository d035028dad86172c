//! What a reader of findings would notice, over invented fleets.

mod again;
mod circuits;
mod dissipation;
mod fleet;
mod recorded;
mod resistance;
mod unclear;
mod voltage;
