//! Text of unknown encoding: from bytes to characters, with the reasons and the runners-up.
//!
//! Old records hold `Ω`, `µ` and `°` in whatever code page the machine that wrote them had. A byte order mark decides; else the
//! pattern of zero bytes betrays UTF-16; else text that is valid UTF-8 is UTF-8; else candidates are tried and the one wins in which the
//! units, names of months and words come out right (see `evidence`). Wherever the container declares an encoding, the
//! declaration is taken unless the bytes contradict it ([`decode_declared`]).

mod code_page;
mod evidence;
#[cfg(test)]
mod tests;

use std::borrow::Cow;

use oem_cp::code_table::DECODING_TABLE_CP_MAP;
use oem_cp::code_table_type::TableType;

pub use code_page::by_code_page;

/// An encoding: one of the standard ones of the web, or a page of DOS by its number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Encoding {
    /// An encoding of the WHATWG Encoding Standard.
    Standard(&'static encoding_rs::Encoding),
    /// An OEM code page of DOS, such as 437 or 850.
    Oem(u16),
}

/// UTF-8.
pub const UTF_8: Encoding = Encoding::Standard(encoding_rs::UTF_8);
/// UTF-16, low byte first.
pub const UTF_16LE: Encoding = Encoding::Standard(encoding_rs::UTF_16LE);
/// UTF-16, high byte first.
pub const UTF_16BE: Encoding = Encoding::Standard(encoding_rs::UTF_16BE);
/// Windows, western Europe; what "Latin-1" means in practice.
pub const WINDOWS_1252: Encoding = Encoding::Standard(encoding_rs::WINDOWS_1252);

/// What is tried when nothing decides, with a handicap for the rarer ones. Order breaks ties.
const CANDIDATES: [(Encoding, f64); 7] = [
    (WINDOWS_1252, 0.0),
    (Encoding::Oem(850), 0.2),
    (Encoding::Oem(437), 0.3),
    (Encoding::Standard(encoding_rs::MACINTOSH), 0.4),
    (Encoding::Standard(encoding_rs::SHIFT_JIS), 0.5),
    (Encoding::Standard(encoding_rs::WINDOWS_1250), 0.6),
    (UTF_8, 0.7),
];

impl Encoding {
    /// The encoding with the label `label`, as in `charset=…` or `encoding="…"`; case and surrounding blanks do not matter.
    ///
    /// ```
    /// use windrow_source::encoding::{Encoding, WINDOWS_1252};
    /// assert_eq!(Encoding::of_label("ISO-8859-1"), Some(WINDOWS_1252));
    /// assert_eq!(Encoding::of_label("cp850"), Some(Encoding::Oem(850)));
    /// assert_eq!(Encoding::of_label("no such"), None);
    /// ```
    #[must_use]
    pub fn of_label(label: &str) -> Option<Self> {
        let label = label.trim().to_ascii_lowercase();
        if let Some(standard) = encoding_rs::Encoding::for_label(label.as_bytes()) {
            return Some(Self::Standard(standard));
        }
        let digits = label.trim_start_matches(|c: char| !c.is_ascii_digit());
        digits.parse().ok().and_then(Self::of_code_page)
    }

    /// The encoding with a code page number of DOS or Windows.
    #[must_use]
    pub fn of_code_page(page: u16) -> Option<Self> {
        let standard = match page {
            1200 => encoding_rs::UTF_16LE,
            1201 => encoding_rs::UTF_16BE,
            65001 => encoding_rs::UTF_8,
            932 => encoding_rs::SHIFT_JIS,
            936 => encoding_rs::GBK,
            949 => encoding_rs::EUC_KR,
            950 => encoding_rs::BIG5,
            10000 | 32768 => encoding_rs::MACINTOSH,
            32769 | 367 | 20127 | 28591 => encoding_rs::WINDOWS_1252,
            1250..=1258 => {
                return encoding_rs::Encoding::for_label(format!("windows-{page}").as_bytes()).map(Self::Standard);
            }
            28592..=28606 => {
                let label = format!("iso-8859-{}", page - 28590);
                return encoding_rs::Encoding::for_label(label.as_bytes()).map(Self::Standard);
            }
            _ => return DECODING_TABLE_CP_MAP.get(&page).map(|_| Self::Oem(page)),
        };
        Some(Self::Standard(standard))
    }

    /// Name for people and records: `UTF-8`, `windows-1252`, `cp850`.
    #[must_use]
    pub fn name(self) -> Cow<'static, str> {
        match self {
            Self::Standard(standard) => Cow::Borrowed(standard.name()),
            Self::Oem(page) => Cow::Owned(format!("cp{page}")),
        }
    }

    /// Decodes all of `bytes` without looking for a mark; what has no meaning becomes U+FFFD.
    #[must_use]
    pub fn decode(self, bytes: &[u8]) -> Cow<'_, str> {
        match self {
            Self::Standard(standard) => standard.decode_without_bom_handling(bytes).0,
            Self::Oem(_) if bytes.is_ascii() => String::from_utf8_lossy(bytes),
            Self::Oem(page) => match DECODING_TABLE_CP_MAP.get(&page) {
                Some(TableType::Complete(table)) => Cow::Owned(oem_cp::decode_string_complete_table(bytes, table)),
                Some(TableType::Incomplete(table)) => {
                    Cow::Owned(oem_cp::decode_string_incomplete_table_lossy(bytes, table))
                }
                None => String::from_utf8_lossy(bytes),
            },
        }
    }
}

/// What an encoding was chosen by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Basis {
    /// A byte order mark.
    Mark,
    /// Zero bytes at every other place.
    ZeroBytes,
    /// All bytes are plain ASCII.
    Ascii,
    /// All bytes are valid UTF-8.
    Valid,
    /// The container says so.
    Declared,
    /// Units, months and words come out right.
    Evidence,
}

/// Decoded text and why it was decoded so.
#[derive(Debug, Clone, PartialEq)]
pub struct Decoded<'a> {
    /// The text, without the byte order mark.
    pub text: Cow<'a, str>,
    /// Encoding chosen.
    pub encoding: Encoding,
    /// What it was chosen by.
    pub basis: Basis,
    /// From 0 to 1; 0.5 means that another encoding, with other text, would have done as well.
    pub confidence: f64,
    /// The other candidates that give other text, best first, with their score below that of the best.
    pub runners_up: Vec<(Encoding, f64)>,
}

impl Decoded<'_> {
    /// Characters that could not be decoded.
    #[must_use]
    pub fn lost(&self) -> usize {
        self.text.matches('\u{FFFD}').count()
    }

    /// What a person should know of the choice; `None` for plain ASCII and clean UTF-8.
    #[must_use]
    pub fn note(&self) -> Option<String> {
        let name = self.encoding.name();
        let lost = match self.lost() {
            0 => String::new(),
            n => format!("; {n} characters could not be decoded"),
        };
        let told = match self.basis {
            Basis::Ascii | Basis::Valid if lost.is_empty() => return None,
            Basis::Ascii | Basis::Valid => format!("text read as {name}"),
            Basis::Mark => format!("text read as {name}, by its byte order mark"),
            Basis::ZeroBytes => format!("text read as {name}, by its zero bytes"),
            Basis::Declared => format!("text read as {name}, as declared"),
            Basis::Evidence => {
                let second = self
                    .runners_up
                    .first()
                    .map_or(String::new(), |(second, _)| format!(", next best {}", second.name()));
                format!(
                    "text read as {name}, judged by its units and words (confidence {:.2}{second})",
                    self.confidence
                )
            }
        };
        Some(told + &lost)
    }
}

/// Decodes text of unknown encoding. A character cut at the end, as a bounded preview has it, does not mislead.
///
/// ```
/// let decoded = windrow_source::encoding::decode(b"IR 5.2 M\xEA at 20 \xF8C");
/// assert_eq!(decoded.text, "IR 5.2 MΩ at 20 °C");
/// assert_eq!(decoded.encoding.name(), "cp437");
/// ```
#[must_use]
pub fn decode(bytes: &[u8]) -> Decoded<'_> {
    if let Some((standard, length)) = encoding_rs::Encoding::for_bom(bytes) {
        let rest = bytes.get(length..).unwrap_or_default();
        return settled(Encoding::Standard(standard), Basis::Mark, rest);
    }
    if let Some(encoding) = by_zero_bytes(bytes) {
        return settled(encoding, Basis::ZeroBytes, bytes);
    }
    match std::str::from_utf8(bytes) {
        Ok(_) if bytes.is_ascii() => settled(UTF_8, Basis::Ascii, bytes),
        Ok(_) => settled(UTF_8, Basis::Valid, bytes),
        Err(error) if error.error_len().is_none() && !bytes[..error.valid_up_to()].is_ascii() => {
            settled(UTF_8, Basis::Valid, bytes)
        }
        // Every code page leaves control characters where they are: what is no text in one is none in any.
        Err(_) if is_binary(bytes) => settled(WINDOWS_1252, Basis::Evidence, bytes),
        Err(_) => by_evidence(bytes),
    }
}

/// Whether the bytes hold more control characters than any text does.
fn is_binary(bytes: &[u8]) -> bool {
    let odd = bytes.iter().filter(|byte| byte.is_ascii_control() && !is_steering(char::from(**byte))).count();
    odd * 100 > bytes.len()
}

/// Tabs, line ends, form feeds, end of file, and what printers of the time were steered with.
const fn is_steering(c: char) -> bool {
    matches!(c, '\0' | '\u{8}'..='\u{F}' | '\u{12}' | '\u{14}' | '\u{1A}' | '\u{1B}')
}

/// Decodes text whose container declares `declared`. A mark beats the declaration, and so do bytes that contradict it.
#[must_use]
pub fn decode_declared(bytes: &[u8], declared: Option<Encoding>) -> Decoded<'_> {
    let Some(encoding) = declared else { return decode(bytes) };
    let is_utf16 = encoding == UTF_16LE || encoding == UTF_16BE;
    let marked = encoding_rs::Encoding::for_bom(bytes).is_some() || by_zero_bytes(bytes).is_some();
    let broken_utf8 = encoding == UTF_8 && std::str::from_utf8(bytes).is_err_and(|e| e.error_len().is_some());
    if marked || is_utf16 || broken_utf8 { decode(bytes) } else { settled(encoding, Basis::Declared, bytes) }
}

/// Whether decoded text is text at all, not a picture or a program: hardly any control characters or undecodable bytes.
#[must_use]
pub fn looks_like_text(text: &str) -> bool {
    let (mut odd, mut all) = (0_usize, 0_usize);
    for c in text.chars() {
        all += 1;
        odd += usize::from((c.is_control() && !is_steering(c)) || c == '\u{FFFD}');
    }
    let zeros = text.matches('\0').count();
    odd * 100 <= all && zeros * 20 <= all
}

fn settled(encoding: Encoding, basis: Basis, bytes: &[u8]) -> Decoded<'_> {
    Decoded { text: encoding.decode(bytes), encoding, basis, confidence: 1.0, runners_up: Vec::new() }
}

/// UTF-16 without a mark: western text has a zero in every other byte and nowhere else.
fn by_zero_bytes(bytes: &[u8]) -> Option<Encoding> {
    let head = bytes.get(..bytes.len().min(64 << 10))?;
    let pairs = head.len() / 2;
    let zeros = |start: usize| head.iter().skip(start).step_by(2).filter(|byte| **byte == 0).count();
    let (first, second) = (zeros(0), zeros(1));
    let often = |count: usize| count * 4 > pairs;
    let rarely = |count: usize| count * 50 <= pairs;
    match pairs {
        0 | 1 => None,
        _ if often(second) && rarely(first) => Some(UTF_16LE),
        _ if often(first) && rarely(second) => Some(UTF_16BE),
        _ => None,
    }
}

fn by_evidence(bytes: &[u8]) -> Decoded<'_> {
    let sample = evidence::sample(bytes);
    let mut tried: Vec<(Encoding, f64, String)> = CANDIDATES
        .iter()
        .map(|(encoding, handicap)| {
            let text = encoding.decode(&sample).into_owned();
            (*encoding, evidence::score(&text) - handicap, text)
        })
        .collect();
    tried.sort_by(|a, b| b.1.total_cmp(&a.1));
    let Some((encoding, best, text)) = tried.first().cloned() else {
        return settled(WINDOWS_1252, Basis::Evidence, bytes);
    };
    let runners_up: Vec<(Encoding, f64)> =
        tried.iter().filter(|other| other.2 != text).map(|other| (other.0, best - other.1)).collect();
    let margin = runners_up.first().map_or(f64::INFINITY, |second| second.1);
    // Half at a tie, nearing one with each two points of lead; nothing that speaks for the best is never more than half.
    let confidence = if best > 0.0 { 1.0 - 0.5 * 0.5_f64.powf(margin / 2.0) } else { 0.5 };
    Decoded { text: encoding.decode(bytes), encoding, basis: Basis::Evidence, confidence, runners_up }
}
