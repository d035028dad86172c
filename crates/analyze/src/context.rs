//! What rules look at besides the tests of a machine.

use crate::features::Wave;
use jiff::civil::Date;
use jiff::{Span, ToSpan};
use std::collections::BTreeMap;
use windrow_model::settings::Settings;
use windrow_statistics::forecast::{Forecast, Reading, forecast};

/// The same for all machines of a fleet.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Context<'a> {
    pub(crate) settings: &'a Settings,
    /// Recorded waveforms by test.
    pub(crate) waves: &'a BTreeMap<String, Vec<Wave>>,
    /// Whether what falls gets a forecast.
    pub(crate) forecasts: Forecasts,
}

/// What an analysis does of forecasts, which take as long as much of the rest.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Forecasts {
    /// All that are asked for.
    Made,
    /// None: what only a forecast can tell is not told. For measuring, never for a fleet.
    LeftOut,
}

/// Months to the next test of a kind that no plan names: common practice is once or twice a year (no source).
const USUAL_MONTHS: u16 = 12;

impl Context<'_> {
    /// [`forecast`], where forecasts are made.
    pub(crate) fn forecast(&self, readings: &[Reading], limit: f64, scatter: f64) -> Option<Forecast> {
        match self.forecasts {
            Forecasts::Made => forecast(readings, limit, scatter),
            Forecasts::LeftOut => None,
        }
    }

    /// Day of the next test of `kind` after one on `last`, as the site plans it.
    pub(crate) fn next_test(&self, kind: &str, last: Date) -> Date {
        let months = self.settings.plan.months.get(kind).copied().unwrap_or(USUAL_MONTHS);
        last.saturating_add(i32::from(months).months())
    }
}

/// The day so many years after another; `None` beyond the calendar.
pub(crate) fn after(day: Date, years: f64) -> Option<Date> {
    if !(0.0..=500.0).contains(&years) {
        return None;
    }
    #[expect(clippy::cast_possible_truncation, reason = "at most 500 years of days")]
    let days = (years * 365.25).round() as i32;
    day.checked_add(Span::new().days(days)).ok()
}
