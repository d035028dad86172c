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
    /// Bids for a source; cheap, looks at the probe only.
    pub claim: fn(&Probe<'_>) -> Verdict,
    /// Reads a source whole, within `limits`.
    pub read: fn(&Input<'_>, &Limits) -> Result<Workbook, ReadError>,
}

inventory::collect!(ReaderPlugin);
