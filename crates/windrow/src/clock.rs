//! The day on which the program runs.

use jiff::tz::Offset;

/// Today in UTC.
pub(crate) fn today() -> jiff::civil::Date {
    Offset::UTC.to_datetime(jiff::Timestamp::now()).date()
}
