//! Two recorded waveforms beside each other, by plain mathematics. No universal limit exists for any of these figures.

mod correlation;
mod pair;
mod ringing;

pub use correlation::{Alignment, align};
pub use pair::{Difference, difference, on_one_grid};
pub use ringing::{Ringing, damping, ringing};
