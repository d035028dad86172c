//! Containers in which records are kept.

/// Container of a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Container {
    Xlsx,
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
        matches!(self, Self::Xlsx | Self::Xml2003)
    }

    pub(crate) fn extension(self) -> &'static str {
        match self {
            Self::Xlsx => "xlsx",
            Self::Xml2003 => "xml",
            Self::Delimited('\t') => "tsv",
            Self::Delimited(_) => "csv",
            Self::Html => "html",
            Self::Fixed => "txt",
        }
    }
}
