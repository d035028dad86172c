//! What of the outbox is kept, and for whom.
//!
//! Without `keep_days` everything is, for ever. With it, events of imports longer ago than that are dropped once every sink that counts
//! has taken them, except those by which a sink that comes later is told all that stands: for each machine, test, open finding and due
//! test the event that began it and the newest. What is dropped tells of what is over, or of what was told otherwise since. What a
//! sink refused is kept for it.
//!
//! A sink counts as long as it stands in `sinks.toml`. One that does not – a folder of `--into`, or one that was taken out – counts for
//! `keep_days` after it was last fed; then it is forgotten, and begins anew if it is fed again. Who begins where events are missing is
//! told so, each time until it has taken something.

use crate::derive::{ASSET, DUE, FINDING, TEST, is_cleared, subject};
use crate::error::Result;
use crate::event::Kind;
use crate::outbox::{Ledger, Outbox};
use crate::remembered::waiting;
use jiff::civil::Date;

/// Name under which stands how many events were dropped.
const DROPPED: &str = "dropped";

/// Forgets sinks that count no longer and drops events of imports before `before`; `settings` names the sinks of `sinks.toml` and of this
/// run. Gives what is to be told of it.
pub(crate) fn tidy(outbox: &mut Outbox, settings: &[&str], before: Date, today: Date) -> Result<Vec<String>> {
    let mut told = Vec::new();
    let late = outbox.change(|ledger| ledger.fed_before(before, today))?;
    for (sink, day) in late.iter().filter(|(sink, _)| !settings.contains(&sink.as_str())) {
        let waiting = waiting(outbox, None, outbox.standing(sink)?.done)?;
        let refused = outbox.reasons(sink)?.len();
        outbox.change(|ledger| ledger.forget_sink(sink))?;
        told.push(format!(
            "{sink} is forgotten: {waiting} events waited for it, {refused} of those it was sent were refused; it was fed last on {day}, before \
             keep_days, and is not in sinks.toml"
        ));
    }
    let count = outbox.change(|ledger| {
        let places = ledger.places()?;
        let in_settings = settings.iter().map(|sink| places.get(*sink).copied().unwrap_or_default());
        let Some(taken) = in_settings.chain(places.values().copied()).min() else { return Ok(0) };
        let count = ledger.prune(taken, before, &standing(ledger)?)?;
        let dropped = number(ledger.meta(DROPPED)?) + count;
        ledger.set_meta(DROPPED, &dropped.to_string())?;
        Ok(count)
    })?;
    tracing::info!(count, %before, "events of what is over, or was told anew since, are dropped");
    Ok(told)
}

/// What a sink must know before it is fed, where it begins and not everything is there.
pub(crate) fn notice(outbox: &Outbox, sink: &str) -> Result<Option<String>> {
    if outbox.standing(sink)?.done > 0 {
        return Ok(None);
    }
    if let Some(fed) = outbox.fed(sink)?.filter(|fed| fed.is_forgotten) {
        return Ok(Some(format!(
            "it was fed last on {}, and forgotten since (keep_days): it begins anew with all that stands, under the same ids; what it was told \
             before and is not told again is over, so close that there",
            fed.day
        )));
    }
    let dropped = number(outbox.meta(DROPPED)?);
    Ok((dropped > 0).then(|| {
        format!(
            "it is new: it gets all that stands, and not the {dropped} older events of what is over or was told anew since, which were \
             dropped (keep_days); their places in the sequences of machines stay empty"
        )
    }))
}

fn number(text: Option<String>) -> usize {
    text.and_then(|text| text.parse().ok()).unwrap_or_default()
}

/// What events of things that stand are about.
fn standing(ledger: &Ledger<'_>) -> rusqlite::Result<Vec<String>> {
    let mut subjects = Vec::new();
    for (kind, begins) in
        [(ASSET, Kind::AssetAdded), (TEST, Kind::TestRecorded), (FINDING, Kind::FindingOpened), (DUE, Kind::TestDue)]
    {
        let told = ledger.all_told(kind)?;
        let stands = told.iter().filter(|(_, told)| kind != FINDING || !is_cleared(told));
        subjects.extend(stands.map(|(id, _)| subject(begins, id)));
    }
    Ok(subjects)
}

#[cfg(test)]
mod tests;
