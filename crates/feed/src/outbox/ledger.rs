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

    /// Drops events of imports before `day` that every sink took which was ever fed, and each of `sinks`; returns how many. What a
    /// sink refused stays, the newest event of each finding by which it can still be told as cleared, and the newest of all, so that no
    /// place is given twice.
    pub(crate) fn prune(&self, sinks: &[&str], day: Date) -> rusqlite::Result<usize> {
        let mut statement = self.transaction.prepare("SELECT name, done FROM sinks")?;
        let done: HashMap<String, i64> =
            statement.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?.collect::<rusqlite::Result<_>>()?;
        let configured = sinks.iter().map(|sink| done.get(*sink).copied().unwrap_or_default());
        let Some(taken) = configured.chain(done.values().copied()).min() else { return Ok(0) };
        let sql = "DELETE FROM events WHERE position <= ?1 AND body ->> '$.time' < ?2
            AND position < (SELECT max(position) FROM events) AND position NOT IN (SELECT position FROM dead)
            AND position NOT IN (SELECT max(position) FROM events WHERE kind GLOB 'finding.*' GROUP BY body ->> '$.subject')";
        self.transaction.execute(sql, params![taken, day.to_string()])
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
