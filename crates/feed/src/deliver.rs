//! Carrying events from the outbox to one sink, batch by batch, in order.
//!
//! Before a batch is sent its end is written down, so that after a crash the same events go as the same batch again. What a sink refuses
//! is set aside with the reason, and later events of the same machine wait behind it, so that the order of a machine holds.

use crate::config::SinkConfig;
use crate::error::Result;
use crate::outbox::{Outbox, Standing, Stored};
use crate::sink::{Sink, Verdict};
use jiff::Timestamp;
use std::collections::BTreeMap;

/// What became of the events for one sink.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Report {
    /// The sink.
    pub name: String,
    /// Events that it took in this run.
    pub sent: usize,
    /// Events that wait for it.
    pub waiting: i64,
    /// Events that it refused, or that wait behind one, now.
    pub refused: usize,
    /// Why it did not get everything.
    pub problem: Option<String>,
    /// What it must know because it began where events are missing.
    pub notice: Option<String>,
}

impl Report {
    /// How the sink of `config` stands after `sent` events.
    pub(crate) fn of(outbox: &Outbox, config: &SinkConfig, sent: usize, problem: Option<String>) -> Result<Self> {
        let waiting = outbox.kinds_after(outbox.standing(&config.name)?.done)?;
        Ok(Self {
            name: config.name.clone(),
            sent,
            waiting: waiting.iter().filter(|(kind, _)| config.wants(kind)).map(|(_, count)| count).sum(),
            refused: outbox.reasons(&config.name)?.len(),
            problem,
            notice: None,
        })
    }
}

/// Sends everything that waits for the sink of `config`.
pub(crate) fn deliver(outbox: &mut Outbox, config: &SinkConfig, sink: &mut dyn Sink) -> Result<Report> {
    let mut carrier = Carrier::of(outbox, config)?;
    if let Some(problem) = carrier.closed() {
        return carrier.report(Some(problem));
    }
    loop {
        let batch = match carrier.next(sink.most())? {
            Next::Batch(batch) => batch,
            Next::Skipped => continue,
            Next::End => return carrier.report(None),
        };
        if let Some(problem) = carrier.hand_over(sink, &batch)? {
            return carrier.report(Some(problem));
        }
    }
}

/// Sends again what the sink refused, and opens it again if it was closed.
pub(crate) fn replay(outbox: &mut Outbox, config: &SinkConfig, sink: &mut dyn Sink) -> Result<Report> {
    let mut carrier = Carrier::of(outbox, config)?;
    carrier.standing = Standing { gone: None, not_before: None, ..carrier.standing };
    carrier.save()?;
    let mut stuck: BTreeMap<String, String> = BTreeMap::new();
    for event in carrier.outbox.dead(&config.name)? {
        if stuck.contains_key(&event.asset) {
            continue;
        }
        match sink.send(std::slice::from_ref(&event)) {
            Verdict::Taken => {
                carrier.sent += 1;
                let name = config.name.as_str();
                carrier.outbox.change(|ledger| ledger.revive(name, event.position))?;
            }
            Verdict::Refused(why) => {
                stuck.insert(event.asset.clone(), why);
            }
            Verdict::Later(why, _) | Verdict::Gone(why) => return carrier.report(Some(why)),
        }
    }
    let problem = stuck.into_values().next();
    carrier.report(problem.map(|why| format!("refused again: {why}")))
}

/// What comes next.
enum Next {
    Batch(Vec<Stored>),
    /// Nothing of what came next goes to this sink.
    Skipped,
    End,
}

struct Carrier<'a> {
    outbox: &'a mut Outbox,
    config: &'a SinkConfig,
    standing: Standing,
    /// Machines with an event that the sink refused, and its position.
    stuck: BTreeMap<String, i64>,
    sent: usize,
}

impl<'a> Carrier<'a> {
    fn of(outbox: &'a mut Outbox, config: &'a SinkConfig) -> Result<Self> {
        let standing = outbox.standing(&config.name)?;
        let done = standing.done;
        let standing = standing.taken_to(done);
        let mut stuck = BTreeMap::new();
        for event in outbox.dead(&config.name)? {
            stuck.entry(event.asset).or_insert(event.position);
        }
        Ok(Self { outbox, config, standing, stuck, sent: 0 })
    }

    /// Why nothing may be sent now.
    fn closed(&self) -> Option<String> {
        if let Some(why) = &self.standing.gone {
            let name = &self.config.name;
            return Some(format!("it wanted nothing more ({why}); `windrow feed --replay {name:?}` asks it again"));
        }
        let seconds = self.standing.not_before? - Timestamp::now().as_second();
        (seconds > 0).then(|| format!("it asked to be left alone for {seconds} s more"))
    }

    fn save(&mut self) -> Result<()> {
        let (name, standing) = (self.config.name.as_str(), &self.standing);
        self.outbox.change(|ledger| ledger.stand(name, standing))
    }

    /// The next events for this sink, and past those that are none or must wait.
    fn next(&mut self, most: usize) -> Result<Next> {
        let events = self.outbox.after(self.standing.done, self.standing.in_flight, most)?;
        let Some(last) = events.last().map(|event| event.position) else { return Ok(Next::End) };
        let (batch, waits): (Vec<Stored>, Vec<Stored>) = events
            .into_iter()
            .filter(|event| self.config.wants(&event.kind))
            .partition(|event| !self.stuck.contains_key(&event.asset));
        let name = self.config.name.as_str();
        let is_new = self.standing.in_flight != Some(last);
        self.standing.in_flight = Some(last);
        if batch.is_empty() {
            self.standing = Standing { done: last, in_flight: None, ..self.standing.clone() };
        }
        if is_new || batch.is_empty() || !waits.is_empty() {
            let (standing, stuck) = (&self.standing, &self.stuck);
            self.outbox.change(|ledger| {
                for event in &waits {
                    let before = stuck.get(&event.asset).copied().unwrap_or_default();
                    ledger.bury(name, event.position, &format!("waits behind event number {before} of its machine"))?;
                }
                ledger.stand(name, standing)
            })?;
        }
        Ok(if batch.is_empty() { Next::Skipped } else { Next::Batch(batch) })
    }

    /// Sends `batch`; event by event where it is refused as a whole. Gives why the sink cannot go on.
    fn hand_over(&mut self, sink: &mut dyn Sink, batch: &[Stored]) -> Result<Option<String>> {
        let last = batch.last().map_or(self.standing.done, |event| event.position);
        let last = self.standing.in_flight.unwrap_or(last);
        match (sink.send(batch), batch) {
            (Verdict::Taken, _) => self.took(batch.len(), last)?,
            (Verdict::Refused(why), [one]) => self.set_aside(one, &why, last)?,
            (Verdict::Refused(_), many) => {
                for event in many {
                    if let Some(problem) = self.one_of(sink, event)? {
                        return Ok(Some(problem));
                    }
                }
                self.took(0, last)?;
            }
            (Verdict::Later(why, seconds), _) => return self.later(why, seconds).map(Some),
            (Verdict::Gone(why), _) => {
                self.standing.gone = Some(why);
                self.save()?;
                return Ok(self.closed());
            }
        }
        Ok(None)
    }

    /// Sends one event of a batch that was refused.
    fn one_of(&mut self, sink: &mut dyn Sink, event: &Stored) -> Result<Option<String>> {
        if let Some(before) = self.stuck.get(&event.asset) {
            let reason = format!("waits behind event number {before} of its machine");
            self.bury(event, &reason, event.position)?;
            return Ok(None);
        }
        match sink.send(std::slice::from_ref(event)) {
            Verdict::Taken => {
                // The batch stays the one in flight while it has a rest, which goes on as it was.
                self.sent += 1;
                self.standing = self.standing.clone().taken_to(event.position);
                self.save()?;
            }
            Verdict::Refused(why) => self.set_aside(event, &why, event.position)?,
            Verdict::Later(why, seconds) => return self.later(why, seconds).map(Some),
            Verdict::Gone(why) => {
                self.standing.gone = Some(why);
                self.save()?;
                return Ok(self.closed());
            }
        }
        Ok(None)
    }

    fn took(&mut self, count: usize, last: i64) -> Result<()> {
        self.sent += count;
        self.standing = Standing { done: last, in_flight: None, gone: None, not_before: None };
        self.save()
    }

    fn set_aside(&mut self, event: &Stored, why: &str, done: i64) -> Result<()> {
        tracing::warn!(sink = self.config.name, event = event.id, why, "refused, and set aside");
        self.bury(event, why, done)?;
        self.stuck.entry(event.asset.clone()).or_insert(event.position);
        Ok(())
    }

    fn bury(&mut self, event: &Stored, why: &str, done: i64) -> Result<()> {
        self.standing = self.standing.clone().taken_to(done);
        let (name, standing) = (self.config.name.as_str(), &self.standing);
        self.outbox.change(|ledger| {
            ledger.bury(name, event.position, why)?;
            ledger.stand(name, standing)
        })
    }

    fn later(&mut self, why: String, seconds: Option<i64>) -> Result<String> {
        if let Some(seconds) = seconds {
            self.standing.not_before = Some(Timestamp::now().as_second().saturating_add(seconds));
            self.save()?;
        }
        Ok(why)
    }

    fn report(&self, problem: Option<String>) -> Result<Report> {
        Report::of(self.outbox, self.config, self.sent, problem)
    }
}

#[cfg(test)]
mod tests;
