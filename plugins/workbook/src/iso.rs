//! Dates and durations in ISO 8601, as strict Office Open XML and OpenDocument write them, to serial numbers.

use jiff::Span;
use jiff::civil::{DateTime, date};
use windrow_source::number_format::{self, Epoch};
use windrow_source::{Cell, Content};

/// Milliseconds of a day.
const DAY_MS: f64 = 86_400_000.0;

/// `cell` with the content that an ISO date or time says; as text if it is neither.
pub(crate) fn cell(value: &str, epoch: Epoch, cell: Cell) -> Cell {
    let Some(serial) = serial(value, epoch) else { return cell };
    let Some(text) = number_format::iso(serial, epoch) else { return cell };
    Cell { content: Content::Date { serial, is_1904: epoch == Epoch::Y1904 }, text, ..cell }
}

/// Serial number of an ISO date, with or without a time; zones are passed over, for workbooks have none.
pub(crate) fn serial(value: &str, epoch: Epoch) -> Option<f64> {
    let moment: DateTime = value.trim_end_matches('Z').parse().ok()?;
    let zero = match epoch {
        Epoch::Y1900 => date(1899, 12, 30),
        Epoch::Y1904 => date(1904, 1, 1),
    };
    let since = moment.duration_since(zero.to_datetime(jiff::civil::Time::midnight()));
    #[expect(clippy::cast_precision_loss, reason = "the milliseconds of ten thousand years are exact in 53 bits")]
    let serial = since.as_millis() as f64 / DAY_MS;
    Some(serial)
}

/// Seconds of an ISO duration such as `PT10H30M00S`.
pub(crate) fn seconds(value: &str) -> Option<f64> {
    let span: Span = value.parse().ok()?;
    span.total((jiff::Unit::Second, jiff::SpanRelativeTo::days_are_24_hours())).ok()
}
