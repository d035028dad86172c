//! Single files: sections that begin with a line of their own.

/// A section's first line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Section {
    /// `CFG`, `INF`, `HDR` or `DAT`.
    pub(crate) kind: String,
    /// Bytes of it, where told.
    pub(crate) bytes: Option<usize>,
    /// Whether it is data that are no text.
    pub(crate) is_binary: bool,
}

/// A section with its content.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Part<'a> {
    pub(crate) section: Section,
    /// Line of the file in which its content begins.
    pub(crate) line: usize,
    pub(crate) content: &'a [u8],
}

/// The section that `line` begins: `--- file type: DAT BINARY: 702 ---`.
pub(crate) fn section(line: &str) -> Option<Section> {
    let inside = line.trim().trim_start_matches('\u{FEFF}').strip_prefix("---")?.trim_end_matches('-').trim();
    let (key, told) = inside.split_once(':')?;
    if !key.split_whitespace().map(str::to_ascii_lowercase).eq(["file", "type"]) {
        return None;
    }
    let words: Vec<String> =
        told.split([' ', ':']).filter(|word| !word.is_empty()).map(str::to_ascii_uppercase).collect();
    let kind = words.first().filter(|kind| ["CFG", "INF", "HDR", "DAT"].contains(&kind.as_str()))?.clone();
    let bytes = words.last().and_then(|word| word.parse().ok());
    let is_binary = words.iter().any(|word| word.starts_with("BINARY") || word.starts_with("FLOAT"));
    Some(Section { kind, bytes, is_binary })
}

/// The sections of a file. Bytes of data are not looked at for lines that begin one, as far as their count is told.
pub(crate) fn parts(bytes: &[u8]) -> Vec<Part<'_>> {
    let mut parts: Vec<Part<'_>> = Vec::new();
    let (mut at, mut number, mut start) = (0_usize, 0_usize, 0_usize);
    while let Some(rest) = bytes.get(at..).filter(|rest| !rest.is_empty()) {
        let end = rest.iter().position(|byte| *byte == b'\n').map_or(rest.len(), |end| end + 1);
        let line = rest.get(..end.min(200)).unwrap_or_default();
        number += 1;
        let begun = line.starts_with(b"---").then(|| section(&String::from_utf8_lossy(line))).flatten();
        if let Some(section) = begun {
            if let Some(last) = parts.last_mut() {
                last.content = bytes.get(start..at).unwrap_or_default();
            }
            start = at + end;
            let told = section.bytes.filter(|_| section.is_binary);
            parts.push(Part { section, line: number + 1, content: bytes.get(start..).unwrap_or_default() });
            at = start.saturating_add(told.unwrap_or(0));
        } else {
            at += end;
        }
    }
    parts
}
