//! How a reader wants pages shown: units and colours, kept in cookies of this computer's browser.

use crate::guard::cookie;
use axum::http::HeaderMap;
use windrow_report::format::Units;

/// Name of the cookie of the units.
pub(crate) const UNITS: &str = "windrow_units";
/// Name of the cookie of the colours.
pub(crate) const COLOURS: &str = "windrow_colours";

/// Colours of pages.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Colours {
    /// As the system says.
    #[default]
    System,
    /// Dark on light.
    Light,
    /// Light on dark.
    Dark,
}

impl Colours {
    /// Its code in the cookie and on the page.
    pub(crate) const fn code(self) -> &'static str {
        match self {
            Self::System => "system",
            Self::Light => "light",
            Self::Dark => "dark",
        }
    }

    /// The colours of a code; those of the system for anything else.
    pub(crate) fn of(code: &str) -> Self {
        [Self::Light, Self::Dark].into_iter().find(|colours| colours.code() == code).unwrap_or_default()
    }
}

/// How pages are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Display {
    pub(crate) units: Units,
    pub(crate) colours: Colours,
}

impl Display {
    /// As the cookies of a request say.
    pub(crate) fn of(headers: &HeaderMap) -> Self {
        Self {
            units: units_of(cookie(headers, UNITS).as_deref().unwrap_or_default()),
            colours: Colours::of(cookie(headers, COLOURS).as_deref().unwrap_or_default()),
        }
    }
}

/// Units by their code; metric for anything else.
pub(crate) fn units_of(code: &str) -> Units {
    if code == units_code(Units::Us) { Units::Us } else { Units::Metric }
}

/// Code of units.
pub(crate) const fn units_code(units: Units) -> &'static str {
    match units {
        Units::Metric => "metric",
        Units::Us => "us",
    }
}
