//! Where events go. A sink takes a batch whole, refuses it, or is not there; it never takes half of one.

mod answer;
mod file;
mod folder;
mod http;
mod secrets;

use crate::config::{SinkConfig, To};
use crate::outbox::Stored;
use serde_json::{Map, Value};
use std::path::Path;

/// What became of a batch.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Verdict {
    /// The other side has it.
    Taken,
    /// The other side will never take it as it is, and why.
    Refused(String),
    /// Nothing can be sent now, and why; at the earliest after so many seconds where that was told.
    Later(String, Option<i64>),
    /// Nothing will be taken until a person looks, and why.
    Gone(String),
}

/// What a batch becomes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Rendered {
    /// Name of the file, or address of the request.
    pub(crate) name: String,
    /// Its content.
    pub(crate) body: Vec<u8>,
}

/// Facts about machines that templates may use, by id.
pub(crate) type Machines = Map<String, Value>;

/// Somewhere that events go.
pub(crate) trait Sink {
    /// Most events of a batch.
    fn most(&self) -> usize;

    /// What `batch` becomes; `Err` says why it cannot be told at all.
    fn render(&self, batch: &[Stored]) -> Result<Rendered, String>;

    /// Hands `batch` over.
    fn send(&mut self, batch: &[Stored]) -> Verdict;
}

/// A sink that keeps what would go instead of sending it.
pub(crate) struct Rehearsal {
    pub(crate) inner: Box<dyn Sink>,
    pub(crate) parts: Vec<(String, Vec<u8>)>,
}

impl Sink for Rehearsal {
    fn most(&self) -> usize {
        self.inner.most()
    }

    fn render(&self, batch: &[Stored]) -> Result<Rendered, String> {
        self.inner.render(batch)
    }

    fn send(&mut self, batch: &[Stored]) -> Verdict {
        match self.render(batch) {
            Ok(Rendered { name, body }) => {
                self.parts.push((name, body));
                Verdict::Taken
            }
            Err(why) => Verdict::Later(why, None),
        }
    }
}

/// The sink of `config`; `Err` says what is wrong with its settings.
pub(crate) fn open(config: &SinkConfig, fleet: &Path, machines: &Machines) -> Result<Box<dyn Sink>, String> {
    Ok(match config.to {
        To::Folder => Box::new(folder::Folder::of(config, fleet)),
        To::File => Box::new(file::File::of(config, fleet, machines)?),
        To::Http => Box::new(http::Http::of(config, fleet)?),
    })
}

/// A name in letters that every file system takes.
fn file_name(batch: &[Stored], ending: &str) -> String {
    let position = |event: Option<&Stored>| event.map_or(0, |event| event.position);
    format!("{:012}-{:012}.{ending}", position(batch.first()), position(batch.last()))
}
