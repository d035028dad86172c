//! Carrying after a kill at the worst moments.

use super::{Carrier, Report, deliver};
use crate::config::SinkConfig;
use crate::event::{Draft, Kind};
use crate::outbox::{Outbox, Standing, Stored};
use crate::sink::{Rendered, Sink, Verdict};
use serde_json::json;
use std::path::{Path, PathBuf};

const NAME: &str = "s";

/// A sink that takes events one by one and refuses batches.
#[derive(Default)]
struct OneByOne {
    taken: Vec<i64>,
}

impl Sink for OneByOne {
    fn most(&self) -> usize {
        10
    }

    fn render(&self, _: &[Stored]) -> Result<Rendered, String> {
        Err("nothing is shown".to_owned())
    }

    fn send(&mut self, batch: &[Stored]) -> Verdict {
        match batch {
            [one] => self.taken.push(one.position),
            _ => return Verdict::Refused("too many".to_owned()),
        }
        Verdict::Taken
    }
}

/// An outbox with one event of each of `kinds`, at 1, 2, ….
fn outbox(folder: &Path, kinds: &[Kind]) -> Outbox {
    let mut outbox = Outbox::open(&folder.join("outbox.sqlite")).unwrap();
    let draft = |kind: Kind| Draft {
        kind,
        asset: "M".to_owned(),
        subject: "findings/1".to_owned(),
        digest: String::new(),
        data: json!({}),
    };
    let filled = outbox.change(|ledger| kinds.iter().try_for_each(|kind| ledger.add(draft(*kind), "urn:x", "")));
    filled.unwrap();
    outbox
}

fn config() -> SinkConfig {
    SinkConfig::folder(NAME.to_owned(), PathBuf::new())
}

#[test]
fn a_batch_that_ended_with_its_last_event_holds_nothing_up() {
    let folder = tempfile::tempdir().unwrap();
    let mut outbox = outbox(folder.path(), &[Kind::FindingChanged; 6]);
    let stuck = Standing { done: 5, in_flight: Some(5), ..Standing::default() };
    outbox.change(|ledger| ledger.stand(NAME, &stuck)).unwrap();
    let mut sink = OneByOne::default();
    let report = deliver(&mut outbox, &config(), &mut sink).unwrap();
    assert_eq!((sink.taken, report.sent, report.waiting), (vec![6], 1, 0));
}

#[test]
fn a_kill_behind_the_last_event_of_a_refused_batch_leaves_no_batch_under_way() {
    let folder = tempfile::tempdir().unwrap();
    let mut outbox = outbox(folder.path(), &[Kind::FindingChanged; 3]);
    let config = config();
    let events = outbox.after(0, None, 3).unwrap();
    let mut carrier = Carrier::of(&mut outbox, &config).unwrap();
    carrier.standing.in_flight = Some(3);
    let mut stood = Vec::new();
    for event in &events {
        assert_eq!(carrier.one_of(&mut OneByOne::default(), event).unwrap(), None);
        stood.push(carrier.outbox.standing(NAME).unwrap());
    }
    let stood: Vec<_> = stood.iter().map(|standing| (standing.done, standing.in_flight)).collect();
    assert_eq!(stood, [(1, Some(3)), (2, Some(3)), (3, None)]);
}

#[test]
fn only_events_that_the_sink_asked_for_wait_for_it() {
    let folder = tempfile::tempdir().unwrap();
    let outbox = outbox(folder.path(), &[Kind::AssetAdded, Kind::TestRecorded, Kind::FindingOpened, Kind::TestDue]);
    let finding = SinkConfig { events: vec!["finding".to_owned()], ..config() };
    assert_eq!(Report::of(&outbox, &finding, 0, None).unwrap().waiting, 1);
    assert_eq!(Report::of(&outbox, &config(), 0, None).unwrap().waiting, 4);
}
