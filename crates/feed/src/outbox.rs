//! The outbox: what was told of each thing, the events, how far each sink got, and what a sink refused.
//!
//! One SQLite database in the fleet folder. Events and what they tell are written in one transaction, before anything is sent; a sink's
//! place moves after it took a batch. See the crate's documentation for why nothing is lost, and [`crate::keep`] for what is dropped.

mod ledger;

use crate::error::{Error, Result};
use rusqlite::backup::Progress;
use rusqlite::{Connection, OptionalExtension, params};
use std::path::{Path, PathBuf};
use std::time::Duration;

pub(crate) use ledger::Ledger;

const SCHEMA: &str = "
CREATE TABLE IF NOT EXISTS meta (name TEXT PRIMARY KEY, value TEXT NOT NULL) WITHOUT ROWID;
CREATE TABLE IF NOT EXISTS told (kind TEXT, id TEXT, asset TEXT NOT NULL, digest TEXT NOT NULL, note TEXT NOT NULL,
  PRIMARY KEY (kind, id)) WITHOUT ROWID;
CREATE TABLE IF NOT EXISTS sequences (asset TEXT PRIMARY KEY, last INTEGER NOT NULL) WITHOUT ROWID;
CREATE TABLE IF NOT EXISTS events (position INTEGER PRIMARY KEY, id TEXT NOT NULL UNIQUE, asset TEXT NOT NULL,
  sequence INTEGER NOT NULL, kind TEXT NOT NULL, body TEXT NOT NULL, UNIQUE (asset, sequence));
CREATE TABLE IF NOT EXISTS sinks (name TEXT PRIMARY KEY, done INTEGER NOT NULL DEFAULT 0, in_flight INTEGER,
  gone TEXT, not_before INTEGER) WITHOUT ROWID;
CREATE TABLE IF NOT EXISTS dead (sink TEXT, position INTEGER, reason TEXT NOT NULL, PRIMARY KEY (sink, position)) WITHOUT ROWID;
CREATE TABLE IF NOT EXISTS feeds (sink TEXT PRIMARY KEY, day TEXT NOT NULL, forgotten INTEGER NOT NULL DEFAULT 0) WITHOUT ROWID;
CREATE INDEX IF NOT EXISTS subjects ON events (body ->> '$.subject');
";

/// How long another program's transaction is waited for.
const PATIENCE: Duration = Duration::from_secs(10);

/// What was told of a thing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Told {
    pub(crate) asset: String,
    pub(crate) digest: String,
    /// What else the next derivation needs to know.
    pub(crate) note: String,
}

/// An event in the outbox.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Stored {
    /// Place in the outbox; later events have higher ones.
    pub position: i64,
    /// Id of the event.
    pub id: String,
    /// The machine in whose sequence it stands.
    pub asset: String,
    /// `finding.opened`, …
    pub kind: String,
    /// The CloudEvent as JSON.
    pub body: String,
}

/// How a sink stands.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Standing {
    /// Position of the last event that it took.
    pub(crate) done: i64,
    /// Position of the last event of the batch that was being sent.
    pub(crate) in_flight: Option<i64>,
    /// Why nothing is sent to it until somebody asks for it.
    pub(crate) gone: Option<String>,
    /// Before which second nothing is sent to it.
    pub(crate) not_before: Option<i64>,
}

impl Standing {
    /// The same with everything taken up to `done`. A batch that ends there is no longer under way: kept as one, nothing would ever
    /// come after it.
    pub(crate) fn taken_to(self, done: i64) -> Self {
        Self { done, in_flight: self.in_flight.filter(|last| *last > done), ..self }
    }
}

/// When a sink was fed last.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Fed {
    /// The day, as ISO 8601 writes it.
    pub(crate) day: String,
    /// Whether it was forgotten since.
    pub(crate) is_forgotten: bool,
}

/// The outbox of a fleet.
pub(crate) struct Outbox {
    path: PathBuf,
    database: Connection,
}

impl Outbox {
    /// Opens the outbox `path`, and makes one where there is none.
    pub(crate) fn open(path: &Path) -> Result<Self> {
        let opened = Connection::open(path).and_then(|database| {
            database.busy_timeout(PATIENCE)?;
            database.pragma_update(None, "journal_mode", "wal")?;
            // Every transaction is on the disk when it returns.
            database.pragma_update(None, "synchronous", "full")?;
            database.execute_batch(SCHEMA)?;
            Ok(database)
        });
        let database = opened.map_err(|source| Error::Outbox { path: path.display().to_string(), source })?;
        Ok(Self { path: path.to_owned(), database })
    }

    /// An outbox in memory: a copy of `path` where there is one, so that a dry run changes nothing.
    pub(crate) fn rehearsal(path: &Path) -> Result<Self> {
        let told = |source| Error::Outbox { path: path.display().to_string(), source };
        let mut database = Connection::open_in_memory().map_err(told)?;
        if path.exists() {
            database.restore("main", path, None::<fn(Progress)>).map_err(told)?;
        }
        database.execute_batch(SCHEMA).map_err(told)?;
        Ok(Self { path: path.to_owned(), database })
    }

    fn told(&self, source: rusqlite::Error) -> Error {
        Error::Outbox { path: self.path.display().to_string(), source }
    }

    /// The value stored under `name`.
    pub(crate) fn meta(&self, name: &str) -> Result<Option<String>> {
        let found =
            self.database.query_row("SELECT value FROM meta WHERE name = ?", [name], |row| row.get(0)).optional();
        found.map_err(|error| self.told(error))
    }

    /// Changes the outbox by `change`, whole or not at all.
    pub(crate) fn change<T>(&mut self, change: impl FnOnce(&Ledger<'_>) -> rusqlite::Result<T>) -> Result<T> {
        let path = self.path.display().to_string();
        let transaction = self.database.transaction_with_behavior(rusqlite::TransactionBehavior::Immediate);
        let done = transaction.and_then(|transaction| {
            let ledger = Ledger::of(transaction);
            let value = change(&ledger)?;
            ledger.commit()?;
            Ok(value)
        });
        done.map_err(|source| Error::Outbox { path, source })
    }

    /// At most `most` events after `position`, up to `last` where it is told.
    pub(crate) fn after(&self, position: i64, last: Option<i64>, most: usize) -> Result<Vec<Stored>> {
        let sql = "SELECT position, id, asset, kind, body FROM events WHERE position > ? AND position <= ? ORDER BY position LIMIT ?";
        let most = i64::try_from(most).unwrap_or(i64::MAX);
        self.events(sql, params![position, last.unwrap_or(i64::MAX), most])
    }

    /// Events that `sink` refused, in order.
    pub(crate) fn dead(&self, sink: &str) -> Result<Vec<Stored>> {
        let sql = "SELECT e.position, id, asset, kind, body FROM events e JOIN dead d ON d.position = e.position
            WHERE d.sink = ? ORDER BY e.position";
        self.events(sql, params![sink])
    }

    /// Why `sink` refused events, by their positions.
    pub(crate) fn reasons(&self, sink: &str) -> Result<Vec<(i64, String)>> {
        let mut statement = self
            .database
            .prepare_cached("SELECT position, reason FROM dead WHERE sink = ? ORDER BY position")
            .map_err(|error| self.told(error))?;
        let rows = statement.query_map([sink], |row| Ok((row.get(0)?, row.get(1)?)));
        rows.and_then(Iterator::collect).map_err(|error| self.told(error))
    }

    fn events(&self, sql: &str, parameters: impl rusqlite::Params) -> Result<Vec<Stored>> {
        let mut statement = self.database.prepare_cached(sql).map_err(|error| self.told(error))?;
        let rows = statement.query_map(parameters, |row| {
            Ok(Stored {
                position: row.get(0)?,
                id: row.get(1)?,
                asset: row.get(2)?,
                kind: row.get(3)?,
                body: row.get(4)?,
            })
        });
        rows.and_then(Iterator::collect).map_err(|error| self.told(error))
    }

    /// How `sink` stands.
    pub(crate) fn standing(&self, sink: &str) -> Result<Standing> {
        let sql = "SELECT done, in_flight, gone, not_before FROM sinks WHERE name = ?";
        let found = self.database.query_row(sql, [sink], |row| {
            Ok(Standing { done: row.get(0)?, in_flight: row.get(1)?, gone: row.get(2)?, not_before: row.get(3)? })
        });
        found.optional().map(Option::unwrap_or_default).map_err(|error| self.told(error))
    }

    /// When `sink` was fed last; `None` where that is not known.
    pub(crate) fn fed(&self, sink: &str) -> Result<Option<Fed>> {
        let sql = "SELECT day, forgotten FROM feeds WHERE sink = ?";
        let found = self.database.query_row(sql, [sink], |row| Ok(Fed { day: row.get(0)?, is_forgotten: row.get(1)? }));
        found.optional().map_err(|error| self.told(error))
    }

    /// Names of all sinks that were ever fed.
    pub(crate) fn known(&self) -> Result<Vec<String>> {
        let sql = "SELECT name FROM sinks UNION SELECT sink FROM feeds ORDER BY 1";
        let mut statement = self.database.prepare_cached(sql).map_err(|error| self.told(error))?;
        let rows = statement.query_map([], |row| row.get(0));
        rows.and_then(Iterator::collect).map_err(|error| self.told(error))
    }

    /// Number of events after `position`, by kind.
    pub(crate) fn kinds_after(&self, position: i64) -> Result<Vec<(String, i64)>> {
        let sql = "SELECT kind, count(*) FROM events WHERE position > ? GROUP BY kind";
        let mut statement = self.database.prepare_cached(sql).map_err(|error| self.told(error))?;
        let rows = statement.query_map([position], |row| Ok((row.get(0)?, row.get(1)?)));
        rows.and_then(Iterator::collect).map_err(|error| self.told(error))
    }
}

#[cfg(test)]
mod tests;
