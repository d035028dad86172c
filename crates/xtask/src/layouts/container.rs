//! Containers in which records are kept.

/// Container of a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Container {
    Xlsx,
    /// OpenDocument spreadsheet.
    Ods,
    /// Excel 2003 XML.
    Xml2003,
    /// Text with this delimiter.
    Delimited(char),
    Html,
    /// A print-out with fixed columns.
    Fixed,
}

impl Container {
    /// Workbooks twice as often as any other.
    pub(crate) const ALL: [Self; 9] = [
        Self::Xlsx,
        Self::Xlsx,
        Self::Xlsx,
        Self::Xml2003,
        Self::Delimited(';'),
        Self::Delimited(','),
        Self::Delimited('\t'),
        Self::Html,
        Self::Fixed,
    ];

    /// Whether it has sheets, stored numbers and number formats.
    pub(crate) fn is_book(self) -> bool {
        matches!(self, Self::Xlsx | Self::Ods | Self::Xml2003)
    }

    pub(crate) fn extension(self) -> &'static str {
        match self {
            Self::Xlsx => "xlsx",
            Self::Ods => "ods",
            Self::Xml2003 => "xml",
            Self::Delimited('\t') => "tsv",
            Self::Delimited(_) => "csv",
            Self::Html => "html",
            Self::Fixed => "txt",
        }
    }
}

/// How text becomes bytes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Encoding {
    Utf8,
    /// With a byte order mark.
    Utf8Marked,
    Utf16,
    /// ISO 8859-1, where it has all the characters.
    Latin1,
}

impl Encoding {
    pub(crate) const ALL: [Self; 5] = [Self::Utf8, Self::Utf8, Self::Utf8Marked, Self::Utf16, Self::Latin1];

    /// The bytes of a text.
    pub(crate) fn encode(self, text: &str) -> Vec<u8> {
        match self {
            Self::Utf8 => text.as_bytes().to_vec(),
            Self::Utf8Marked => [b"\xef\xbb\xbf", text.as_bytes()].concat(),
            Self::Utf16 => "\u{feff}".encode_utf16().chain(text.encode_utf16()).flat_map(u16::to_le_bytes).collect(),
            Self::Latin1 => {
                let bytes: Option<Vec<u8>> = text.chars().map(|letter| u8::try_from(u32::from(letter)).ok()).collect();
                bytes.unwrap_or_else(|| text.as_bytes().to_vec())
            }
        }
    }
}
