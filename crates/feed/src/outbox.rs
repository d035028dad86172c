//! The outbox: what was told of each thing, the events, how far each sink got, and what a sink refused.
//!
//! One SQLite database in the fleet folder. Events and what they tell are written in one transaction, before anything is sent; a sink's
//! place moves after it took a batch. See the crate's documentation for why nothing is lost.

use crate::error::{Error, Result};
use crate::event::{Draft, Event};
use rusqlite::{Connection, OptionalExtension, Transaction, params};
use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::time::Duration;

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
            let source =
                Connection::open_with_flags(path, rusqlite::OpenFlags::SQLITE_OPEN_READ_WRITE).map_err(told)?;
            let sql = format!("VACUUM INTO '{}'", copy_of(path).display().to_string().replace('\'', "''"));
            let _ = std::fs::remove_file(copy_of(path));
            source.execute_batch(&sql).map_err(told)?;
            database = Connection::open(copy_of(path)).map_err(told)?;
            // The file goes when the connection is closed.
            let _ = std::fs::remove_file(copy_of(path));
            database.pragma_update(None, "journal_mode", "off").map_err(told)?;
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
            let ledger = Ledger { transaction };
            let value = change(&ledger)?;
            ledger.transaction.commit()?;
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

    /// Number of events in all, and after `position`.
    pub(crate) fn count_after(&self, position: i64) -> Result<i64> {
        let sql = "SELECT count(*) FROM events WHERE position > ?";
        self.database.query_row(sql, [position], |row| row.get(0)).map_err(|error| self.told(error))
    }
}

/// Where a dry run copies the outbox to.
fn copy_of(path: &Path) -> PathBuf {
    path.with_extension(format!("dry-run-{}", std::process::id()))
}

/// A change of the outbox under way.
pub(crate) struct Ledger<'a> {
    transaction: Transaction<'a>,
}

impl Ledger<'_> {
    /// Everything that was told of things of `kind`.
    pub(crate) fn all_told(&self, kind: &str) -> rusqlite::Result<HashMap<String, Told>> {
        let mut statement =
            self.transaction.prepare_cached("SELECT id, asset, digest, note FROM told WHERE kind = ?")?;
        let rows = statement.query_map([kind], |row| {
            Ok((row.get(0)?, Told { asset: row.get(1)?, digest: row.get(2)?, note: row.get(3)? }))
        })?;
        rows.collect()
    }

    /// Remembers what was told of a thing.
    pub(crate) fn tell(&self, kind: &str, id: &str, told: &Told) -> rusqlite::Result<()> {
        let sql = "INSERT OR REPLACE INTO told VALUES (?, ?, ?, ?, ?)";
        self.transaction.prepare_cached(sql)?.execute(params![kind, id, told.asset, told.digest, told.note])?;
        Ok(())
    }

    /// Forgets a thing that is no longer there.
    pub(crate) fn forget(&self, kind: &str, id: &str) -> rusqlite::Result<()> {
        self.transaction.prepare_cached("DELETE FROM told WHERE kind = ? AND id = ?")?.execute([kind, id])?;
        Ok(())
    }

    /// Adds an event at the end of the sequence of its machine.
    pub(crate) fn add(&self, draft: Draft, source: &str, time: &str) -> rusqlite::Result<()> {
        let sql =
            "INSERT INTO sequences VALUES (?, 1) ON CONFLICT (asset) DO UPDATE SET last = last + 1 RETURNING last";
        let sequence: i64 = self.transaction.prepare_cached(sql)?.query_row([&draft.asset], |row| row.get(0))?;
        let (asset, kind) = (draft.asset.clone(), draft.kind.code());
        let event = Event::of(draft, sequence, source, time);
        let body =
            serde_json::to_string(&event).map_err(|error| rusqlite::Error::ToSqlConversionFailure(error.into()))?;
        let sql = "INSERT INTO events (id, asset, sequence, kind, body) VALUES (?, ?, ?, ?, ?)";
        self.transaction.prepare_cached(sql)?.execute(params![event.id, asset, sequence, kind, body])?;
        Ok(())
    }

    /// Stores `value` under `name`.
    pub(crate) fn set_meta(&self, name: &str, value: &str) -> rusqlite::Result<()> {
        self.transaction.execute("INSERT OR REPLACE INTO meta VALUES (?, ?)", [name, value])?;
        Ok(())
    }

    /// Stores how `sink` stands.
    pub(crate) fn stand(&self, sink: &str, standing: &Standing) -> rusqlite::Result<()> {
        let sql = "INSERT OR REPLACE INTO sinks VALUES (?, ?, ?, ?, ?)";
        let Standing { done, in_flight, gone, not_before } = standing;
        self.transaction.prepare_cached(sql)?.execute(params![sink, done, in_flight, gone, not_before])?;
        Ok(())
    }

    /// Sets an event aside that `sink` refused, or that must wait for one that it refused.
    pub(crate) fn bury(&self, sink: &str, position: i64, reason: &str) -> rusqlite::Result<()> {
        self.transaction.execute("INSERT OR REPLACE INTO dead VALUES (?, ?, ?)", params![sink, position, reason])?;
        Ok(())
    }

    /// Takes an event out of those that `sink` refused.
    pub(crate) fn revive(&self, sink: &str, position: i64) -> rusqlite::Result<()> {
        self.transaction.execute("DELETE FROM dead WHERE sink = ? AND position = ?", params![sink, position])?;
        Ok(())
    }
}
