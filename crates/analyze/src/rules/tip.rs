//! Dissipation factors of one circuit at two voltages, and how much more than usual is worth a word.

use super::curves::{Curve, of_quantity};
use crate::judge::Judged;
use serde::{Deserialize, Serialize};
use windrow_model::Quantity;

pub(super) const QUANTITY: Quantity = Quantity::DissipationFactor;
/// Rise that is worth a word, 1.
pub(super) const LEAST_RISE: f64 = 0.005;

/// Dissipation factors of one circuit in one test at two voltages.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub(crate) struct Tip {
    /// Lower and higher voltage, V.
    pub(crate) volts: [f64; 2],
    /// Dissipation factor at each, 1.
    pub(crate) factors: [f64; 2],
    pub(super) reading_ids: Vec<String>,
}

impl Tip {
    /// What the curve tells at two voltages; `None` where one is missing.
    pub(super) fn of(curve: &Curve<'_>, volts: [f64; 2]) -> Option<Self> {
        let [(_, low, low_reading), (_, high, high_reading)] = [curve.at(volts[0])?, curve.at(volts[1])?];
        let reading_ids = low_reading.into_iter().chain(high_reading.filter(|high| Some(*high) != low_reading));
        let reading_ids = reading_ids.filter_map(|reading| reading.reading_id()).collect();
        Some(Self { volts, factors: [low, high], reading_ids })
    }

    /// What the whole curve tells, from the lowest to the highest voltage.
    pub(super) fn of_whole(curve: &Curve<'_>) -> Option<Self> {
        Self::of(curve, [*curve.volts.first()?, *curve.volts.last()?])
    }

    /// Growth from the lower to the higher voltage, 1.
    ///
    /// Worked example DF-03: 1.62 % at 2 kV and 2.35 % at 8 kV are 0.73 percentage points, no relative per cent.
    pub(crate) fn growth(&self) -> f64 {
        self.factors[1] - self.factors[0]
    }

    /// Whether there is a growth to tell: the voltages differ.
    pub(crate) fn is_raised(&self) -> bool {
        self.volts[1] > self.volts[0]
    }
}

/// Of each circuit what its whole curve tells.
pub(crate) fn tips(judged: &Judged<'_>) -> impl Iterator<Item = Tip> {
    of_quantity(judged, QUANTITY).into_iter().filter_map(|curve| Tip::of_whole(&curve))
}

/// What stands out beside the usual one: so many times as much, and [`LEAST_RISE`] above it.
pub(super) fn allowed(usual: f64, times: f64) -> f64 {
    (times * usual.max(0.0)).max(usual + LEAST_RISE)
}

/// Basis of a finding that holds dissipation factors against others of the kind.
pub(super) fn basis(against: &str) -> String {
    format!(
        "{against}; no limit is claimed: IEEE 286 gives none (from memory); half a percentage point is what IEC 60034-27-3:2015 allows new coils \
         from step to step (from memory), the other factors are common practice, no source"
    )
}
