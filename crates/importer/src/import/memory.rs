//! What earlier intakes learned, so that a file that did not change is not opened again.
//!
//! An answer is kept under a key over everything that it depends on: the program with its plugins, the settings, the limits, the
//! path below the imported folder, the bytes, and for the understanding also what the folder proved. Whatever of it changes, the
//! key is another one, and the file is asked about again.

use super::Intake;
use super::names::settings_of;
use super::source::Listed;
use super::work::{Answer, Work};
use serde::{Deserialize, Serialize};
use std::fmt::Debug;
use windrow_model::kind::{Outcome, TemperatureBasis};
use windrow_model::raw::{PlateField, SourceStatus, Via};
use windrow_model::settings::Settings;
use windrow_model::{Bound, Circuit, Disposition, Flag, Precision, Quantity, Question, Reported, Stage, TestKind};

/// Raised when [`Understood`](windrow_model::raw::Understood) or [`Pools`](windrow_sheet::Pools) gets other fields, so that answers
/// of older programs are never taken for something else. A test compares.
const FORMAT: &str = "5";

/// How many codes each list of codes had when an answer was written, and the hash of them: codes are written by their number.
type Codes = Vec<(u32, String)>;

/// Keeps bytes by key (letters, digits, `-`), and may forget any of them at any time.
pub trait Memory: Sync + Debug {
    /// The bytes stored for `key`, if they are still there as they were.
    fn get(&self, key: &str) -> Option<Vec<u8>>;
    /// Stores bytes; a failure costs time later and nothing else.
    fn put(&self, key: &str, bytes: &[u8]);
}

/// What an intake remembers with.
#[derive(Debug, Clone, Copy)]
pub struct Recall<'a> {
    /// Where the answers are.
    pub memory: &'a dyn Memory,
    /// What tells this build of the program from every other one.
    pub program: &'a str,
}

/// A memory with what all keys of one intake share.
#[derive(Debug)]
pub(super) struct Memo<'a> {
    memory: &'a dyn Memory,
    settings: &'a Settings,
    basis: blake3::Hash,
}

/// The answers about a source that were taken last, and the codes of that time.
#[derive(Serialize, Deserialize)]
struct Last {
    look: Option<String>,
    read: String,
    codes: Codes,
}

impl<'a> Memo<'a> {
    /// The memory of an intake, if it has one.
    pub(super) fn of(intake: Intake<'a>) -> Option<Self> {
        let recall = intake.recall?;
        let readers = intake.registry.readers().iter().map(|plugin| (plugin.id, plugin.version));
        let importers = intake.registry.importers().iter().map(|plugin| (plugin.id, plugin.version));
        let plugins: Vec<(&str, &str)> = readers.chain(importers).collect();
        let shared = (recall.program, plugins, intake.limits);
        // What cannot be written has no key, and is simply asked about.
        let basis = blake3::hash(&postcard::to_stdvec(&shared).ok()?);
        Some(Self { memory: recall.memory, settings: intake.settings, basis })
    }

    /// The key of an answer about `file`; `None` where its bytes are not known.
    pub(super) fn key(&self, file: &Listed, work: &Work) -> Option<String> {
        let kind = match work {
            Work::Look => "look",
            Work::Understand(_) => "read",
        };
        let content = file.content.as_deref()?;
        let settings = settings_of(file, work, self.settings);
        let beside = match &file.companion {
            Some(companion) => Some((companion.name.as_str(), companion.content.as_deref()?)),
            None => None,
        };
        let own = (&file.source_file, content, beside);
        let all = postcard::to_stdvec(&(self.basis.as_bytes(), &settings, own, work)).ok()?;
        Some(format!("{kind}-{}", blake3::hash(&all).to_hex()))
    }

    /// The answer kept under `key`.
    pub(super) fn answer(&self, key: &str) -> Option<Answer> {
        postcard::from_bytes(&self.memory.get(key)?).ok()
    }

    /// Keeps an answer.
    pub(super) fn keep(&self, key: &str, answer: &Answer) {
        if let Ok(bytes) = postcard::to_stdvec(answer) {
            self.memory.put(key, &bytes);
        }
    }

    /// Notes which answers about `file` hold now, for the day when the file is gone and cannot be asked about any more.
    pub(super) fn note_last(&self, file: &Listed, read: &str) {
        let Some(key) = last_key(file) else { return };
        let last = Last { look: file.looked_by.clone(), read: read.to_owned(), codes: codes() };
        let Ok(bytes) = postcard::to_stdvec(&last) else { return };
        if self.memory.get(&key).as_ref() != Some(&bytes) {
            self.memory.put(&key, &bytes);
        }
    }

    /// What was last known of a file that cannot be asked about any more: by another build, under other settings or before others
    /// joined its folder. With the key that it is kept under.
    pub(super) fn last(&self, file: &Listed, work: &Work) -> Option<(String, Answer)> {
        let last: Last = postcard::from_bytes(&self.memory.get(&last_key(file)?)?).ok()?;
        if !fits(&last.codes) {
            return None;
        }
        let key = match work {
            Work::Look => last.look?,
            Work::Understand(_) => last.read,
        };
        let answer = self.answer(&key)?;
        Some((key, answer))
    }
}

/// The lists of codes that answers are written with, as they are now.
fn codes() -> Codes {
    let lists = lists();
    lists.iter().map(|list| (u32::try_from(list.len()).unwrap_or(u32::MAX), hash_of(list))).collect()
}

/// Whether answers written with `codes` are read right: since then, codes were only added at the end.
fn fits(codes: &Codes) -> bool {
    let lists = lists();
    let still = |(list, (count, hash)): (&Vec<&str>, &(u32, String))| {
        usize::try_from(*count).ok().and_then(|count| list.get(..count)).is_some_and(|then| hash_of(then) == *hash)
    };
    lists.len() == codes.len() && lists.iter().zip(codes).all(still)
}

fn hash_of(codes: &[&str]) -> String {
    blake3::hash(codes.join(" ").as_bytes()).to_hex().to_string()
}

fn lists() -> Vec<Vec<&'static str>> {
    macro_rules! codes_of {
        ($($name:ty),+ $(,)?) => { vec![$( <$name>::ALL.iter().map(|one| one.code()).collect() ),+] };
    }
    codes_of![
        Bound,
        Circuit,
        Disposition,
        Flag,
        Outcome,
        PlateField,
        Precision,
        Quantity,
        Question,
        Reported,
        SourceStatus,
        Stage,
        TemperatureBasis,
        TestKind,
        Via,
    ]
}

fn last_key(file: &Listed) -> Option<String> {
    let all = postcard::to_stdvec(&(FORMAT, &file.source_file, file.content.as_deref()?)).ok()?;
    Some(format!("last-{}", blake3::hash(&all).to_hex()))
}

#[cfg(test)]
mod tests;
