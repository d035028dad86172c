//! The day on which the program runs.

use jiff::tz::Offset;

/// Today in UTC.
#[must_use]
pub fn today() -> jiff::civil::Date {
    Offset::UTC.to_datetime(jiff::Timestamp::now()).date()
}
