//! Attributes and values as this format writes them.

use jiff::civil::{DateTime, Time};
use windrow_source::number_format::Epoch;
use windrow_source::xml::Attribute;
use windrow_source::{ReadError, Refusal};

/// Rows of a sheet in any version of the format.
const ROWS: u32 = 1 << 20;

/// The value of attribute `name`.
pub(crate) fn get<'a>(attributes: &'a [Attribute], name: &str) -> Option<&'a str> {
    attributes.iter().find(|attribute| attribute.name == name).map(|attribute| attribute.value.trim())
}

/// Whether attribute `name` is set.
pub(crate) fn is_on(attributes: &[Attribute], name: &str) -> bool {
    get(attributes, name).is_some_and(|value| value == "1" || value.eq_ignore_ascii_case("true"))
}

/// The whole number in attribute `name`, 0 if absent.
pub(crate) fn count(attributes: &[Attribute], name: &str) -> Result<u32, ReadError> {
    let Some(value) = get(attributes, name) else { return Ok(0) };
    value.parse::<u32>().ok().filter(|count| *count <= ROWS).ok_or_else(|| {
        let found = format!("a spreadsheet with {name} of {value:?}");
        ReadError::new(Refusal::Damaged, found, "save it again from a spreadsheet program")
    })
}

/// The zero-based position that `Index` gives, else `next`; an index never goes back.
pub(crate) fn position(attributes: &[Attribute], next: u32) -> Result<u32, ReadError> {
    match count(attributes, "Index")? {
        0 => Ok(next),
        index => Ok((index - 1).max(next)),
    }
}

/// The last of the rows or columns that an element from `first` on stands for, by its `Span`.
pub(crate) fn end(first: u32, attributes: &[Attribute]) -> Result<u32, ReadError> {
    let last = first.saturating_add(count(attributes, "Span")?);
    if last < ROWS {
        return Ok(last);
    }
    let found = format!("a spreadsheet with more than {ROWS} rows or columns");
    Err(ReadError::new(Refusal::Damaged, found, "save it again from a spreadsheet program"))
}

/// The serial number of `1987-03-14T00:00:00.000` in the calendar of the workbook.
pub(crate) fn serial(text: &str, epoch: Epoch) -> Option<f64> {
    let moment: DateTime = text.trim_end_matches('Z').parse().ok()?;
    let first = if epoch == Epoch::Y1904 { jiff::civil::date(1904, 1, 1) } else { jiff::civil::date(1899, 12, 30) };
    let days = first.until(moment.date()).ok()?.get_days();
    // Before March 1900 the 1900 calendar counts one day less, having a 29 February that never was.
    let days = if epoch == Epoch::Y1900 && days < 61 { days - 1 } else { days };
    let seconds = moment.time().duration_since(Time::midnight()).as_secs_f64();
    (days >= 0).then_some(f64::from(days) + seconds / 86_400.0)
}
