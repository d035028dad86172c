//! What becomes of findings, analysis after analysis.

use super::{Earlier, Known, Tested, Tests, follow, gone, with_gone};
use crate::finding::{About, Found, stated};
use jiff::civil::{Date, date};
use windrow_model::{Acknowledgement, Finding, Word};

fn finding(level: &'static str, on: Date) -> Finding {
    let about = About {
        key: vec!["M1".into()],
        asset_id: Some("M1".into()),
        test_id: Some(format!("test of {on}")),
        evidence: Vec::new(),
        seen: Some(on),
    };
    let found = Found {
        rule: "ir_minimum",
        level,
        statement: String::new(),
        value: None,
        limit: None,
        unit: "Ohm",
        basis: String::new(),
        next_test: "",
        cautions: "",
    };
    stated(about, found)
}

fn acknowledged(id: &str, level: &str, word: Word) -> Acknowledgement {
    Acknowledgement {
        finding: id.to_owned(),
        word,
        level: level.to_owned(),
        reason: "rewind ordered".to_owned(),
        by: Some("an engineer".to_owned()),
        on: Some("2026-11-28".to_owned()),
        work_order: None,
        outcome: None,
        failure_mode: None,
    }
}

const FIRST: Date = date(2001, 5, 6);
const SECOND: Date = date(2003, 5, 6);

fn earlier(finding: &Finding) -> Earlier {
    let Finding { finding_id, asset_id, test_id, level, first_seen, state, changes, .. } = finding.clone();
    Earlier { finding_id, asset_id, test_id, level, first_seen, state, changes }
}

fn after(found: Vec<Finding>, before: &[Finding], words: &[Acknowledgement], tests: &[Date]) -> Vec<Finding> {
    let earlier: Vec<Earlier> = before.iter().map(earlier).collect();
    let mut judged = Tests::of(&earlier);
    for day in tests {
        judged.add(Tested {
            test_id: &format!("test of {day}"),
            asset_id: Some("M1"),
            kind: "insulation_resistance",
            performed_on: Some(*day),
        });
    }
    let known = Known { earlier: &earlier, words, tests: &judged, judged_on: Some(date(2026, 11, 28)) };
    let followed = follow(found, known);
    let gone = gone(&followed, &earlier);
    let gone = before.iter().filter(|finding| gone.contains(&finding.finding_id.as_str())).cloned().collect();
    with_gone(followed, gone, known)
}

fn told(finding: &Finding) -> Vec<String> {
    finding.changes.iter().map(|step| format!("{} {}", step.step, step.detail)).collect()
}

#[test]
fn the_same_data_again_changes_nothing() {
    let once = after(vec![finding("plan", FIRST)], &[], &[], &[FIRST]);
    assert_eq!(told(&once[0]), ["2001-05-06 opened at plan"]);
    let words = [acknowledged(&once[0].finding_id, "plan", Word::Acknowledged)];
    let twice = after(vec![finding("plan", FIRST)], &once, &words, &[FIRST]);
    let thrice = after(vec![finding("plan", FIRST)], &twice, &words, &[FIRST]);
    assert_eq!(twice, thrice);
    assert_eq!(twice[0].state, "acknowledged");
}

#[test]
fn a_newer_test_goes_on_with_the_finding_and_changes_its_level() {
    let once = after(vec![finding("plan", FIRST)], &[], &[], &[FIRST]);
    let twice = after(vec![finding("act", SECOND)], &once, &[], &[FIRST, SECOND]);
    assert_eq!((twice.len(), twice[0].state.as_str()), (1, "changed"));
    assert_eq!((twice[0].first_seen, twice[0].last_seen), (Some(FIRST), Some(SECOND)));
    assert_eq!(told(&twice[0]), ["2001-05-06 opened at plan", "2003-05-06 plan became act"]);
}

#[test]
fn what_is_no_longer_shown_is_kept_with_when_and_why() {
    let once = after(vec![finding("plan", FIRST)], &[], &[], &[FIRST]);
    let better = after(Vec::new(), &once, &[], &[FIRST, SECOND]);
    assert_eq!(better[0].state, "cleared");
    assert!(told(&better[0])[1].starts_with("2003-05-06 cleared: newer tests (insulation resistance of 2003-05-06)"));
    assert_eq!(after(Vec::new(), &better, &[], &[FIRST, SECOND]), better, "once");
    let forgotten = after(Vec::new(), &once, &[], &[]);
    assert!(told(&forgotten[0])[1].contains("no longer in the records"));
    let ruled = after(Vec::new(), &once, &[], &[FIRST]);
    assert!(told(&ruled[0])[1].starts_with("2026-11-28 cleared: the same tests no longer show it"));
    let again = after(vec![finding("plan", SECOND)], &better, &[], &[FIRST, SECOND]);
    assert_eq!(again[0].state, "open");
    assert!(told(&again[0])[2].contains("opened again"));
}

#[test]
fn an_acknowledgement_holds_up_to_its_level_and_can_be_taken_back() {
    let once = after(vec![finding("watch", FIRST)], &[], &[], &[FIRST]);
    let word = acknowledged(&once[0].finding_id, "watch", Word::Acknowledged);
    let graver = after(vec![finding("act", SECOND)], &once, std::slice::from_ref(&word), &[FIRST, SECOND]);
    assert!(graver[0].is_open(), "graver than what was acknowledged");
    let words = [word, acknowledged(&once[0].finding_id, "watch", Word::TakenBack)];
    let back = after(vec![finding("watch", FIRST)], &once, &words, &[FIRST]);
    assert_eq!((back[0].state.as_str(), back[0].changes.len()), ("open", 3));
}

/// A fleet made anew, with no earlier findings, has the same ones open.
#[test]
fn a_rebuild_has_the_same_findings_open() {
    let history = after(vec![finding("plan", FIRST)], &[], &[], &[FIRST]);
    let history = after(vec![finding("act", SECOND)], &history, &[], &[FIRST, SECOND]);
    let anew = after(vec![finding("act", SECOND)], &[], &[], &[FIRST, SECOND]);
    let open = |all: &[Finding]| -> Vec<(String, String)> {
        all.iter().filter(|one| one.is_open()).map(|one| (one.finding_id.clone(), one.level.clone())).collect()
    };
    assert_eq!(open(&history), open(&anew));
}
