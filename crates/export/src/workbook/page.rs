//! A sheet of the workbook: headings, frozen and filtered, over rows of typed cells.

use crate::error::Result;
use jiff::civil::Date;
use rust_xlsxwriter::{Color, ExcelDateTime, Format, FormatAlign, Url, Workbook, Worksheet};
use windrow_model::Bound;

/// Longest text that a cell of a workbook takes is 32,767 letters (the file format's limit, from memory).
const LONGEST: usize = 32_000;
/// Widest column, in letters.
const WIDEST: usize = 48;
/// Most links that one sheet takes are 65,530 (the file format's limit, from memory).
const MOST_LINKS: usize = 65_000;

/// How cells look.
pub(super) struct Formats {
    pub(super) title: Format,
    pub(super) head: Format,
    pub(super) wrapped: Format,
    number: Format,
    at_least: Format,
    at_most: Format,
    day: Format,
    month: Format,
    year: Format,
}

impl Formats {
    pub(super) fn new() -> Self {
        let shown = |code: &str| Format::new().set_num_format(code);
        Self {
            title: Format::new().set_bold().set_font_size(14.0),
            head: Format::new()
                .set_bold()
                .set_background_color(Color::RGB(0x00E7_ECEF))
                .set_text_wrap()
                .set_align(FormatAlign::Top),
            wrapped: Format::new().set_text_wrap().set_align(FormatAlign::Top),
            number: Format::new(),
            at_least: shown("\"≥ \"General"),
            at_most: shown("\"≤ \"General"),
            day: shown("yyyy-mm-dd"),
            month: shown("yyyy-mm"),
            year: shown("yyyy"),
        }
    }

    fn of_bound(&self, bound: &str) -> &Format {
        match Bound::from_code(bound) {
            Some(Bound::AtLeast) => &self.at_least,
            Some(Bound::AtMost) => &self.at_most,
            _ => &self.number,
        }
    }

    fn of_precision(&self, precision: &str) -> &Format {
        match precision {
            "month" | "quarter" => &self.month,
            "year" => &self.year,
            _ => &self.day,
        }
    }
}

/// A cell.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Cell {
    Empty,
    Text(String),
    Number(f64),
    /// A number that bounds the true value, with the code of the bound.
    Bounded(f64, String),
    /// A day, and how precisely it is known.
    Day(Date, String),
    /// A text that leads to a file.
    Link {
        text: String,
        url: String,
    },
}

impl Cell {
    pub(super) fn text(text: impl Into<String>) -> Self {
        let text = text.into();
        if text.is_empty() { Self::Empty } else { Self::Text(text) }
    }

    pub(super) fn maybe(text: Option<impl AsRef<str>>) -> Self {
        text.map_or(Self::Empty, |text| Self::text(text.as_ref()))
    }

    pub(super) fn number(value: Option<f64>) -> Self {
        value.filter(|value| value.is_finite()).map_or(Self::Empty, Self::Number)
    }

    pub(super) fn bounded(value: Option<f64>, bound: Option<&str>) -> Self {
        value.map_or(Self::Empty, |value| Self::Bounded(value, bound.unwrap_or_default().to_owned()))
    }

    pub(super) fn count(count: usize) -> Self {
        u32::try_from(count).map_or(Self::Empty, |count| Self::Number(f64::from(count)))
    }

    pub(super) fn day(day: Option<Date>, precision: &str) -> Self {
        day.map_or(Self::Empty, |day| Self::Day(day, precision.to_owned()))
    }

    /// Letters that it takes up, about.
    fn width(&self) -> usize {
        match self {
            Self::Empty => 0,
            Self::Text(text) | Self::Link { text, .. } => text.chars().count(),
            Self::Number(value) | Self::Bounded(value, _) => value.to_string().len() + 2,
            Self::Day(..) => 11,
        }
    }
}

/// A sheet that is being filled.
pub(super) struct Page<'a> {
    sheet: &'a mut Worksheet,
    formats: &'a Formats,
    row: u32,
    widths: Vec<usize>,
    links: usize,
}

impl<'a> Page<'a> {
    /// A new sheet `name` under `headings`.
    pub(super) fn new(workbook: &'a mut Workbook, formats: &'a Formats, name: &str, headings: &[&str]) -> Result<Self> {
        let sheet = workbook.add_worksheet();
        sheet.set_name(name)?;
        for (column, heading) in (0..).zip(headings) {
            sheet.write_with_format(0, column, *heading, &formats.head)?;
        }
        sheet.set_freeze_panes(1, 1)?;
        sheet.set_landscape().set_repeat_rows(0, 0)?;
        // The arrow of the filter takes room too.
        let widths = headings.iter().map(|heading| heading.chars().count().div_ceil(2) + 6).collect();
        Ok(Self { sheet, formats, row: 1, widths, links: 0 })
    }

    /// Adds a row.
    pub(super) fn push(&mut self, cells: Vec<Cell>) -> Result<()> {
        for (at, cell) in cells.into_iter().enumerate() {
            if let Some(width) = self.widths.get_mut(at) {
                *width = (*width).max(cell.width() + 1);
            }
            self.put(u16::try_from(at).unwrap_or(u16::MAX), cell)?;
        }
        self.row += 1;
        Ok(())
    }

    fn put(&mut self, column: u16, cell: Cell) -> Result<()> {
        match cell {
            Cell::Empty => {}
            Cell::Text(text) => {
                self.sheet.write_string(self.row, column, cut(text))?;
            }
            Cell::Number(value) => {
                self.sheet.write_number(self.row, column, value)?;
            }
            Cell::Bounded(value, bound) if value.is_finite() => {
                self.sheet.write_number_with_format(self.row, column, value, self.formats.of_bound(&bound))?;
            }
            Cell::Bounded(value, _) => {
                self.sheet.write_string(self.row, column, value.to_string())?;
            }
            Cell::Day(day, precision) => {
                let format = self.formats.of_precision(&precision);
                let (year, month, date) = (day.year(), day.month().unsigned_abs(), day.day().unsigned_abs());
                match u16::try_from(year).ok().and_then(|year| ExcelDateTime::from_ymd(year, month, date).ok()) {
                    Some(date) => self.sheet.write_datetime_with_format(self.row, column, &date, format)?,
                    // The calendar of workbooks begins in 1900.
                    None => self.sheet.write_string(self.row, column, day.to_string())?,
                };
            }
            Cell::Link { text, url } => self.link(column, cut(text), url)?,
        }
        Ok(())
    }

    fn link(&mut self, column: u16, text: String, url: String) -> Result<()> {
        self.links += 1;
        let made = (self.links <= MOST_LINKS).then(|| Url::new(url).set_text(&text));
        // A path that makes no link is told as text.
        if let Some(url) = made
            && self.sheet.write_url(self.row, column, url).is_ok()
        {
            return Ok(());
        }
        self.sheet.write_string(self.row, column, text)?;
        Ok(())
    }

    /// Rows so far, without the headings.
    pub(super) fn rows(&self) -> u32 {
        self.row - 1
    }

    /// Sets widths and filter.
    pub(super) fn finish(self) -> Result<()> {
        let last = u16::try_from(self.widths.len().saturating_sub(1)).unwrap_or(u16::MAX);
        self.sheet.autofilter(0, 0, self.row.saturating_sub(1).max(1), last)?;
        for (column, width) in (0..).zip(self.widths) {
            let width = u16::try_from(width.min(WIDEST)).unwrap_or(u16::MAX);
            self.sheet.set_column_width(column, f64::from(width))?;
        }
        Ok(())
    }
}

/// A text that a cell takes, marked where it was cut.
fn cut(mut text: String) -> String {
    if let Some((at, _)) = text.char_indices().nth(LONGEST) {
        text.truncate(at);
        text.push_str("… (cut; the whole text stands in the export as CSV)");
    }
    text
}
