//! The feed of one fleet: derive, then carry to every sink.

use crate::config::{self, Config, FOLDER, SinkConfig};
use crate::deliver::{self, Report};
use crate::derive::{MARK, derive};
use crate::error::{Error, Result};
use crate::keep;
use crate::now::now;
use crate::outbox::Outbox;
use crate::setup;
use crate::sink::{self, Machines};
use jiff::ToSpan;
use jiff::civil::Date;
use serde_json::json;
use std::fs::File;
use std::path::{Path, PathBuf};
use windrow_export::Tables;
use windrow_model::Asset;
use windrow_store::{Fleet, durable};

/// The outbox, in the folder of the feed.
pub(crate) const OUTBOX: &str = "outbox.sqlite";
const LOCK: &str = "lock";
/// Tables that are told.
const TOLD: &[&str] = &["assets", "tests", "readings", "test_summary", "findings", "imports"];

/// What is asked of a feed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Asked {
    /// The day by which tests come due.
    pub on: Date,
    /// The day of this feed, from which `keep_days` counts.
    pub today: Date,
    /// A folder to send everything to, besides the sinks of the fleet.
    pub into: Option<PathBuf>,
}

/// The feed of a fleet.
pub struct Feed {
    fleet: Fleet,
    config: Config,
    asked: Asked,
    /// Where new settings were written, if there were none.
    prepared: Option<PathBuf>,
}

/// What a feed did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fed {
    /// What became of the events for each sink.
    pub reports: Vec<Report>,
    /// What was forgotten or dropped that somebody may miss.
    pub notes: Vec<String>,
}

/// What would go to one sink.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Preview {
    /// The sink.
    pub sink: String,
    /// Files or requests in their order, each with its name or address and its content.
    pub parts: Vec<(String, Vec<u8>)>,
    /// Why nothing, or no more, would go.
    pub problem: Option<String>,
    /// What it must know because it begins where events are missing.
    pub notice: Option<String>,
}

impl Feed {
    /// The feed of `fleet`; writes the settings of a feed that has none.
    ///
    /// # Errors
    /// When settings cannot be read or written.
    pub fn open(fleet: Fleet, asked: Asked) -> Result<Self> {
        let prepared = setup::prepare(fleet.dir())?;
        Self::of(fleet, asked, prepared)
    }

    /// What would go, exactly; nothing is sent or stored, no settings either. Only the key of pseudonyms is made where the fleet's
    /// settings want them and it has none, for without it nothing could be shown as it will go.
    ///
    /// # Errors
    /// When no sink is set up, or settings, the outbox or the tables cannot be read.
    pub fn preview(fleet: Fleet, asked: Asked) -> Result<Vec<Preview>> {
        let feed = Self::of(fleet, asked, None)?;
        let mut outbox = Outbox::rehearsal(&feed.path(OUTBOX))?;
        let machines = feed.derive(&mut outbox)?;
        feed.config.sinks.iter().map(|config| feed.preview_of(&mut outbox, config, &machines)).collect()
    }

    fn of(fleet: Fleet, asked: Asked, prepared: Option<PathBuf>) -> Result<Self> {
        let mut config = config::load(fleet.dir())?;
        if let Some(into) = &asked.into {
            let into = std::path::absolute(into).map_err(|error| Error::disk("find", into, error))?;
            config.sinks.push(SinkConfig::folder(format!("into {}", into.display()), into));
            config::are_apart(&config.sinks, fleet.dir()).map_err(Error::Usage)?;
        }
        if config.sinks.is_empty() {
            let path = fleet.dir().join(FOLDER).join(config::FILE);
            let how = if path.exists() {
                "take the \"#\" away before one in"
            } else {
                "`windrow feed` writes every setting explained to"
            };
            return Err(Error::Usage(format!(
                "no sink is set up: {how} {}, or name a folder with --into DIR",
                path.display()
            )));
        }
        Ok(Self { fleet, config, asked, prepared })
    }

    /// Where settings and templates were written, if this was the first feed.
    #[must_use]
    pub fn prepared(&self) -> Option<&Path> {
        self.prepared.as_deref()
    }

    /// Derives and sends; what goes wrong at one sink does not keep others waiting.
    ///
    /// # Errors
    /// When the outbox or the tables cannot be used.
    pub fn send(&self) -> Result<Fed> {
        let _lock = lock(&self.fleet)?;
        let mut outbox = Outbox::open(&self.path(OUTBOX))?;
        let machines = self.derive(&mut outbox)?;
        let mut reports = Vec::new();
        for config in &self.config.sinks {
            reports.push(self.send_to(&mut outbox, config, &machines)?);
        }
        let notes = self.tidy(&mut outbox)?;
        Ok(Fed { reports, notes })
    }

    fn send_to(&self, outbox: &mut Outbox, config: &SinkConfig, machines: &Machines) -> Result<Report> {
        let notice = keep::notice(outbox, &config.name)?;
        outbox.change(|ledger| ledger.feed(&config.name, self.asked.today))?;
        let report = match sink::open(config, self.fleet.dir(), machines) {
            Ok(mut sink) => deliver::deliver(outbox, config, sink.as_mut())?,
            Err(problem) => Report::of(outbox, config, 0, Some(problem))?,
        };
        if outbox.standing(&config.name)?.done > 0 {
            outbox.change(|ledger| ledger.know_again(&config.name))?;
        }
        Ok(Report { notice, ..report })
    }

    /// Drops what nobody needs any more, if the fleet wants that.
    fn tidy(&self, outbox: &mut Outbox) -> Result<Vec<String>> {
        let today = self.asked.today;
        let Some(before) = self.config.keep_days.and_then(|days| today.checked_sub(i32::from(days).days()).ok()) else {
            return Ok(Vec::new());
        };
        let sinks: Vec<&str> = self.config.sinks.iter().map(|sink| sink.name.as_str()).collect();
        keep::tidy(outbox, &sinks, before, today)
    }

    /// Sends to the sink `name` what it refused.
    ///
    /// # Errors
    /// When there is no such sink, or the outbox or the tables cannot be used.
    pub fn replay(&self, name: &str) -> Result<Report> {
        let Some(config) = self.config.sinks.iter().find(|sink| sink.name == name) else {
            let names: Vec<&str> = self.config.sinks.iter().map(|sink| sink.name.as_str()).collect();
            return Err(Error::Usage(format!("no sink is named {name:?}; there are {}", names.join(", "))));
        };
        let _lock = lock(&self.fleet)?;
        let mut outbox = Outbox::open(&self.path(OUTBOX))?;
        let machines = self.derive(&mut outbox)?;
        match sink::open(config, self.fleet.dir(), &machines) {
            Ok(mut sink) => deliver::replay(&mut outbox, config, sink.as_mut()),
            Err(problem) => Report::of(&outbox, config, 0, Some(problem)),
        }
    }

    fn preview_of(&self, outbox: &mut Outbox, config: &SinkConfig, machines: &Machines) -> Result<Preview> {
        let notice = keep::notice(outbox, &config.name)?;
        let mut preview = Preview { sink: config.name.clone(), parts: Vec::new(), problem: None, notice };
        match sink::open(config, self.fleet.dir(), machines) {
            Ok(inner) => {
                let mut rehearsal = sink::Rehearsal { inner, parts: Vec::new() };
                preview.problem = deliver::deliver(outbox, config, &mut rehearsal)?.problem;
                preview.parts = rehearsal.parts;
            }
            Err(problem) => preview.problem = Some(problem),
        }
        Ok(preview)
    }

    fn path(&self, name: &str) -> PathBuf {
        self.fleet.dir().join(FOLDER).join(name)
    }

    /// Puts into the outbox what is new, and gives what templates may know of machines.
    fn derive(&self, outbox: &mut Outbox) -> Result<Machines> {
        let snapshot = self.fleet.snapshot()?;
        let mark = self.mark(snapshot.commit())?;
        if outbox.meta(MARK)?.as_deref() == Some(mark.as_str()) {
            return Ok(if self.has_templates() { machines(snapshot.rows()?) } else { Machines::new() });
        }
        let tables = Tables::only(&self.fleet, &snapshot, TOLD)?;
        let due = (self.asked.on, self.config.due_within_days);
        let now = now(&tables, &self.fleet.settings()?, snapshot.judged_import_id(), due)?;
        let source = self.config.source.clone().unwrap_or_else(|| format!("urn:windrow:fleet:{}", urn(tables.name())));
        let count = derive(outbox, &now, &source, &mark)?;
        tracing::info!(count, "new events");
        Ok(if self.has_templates() { machines(tables.rows()?) } else { Machines::new() })
    }

    fn has_templates(&self) -> bool {
        self.config.sinks.iter().any(|sink| sink.template.is_some())
    }

    /// What a derivation depends on: the same again derives nothing new.
    fn mark(&self, commit: i64) -> Result<String> {
        let settings = self.fleet.settings()?;
        let parts = json!([
            commit,
            self.asked.on,
            self.config.due_within_days,
            self.config.source,
            settings.plan,
            settings.export,
            env!("CARGO_PKG_VERSION")
        ]);
        Ok(parts.to_string())
    }
}

/// One program feeds a fleet at a time.
pub(crate) fn lock(fleet: &Fleet) -> Result<File> {
    let folder = fleet.dir().join(FOLDER);
    let path = folder.join(LOCK);
    let opened = durable::create_folder(&folder)
        .and_then(|()| File::options().create(true).truncate(false).write(true).open(&path));
    let file = opened.map_err(|error| Error::disk("write", &path, error))?;
    match file.try_lock() {
        Ok(()) => Ok(file),
        Err(std::fs::TryLockError::WouldBlock) => {
            Err(Error::Usage(format!("another program feeds {} now; wait for its end", fleet.dir().display())))
        }
        Err(std::fs::TryLockError::Error(error)) => Err(Error::disk("lock", &path, error)),
    }
}

fn machines(assets: Vec<Asset>) -> Machines {
    assets.iter().map(|asset| (asset.asset_id.clone(), json!(asset))).collect()
}

/// A name in letters that a URN takes.
fn urn(name: &str) -> String {
    name.chars()
        .map(|letter| if letter.is_ascii_alphanumeric() || "-._".contains(letter) { letter } else { '-' })
        .collect()
}
