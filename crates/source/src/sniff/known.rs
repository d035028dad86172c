//! Kinds of files by their marks. Marks are from the published descriptions of the formats and from the registry of media types
//! (IANA); those of the old binary formats are from memory.

use crate::reader::Probe;

/// A kind of file.
#[derive(Debug, PartialEq, Eq)]
pub struct Kind {
    /// Media type.
    pub media_type: &'static str,
    /// What it is, with its article, in words.
    pub what: &'static str,
    /// What to do with it when no reader reads it.
    pub advice: &'static str,
    /// Whether a password keeps it shut.
    pub is_encrypted: bool,
}

const fn kind(media_type: &'static str, what: &'static str, advice: &'static str) -> Kind {
    Kind { media_type, what, advice, is_encrypted: false }
}

const AS_WORKBOOK: &str = "open it with the program that wrote it and save it as a workbook (.xlsx)";
const AS_TEXT: &str = "export its tables as delimited text";
const TYPE_IT: &str = "type its figures into a workbook";
const AS_TABLES: &str = "copy its tables into a workbook";
const AS_DOCUMENT: &str = "open it in a word processor and save it as .docx, or copy its tables into a workbook";
const UNPACK: &str = "unpack it and import the folder";
const NO_RECORD: &str = "if it belongs to a record, keep it beside the record; nothing is read from it";

/// First bytes, and what they mark.
const BY_MARK: &[(&[u8], Kind)] = &[
    (b"%PDF", kind("application/pdf", "a PDF document", "export its tables as a workbook or as delimited text")),
    (b"%!PS", kind("application/postscript", "a PostScript print-out", "export the records behind it as a workbook")),
    (b"\x89PNG", kind("image/png", "a PNG picture", TYPE_IT)),
    (b"\xff\xd8\xff", kind("image/jpeg", "a JPEG picture", TYPE_IT)),
    (b"GIF8", kind("image/gif", "a GIF picture", TYPE_IT)),
    (b"\xd7\xcd\xc6\x9a", kind("image/wmf", "a drawing", TYPE_IT)),
    (b"AT&TFORM", kind("image/vnd.djvu", "a DjVu scan", TYPE_IT)),
    (b"\0\0\0\x0cjP  ", kind("image/jp2", "a JPEG 2000 picture", TYPE_IT)),
    (b"II*\0", kind("image/tiff", "a TIFF picture", TYPE_IT)),
    (b"MM\0*", kind("image/tiff", "a TIFF picture", TYPE_IT)),
    (b"{\\rtf", kind("application/rtf", "an RTF document", AS_DOCUMENT)),
    (b"7z\xbc\xaf\x27\x1c", kind("application/x-7z-compressed", "a 7z archive", UNPACK)),
    (b"Rar!\x1a\x07", kind("application/vnd.rar", "a RAR archive", UNPACK)),
    (b"PK\x05\x06", kind("application/zip", "an archive without a file", "look for another copy of it")),
    (b"\x1f\x8b", kind("application/gzip", "a gzip archive", UNPACK)),
    (b"BZh", kind("application/x-bzip2", "a bzip2 archive", UNPACK)),
    (b"\xfd7zXZ\0", kind("application/x-xz", "an xz archive", UNPACK)),
    (b"\x28\xb5\x2f\xfd", kind("application/zstd", "a zstd archive", UNPACK)),
    (b"MSCF", kind("application/vnd.ms-cab-compressed", "a cabinet archive", UNPACK)),
    (b"SQLite format 3\0", kind("application/vnd.sqlite3", "an SQLite database", AS_TEXT)),
    (b"\0\x01\0\0Standard Jet DB", kind("application/vnd.ms-access", "a desktop database", AS_TEXT)),
    (b"\0\x01\0\0Standard ACE DB", kind("application/vnd.ms-access", "a desktop database", AS_TEXT)),
    (b"\x89HDF\r\n\x1a\n", kind("application/x-hdf5", "a container of measured data (HDF5)", AS_TEXT)),
    (b"MATLAB 5.0 MAT-file", kind("application/x-matlab-data", "a container of computed data", AS_TEXT)),
    (b"TDSm", kind("application/x-tdms", "a container of measured data", AS_TEXT)),
    (
        b"!BDN",
        kind("application/vnd.ms-outlook-pst", "a mailbox", "save what is attached to its mails, and import that"),
    ),
    (b"\xffWPC", kind("application/vnd.wordperfect", "an old text document", AS_DOCUMENT)),
    (b"\xdb\xa5-\0", kind("application/msword", "a text document of about 1990", AS_DOCUMENT)),
    (b"\x31\xbe\0\0", kind("application/x-mswrite", "a text document of about 1990", AS_DOCUMENT)),
    (b"\xff\0\x02\0\x04\x04", kind("application/vnd.ms-works", "a spreadsheet of the 1990s", AS_WORKBOOK)),
    (b"PAR1", kind("application/vnd.apache.parquet", "a Parquet table", AS_TEXT)),
    (b"\0\0\x02\0\x06\x04", kind("application/vnd.lotus-1-2-3", "a spreadsheet of the 1980s", AS_WORKBOOK)),
    (b"\0\0\x02\0\x04\x04", kind("application/vnd.lotus-1-2-3", "a spreadsheet of the 1980s", AS_WORKBOOK)),
    (b"\0\0\x1a\0", kind("application/vnd.lotus-1-2-3", "a spreadsheet of the 1990s", AS_WORKBOOK)),
    (b"\0\0\x02\0\x20\x51", kind("application/x-quattro-pro", "a spreadsheet of the 1980s", AS_WORKBOOK)),
    (b"\0\0\x02\0\x01\x10", kind("application/x-quattro-pro", "a spreadsheet of the 1990s", AS_WORKBOOK)),
    (b"\x09\0\x04\0", kind("application/vnd.ms-excel", "a workbook of the 1980s", AS_WORKBOOK)),
    (b"\x09\x02\x06\0", kind("application/vnd.ms-excel", "a workbook of about 1990", AS_WORKBOOK)),
    (b"\x09\x04\x06\0", kind("application/vnd.ms-excel", "a workbook of about 1992", AS_WORKBOOK)),
    (b"ID;P", kind("application/x-sylk", "a spreadsheet as symbolic links (SYLK)", AS_WORKBOOK)),
    (b"ID3", kind("audio/mpeg", "a sound recording", NO_RECORD)),
    (b"OggS", kind("application/ogg", "a sound or film", NO_RECORD)),
    (b"MZ", kind("application/vnd.microsoft.portable-executable", "a program", NO_RECORD)),
    (b"\x7fELF", kind("application/x-elf", "a program", NO_RECORD)),
];

/// Marks that stand behind other bytes: offset, mark.
const WITHIN: &[(usize, &[u8], Kind)] = &[
    (257, b"ustar", kind("application/x-tar", "a tar archive", UNPACK)),
    (8, b"WAVE", kind("audio/wav", "a sound recording", NO_RECORD)),
    (8, b"AVI ", kind("video/x-msvideo", "a film", NO_RECORD)),
    (8, b"WEBP", kind("image/webp", "a WebP picture", TYPE_IT)),
    (4, b"ftyphei", kind("image/heic", "a HEIC picture", TYPE_IT)),
    (4, b"ftypmif", kind("image/heif", "a HEIF picture", TYPE_IT)),
    (14, b"\x28\0\0\0", kind("image/bmp", "a bitmap picture", TYPE_IT)),
    (40, b" EMF", kind("image/emf", "a drawing", TYPE_IT)),
    (4, b"ftyp", kind("video/mp4", "a film", NO_RECORD)),
];

pub(super) fn by_mark(head: &[u8]) -> Option<&'static Kind> {
    let first = BY_MARK.iter().find(|(mark, _)| head.starts_with(mark)).map(|(_, kind)| kind);
    let within = || {
        let marked = |offset: usize, mark: &[u8]| head.get(offset..).is_some_and(|rest| rest.starts_with(mark));
        WITHIN.iter().find(|(offset, mark, _)| marked(*offset, mark)).map(|(.., kind)| kind)
    };
    first.or_else(within)
}

/// Streams of compound files, and what they mark.
const IN_COMPOUND: &[(&str, Kind)] = &[
    (
        "EncryptedPackage",
        Kind { is_encrypted: true, ..kind("application/x-encrypted-package", "an encrypted document", AS_WORKBOOK) },
    ),
    ("Workbook", kind("application/vnd.ms-excel", "an old workbook", AS_WORKBOOK)),
    ("Book", kind("application/vnd.ms-excel", "an old workbook", AS_WORKBOOK)),
    ("WordDocument", kind("application/msword", "an old text document", AS_DOCUMENT)),
    ("PowerPoint Document", kind("application/vnd.ms-powerpoint", "an old presentation", AS_TABLES)),
    (
        "__properties_version1.0",
        kind("application/vnd.ms-outlook", "a mail", "save what is attached to it, and import that"),
    ),
    ("MatOST", kind("application/vnd.ms-works", "an old document of an office suite", AS_WORKBOOK)),
    ("PerfectOffice_MAIN", kind("application/x-quattro-pro", "an old spreadsheet", AS_WORKBOOK)),
];

pub(super) fn in_compound(streams: &[String]) -> Option<&'static Kind> {
    let has = |name: &str| streams.iter().any(|stream| stream.trim_start_matches('/') == name);
    IN_COMPOUND.iter().find(|(name, _)| has(name)).map(|(_, kind)| kind)
}

/// Beginnings of member names of packages, lower case with `/`, and what they mark.
const IN_PACKAGE: &[(&str, Kind)] = &[
    (
        "xl/workbook.xml",
        kind("application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", "a workbook", AS_WORKBOOK),
    ),
    (
        "xl/workbook.bin",
        kind("application/vnd.ms-excel.sheet.binary.macroenabled.12", "a binary workbook", AS_WORKBOOK),
    ),
    (
        "word/document.xml",
        kind("application/vnd.openxmlformats-officedocument.wordprocessingml.document", "a text document", AS_TABLES),
    ),
    (
        "ppt/presentation.xml",
        kind("application/vnd.openxmlformats-officedocument.presentationml.presentation", "a presentation", AS_TABLES),
    ),
    ("visio/document.xml", kind("application/vnd.ms-visio.drawing", "a drawing", TYPE_IT)),
    ("index.zip", kind("application/x-iwork", "a document of an office suite", AS_WORKBOOK)),
    ("index/document.iwa", kind("application/x-iwork", "a document of an office suite", AS_WORKBOOK)),
    ("meta-inf/container.xml", kind("application/epub+zip", "an electronic book", AS_TABLES)),
    ("meta-inf/manifest.mf", kind("application/java-archive", "a program", NO_RECORD)),
    ("[content_types].xml", kind("application/x-package", "an office document of an unknown kind", AS_WORKBOOK)),
];

/// Ends of the media types of OpenDocument, and what they mark.
const OPEN_DOCUMENT: &[(&str, Kind)] = &[
    ("spreadsheet", kind("application/vnd.oasis.opendocument.spreadsheet", "an OpenDocument spreadsheet", AS_WORKBOOK)),
    ("text", kind("application/vnd.oasis.opendocument.text", "a text document", AS_DOCUMENT)),
    ("", kind("application/vnd.oasis.opendocument", "an OpenDocument of another kind", AS_TABLES)),
];

pub(super) fn in_package(probe: &Probe<'_>) -> Option<&'static Kind> {
    if let Some(rest) = open_document(probe.head) {
        return OPEN_DOCUMENT.iter().find(|(end, _)| rest.starts_with(end.as_bytes())).map(|(_, kind)| kind);
    }
    let folded = |name: &String| name.replace('\\', "/").trim_start_matches('/').to_ascii_lowercase();
    let members: Vec<String> = probe.zip_members.iter().map(folded).collect();
    IN_PACKAGE.iter().find(|(part, _)| members.iter().any(|member| member == part)).map(|(_, kind)| kind)
}

/// What follows the common beginning of the media types of OpenDocument, which stands uncompressed at the start of the package.
fn open_document(head: &[u8]) -> Option<&[u8]> {
    const BEGINNING: &[u8] = b"application/vnd.oasis.opendocument.";
    let start = head.get(..256).unwrap_or(head).windows(BEGINNING.len()).position(|part| part == BEGINNING)?;
    head.get(start + BEGINNING.len()..)
}
