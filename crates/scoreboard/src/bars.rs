//! What a method must reach, and what was reached.

/// One bar: what it is about, what was measured, and between what it must lie.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Bar {
    pub(crate) about: String,
    pub(crate) measured: f64,
    pub(crate) least: f64,
    pub(crate) most: f64,
}

impl Bar {
    pub(crate) fn at_least(about: impl Into<String>, measured: f64, least: f64) -> Self {
        Self { about: about.into(), measured, least, most: f64::INFINITY }
    }

    pub(crate) fn at_most(about: impl Into<String>, measured: f64, most: f64) -> Self {
        Self { about: about.into(), measured, least: f64::NEG_INFINITY, most }
    }

    pub(crate) fn between(about: impl Into<String>, measured: f64, least: f64, most: f64) -> Self {
        Self { about: about.into(), measured, least, most }
    }

    pub(crate) fn is_reached(&self) -> bool {
        (self.least..=self.most).contains(&self.measured)
    }

    /// One line of the table.
    pub(crate) fn line(&self) -> String {
        let limit = match (self.least.is_finite(), self.most.is_finite()) {
            (true, true) => format!("{:.3} to {:.3}", self.least, self.most),
            (true, false) => format!("≥ {:.3}", self.least),
            _ => format!("≤ {:.3}", self.most),
        };
        let verdict = if self.is_reached() { "reached" } else { "MISSED" };
        format!("{:<64} {:>7.3}   {limit:<16} {verdict}", self.about, self.measured)
    }
}
