//! Fields of a table.

/// What a field holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    /// Letters.
    Text,
    /// Letters, their count in the last byte where the field is not full (Visual FoxPro).
    VariableText,
    /// A number in digits.
    Digits,
    /// A day as eight digits.
    Day,
    /// True or false.
    Truth,
    /// A whole number (Visual FoxPro; dBase 7 stores it the other way round).
    Integer,
    /// A floating-point number (Visual FoxPro).
    Double,
    /// Ten thousandths (Visual FoxPro).
    Currency,
    /// A day and a time (Visual FoxPro).
    Moment,
    /// The number of a block in another file.
    Memo,
    /// Bits that tell which fields are empty (Visual FoxPro).
    Nulls,
    /// Something that is not read.
    Other(char),
}

/// A field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Field {
    /// Name, as bytes.
    pub(crate) name: Vec<u8>,
    /// What it holds.
    pub(crate) kind: Kind,
    /// Bytes in a record.
    pub(crate) width: usize,
    /// Digits behind the point.
    pub(crate) decimals: u8,
    /// Whether a bit can tell that it is empty.
    pub(crate) nullable: bool,
}

/// Flag of a field that can be empty.
const NULLABLE: u8 = 2;

impl Field {
    /// From a description of 32 bytes.
    pub(crate) fn of(description: &[u8]) -> Option<Self> {
        let description: &[u8; 32] = description.first_chunk()?;
        let (kind, length) = (description[11], description[16]);
        let flags = description[18];
        Self::new(&description[..11], kind, (length, description[17]), flags & NULLABLE != 0)
    }

    /// From a description of dBase 7, 48 bytes. Its binary numbers are stored in a way of their own and are not read.
    pub(crate) fn of_dbase_7(description: &[u8]) -> Option<Self> {
        let description: &[u8; 48] = description.first_chunk()?;
        let field = Self::new(&description[..32], description[32], (description[33], description[34]), false)?;
        let is_binary = matches!(field.kind, Kind::Integer | Kind::Double | Kind::Currency | Kind::Moment);
        let kind = if is_binary { Kind::Other(char::from(description[32])) } else { field.kind };
        Some(Self { kind, ..field })
    }

    fn new(name: &[u8], kind: u8, (length, decimals): (u8, u8), nullable: bool) -> Option<Self> {
        let name = name.split(|byte| *byte == 0).next().unwrap_or_default().trim_ascii().to_vec();
        if name.is_empty() || name.iter().any(u8::is_ascii_control) || !(kind.is_ascii_graphic()) || length == 0 {
            return None;
        }
        let kind = match (kind.to_ascii_uppercase(), length) {
            (b'C', _) => Kind::Text,
            (b'V', _) => Kind::VariableText,
            (b'N' | b'F', _) => Kind::Digits,
            (b'D', 8) => Kind::Day,
            (b'L', 1) => Kind::Truth,
            (b'I', 4) => Kind::Integer,
            (b'B', 8) => Kind::Double,
            (b'Y', 8) => Kind::Currency,
            (b'T', 8) => Kind::Moment,
            (b'M', _) => Kind::Memo,
            (b'0', _) => Kind::Nulls,
            (other, _) => Kind::Other(char::from(other)),
        };
        Some(Self { name, kind, width: usize::from(length), decimals, nullable })
    }

    /// The same with the decimals of a text taken as the upper half of its length.
    pub(crate) fn with_long_text(self) -> Self {
        match self.kind {
            Kind::Text => Self { width: self.width + 256 * usize::from(self.decimals), ..self },
            _ => self,
        }
    }
}
