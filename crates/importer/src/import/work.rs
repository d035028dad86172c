//! What is asked of a worker, and what it answers.

use super::source::{Companion, Location};
use crate::claim;
use crate::engine::{Source, evidence_of, understand_in_folder};
use crate::registry::Registry;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::io::Cursor;
use windrow_model::raw::Understood;
use windrow_model::settings::Settings;
use windrow_sheet::Pools;
use windrow_source::archive::{self, Member};
use windrow_source::{Limits, ReadError, Refusal};

/// What is to be done with a source.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(super) enum Work {
    /// Tell what it proves about its folder, or what is in it when it is an archive.
    Look,
    /// Understand it in the light of its folder.
    Understand(Option<Box<Pools>>),
}

/// A request to a worker: everything that the answer depends on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(super) struct Request {
    /// Path below the imported folder, with `/`.
    pub(super) source_file: String,
    /// Where its bytes are.
    pub(super) location: Location,
    /// The file beside it that it is read together with.
    pub(super) companion: Option<Companion>,
    /// What is to be done.
    pub(super) work: Work,
    /// Settings of the fleet.
    pub(super) settings: Settings,
    /// Limits of one source.
    pub(super) limits: Limits,
}

/// A file of an archive, with the BLAKE3 hash of its bytes where they can be unpacked.
pub(super) type Packed = (Member, Option<String>);

/// An answer of a worker.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(super) enum Answer {
    /// What the source proves about its folder.
    Evidence(Pools),
    /// The source is an archive of these files.
    Archive(Vec<Packed>),
    /// What the source tells.
    Understood(Box<Understood>),
}

/// An answer, and the BLAKE3 hash of the bytes that it is about, hexadecimal: they may have changed since the file was found.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(super) struct Reply {
    pub(super) content: String,
    pub(super) answer: Answer,
}

/// Answers a request of an import in a worker: `worker.serve(&mut |request| answer(request, &registry))`.
#[must_use]
pub fn answer(request: &[u8], registry: &Registry) -> Vec<u8> {
    let answer = postcard::from_bytes::<Request>(request).map_err(|error| garbled("request", error));
    let answer = answer.and_then(|request| request.run(registry));
    // What cannot be written either is told by an answer that cannot be read.
    postcard::to_stdvec(&answer).unwrap_or_default()
}

fn garbled(what: &str, error: postcard::Error) -> ReadError {
    let found = format!("the {what} about this file is garbled ({error}), which is our bug");
    ReadError::new(Refusal::Crashed, found, "run the import again, and report it")
}

impl Reply {
    /// The reply that a worker wrote.
    pub(super) fn of_bytes(bytes: &[u8]) -> Result<Self, ReadError> {
        let reply: Result<Result<Self, ReadError>, _> = postcard::from_bytes(bytes);
        reply.map_err(|error| garbled("answer", error))?
    }
}

impl Request {
    /// The request as a worker reads it.
    pub(super) fn to_bytes(&self) -> Vec<u8> {
        // What cannot be written is told by the worker as a request that cannot be read.
        postcard::to_stdvec(self).unwrap_or_default()
    }

    /// Does the work. An error is about the file as a whole, and looking at it once more would not help.
    pub(super) fn run(&self, registry: &Registry) -> Result<Reply, ReadError> {
        let bytes = self.location.bytes(&self.limits)?;
        let beside = self.beside()?;
        let companion = beside.as_ref().map(|(name, bytes)| windrow_source::Companion { name, bytes });
        let source = Source { companion, ..Source::alone(&self.source_file, &bytes) };
        let answer = match &self.work {
            Work::Look => match self.archive(source, registry)? {
                Some(members) => Answer::Archive(members),
                None => Answer::Evidence(evidence_of(source, registry, &self.limits)),
            },
            Work::Understand(folder) => {
                let understood = understand_in_folder(source, folder.as_deref(), registry, &self.settings, &self.limits);
                Answer::Understood(Box::new(understood))
            }
        };
        Ok(Reply { content: hash(&bytes), answer })
    }

    /// Name and bytes of the file that the source is read together with.
    fn beside(&self) -> Result<Option<(&str, Vec<u8>)>, ReadError> {
        let Some(companion) = &self.companion else { return Ok(None) };
        let bytes = companion.location.bytes(&self.limits).map_err(|error| {
            let found = format!("{} beside it: {}", companion.name, error.found);
            ReadError { found, ..error }
        })?;
        Ok(Some((&companion.name, bytes)))
    }

    /// The files of the source, when it is an archive in a file of its own.
    fn archive(&self, source: Source<'_>, registry: &Registry) -> Result<Option<Vec<Packed>>, ReadError> {
        let Location::File(_) = &self.location else { return Ok(None) };
        let preview = source.preview();
        let probe = preview.probe();
        if !archive::is_plain(&probe) || claim::choose(&probe, registry).is_ok() {
            return Ok(None);
        }
        let members = archive::members(Cursor::new(source.bytes), source.bytes.len() as u64, &self.limits)?;
        if members.is_empty() {
            let found = "the archive holds no file";
            return Err(ReadError::new(Refusal::Empty, found, "look for another copy of it"));
        }
        let mut hashes = BTreeMap::new();
        archive::unpack(Cursor::new(source.bytes), source.bytes.len() as u64, &self.limits, &mut |index, bytes| {
            hashes.insert(index, hash(bytes));
        })?;
        let with_hash = |member: Member| {
            let hash = hashes.remove(&member.index);
            (member, hash)
        };
        Ok(Some(members.into_iter().map(with_hash).collect()))
    }
}

fn hash(bytes: &[u8]) -> String {
    blake3::hash(bytes).to_hex().to_string()
}
