//! The fleet folder.

use crate::cache::Cache;
use crate::commits::{self, History};
use crate::decisions;
use crate::delta::Delta;
use crate::durable::{self, Place};
use crate::error::{Error, Result};
use crate::kept::Kept;
use crate::layouts;
use crate::queries;
use crate::settings;
use crate::snapshot::Snapshot;
use crate::steps::Steps;
use crate::taken_over;
use crate::writer::Writer;
use std::ffi::OsString;
use std::fs::{self, File, TryLockError};
use std::io;
use std::path::{Path, PathBuf};
use windrow_model::settings::{ExportSettings, PlanSettings, Settings};
use windrow_model::{Acknowledgement, Decision};

/// Version of the schema that this program writes. A fleet of a newer one is refused.
pub const SCHEMA_VERSION: u32 = 1;

const STORE: &str = "store";
const LAYOUTS: &str = "layouts";
const QUERIES: &str = "queries";
const DECISIONS: &str = "decisions.toml";
const VERSION: &str = "schema_version";
const LOCK: &str = "lock";
const DECISIONS_LOCK: &str = "decisions.lock";

/// What tells one state of the tables from another; see [`Fleet::mark`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mark(Option<OsString>);

/// A fleet folder: settings, layouts and decisions of people, and the tables.
#[derive(Debug)]
pub struct Fleet {
    dir: PathBuf,
    delta: Delta,
}

impl Fleet {
    /// Opens the fleet folder `dir` for reading and writing; writes nothing.
    ///
    /// # Errors
    /// When there is no fleet folder, or one of a newer schema version.
    pub fn open(dir: &Path) -> Result<Self> {
        if !dir.is_dir() {
            let what = if dir.exists() { "is a file" } else { "does not exist" };
            return Err(Error::new(format!("{} {what}: {}", dir.display(), how_to_begin(dir))));
        }
        if ![settings::FILE, STORE].iter().any(|name| dir.join(name).exists()) {
            return Err(Error::new(format!("{} is no fleet folder: {}", dir.display(), how_to_begin(dir))));
        }
        let dir = dir.canonicalize().map_err(|error| Error::io("find", dir, error))?;
        check_version(&dir)?;
        let delta = Delta::new(&dir, STORE)?;
        Ok(Self { dir, delta })
    }

    /// Opens the fleet folder `dir`, and makes one there first if there is nothing yet.
    ///
    /// # Errors
    /// When the folder holds other things, cannot be written, or is a fleet of a newer schema version.
    pub fn open_or_create(dir: &Path) -> Result<Self> {
        if let Some(stranger) = stranger(dir)? {
            return Err(Error::new(format!(
                "{} holds other files ({stranger}) and is no fleet folder: name a new or empty folder",
                dir.display()
            )));
        }
        check_version(dir)?;
        let store = dir.join(STORE);
        for folder in [&store, &dir.join(LAYOUTS)] {
            durable::create_folder(folder).map_err(|error| Error::io("create the folder", folder, error))?;
        }
        write_if_missing(&dir.join(settings::FILE), settings::DEFAULT)?;
        write_if_missing(&store.join(VERSION), &format!("{SCHEMA_VERSION}\n"))?;
        Self::open(dir)
    }

    /// The folder, as an absolute path.
    #[must_use]
    pub fn dir(&self) -> &Path {
        &self.dir
    }

    /// Folder of the layout files.
    #[must_use]
    pub fn layouts_dir(&self) -> PathBuf {
        self.dir.join(LAYOUTS)
    }

    /// File of people's decisions; need not exist.
    #[must_use]
    pub fn decisions_path(&self) -> PathBuf {
        self.dir.join(DECISIONS)
    }

    /// What `windrow.toml`, `decisions.toml` and the layout files say.
    ///
    /// # Errors
    /// When it cannot be read or understood; the message names line and key.
    pub fn settings(&self) -> Result<Settings> {
        let decisions = decisions::load(&self.decisions_path())?.decision;
        let layouts = layouts::load(&self.layouts_dir())?;
        Ok(Settings { decisions, layouts, ..settings::load(&self.dir)? })
    }

    /// Adds rulings to `decisions.toml`; what stands there stays as it is.
    ///
    /// # Errors
    /// When the file cannot be understood or written.
    pub fn decide(&self, decisions: Vec<Decision>) -> Result<()> {
        self.decide_after(|_| Ok(decisions))
    }

    /// As [`Fleet::decide`], with the rulings that `choose` makes in sight of those that stand. Nobody else changes the file
    /// meanwhile, so that of two answers to one question the second sees the first.
    ///
    /// # Errors
    /// Those of [`Fleet::decide`], and that of `choose`: then nothing is written.
    pub fn decide_after<E: From<Error>>(
        &self,
        choose: impl FnOnce(&[Decision]) -> std::result::Result<Vec<Decision>, E>,
    ) -> std::result::Result<(), E> {
        let _held = self.hold_decisions()?;
        let path = self.decisions_path();
        let decision = choose(&decisions::load(&path)?.decision)?;
        Ok(decisions::append(&path, &decisions::File { decision, ..decisions::File::default() })?)
    }

    /// Takes a ruling out of `decisions.toml`, the last one where several are equal. Returns whether it was still there.
    ///
    /// # Errors
    /// When the file cannot be understood or written.
    pub fn take_back(&self, ruling: &Decision) -> Result<bool> {
        let _held = self.hold_decisions()?;
        decisions::remove(&self.decisions_path(), ruling)
    }

    /// The right to change `decisions.toml`, until it is dropped. Programs of people who edit it by hand do not ask.
    fn hold_decisions(&self) -> Result<File> {
        let path = self.dir.join(STORE).join(DECISIONS_LOCK);
        let opened = durable::create_folder(&self.dir.join(STORE))
            .and_then(|()| File::options().create(true).truncate(false).write(true).open(&path));
        let file = opened.map_err(|error| Error::io("write", &path, error))?;
        match file.lock() {
            Err(error) if error.kind() != io::ErrorKind::Unsupported => Err(Error::io("lock", &path, error)),
            _ => Ok(file),
        }
    }

    /// What people said of findings in `decisions.toml`, in the order of the file. It decides nothing about how records are read.
    ///
    /// # Errors
    /// When the file cannot be read or understood.
    pub fn acknowledgements(&self) -> Result<Vec<Acknowledgement>> {
        Ok(decisions::load(&self.decisions_path())?.acknowledgement)
    }

    /// Adds a person's word on a finding to `decisions.toml`; what stands there stays as it is.
    ///
    /// # Errors
    /// When the file cannot be understood or written.
    pub fn acknowledge(&self, word: Acknowledgement) -> Result<()> {
        self.acknowledge_all(vec![word])
    }

    /// Adds the words of people on findings to `decisions.toml`, all or none; what stands there stays as it is.
    ///
    /// # Errors
    /// When the file cannot be understood or written.
    pub fn acknowledge_all(&self, words: Vec<Acknowledgement>) -> Result<()> {
        let _held = self.hold_decisions()?;
        decisions::append(
            &self.decisions_path(),
            &decisions::File { acknowledgement: words, ..decisions::File::default() },
        )
    }

    /// BLAKE3 hash, hexadecimal, of everything in the folder that decides how records are read: the meaning of the settings
    /// (not their comments), the layouts, the decisions.
    pub fn settings_hash(&self) -> Result<String> {
        // How often to test and what to hand on decide nothing about what was tested.
        let (plan, export) = (PlanSettings::default(), ExportSettings::default());
        let reading = Settings { plan, export, ..self.settings()? };
        let settings = serde_json::to_vec(&reading)
            .map_err(|error| Error::new("the settings could not be hashed; please report this").caused_by(error))?;
        let mut parts = vec![(settings::FILE.to_owned(), settings)];
        parts.extend(folder_bytes(&self.layouts_dir())?);
        let mut hash = blake3::Hasher::new();
        for (name, bytes) in parts {
            // Lengths first, so that no two sets of files look alike.
            hash.update(format!("{}:{name}{}:", name.len(), bytes.len()).as_bytes());
            hash.update(&bytes);
        }
        Ok(hash.finalize().to_hex().to_string())
    }

    /// What was understood of each source earlier.
    #[must_use]
    pub fn cache(&self) -> Cache {
        Cache::new(self.dir.join(STORE).join("cache"))
    }

    /// What analyses leave for the next one. `program` tells the build that works it out; under other settings nothing comes back, nor where
    /// the tables of the analysis in `snapshot` are not those that were stored with it.
    ///
    /// # Errors
    /// When the settings cannot be read. To be called by who holds the [`Writer`].
    pub fn kept(&self, program: &str, snapshot: &Snapshot) -> Result<Kept> {
        // Rulings, layouts and what opening may cost have done their work at the import, in the rows.
        let Settings { judging, plan, site, reading, .. } = self.settings()?;
        let settings = Settings { judging, plan, site, reading, ..Settings::default() };
        let settings = serde_json::to_string(&settings)
            .map_err(|error| Error::new("the settings could not be written; please report this").caused_by(error))?;
        let path = self.dir.join(STORE).join("cache").join("features.kept");
        let mut kept = Kept::open(path, format!("{program}\n{settings}"), &taken_over::names(snapshot));
        if kept.is_of_use()
            && let Some(table) = taken_over::changed(snapshot)
        {
            kept.give_up(format!("the table {table} is not as it was written"));
        }
        Ok(kept)
    }

    /// All tables as the newest commit left them.
    pub fn snapshot(&self) -> Result<Snapshot> {
        let (history, _) = History::load(&self.delta)?;
        Ok(Snapshot::of(&history, &self.delta))
    }

    /// Something that changes whenever the tables may have: cheap to ask for, so that what was made of a snapshot can be kept.
    ///
    /// # Errors
    /// When the folder of the commits cannot be listed.
    pub fn mark(&self) -> Result<Mark> {
        let log = self.delta.folder_of(commits::INFO.name).join("_delta_log");
        let entries = match fs::read_dir(&log) {
            Ok(entries) => entries,
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Mark(None)),
            Err(error) => return Err(Error::io("list", &log, error)),
        };
        let mut newest: Option<OsString> = None;
        for entry in entries {
            let name = entry.map_err(|error| Error::io("list", &log, error))?.file_name();
            // Versions are numbers of twenty digits, so that the last name is the newest.
            if Path::new(&name).extension().is_some_and(|extension| extension == "json") {
                newest = newest.max(Some(name));
            }
        }
        Ok(Mark(newest))
    }

    /// Saved queries, by name.
    ///
    /// # Errors
    /// When the folder or one of its files cannot be read.
    pub fn queries(&self) -> Result<Vec<(String, String)>> {
        queries::load(&self.dir.join(QUERIES))
    }

    /// Saves a query under a name, in place of the one that had it.
    ///
    /// # Errors
    /// When the name is none for a file, or the file cannot be written.
    pub fn save_query(&self, name: &str, statement: &str) -> Result<()> {
        queries::save(&self.dir.join(QUERIES), name, statement)
    }

    /// Deletes a saved query; returns whether there was one.
    ///
    /// # Errors
    /// When the name is none for a file, or the file cannot be removed.
    pub fn forget_query(&self, name: &str) -> Result<bool> {
        queries::forget(&self.dir.join(QUERIES), name)
    }

    /// All tables as they were when the import before the newest had been judged; `None` where there was none. Its files may be gone
    /// after a week.
    pub fn snapshot_before(&self) -> Result<Option<Snapshot>> {
        let (history, _) = History::load(&self.delta)?;
        Ok(Snapshot::before_import(&history, &self.delta))
    }

    /// The right to change the tables. Waits for another program that has it.
    pub fn writer(&self) -> Result<Writer<'_>> {
        self.writer_with(Steps::default())
    }

    pub(crate) fn writer_with(&self, steps: Steps) -> Result<Writer<'_>> {
        Writer::new(self, self.lock()?, steps)
    }

    pub(crate) fn delta(&self) -> &Delta {
        &self.delta
    }

    /// The lock of the store; `None` where the file system has no locks: then the tables' logs alone refuse the later of two
    /// writers.
    fn lock(&self) -> Result<Option<File>> {
        let path = self.dir.join(STORE).join(LOCK);
        let opened = durable::create_folder(&self.dir.join(STORE))
            .and_then(|()| File::options().create(true).truncate(false).write(true).open(&path));
        let file = opened.map_err(|error| Error::io("write", &path, error))?;
        let locked = match file.try_lock() {
            Ok(()) => Ok(()),
            Err(TryLockError::WouldBlock) => {
                tracing::warn!(fleet = %self.dir.display(), "another program changes this fleet; waiting for its end");
                file.lock()
            }
            Err(TryLockError::Error(error)) => Err(error),
        };
        match locked {
            Ok(()) => Ok(Some(file)),
            Err(error) if error.kind() == io::ErrorKind::Unsupported => {
                tracing::warn!(fleet = %self.dir.display(), "this file system has no locks; let one program at a time write");
                Ok(None)
            }
            Err(error) => Err(Error::io("lock", &path, error)),
        }
    }
}

fn how_to_begin(dir: &Path) -> String {
    format!("make a fleet by importing records (windrow import PATH --fleet {})", dir.display())
}

/// Refuses a fleet of a newer schema version, before anything is written.
fn check_version(dir: &Path) -> Result<()> {
    let path = dir.join(STORE).join(VERSION);
    let Some(bytes) = file_bytes(&path)? else { return Ok(()) };
    let text = String::from_utf8_lossy(&bytes);
    match text.trim().parse::<u32>() {
        Ok(version) if version <= SCHEMA_VERSION => Ok(()),
        Ok(version) => Err(Error::new(format!(
            "{} is a fleet of schema version {version}, and this program knows versions up to {SCHEMA_VERSION}: use the \
             newer program that made it, or another folder",
            dir.display()
        ))),
        Err(_) => Err(Error::new(format!(
            "{} should hold the schema version as a number, and holds {:?}: restore it, or use another folder",
            path.display(),
            text.trim()
        ))),
    }
}

/// Something in `dir` that shows it to be another folder than one of ours; `None` for a new, empty or fleet folder.
fn stranger(dir: &Path) -> Result<Option<String>> {
    let entries = match fs::read_dir(dir) {
        Ok(entries) => entries,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(None),
        Err(error) if error.kind() == io::ErrorKind::NotADirectory => {
            return Err(
                Error::new(format!("{} is a file: name a folder for the fleet", dir.display())).caused_by(error)
            );
        }
        Err(error) => return Err(Error::io("list", dir, error)),
    };
    let mut names = Vec::new();
    for entry in entries {
        names.push(entry.map_err(|error| Error::io("list", dir, error))?.file_name().to_string_lossy().into_owned());
    }
    if names.iter().any(|name| [settings::FILE, DECISIONS, LAYOUTS, STORE].contains(&name.as_str())) {
        return Ok(None);
    }
    // Files that begin with a point are put there by systems, not by people.
    names.retain(|name| !name.starts_with('.'));
    names.sort();
    Ok(names.into_iter().next())
}

fn write_if_missing(path: &Path, text: &str) -> Result<()> {
    if path.exists() {
        return Ok(());
    }
    match durable::write(path, [text.as_bytes()], Place::OnlyNew) {
        Err(error) if error.kind() != io::ErrorKind::AlreadyExists => Err(Error::io("write", path, error)),
        _ => Ok(()),
    }
}

/// Content of a file that need not exist.
fn file_bytes(path: &Path) -> Result<Option<Vec<u8>>> {
    match fs::read(path) {
        Ok(bytes) => Ok(Some(bytes)),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(Error::io("read", path, error)),
    }
}

/// Names and contents of the files in a folder that need not exist, sorted by name.
fn folder_bytes(folder: &Path) -> Result<Vec<(String, Vec<u8>)>> {
    let entries = match fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(error) => return Err(Error::io("list", folder, error)),
    };
    let mut files = Vec::new();
    for entry in entries {
        let path = entry.map_err(|error| Error::io("list", folder, error))?.path();
        if path.is_file() {
            let bytes = fs::read(&path).map_err(|error| Error::io("read", &path, error))?;
            files.push((path.file_name().unwrap_or_default().to_string_lossy().into_owned(), bytes));
        }
    }
    files.sort();
    Ok(files)
}
