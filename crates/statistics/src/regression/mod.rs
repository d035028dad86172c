//! Lines and planes by least squares, inverse prediction, and one-way analysis of variance.

mod fieller;
mod least_squares;
mod line;
mod variance;

pub use fieller::{Crossing, crossing};
pub use least_squares::{Fit, least_squares};
pub use line::{Line, line};
pub use variance::one_way_f;
