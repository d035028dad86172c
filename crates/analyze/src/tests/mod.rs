//! What a reader of findings would notice, over invented fleets.

mod circuits;
mod fleet;
mod resistance;
mod unclear;
mod voltage;
