//! What is dropped from the outbox, what never, and who is told.

use super::{notice, tidy};
use crate::derive::{ASSET, FINDING, TEST};
use crate::event::{Draft, Kind};
use crate::outbox::{Outbox, Standing, Told};
use jiff::civil::{Date, date};
use serde_json::{Value, json};
use std::path::Path;

const OLD: &str = "2026-05-31";
const NEW: &str = "2026-06-01";
const BEFORE: Date = date(2026, 6, 1);
const TODAY: Date = date(2026, 7, 1);

/// An outbox with these events, each with its machine, the thing that it is about and its day, at 1, 2, ….
fn outbox(folder: &Path, events: &[(Kind, &str, &str, &str)]) -> Outbox {
    let mut outbox = Outbox::open(&folder.join("outbox.sqlite")).unwrap();
    let filled = outbox.change(|ledger| {
        events.iter().try_for_each(|(kind, asset, subject, day)| {
            let (asset, subject, digest) = ((*asset).to_owned(), (*subject).to_owned(), String::new());
            let draft = Draft { kind: *kind, asset, subject, digest, data: json!({}) };
            ledger.add(draft, "urn:x", &format!("{day}T10:00:00Z"))
        })
    });
    filled.unwrap();
    outbox
}

/// Remembers that a thing stands, a finding with the standing that was told.
fn stands(outbox: &mut Outbox, kind: &str, id: &str, standing: &str) {
    let note = json!({ "standing": standing, "flips": 0, "waiting": null }).to_string();
    let told = Told { asset: "M".to_owned(), digest: String::new(), note };
    outbox.change(|ledger| ledger.tell(kind, id, &told)).unwrap();
}

fn positions(outbox: &Outbox) -> Vec<i64> {
    outbox.after(0, None, 100).unwrap().iter().map(|event| event.position).collect()
}

/// `sink` took everything up to `done`, and was fed last on `day`.
fn fed(outbox: &mut Outbox, sink: &str, done: i64, day: Date) {
    let changed = outbox.change(|ledger| {
        ledger.stand(sink, &Standing { done, ..Standing::default() })?;
        ledger.feed(sink, day)
    });
    changed.unwrap();
}

fn kept(outbox: &mut Outbox, settings: &[&str]) -> Vec<i64> {
    tidy(outbox, settings, BEFORE, TODAY).unwrap();
    positions(outbox)
}

#[test]
fn old_events_of_what_is_over_go_when_every_sink_that_counts_took_them() {
    let folder = tempfile::tempdir().unwrap();
    let event = |day| (Kind::TestCorrected, "M", "tests/1", day);
    let mut outbox = outbox(folder.path(), &[event(OLD), event(OLD), event(NEW), event(OLD), event(NEW)]);
    assert_eq!(kept(&mut outbox, &["a"]), [1, 2, 3, 4, 5], "it was never fed");
    fed(&mut outbox, "a", 5, TODAY);
    assert_eq!(kept(&mut outbox, &["a", "new"]), [1, 2, 3, 4, 5], "the new one has nothing yet");
    fed(&mut outbox, "of --into", 1, TODAY);
    assert_eq!(kept(&mut outbox, &["a"]), [2, 3, 4, 5]);
    fed(&mut outbox, "of --into", 4, TODAY);
    outbox.change(|ledger| ledger.bury("a", 2, "refused")).unwrap();
    assert_eq!(kept(&mut outbox, &["a"]), [2, 3, 5], "what was refused can be sent again");
}

#[test]
fn a_sink_out_of_the_settings_counts_while_it_was_fed_since_and_is_then_forgotten_aloud() {
    let folder = tempfile::tempdir().unwrap();
    let event = |day| (Kind::TestCorrected, "M", "tests/1", day);
    let mut outbox = outbox(folder.path(), &[event(OLD), event(OLD), event(NEW)]);
    fed(&mut outbox, "a", 3, TODAY);
    fed(&mut outbox, "b", 1, BEFORE);
    outbox.change(|ledger| ledger.bury("b", 1, "refused")).unwrap();
    assert_eq!(tidy(&mut outbox, &["a"], BEFORE, TODAY).unwrap(), Vec::<String>::new());
    assert_eq!(positions(&outbox), [1, 2, 3], "fed on the first day that counts");
    let told = tidy(&mut outbox, &["a"], BEFORE.tomorrow().unwrap(), TODAY).unwrap();
    assert!(
        told.len() == 1
            && told[0].contains("b is forgotten: 2 events waited for it, 1 of those")
            && told[0].contains(NEW),
        "{told:?}"
    );
    assert_eq!(positions(&outbox), [3]);
    let said = notice(&outbox, "b").unwrap().unwrap();
    assert!(said.contains(NEW) && said.contains("begins anew"), "{said}");
    assert_eq!(tidy(&mut outbox, &["a"], TODAY, TODAY).unwrap(), Vec::<String>::new(), "told once");
    // In the settings it counts, however long ago it was fed.
    fed(&mut outbox, "b", 0, date(2020, 1, 1));
    assert_eq!(tidy(&mut outbox, &["a", "b"], TODAY, TODAY).unwrap(), Vec::<String>::new());
}

#[test]
fn sinks_whose_days_are_not_known_count_from_now_on() {
    let folder = tempfile::tempdir().unwrap();
    let event = |day| (Kind::TestCorrected, "M", "tests/1", day);
    let mut outbox = outbox(folder.path(), &[event(OLD), event(OLD), event(NEW)]);
    fed(&mut outbox, "a", 3, TODAY);
    outbox.change(|ledger| ledger.stand("b", &Standing { done: 1, ..Standing::default() })).unwrap();
    assert_eq!(kept(&mut outbox, &["a"]), [2, 3]);
    assert_eq!(outbox.fed("b").unwrap().unwrap().day, TODAY.to_string());
}

#[test]
fn what_stands_can_still_be_told_to_who_comes_later() {
    let folder = tempfile::tempdir().unwrap();
    let events = [
        (Kind::AssetAdded, "M", "assets/M", OLD),
        (Kind::AssetAdded, "N", "assets/N", OLD),
        (Kind::TestRecorded, "N", "tests/1", OLD),
        (Kind::TestRecorded, "M", "tests/2", OLD),
        (Kind::AssetChanged, "M", "assets/M", OLD),
        (Kind::FindingOpened, "M", "findings/1", OLD),
        (Kind::FindingOpened, "M", "findings/2", OLD),
        (Kind::FindingChanged, "M", "findings/1", OLD),
        (Kind::FindingChanged, "M", "findings/1", OLD),
        (Kind::FindingCleared, "M", "findings/2", OLD),
        (Kind::AssetChanged, "M", "assets/M", OLD),
        (Kind::TestCorrected, "M", "tests/1", OLD),
        (Kind::TestWithdrawn, "M", "tests/2", OLD),
        (Kind::AssetMerged, "N", "assets/N", OLD),
        (Kind::TestDue, "M", "due-tests/M/surge", NEW),
    ];
    let mut outbox = outbox(folder.path(), &events);
    stands(&mut outbox, ASSET, "M", "");
    stands(&mut outbox, TEST, "1", "");
    stands(&mut outbox, FINDING, "1", "plan");
    stands(&mut outbox, FINDING, "2", "cleared");
    fed(&mut outbox, "a", 15, TODAY);
    assert_eq!(notice(&outbox, "new").unwrap(), None, "nothing is missing yet");
    // The machine that test 1 was first told of has its beginning and its end; of findings and tests that are over nothing is left.
    assert_eq!(kept(&mut outbox, &["a"]), [1, 2, 3, 6, 9, 11, 12, 14, 15]);
    let said = notice(&outbox, "new").unwrap().unwrap();
    assert!(said.contains("the 6 older events") && said.contains("keep_days"), "{said}");
    assert_eq!(notice(&outbox, "a").unwrap(), None, "it took everything");
    let bodies = outbox.after(0, None, 100).unwrap();
    let first: Value = serde_json::from_str(&bodies[0].body).unwrap();
    assert_eq!(first["sequence"], "0000000001", "ids and places stay");
}
