//! What a reader of findings would notice, over invented fleets.

mod fleet;
mod resistance;
mod unclear;
mod voltage;
