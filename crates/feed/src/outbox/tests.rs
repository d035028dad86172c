//! What is dropped from the outbox, and what never.

use super::{Outbox, Standing};
use crate::event::{Draft, Kind};
use jiff::civil::date;
use serde_json::json;
use std::path::Path;

/// An outbox with these events, each with the thing that it is about and its day, at 1, 2, ….
fn outbox(folder: &Path, events: &[(Kind, &str, &str)]) -> Outbox {
    let mut outbox = Outbox::open(&folder.join("outbox.sqlite")).unwrap();
    let filled = outbox.change(|ledger| {
        events.iter().try_for_each(|(kind, subject, day)| {
            let (asset, subject, digest) = ("M".to_owned(), (*subject).to_owned(), String::new());
            let draft = Draft { kind: *kind, asset, subject, digest, data: json!({}) };
            ledger.add(draft, "urn:x", &format!("{day}T10:00:00Z"))
        })
    });
    filled.unwrap();
    outbox
}

fn positions(outbox: &Outbox) -> Vec<i64> {
    outbox.after(0, None, 100).unwrap().iter().map(|event| event.position).collect()
}

fn stand(outbox: &mut Outbox, sink: &str, done: i64) {
    outbox.change(|ledger| ledger.stand(sink, &Standing { done, ..Standing::default() })).unwrap();
}

fn prune(outbox: &mut Outbox, sinks: &[&str]) -> usize {
    outbox.change(|ledger| ledger.prune(sinks, date(2026, 6, 1))).unwrap()
}

const OLD: &str = "2026-05-31";
const NEW: &str = "2026-06-01";

#[test]
fn old_events_that_every_sink_took_are_dropped_and_no_others() {
    let folder = tempfile::tempdir().unwrap();
    let test = (Kind::TestRecorded, "tests/1");
    let events = [
        (test.0, test.1, OLD),
        (test.0, test.1, OLD),
        (test.0, test.1, NEW),
        (test.0, test.1, OLD),
        (test.0, test.1, NEW),
    ];
    let mut outbox = outbox(folder.path(), &events);
    assert_eq!(prune(&mut outbox, &["a"]), 0, "it was never fed");
    stand(&mut outbox, "a", 5);
    assert_eq!(prune(&mut outbox, &["a", "new"]), 0, "the new one has nothing yet");
    stand(&mut outbox, "taken out of the settings", 1);
    assert_eq!(prune(&mut outbox, &["a"]), 1);
    assert_eq!(positions(&outbox), [2, 3, 4, 5]);
    stand(&mut outbox, "taken out of the settings", 4);
    outbox.change(|ledger| ledger.bury("a", 2, "refused")).unwrap();
    assert_eq!(prune(&mut outbox, &["a"]), 1);
    assert_eq!(positions(&outbox), [2, 3, 5], "what was refused can be sent again");
    assert_eq!(outbox.first().unwrap(), Some(2));
}

#[test]
fn the_newest_event_of_a_finding_and_of_all_stay() {
    let folder = tempfile::tempdir().unwrap();
    let mut outbox = outbox(
        folder.path(),
        &[
            (Kind::FindingOpened, "findings/1", OLD),
            (Kind::FindingOpened, "findings/2", OLD),
            (Kind::FindingChanged, "findings/1", OLD),
            (Kind::TestRecorded, "tests/1", OLD),
            (Kind::TestRecorded, "tests/2", OLD),
        ],
    );
    stand(&mut outbox, "a", 5);
    assert_eq!(prune(&mut outbox, &["a"]), 2);
    assert_eq!(positions(&outbox), [2, 3, 5]);
}
