//! Centres, scatters and slopes that a few wild readings cannot carry away, and scatter borrowed from the fleet.

mod huber;
mod moderated;
mod spread;

pub use huber::{LocationScale, RobustFit, huber_location, huber_regression};
pub use moderated::{Moderated, moderate};
pub use spread::{deviation, median, robust_scores};
