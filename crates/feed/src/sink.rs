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
use windrow_model::id::row_id;

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

/// The same for the same events, so that a repeated batch is known as one.
fn message_id(batch: &[Stored]) -> String {
    match batch {
        [one] => one.id.clone(),
        many => row_id("batch", &many.iter().map(|event| event.id.as_str()).collect::<Vec<_>>()).to_string(),
    }
}

/// A name in letters that every file system takes. It sorts by place in the outbox, and batches of other fleets have other names.
fn file_name(batch: &[Stored], ending: &str) -> String {
    let position = |event: Option<&Stored>| event.map_or(0, |event| event.position);
    let id: String = message_id(batch).chars().take(8).collect();
    format!("{:012}-{:012}-{id}.{ending}", position(batch.first()), position(batch.last()))
}

#[cfg(test)]
mod tests {
    use super::file_name;
    use crate::outbox::Stored;

    #[test]
    fn the_same_batch_has_one_name_and_that_of_another_fleet_another() {
        let event = |position: i64, id: &str| Stored {
            position,
            id: id.to_owned(),
            asset: "M".to_owned(),
            kind: "test.due".to_owned(),
            body: "{}".to_owned(),
        };
        let batch = |fleet: &str| [event(1, &format!("{fleet}1")), event(2, &format!("{fleet}2"))];
        assert_eq!(file_name(&batch("north"), "csv"), file_name(&batch("north"), "csv"));
        assert_ne!(file_name(&batch("north"), "csv"), file_name(&batch("south"), "csv"));
        assert_ne!(file_name(&[event(1, "6ba7b810-9dad")], "csv"), file_name(&[event(1, "6ba7b811-9dad")], "csv"));
        assert!(file_name(&batch("north"), "csv") < file_name(&[event(3, "x")], "csv"), "names sort by place");
    }
}
