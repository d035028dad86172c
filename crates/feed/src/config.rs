//! `feed/sinks.toml` of a fleet: where events go.

use crate::error::{Error, Result};
use crate::event::Kind;
use serde::Deserialize;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// Folder of the feed in a fleet folder.
pub const FOLDER: &str = "feed";
/// The settings, in that folder.
pub(crate) const FILE: &str = "sinks.toml";

/// Where events go, and what is told.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Config {
    /// The CloudEvents `source` of all events.
    pub source: Option<String>,
    /// A test is told as due so many days before its day.
    pub due_within_days: u16,
    /// Events that every sink has taken are kept so many days after the import that they tell of; for ever without it.
    pub keep_days: Option<u16>,
    /// Where events go.
    #[serde(rename = "sink")]
    pub sinks: Vec<SinkConfig>,
}

impl Default for Config {
    fn default() -> Self {
        Self { source: None, due_within_days: 30, keep_days: None, sinks: Vec::new() }
    }
}

/// Kind of a sink.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum To {
    /// Files of one CloudEvent a line.
    Folder,
    /// Requests to a server.
    Http,
    /// Files by a template.
    File,
}

/// Form of requests.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Mode {
    /// One event a request (`application/cloudevents+json`).
    #[default]
    Structured,
    /// Many events a request (`application/cloudevents-batch+json`).
    Batched,
}

/// One sink.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SinkConfig {
    /// Name, by which the outbox remembers how far it got.
    pub name: String,
    /// Kind.
    pub to: To,
    /// Events that go there, by the beginning of their kind (`finding`, `test.due`, `windrow.finding.*`); all where none is named.
    #[serde(default)]
    pub events: Vec<String>,
    /// Most events of one file or request.
    #[serde(default)]
    pub batch: Option<usize>,
    /// Folder of files, from the fleet folder on.
    #[serde(default)]
    pub path: Option<PathBuf>,
    /// Most files that wait there for the other side.
    #[serde(default)]
    pub most_files: Option<usize>,
    /// File of a template, in `feed/templates`.
    #[serde(default)]
    pub template: Option<String>,
    /// Address of a server.
    #[serde(default)]
    pub url: Option<String>,
    /// Form of requests.
    #[serde(default)]
    pub mode: Mode,
    /// Environment variable with the secret of signatures.
    #[serde(default)]
    pub secret_env: Option<String>,
    /// File with that secret, from the fleet folder on.
    #[serde(default)]
    pub secret_file: Option<PathBuf>,
    /// Environment variable with a token for `Authorization: Bearer`.
    #[serde(default)]
    pub token_env: Option<String>,
    /// File with that token.
    #[serde(default)]
    pub token_file: Option<PathBuf>,
    /// Certificates (PEM) of the site's own authority, from the fleet folder on.
    #[serde(default)]
    pub certificates: Option<PathBuf>,
    /// How often one request is tried in one run.
    #[serde(default)]
    pub attempts: Option<u32>,
    /// Seconds after which a request is given up.
    #[serde(default)]
    pub timeout_s: Option<u64>,
    /// Milliseconds before the second attempt; doubled before each further one.
    #[serde(default)]
    pub pause_ms: Option<u64>,
}

impl SinkConfig {
    /// A folder of files of one CloudEvent a line.
    #[must_use]
    pub fn folder(name: String, path: PathBuf) -> Self {
        Self {
            name,
            to: To::Folder,
            events: Vec::new(),
            batch: None,
            path: Some(path),
            most_files: None,
            template: None,
            url: None,
            mode: Mode::Structured,
            secret_env: None,
            secret_file: None,
            token_env: None,
            token_file: None,
            certificates: None,
            attempts: None,
            timeout_s: None,
            pause_ms: None,
        }
    }

    /// Whether events of `kind` go there.
    #[must_use]
    pub fn wants(&self, kind: &str) -> bool {
        self.events.is_empty() || self.events.iter().any(|wanted| kind.starts_with(beginning(wanted)))
    }
}

/// The beginning of a kind, of which the type of an event may be written too (`windrow.finding.*`).
fn beginning(wanted: &str) -> &str {
    wanted.strip_prefix("windrow.").unwrap_or(wanted).trim_end_matches(['.', '*'])
}

/// Reads the settings of the fleet folder `fleet`; none means the defaults.
pub(crate) fn load(fleet: &Path) -> Result<Config> {
    let path = fleet.join(FOLDER).join(FILE);
    let text = match fs::read_to_string(&path) {
        Ok(text) => text,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(Config::default()),
        Err(error) => return Err(Error::disk("read", &path, error)),
    };
    parse(fleet, &text)
}

/// Refuses two sinks that write into one folder, where the other side could not tell their files apart.
pub(crate) fn are_apart(sinks: &[SinkConfig], fleet: &Path) -> std::result::Result<(), String> {
    let mut folders = BTreeMap::new();
    for sink in sinks {
        let Some(path) = sink.path.as_ref().map(|path| fleet.join(path)) else { continue };
        let folder = path.canonicalize().or_else(|_| std::path::absolute(&path)).unwrap_or(path);
        if let Some(other) = folders.insert(folder, &sink.name) {
            let path = sink.path.as_deref().unwrap_or(fleet).display();
            return Err(format!(
                "the sinks {other:?} and {:?} both write into {path}: give each a folder of its own",
                sink.name
            ));
        }
    }
    Ok(())
}

fn parse(fleet: &Path, text: &str) -> Result<Config> {
    let path = fleet.join(FOLDER).join(FILE);
    let wrong = |what: String| Error::Usage(format!("{}: {what}", path.display()));
    let config: Config = toml::from_str(text).map_err(|error| {
        // The line itself is not told: it may hold a secret that stands at the wrong place.
        let line = windrow_store::line_at(text, error.span().map_or(0, |span| span.start));
        wrong(format!("line {line}: {}", error.message().trim().replace('\n', "; ")))
    })?;
    let mut names = BTreeSet::new();
    for sink in &config.sinks {
        if !names.insert(&sink.name) {
            return Err(wrong(format!(
                "two sinks are named {:?}: how far each got is remembered by its name",
                sink.name
            )));
        }
        let exists = |wanted: &&String| Kind::ALL.iter().any(|kind| kind.code().starts_with(beginning(wanted)));
        if let Some(unknown) = sink.events.iter().find(|wanted| !exists(wanted)) {
            let kinds: Vec<&str> = Kind::ALL.iter().map(|kind| kind.code()).collect();
            return Err(wrong(format!(
                "the sink {:?} asks for events {unknown:?}, and no kind begins so; there are {}",
                sink.name,
                kinds.join(", ")
            )));
        }
        let needs = |given: bool, what: &str| {
            if given { Ok(()) } else { Err(wrong(format!("the sink {:?} needs {what}", sink.name))) }
        };
        match sink.to {
            To::Folder => needs(sink.path.is_some(), "path = \"FOLDER\"")?,
            To::File => {
                needs(sink.path.is_some(), "path = \"FOLDER\"")?;
                needs(sink.template.is_some(), "template = \"NAME\", a file in feed/templates")?;
            }
            To::Http => needs(sink.url.is_some(), "url = \"https://…\"")?,
        }
    }
    are_apart(&config.sinks, fleet).map_err(wrong)?;
    Ok(config)
}

#[cfg(test)]
mod tests;
