//! The bid for a source.

use windrow_source::{Probe, Verdict};

/// Bids by the member names of the package, or by the stream that a password puts around it.
pub(crate) fn claim(probe: &Probe<'_>) -> Verdict {
    let has = |wanted: &str| probe.zip_members.iter().any(|name| folded(name) == wanted);
    if has("xl/workbook.xml") || has("xl/workbook.bin") {
        return Verdict::new(0.9, "it is a package with a workbook part");
    }
    if probe.ole_streams.iter().any(|stream| stream.trim_start_matches('/') == "EncryptedPackage") {
        return Verdict::new(0.9, "it is an encrypted package");
    }
    let worksheets = probe.zip_members.iter().any(|name| folded(name).contains("worksheets/"));
    if worksheets && has("[content_types].xml") {
        return Verdict::new(0.6, "it is a package with worksheets");
    }
    if is_open_document(probe.head) {
        return Verdict::new(0.9, "its media type is that of an OpenDocument spreadsheet");
    }
    if has("content.xml") && has("meta-inf/manifest.xml") && !names_other_document(probe.head) {
        return Verdict::new(0.3, "it is a package like an OpenDocument");
    }
    Verdict::refuse("it is no package of a workbook")
}

/// A member name as compared: some writers use backslashes and other cases.
pub(crate) fn folded(name: &str) -> String {
    name.replace('\\', "/").trim_start_matches('/').to_ascii_lowercase()
}

/// Beginning of the media types of OpenDocument; it stands uncompressed at the start of the package.
const OPEN_DOCUMENT: &[u8] = b"application/vnd.oasis.opendocument.";

fn is_open_document(head: &[u8]) -> bool {
    media_type(head).is_some_and(|rest| rest.starts_with(b"spreadsheet"))
}

fn names_other_document(head: &[u8]) -> bool {
    media_type(head).is_some_and(|rest| !rest.starts_with(b"spreadsheet"))
}

/// What follows the common beginning of the media type, looked for where the first member has its content.
fn media_type(head: &[u8]) -> Option<&[u8]> {
    let start = head.get(..256).unwrap_or(head).windows(OPEN_DOCUMENT.len()).position(|part| part == OPEN_DOCUMENT)?;
    head.get(start + OPEN_DOCUMENT.len()..)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn confidence(head: &[u8], members: &[&str], streams: &[&str]) -> f64 {
        let owned = |names: &[&str]| names.iter().map(|name| (*name).to_owned()).collect::<Vec<_>>();
        let (zip_members, ole_streams) = (owned(members), owned(streams));
        let probe = Probe {
            name: "a",
            head,
            len: head.len(),
            zip_members: &zip_members,
            ole_streams: &ole_streams,
            companion: None,
        };
        claim(&probe).confidence
    }

    #[test]
    fn workbooks_are_claimed_by_their_parts_and_not_by_their_names() {
        assert!(confidence(b"PK", &["[Content_Types].xml", "xl/workbook.xml"], &[]) >= 0.9);
        assert!(confidence(b"PK", &["XL\\Workbook.bin"], &[]) >= 0.9);
        assert!(confidence(b"", &[], &["/EncryptionInfo", "/EncryptedPackage"]) >= 0.9);
        let calc = b"PK...mimetypeapplication/vnd.oasis.opendocument.spreadsheetPK";
        assert!(confidence(calc, &["mimetype", "content.xml", "META-INF/manifest.xml"], &[]) >= 0.9);
    }

    #[test]
    fn other_documents_in_the_same_packages_are_refused() {
        assert!(confidence(b"PK", &["[Content_Types].xml", "word/document.xml"], &[]) <= 0.0);
        let letter = b"PK...mimetypeapplication/vnd.oasis.opendocument.textPK";
        assert!(confidence(letter, &["mimetype", "content.xml", "META-INF/manifest.xml"], &[]) <= 0.0);
        assert!(confidence(b"", &[], &["/Workbook"]) <= 0.0);
    }
}
