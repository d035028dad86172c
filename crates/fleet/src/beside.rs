//! What the reading beside one says of it: two readings in a row that lie equally far off are a level, however far off, and no slip.

use windrow_model::Bound;

/// The nearest readings on one side that are no slip: one that says that the level is not lower, and one that says it is not higher.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Beside {
    at_least: f64,
    at_most: f64,
}

impl Beside {
    /// No reading yet.
    pub(crate) const NONE: Self = Self { at_least: f64::NAN, at_most: f64::NAN };

    /// Moves on over a reading.
    pub(crate) fn add(&mut self, value: f64, bound: Bound) {
        if bound != Bound::AtMost {
            self.at_least = value;
        }
        if bound != Bound::AtLeast {
            self.at_most = value;
        }
    }

    /// Whether the reading beside is nearer to the level that was expected than to `value`, which lies `off` it; `None` where none tells.
    pub(crate) fn contradicts(self, value: f64, off: f64) -> Option<bool> {
        let beside = if off < 0.0 { self.at_least } else { self.at_most };
        beside.is_finite().then(|| 2.0 * (value - beside) * off.signum() > off.abs())
    }
}
