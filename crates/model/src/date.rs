//! Dates as precise as the source tells them, and no more.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

crate::coded_enum! {
    /// How precisely a date is known.
    pub enum Precision {
        /// The day is known.
        Day = "day",
        /// Only month and year are known.
        Month = "month",
        /// Only quarter and year are known.
        Quarter = "quarter",
        /// Only the year is known.
        Year = "year",
        /// Nothing is known.
        Unknown = "unknown",
    }
}

/// A calendar date with its precision; `first` is the first day of the period when the day is not known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct PartialDate {
    /// First day of the period.
    pub first: Date,
    /// How much of it the source told.
    pub precision: Precision,
}

impl PartialDate {
    /// A known day; `None` if there is no such day in the calendar.
    #[must_use]
    pub fn day(year: i16, month: i8, day: i8) -> Option<Self> {
        Date::new(year, month, day).ok().map(|first| Self { first, precision: Precision::Day })
    }

    /// A known month; `None` if there is no such month.
    #[must_use]
    pub fn month(year: i16, month: i8) -> Option<Self> {
        Date::new(year, month, 1).ok().map(|first| Self { first, precision: Precision::Month })
    }

    /// A known quarter (1 to 4); `None` if there is no such quarter.
    #[must_use]
    pub fn quarter(year: i16, quarter: i8) -> Option<Self> {
        if !(1..=4).contains(&quarter) {
            return None;
        }
        Date::new(year, 3 * quarter - 2, 1).ok().map(|first| Self { first, precision: Precision::Quarter })
    }

    /// A known year; `None` outside the calendar's range.
    #[must_use]
    pub fn year(year: i16) -> Option<Self> {
        Date::new(year, 1, 1).ok().map(|first| Self { first, precision: Precision::Year })
    }

    /// The shortest period of the calendar that holds both days: a day, month, quarter or year; `None` across years.
    ///
    /// ```
    /// use jiff::civil::date;
    /// use windrow_model::PartialDate;
    /// assert_eq!(PartialDate::covering(date(1978, 12, 11), date(1978, 12, 12)), PartialDate::month(1978, 12));
    /// assert_eq!(PartialDate::covering(date(1978, 11, 30), date(1978, 12, 2)), PartialDate::quarter(1978, 4));
    /// assert_eq!(PartialDate::covering(date(1978, 12, 30), date(1979, 1, 2)), None);
    /// ```
    #[must_use]
    pub fn covering(first: Date, last: Date) -> Option<Self> {
        let day = Self::day(first.year(), first.month(), first.day());
        let quarter = (first.month() - 1) / 3 + 1;
        let periods = [
            day,
            Self::month(first.year(), first.month()),
            Self::quarter(first.year(), quarter),
            Self::year(first.year()),
        ];
        periods
            .into_iter()
            .flatten()
            .find(|period| period.first <= last && period.last().is_some_and(|end| last <= end))
    }

    /// Last day of the period; `None` where nothing is known, or at the end of the calendar.
    ///
    /// ```
    /// use windrow_model::PartialDate;
    /// assert_eq!(PartialDate::month(2024, 2).and_then(|month| month.last()), PartialDate::day(2024, 2, 29).map(|day| day.first));
    /// assert_eq!(PartialDate::quarter(2023, 4).and_then(|quarter| quarter.last()), PartialDate::day(2023, 12, 31).map(|day| day.first));
    /// ```
    #[must_use]
    pub fn last(&self) -> Option<Date> {
        let months = match self.precision {
            Precision::Day => return Some(self.first),
            Precision::Month => 1,
            Precision::Quarter => 3,
            Precision::Year => 12,
            Precision::Unknown => return None,
        };
        let after = self.first.checked_add(jiff::Span::new().months(months)).ok()?;
        after.yesterday().ok()
    }

    /// Day of a spreadsheet serial number in the 1900 system (1 = 1 January 1900, with its phantom 29 February 1900) or in
    /// the 1904 system (0 = 1 January 1904); the fraction is the time of day and is dropped.
    ///
    /// `None` for serials below 61 in the 1900 system (number formats make dates of small numbers: a test in 1900 is never
    /// meant, and the phantom day makes them ambiguous), below 0 in the 1904 system, and beyond the calendar.
    ///
    /// ```
    /// use windrow_model::PartialDate;
    /// // worked example UN-12: 36526 is 2000-01-01 in the 1900 system and 2004-01-02 in the 1904 system
    /// assert_eq!(PartialDate::from_serial(36526.0, false), PartialDate::day(2000, 1, 1));
    /// assert_eq!(PartialDate::from_serial(36526.0, true), PartialDate::day(2004, 1, 2));
    /// ```
    #[must_use]
    pub fn from_serial(serial: f64, is_1904: bool) -> Option<Self> {
        let lowest = if is_1904 { 0.0 } else { 61.0 };
        if !serial.is_finite() || serial < lowest || serial > 2_958_465.0 {
            return None;
        }
        let epoch = if is_1904 { Date::constant(1904, 1, 1) } else { Date::constant(1899, 12, 30) };
        #[expect(clippy::cast_possible_truncation, reason = "range checked above")]
        let days = serial.floor() as i64;
        epoch.checked_add(jiff::Span::new().days(days)).ok().map(|first| Self { first, precision: Precision::Day })
    }
}

impl std::fmt::Display for PartialDate {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let (year, month) = (self.first.year(), self.first.month());
        match self.precision {
            Precision::Day => write!(f, "{}", self.first),
            Precision::Month => write!(f, "{year:04}-{month:02}"),
            Precision::Quarter => write!(f, "{year:04} Q{}", (month + 2) / 3),
            Precision::Year => write!(f, "{year:04}"),
            Precision::Unknown => f.write_str("unknown"),
        }
    }
}
