//! Changes of the outbox, all of one transaction.

use super::{Standing, Told};
use crate::event::{Draft, Event};
use jiff::civil::Date;
use rusqlite::{OptionalExtension, Transaction, params};
use std::collections::HashMap;

/// A change of the outbox under way.
pub(crate) struct Ledger<'a> {
    transaction: Transaction<'a>,
}

impl<'a> Ledger<'a> {
    pub(super) const fn of(transaction: Transaction<'a>) -> Self {
        Self { transaction }
    }

    pub(super) fn commit(self) -> rusqlite::Result<()> {
        self.transaction.commit()
    }

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

    /// The newest event about `subject` in the sequence of `asset`, as JSON.
    pub(crate) fn last_about(&self, asset: &str, subject: &str) -> rusqlite::Result<Option<String>> {
        let sql = "SELECT body FROM events WHERE asset = ? AND body ->> '$.subject' = ? ORDER BY sequence DESC LIMIT 1";
        self.transaction.prepare_cached(sql)?.query_row([asset, subject], |row| row.get(0)).optional()
    }

    /// Drops events of imports before `day` up to position `taken`; returns how many. What a sink refused stays, and so do, for each of
    /// the subjects in `standing` and each machine in whose sequence one of theirs stays, the event that began it and the newest. The
    /// newest of all stays too, so that no place is given twice.
    pub(crate) fn prune(&self, taken: i64, day: Date, standing: &[String]) -> rusqlite::Result<usize> {
        let of = |subjects: &str| {
            let events = format!("SELECT max(position) FROM events WHERE body ->> '$.subject' IN {subjects}");
            let began = "kind IN ('asset.added', 'test.recorded', 'finding.opened', 'test.due')";
            let each = "GROUP BY body ->> '$.subject'";
            format!("{events} {each} UNION {events} AND {began} {each}")
        };
        let sql = format!(
            "WITH standing AS MATERIALIZED (SELECT value FROM json_each(?3)), kept (position) AS MATERIALIZED ({}),
            machines AS MATERIALIZED (SELECT DISTINCT 'assets/' || asset FROM events WHERE position IN kept)
            DELETE FROM events WHERE position <= ?1 AND body ->> '$.time' < ?2
            AND position < (SELECT max(position) FROM events) AND position NOT IN (SELECT position FROM dead)
            AND position NOT IN kept AND position NOT IN ({})",
            of("standing"),
            of("machines")
        );
        let standing = serde_json::json!(standing).to_string();
        self.transaction.execute(&sql, params![taken, day.to_string(), standing])
    }

    /// Positions up to which each sink took everything.
    pub(crate) fn places(&self) -> rusqlite::Result<HashMap<String, i64>> {
        let mut statement = self.transaction.prepare("SELECT name, done FROM sinks")?;
        let rows = statement.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?;
        rows.collect()
    }

    /// Remembers that `sink` was fed on `day`.
    pub(crate) fn feed(&self, sink: &str, day: Date) -> rusqlite::Result<()> {
        let sql = "INSERT INTO feeds (sink, day) VALUES (?1, ?2) ON CONFLICT (sink) DO UPDATE SET day = ?2";
        self.transaction.execute(sql, params![sink, day.to_string()])?;
        Ok(())
    }

    /// Sinks that are known to have been fed last before `day`; one whose day is not known counts as fed on `today`.
    pub(crate) fn fed_before(&self, day: Date, today: Date) -> rusqlite::Result<Vec<(String, String)>> {
        let sql = "INSERT OR IGNORE INTO feeds (sink, day) SELECT name, ? FROM sinks";
        self.transaction.execute(sql, params![today.to_string()])?;
        let mut statement =
            self.transaction.prepare("SELECT sink, day FROM feeds WHERE day < ? AND NOT forgotten ORDER BY sink")?;
        let rows = statement.query_map([day.to_string()], |row| Ok((row.get(0)?, row.get(1)?)))?;
        rows.collect()
    }

    /// Forgets how far `sink` got and what it refused; that it was fed once is remembered, so that it can be told that it begins anew.
    pub(crate) fn forget_sink(&self, sink: &str) -> rusqlite::Result<()> {
        self.transaction.execute("DELETE FROM sinks WHERE name = ?", [sink])?;
        self.transaction.execute("DELETE FROM dead WHERE sink = ?", [sink])?;
        self.transaction.execute("UPDATE feeds SET forgotten = 1 WHERE sink = ?", [sink])?;
        Ok(())
    }

    /// Forgets that `sink` was ever fed.
    pub(crate) fn forget_fed(&self, sink: &str) -> rusqlite::Result<()> {
        self.transaction.execute("DELETE FROM feeds WHERE sink = ?", [sink])?;
        Ok(())
    }

    /// Remembers that `sink`, which was forgotten, took something again.
    pub(crate) fn know_again(&self, sink: &str) -> rusqlite::Result<()> {
        self.transaction.execute("UPDATE feeds SET forgotten = 0 WHERE sink = ?", [sink])?;
        Ok(())
    }

    /// The value stored under `name`.
    pub(crate) fn meta(&self, name: &str) -> rusqlite::Result<Option<String>> {
        let sql = "SELECT value FROM meta WHERE name = ?";
        self.transaction.query_row(sql, [name], |row| row.get(0)).optional()
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
