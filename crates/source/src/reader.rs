//! The reader plugin: one container each, bytes to cells.

use crate::error::ReadError;
use crate::grid::Workbook;
use crate::limits::Limits;

/// How far a plugin can be relied on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Maturity {
    /// Being written.
    Draft,
    /// Complete, little used.
    Candidate,
    /// Proven on real input.
    Recommended,
}

/// The bytes of a source and its name.
#[derive(Debug, Clone, Copy)]
pub struct Input<'a> {
    /// File name without folders; a hint only, content decides.
    pub name: &'a str,
    /// All bytes.
    pub bytes: &'a [u8],
    /// The file beside it that belongs to it (see [`ReaderPlugin::companions`]).
    pub companion: Option<Companion<'a>>,
}

impl<'a> Input<'a> {
    /// A source that is read by itself.
    #[must_use]
    pub const fn alone(name: &'a str, bytes: &'a [u8]) -> Self {
        Self { name, bytes, companion: None }
    }
}

/// A file that belongs to another, such as the samples of a configuration.
#[derive(Debug, Clone, Copy)]
pub struct Companion<'a> {
    /// File name without folders.
    pub name: &'a str,
    /// All bytes.
    pub bytes: &'a [u8],
}

/// The ends of names of the files that belong to a file named `name`, by `pairs`, lower case.
pub fn companions_of<'p>(name: &'p str, pairs: &'p [(&'p str, &'p str)]) -> impl Iterator<Item = String> + 'p {
    let folded = name.to_lowercase();
    pairs.iter().filter_map(move |(own, other)| Some(format!("{}{other}", folded.strip_suffix(own)?)))
}

/// What a claim may look at: a bounded preview, opened once by the engine.
#[derive(Debug, Clone, Copy)]
pub struct Probe<'a> {
    /// File name without folders; a hint only.
    pub name: &'a str,
    /// First 64 KiB.
    pub head: &'a [u8],
    /// Size of the whole file, bytes.
    pub len: usize,
    /// Member names, when it is a ZIP archive.
    pub zip_members: &'a [String],
    /// Stream paths, when it is a compound file (OLE).
    pub ole_streams: &'a [String],
    /// The file beside it that belongs to it, of which the first 64 KiB.
    pub companion: Option<Companion<'a>>,
}

/// A bid: 0 refused, 0.3 container fits, 0.6 its structure fits, 0.9 a mark that only this container has.
#[derive(Debug, Clone, PartialEq)]
pub struct Verdict {
    /// Confidence from 0 to 1.
    pub confidence: f64,
    /// Why.
    pub reason: String,
}

impl Verdict {
    /// A bid of `confidence` for `reason`.
    pub fn new(confidence: f64, reason: impl Into<String>) -> Self {
        Self { confidence, reason: reason.into() }
    }

    /// Not this container, for `reason`.
    pub fn refuse(reason: impl Into<String>) -> Self {
        Self::new(0.0, reason)
    }
}

/// A reader plugin, registered with `inventory::submit!`.
#[derive(Debug)]
pub struct ReaderPlugin {
    /// Id: the folder under `plugins/`, kebab case.
    pub id: &'static str,
    /// Name for people.
    pub title: &'static str,
    /// One sentence.
    pub summary: &'static str,
    /// Version of the plugin.
    pub version: &'static str,
    /// Program version that first had it.
    pub since: &'static str,
    /// How far it can be relied on.
    pub maturity: Maturity,
    /// Media types or names of the containers it reads.
    pub reads: &'static [&'static str],
    /// Ends of file names that belong together, lower case (`(".cfg", ".dat")`): a file that ends in the first is read with the
    /// one of the same folder and name that ends in the second, where there is one. Each file stays a source of its own.
    pub companions: &'static [(&'static str, &'static str)],
    /// Bids for a source; cheap, looks at the probe only.
    pub claim: fn(&Probe<'_>) -> Verdict,
    /// Reads a source whole, within `limits`.
    pub read: fn(&Input<'_>, &Limits) -> Result<Workbook, ReadError>,
}

inventory::collect!(ReaderPlugin);
