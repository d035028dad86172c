//! Fonts, number formats and cell styles, as far as they bear on the content of cells.

use std::collections::BTreeMap;
use std::rc::Rc;

use windrow_source::ReadError;
use windrow_source::encoding::Encoding;
use windrow_source::number_format::built_in;
use windrow_source::spreadsheet::struck::{Run, Strike};
use windrow_source::spreadsheet::style::Style;

use crate::record::Record;
use crate::string::{Parts, Rich, short_bytes};
use crate::symbol;
use crate::version::Version;

/// A font.
#[derive(Debug, Clone, Copy, Default)]
struct Font {
    struck: bool,
    symbol: bool,
}

/// A style and the index of its font.
#[derive(Debug, Clone, Default)]
pub(crate) struct CellStyle {
    /// What bears on the content.
    pub(crate) style: Style,
    font: Font,
}

/// Everything defined so far.
#[derive(Debug, Default)]
pub(crate) struct Styles {
    fonts: Vec<Font>,
    formats: BTreeMap<u16, String>,
    /// Font and format of each style.
    indices: Vec<(u16, u16)>,
    made: BTreeMap<(u16, u16), Rc<CellStyle>>,
}

/// How a cell names its style.
#[derive(Debug, Clone, Copy)]
pub(crate) enum StyleRef {
    /// By the index of the style.
    Index(u16),
    /// By its font and its format (Excel 2).
    Direct {
        /// Index of the font.
        font: u16,
        /// Index of the format.
        format: u16,
    },
}

impl Styles {
    /// Takes in a FONT record.
    pub(crate) fn define_font(
        &mut self,
        record: Record<'_>,
        version: Version,
        encoding: Encoding,
    ) -> Result<(), ReadError> {
        let mut fields = record.fields();
        fields.u16()?;
        let struck = fields.u16()? & 0x0008 != 0;
        fields.take(match version {
            Version::Biff2 => 0,
            Version::Biff3 | Version::Biff4 => 2,
            Version::Biff5 | Version::Biff8 => 10,
        })?;
        let name = if version == Version::Biff8 {
            let length = usize::from(fields.u8()?);
            Parts::new(record, vec![fields.rest()], 0).letters(length)?
        } else {
            short_bytes(&mut fields, encoding)?
        };
        // There is no font with the index 4.
        if self.fonts.len() == 4 {
            self.fonts.push(Font::default());
        }
        self.fonts.push(Font { struck, symbol: name.eq_ignore_ascii_case("Symbol") });
        Ok(())
    }

    /// Takes in a FORMAT record. Any index may be told, that of a built-in format too.
    pub(crate) fn define_format(
        &mut self,
        record: Record<'_>,
        version: Version,
        encoding: Encoding,
    ) -> Result<(), ReadError> {
        let mut fields = record.fields();
        let told = if version >= Version::Biff4 { Some(fields.u16()?) } else { None };
        let code = if version == Version::Biff8 {
            Parts::new(record, vec![fields.rest()], 0).rich()?.text
        } else {
            short_bytes(&mut fields, encoding)?
        };
        // Up to Excel 4 formats count in their order.
        let counted = u16::try_from(self.formats.len()).unwrap_or(u16::MAX);
        let index = told.filter(|_| version >= Version::Biff5).unwrap_or(counted);
        self.formats.insert(index, code);
        Ok(())
    }

    /// Takes in an XF record, a cell style.
    pub(crate) fn define_style(&mut self, record: Record<'_>, version: Version) -> Result<(), ReadError> {
        let mut fields = record.fields();
        let indices = match version {
            Version::Biff2 => {
                let font = fields.u8()?;
                fields.u8()?;
                (u16::from(font), u16::from(fields.u8()? & 0x3F))
            }
            Version::Biff3 | Version::Biff4 => (u16::from(fields.u8()?), u16::from(fields.u8()?)),
            Version::Biff5 | Version::Biff8 => (fields.u16()?, fields.u16()?),
        };
        self.indices.push(indices);
        Ok(())
    }

    /// Whether cell styles are defined at all.
    pub(crate) fn is_empty(&self) -> bool {
        self.indices.is_empty()
    }

    /// The style that a cell names; `None` if it is not there.
    pub(crate) fn get(&mut self, name: StyleRef) -> Option<Rc<CellStyle>> {
        let (font, format) = match name {
            StyleRef::Index(index) => *self.indices.get(usize::from(index))?,
            StyleRef::Direct { font, format } => (font, format),
        };
        let (fonts, formats) = (&self.fonts, &self.formats);
        let style = self.made.entry((font, format)).or_insert_with(|| {
            let font = fonts.get(usize::from(font)).copied().unwrap_or_default();
            let code = formats.get(&format).cloned().or_else(|| built_in(format).map(str::to_owned));
            Rc::new(CellStyle { style: Style::new(code, font.struck), font })
        });
        Some(Rc::clone(style))
    }

    /// The letters that a reader sees and which of them are struck through.
    pub(crate) fn shown(&self, rich: &Rich, style: &CellStyle) -> (String, Vec<Run>) {
        let font = |index: u16| self.fonts.get(usize::from(index)).copied().unwrap_or_default();
        let mut pieces = vec![(0, None)];
        pieces.extend(rich.runs.iter().map(|(at, index)| (*at, Some(font(*index)))));
        let (mut text, mut runs) = (String::with_capacity(rich.text.len()), Vec::new());
        for (index, (start, own)) in pieces.iter().enumerate() {
            let end = pieces.get(index + 1).map_or(rich.text.len(), |(end, _)| *end);
            let letters = rich.text.get(*start..end).unwrap_or_default();
            if letters.is_empty() {
                continue;
            }
            if own.unwrap_or(style.font).symbol {
                text.extend(letters.chars().map(symbol::shown));
            } else {
                text.push_str(letters);
            }
            let strike = match own {
                None => Strike::Inherited,
                Some(font) if font.struck => Strike::On,
                Some(_) => Strike::Off,
            };
            runs.push(Run { end: text.len(), strike });
        }
        if runs.iter().all(|run| run.strike == Strike::Inherited) {
            runs.clear();
        }
        (text, runs)
    }
}
