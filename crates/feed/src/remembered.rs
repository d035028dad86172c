//! What is remembered of sinks, for people: how each stands, what it refused and why; and forgetting one.

use crate::config::{self, Config, FOLDER, SinkConfig};
use crate::error::{Error, Result};
use crate::feed::{OUTBOX, lock};
use crate::outbox::{Outbox, Stored};
use std::collections::BTreeMap;
use windrow_store::Fleet;

/// A sink as the outbox remembers it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Remembered {
    /// Its name.
    pub name: String,
    /// Whether it stands in `sinks.toml`.
    pub is_in_settings: bool,
    /// Day on which it was fed last, as ISO 8601 writes it; `None` where it never was, or not since days are noted.
    pub last_fed: Option<String>,
    /// Events that wait for it.
    pub waiting: i64,
    /// What it refused, and what waits behind that, oldest first.
    pub refused: Vec<Refused>,
    /// Why nothing is sent to it until somebody asks for it.
    pub gone: Option<String>,
}

/// An event that a sink refused, or that waits behind one of its machine.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refused {
    /// Its number in the outbox.
    pub number: i64,
    /// `finding.opened`, …
    pub kind: String,
    /// The machine in whose sequence it stands.
    pub machine: String,
    /// Its id.
    pub id: String,
    /// Why it was refused.
    pub reason: String,
}

/// All sinks of the settings of `fleet` and all that were ever fed, by name.
///
/// # Errors
/// When settings or the outbox cannot be read.
pub fn remembered(fleet: &Fleet) -> Result<Vec<Remembered>> {
    let config = config::load(fleet.dir())?;
    let path = fleet.dir().join(FOLDER).join(OUTBOX);
    // Before the first feed nothing is remembered, and looking makes nothing.
    let outbox = if path.exists() { Outbox::open(&path)? } else { Outbox::rehearsal(&path)? };
    let mut names = outbox.known()?;
    names.extend(config.sinks.iter().map(|sink| sink.name.clone()));
    names.sort();
    names.dedup();
    names.iter().map(|name| of(&outbox, &config, name)).collect()
}

/// Forgets the sink `name`: how far it got, and what it refused. Fed again, it begins anew. Gives how it stood.
///
/// # Errors
/// When it stands in the settings or was never fed, or the outbox cannot be written.
pub fn forget(fleet: &Fleet, name: &str) -> Result<Remembered> {
    let config = config::load(fleet.dir())?;
    if config.sinks.iter().any(|sink| sink.name == name) {
        let settings = fleet.dir().join(FOLDER).join(config::FILE);
        return Err(Error::Usage(format!(
            "the sink {name:?} stands in {}: take it out there first, for the next feed would tell it everything anew",
            settings.display()
        )));
    }
    let path = fleet.dir().join(FOLDER).join(OUTBOX);
    let known = if path.exists() { Outbox::open(&path)?.known()? } else { Vec::new() };
    if !known.iter().any(|known| known == name) {
        let known = if known.is_empty() { "none was ever fed".to_owned() } else { format!("there are {known:?}") };
        return Err(Error::Usage(format!("no sink {name:?} is remembered; {known}")));
    }
    let _lock = lock(fleet)?;
    let mut outbox = Outbox::open(&path)?;
    let stood = of(&outbox, &config, name)?;
    outbox.change(|ledger| {
        ledger.forget_sink(name)?;
        ledger.forget_fed(name)
    })?;
    Ok(stood)
}

fn of(outbox: &Outbox, config: &Config, name: &str) -> Result<Remembered> {
    let settings = config.sinks.iter().find(|sink| sink.name == name);
    let standing = outbox.standing(name)?;
    let reasons: BTreeMap<i64, String> = outbox.reasons(name)?.into_iter().collect();
    let refused = |event: Stored| Refused {
        reason: reasons.get(&event.position).cloned().unwrap_or_default(),
        number: event.position,
        kind: event.kind,
        machine: event.asset,
        id: event.id,
    };
    Ok(Remembered {
        name: name.to_owned(),
        is_in_settings: settings.is_some(),
        last_fed: outbox.fed(name)?.map(|fed| fed.day),
        waiting: waiting(outbox, settings, standing.done)?,
        refused: outbox.dead(name)?.into_iter().map(refused).collect(),
        gone: standing.gone,
    })
}

/// Events after `done` that go to the sink of `settings`; all of them where it has none.
pub(crate) fn waiting(outbox: &Outbox, settings: Option<&SinkConfig>, done: i64) -> Result<i64> {
    let kinds = outbox.kinds_after(done)?;
    let wanted = kinds.iter().filter(|(kind, _)| settings.is_none_or(|sink| sink.wants(kind)));
    Ok(wanted.map(|(_, count)| count).sum())
}
