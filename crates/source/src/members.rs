//! What stands inside an archive or compound file, by name. Nothing is inflated.

use crate::archive;
use crate::reader::{Companion, Probe};
use crate::sniff::COMPOUND;
use std::io::Cursor;

/// What a claim may look at, in bytes.
const HEAD: usize = 64 << 10;

/// What claims may look at, taken once from the bytes of a source.
#[derive(Debug)]
pub struct Preview<'a> {
    name: &'a str,
    bytes: &'a [u8],
    companion: Option<Companion<'a>>,
    zip_members: Vec<String>,
    ole_streams: Vec<String>,
}

impl<'a> Preview<'a> {
    /// Looks at the source `bytes`, which goes by `name` (without folders).
    #[must_use]
    pub fn of(name: &'a str, bytes: &'a [u8]) -> Self {
        Self { name, bytes, companion: None, zip_members: of_zip(bytes), ole_streams: of_compound_file(bytes) }
    }

    /// The same with the file beside it that belongs to it.
    #[must_use]
    pub fn beside(self, companion: Option<Companion<'a>>) -> Self {
        Self { companion, ..self }
    }

    /// What is shown to a claim.
    #[must_use]
    pub fn probe(&self) -> Probe<'_> {
        Probe {
            name: self.name,
            head: self.bytes.get(..HEAD).unwrap_or(self.bytes),
            len: self.bytes.len(),
            zip_members: &self.zip_members,
            ole_streams: &self.ole_streams,
            companion: self.companion.map(|companion| Companion {
                bytes: companion.bytes.get(..HEAD).unwrap_or(companion.bytes),
                ..companion
            }),
        }
    }
}

/// Member names of a ZIP archive; empty if `bytes` are none.
fn of_zip(bytes: &[u8]) -> Vec<String> {
    if !bytes.starts_with(b"PK") {
        return Vec::new();
    }
    let names = zip::ZipArchive::new(Cursor::new(bytes)).map(|archive| archive::names(&archive));
    names.unwrap_or_default()
}

/// Stream paths of a compound file (OLE), with `/`; empty if `bytes` are none.
fn of_compound_file(bytes: &[u8]) -> Vec<String> {
    if !bytes.starts_with(COMPOUND) {
        return Vec::new();
    }
    cfb::CompoundFile::open(Cursor::new(bytes))
        .map(|file| file.walk().filter(cfb::Entry::is_stream).map(|entry| entry.path().display().to_string()).collect())
        .unwrap_or_default()
}
