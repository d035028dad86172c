//! Samples of a plugin, with what is said of them.

use crate::engine::Source;
use serde::Deserialize;
use std::fs;
use std::path::{Path, PathBuf};
use windrow_source::Companion;

/// What must happen with a sample.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Expect {
    /// The plugin reads it.
    Read,
    /// Of a reader: it is not read, and what is wrong and what to do is said.
    Error,
    /// Of an importer: it is read, and what is open is asked.
    Hold,
    /// The plugin does not claim it: a look-alike.
    Refuse,
}

/// What stands in a case's `.toml`.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Said {
    /// Why the case exists.
    pub(super) why: String,
    /// Number of the issue that it came from.
    pub(super) issue: Option<u64>,
    /// What must happen.
    pub(super) expect: Expect,
    /// Cells that a reader finds.
    pub(super) cells: Option<usize>,
    /// Readings that an importer finds.
    pub(super) readings: Option<usize>,
    /// Questions that are asked.
    pub(super) holds: Option<usize>,
    /// Whether the file's name decides: only where people put facts into names.
    #[serde(default)]
    pub(super) name_matters: bool,
    /// Another sample, by the name of its file, that lies beside it as its companion.
    pub(super) beside: Option<String>,
}

/// A sample.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Case {
    /// Folder of its plugin.
    pub(super) plugin: PathBuf,
    /// Name of the file without folders.
    pub(super) file: String,
    /// Bytes of the sample.
    pub(super) bytes: Vec<u8>,
    /// What is said of it.
    pub(super) said: Said,
    /// Bytes of the sample beside it.
    pub(super) beside: Option<Vec<u8>>,
}

impl Case {
    /// The sample as a source, with the one beside it.
    pub(super) fn source(&self) -> Source<'_> {
        Source { companion: self.companion(), ..Source::alone(&self.file, &self.bytes) }
    }

    /// The sample beside it.
    pub(super) fn companion(&self) -> Option<Companion<'_>> {
        let (name, bytes) = self.said.beside.as_deref().zip(self.beside.as_deref())?;
        Some(Companion { name, bytes })
    }

    /// Id of its plugin: the name of the folder.
    #[must_use]
    pub fn id(&self) -> String {
        file_name(&self.plugin)
    }

    /// `plugin/case.ext`, for people.
    #[must_use]
    pub fn name(&self) -> String {
        format!("{}/samples/{}", self.id(), self.file)
    }

    /// Name of the file.
    #[must_use]
    pub fn file(&self) -> &str {
        &self.file
    }

    /// Bytes of the sample.
    #[must_use]
    pub fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    /// What must happen.
    #[must_use]
    pub const fn expect(&self) -> Expect {
        self.said.expect
    }

    /// Where its golden lies.
    pub(super) fn golden(&self) -> PathBuf {
        let stem = Path::new(&self.file).with_extension("jsonl");
        self.plugin.join("golden").join(stem)
    }
}

/// Last part of a path, for people.
pub(super) fn file_name(path: &Path) -> String {
    path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default()
}

/// All samples of a plugin, by name.
///
/// # Errors
/// In a sentence: a folder that cannot be read, a sample of which nothing is said, something said of no sample.
pub fn cases_of(plugin: &Path) -> Result<Vec<Case>, String> {
    // From `tests/conformance.rs` the folder comes as its full path; from elsewhere it may end in `..`.
    let plugin = plugin.canonicalize().map_err(|error| format!("{}: {error}", plugin.display()))?;
    let folder = plugin.join("samples");
    let read = |path: &Path| fs::read(path).map_err(|error| format!("{}: {error}", path.display()));
    let entries = fs::read_dir(&folder).map_err(|error| format!("{}: {error}", folder.display()))?;
    let mut paths: Vec<PathBuf> = entries.filter_map(|entry| entry.ok().map(|entry| entry.path())).collect();
    paths.sort();
    let (said, samples): (Vec<PathBuf>, Vec<PathBuf>) =
        paths.into_iter().partition(|path| path.extension().is_some_and(|extension| extension == "toml"));
    for path in &said {
        let of = samples.iter().filter(|sample| sample.file_stem() == path.file_stem()).count();
        if of != 1 {
            return Err(format!("{} is about {of} samples; it must be about one", path.display()));
        }
    }
    let mut cases = Vec::new();
    for sample in samples {
        let path = sample.with_extension("toml");
        let text = String::from_utf8_lossy(&read(&path)?).into_owned();
        let said: Said = toml::from_str(&text).map_err(|error| format!("{}: {error}", path.display()))?;
        let beside = said.beside.as_ref().map(|name| read(&folder.join(name))).transpose()?;
        cases.push(Case { plugin: plugin.clone(), file: file_name(&sample), bytes: read(&sample)?, said, beside });
    }
    Ok(cases)
}
