//! Dates and durations in ISO 8601, as strict Office Open XML and OpenDocument write them.

use crate::number_format::Epoch;
use jiff::Span;
use jiff::civil::{DateTime, Time, date};

/// Milliseconds of a day.
const DAY_MS: f64 = 86_400_000.0;

/// Serial number of a date, with or without a time; a sign for universal time is passed over, for workbooks know no zones.
#[must_use]
pub fn serial(value: &str, epoch: Epoch) -> Option<f64> {
    let moment: DateTime = value.trim_end_matches('Z').parse().ok()?;
    let zero = match epoch {
        Epoch::Y1900 => date(1899, 12, 30),
        Epoch::Y1904 => date(1904, 1, 1),
    };
    let since = moment.duration_since(zero.to_datetime(Time::midnight()));
    #[expect(clippy::cast_precision_loss, reason = "the milliseconds of ten thousand years are exact in 53 bits")]
    let serial = since.as_millis() as f64 / DAY_MS;
    Some(serial)
}

/// Seconds of a duration such as `PT10H30M00S`.
#[must_use]
pub fn seconds(value: &str) -> Option<f64> {
    let span: Span = value.parse().ok()?;
    span.total((jiff::Unit::Second, jiff::SpanRelativeTo::days_are_24_hours())).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_count_from_their_epoch() {
        assert_eq!(serial("2000-01-01", Epoch::Y1900), Some(36526.0));
        assert_eq!(serial("2000-01-01T18:00:00", Epoch::Y1900), Some(36526.75));
        assert_eq!(serial("2000-01-01T00:00:00Z", Epoch::Y1904), Some(35064.0));
        assert_eq!(serial("14.03.1987", Epoch::Y1900), None);
    }

    #[test]
    fn durations_are_seconds() {
        assert_eq!(seconds("PT10H30M00S"), Some(37_800.0));
        assert_eq!(seconds("PT00H00M01.5S"), Some(1.5));
        assert_eq!(seconds("-PT1M"), Some(-60.0));
        assert_eq!(seconds("ten minutes"), None);
    }
}
