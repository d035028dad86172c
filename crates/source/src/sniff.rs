//! What kind of file bytes are, told by content: for the media type of what was read, and for a refusal that names what it is and
//! the conversion to try. File names are not asked: in old archives they are wrong too often.

use crate::error::{ReadError, Refusal};
use crate::reader::Probe;

mod known;

pub use known::Kind;

/// First bytes of a compound file (OLE).
pub(crate) const COMPOUND: &[u8] = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1";

/// The kind of a source, if its content has a mark of one.
#[must_use]
pub fn kind(probe: &Probe<'_>) -> Option<&'static Kind> {
    if !probe.ole_streams.is_empty() {
        return known::in_compound(probe.ole_streams);
    }
    if !probe.zip_members.is_empty() {
        return known::in_package(probe);
    }
    known::by_mark(probe.head)
}

/// Why a source that no reader claims is not read.
#[must_use]
pub fn refusal(probe: &Probe<'_>) -> ReadError {
    match kind(probe) {
        Some(kind) if kind.is_encrypted => {
            let advice = "open it with its password, save a copy without, and import that";
            ReadError::new(Refusal::Encrypted, "it is password-protected", advice)
        }
        Some(kind) => {
            ReadError::new(Refusal::Unsupported, format!("it is {}, which is not read", kind.what), kind.advice)
        }
        None => unknown(probe),
    }
}

fn unknown(probe: &Probe<'_>) -> ReadError {
    let cut = |like: &str| {
        let found = format!("it begins like {like} and is cut short or damaged");
        ReadError::new(Refusal::Damaged, found, "look for another copy of it")
    };
    if probe.head.starts_with(b"PK\x03\x04") && probe.zip_members.is_empty() {
        return cut("a workbook or archive");
    }
    if probe.head.starts_with(COMPOUND) && probe.ole_streams.is_empty() {
        return cut("an old workbook");
    }
    if !probe.zip_members.is_empty() {
        let found = format!("it is an archive of {} files", probe.zip_members.len());
        let advice = "an import opens the files of an archive one by one, but no archive within an archive: unpack it";
        return ReadError::new(Refusal::Unsupported, found, advice);
    }
    let found = "no reader knows this kind of file, or it holds no table";
    ReadError::new(Refusal::Alien, found, "if it holds test records, save them as a workbook or as delimited text")
}

#[cfg(test)]
mod tests {
    use super::{kind, refusal};
    use crate::error::Refusal;
    use crate::reader::Probe;

    fn probe<'a>(head: &'a [u8], zip_members: &'a [String], ole_streams: &'a [String]) -> Probe<'a> {
        Probe { name: "misleading.csv", head, len: head.len(), zip_members, ole_streams, companion: None }
    }

    fn names(names: &[&str]) -> Vec<String> {
        names.iter().map(|name| (*name).to_owned()).collect()
    }

    #[test]
    fn marks_tell_the_kind_whatever_the_name() {
        for (head, what) in [
            (&b"%PDF-1.7"[..], "PDF"),
            (b"\x89PNG\r\n\x1a\n", "picture"),
            (b"{\\rtf1", "RTF"),
            (b"7z\xbc\xaf\x27\x1c", "7z"),
            (b"ID3\x03", "sound"),
            (b"\0\x01\0\0Standard Jet DB\0", "database"),
            (b"RIFF\x24\x08\0\0WAVEfmt ", "sound"),
            (b"\0\0\0\x18ftypmp42", "film"),
        ] {
            let error = refusal(&probe(head, &[], &[]));
            assert_eq!(error.refusal, Refusal::Unsupported);
            assert!(error.found.contains(what), "{error}");
        }
        let mut tape = vec![b'a'; 600];
        tape[257..262].copy_from_slice(b"ustar");
        assert!(refusal(&probe(&tape, &[], &[])).found.contains("tar"));
    }

    #[test]
    fn what_holds_records_and_is_not_read_names_the_conversion_to_try() {
        let named = |error: crate::error::ReadError, advice: &str| assert!(error.advice.contains(advice), "{error}");
        named(refusal(&probe(b"{\\rtf1", &[], &[])), ".docx");
        named(refusal(&probe(super::COMPOUND, &[], &names(&["/WordDocument"]))), ".docx");
        named(refusal(&probe(b"\xffWPC\x10", &[], &[])), ".docx");
        named(refusal(&probe(b"%PDF-1.4", &[], &[])), "delimited text");
        named(refusal(&probe(b"\0\x01\0\0Standard Jet DB", &[], &[])), "delimited text");
        named(refusal(&probe(b"PK\x03\x04", &names(&["Index/Document.iwa"]), &[])), "workbook (.xlsx)");
        named(refusal(&probe(b"PK\x03\x04", &names(&["Index.zip", "preview.jpg"]), &[])), "workbook (.xlsx)");
        named(refusal(&probe(b"\xff\0\x02\0\x04\x04\x05T", &[], &[])), "workbook (.xlsx)");
        for picture in [&b"\xff\xd8\xff\xe0"[..], b"II*\0", b"BM\x36\0\0\0\0\0\0\0\x36\0\0\0\x28\0\0\0"] {
            named(refusal(&probe(picture, &[], &[])), "type its figures");
        }
    }

    #[test]
    fn packages_and_compound_files_are_told_by_what_is_in_them() {
        let docx = names(&["[Content_Types].xml", "word/document.xml"]);
        assert!(refusal(&probe(b"PK\x03\x04", &docx, &[])).found.contains("text document"));
        let doc = names(&["/WordDocument", "/1Table"]);
        assert!(refusal(&probe(super::COMPOUND, &[], &doc)).found.contains("text document"));
        let xlsx = names(&["xl/workbook.xml"]);
        let media = kind(&probe(b"PK\x03\x04", &xlsx, &[])).unwrap().media_type;
        assert_eq!(media, "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet");
        let ods = b"PK\x03\x04..................mimetypeapplication/vnd.oasis.opendocument.spreadsheetPK";
        let members = names(&["mimetype", "content.xml"]);
        let media = kind(&probe(ods, &members, &[])).unwrap().media_type;
        assert_eq!(media, "application/vnd.oasis.opendocument.spreadsheet");
        assert!(kind(&probe(b"PK\x03\x04", &names(&["a.csv"]), &[])).is_none(), "a plain archive");
    }

    #[test]
    fn passwords_and_damage_have_their_own_refusals() {
        let locked = names(&["/EncryptionInfo", "/EncryptedPackage"]);
        assert_eq!(refusal(&probe(super::COMPOUND, &[], &locked)).refusal, Refusal::Encrypted);
        assert_eq!(refusal(&probe(b"PK\x03\x04abc", &[], &[])).refusal, Refusal::Damaged);
        assert_eq!(refusal(&probe(super::COMPOUND, &[], &[])).refusal, Refusal::Damaged);
        assert_eq!(refusal(&probe(b"Dear all,", &[], &[])).refusal, Refusal::Alien);
    }
}
