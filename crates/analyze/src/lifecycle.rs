//! What becomes of findings over the analyses: opened, changed, acknowledged, cleared.
//!
//! The result is a function of what was found now, of the findings stored before, and of what people said. The same data again
//! changes nothing; without any earlier findings the same ones are open. A finding stays open until a test, a corrected record, a ruling or a
//! person closes it, and is kept then with when and why.

use foldhash::fast::FixedState;
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet, HashMap};
use windrow_model::{Acknowledgement, Finding, Step, TestSummary, Text, Word};

const OPEN: &str = "open";
const CHANGED: &str = "changed";
const ACKNOWLEDGED: &str = "acknowledged";
const CLEARED: &str = "cleared";

windrow_model::table! {
    /// What is asked of every finding that the analysis before stored, and no more: 67,000 whole ones take some 200 MiB more.
    pub struct Earlier in "findings" {
        /// Its id.
        finding_id: String,
        /// The machine.
        asset_id: Option<String>,
        /// The test it rested on.
        test_id: Option<String>,
        /// `act`, `plan`, `watch` or `note`.
        level: String,
        /// When it was first found.
        first_seen: Option<Date>,
        /// What had become of it.
        state: String,
        /// The way there.
        changes: Vec<Step>,
    }
}

/// What an analysis knows beside its findings.
#[derive(Debug, Clone, Copy)]
pub struct Known<'a> {
    /// Findings as the analysis before stored them.
    pub earlier: &'a [Earlier],
    /// What people said, in the order in which they said it.
    pub words: &'a [Acknowledgement],
    /// What was judged now of the tests and machines of earlier findings.
    pub tests: &'a Tests<'a>,
    /// Day of the import that was judged; the day of what no test tells.
    pub judged_on: Option<Date>,
}

/// A test that was judged.
#[derive(Debug, Clone, Copy)]
pub struct Tested<'a> {
    /// Its id.
    pub test_id: &'a str,
    /// The machine.
    pub asset_id: Option<&'a str>,
    /// Its kind.
    pub kind: &'a str,
    /// Its day, or the first day of its period.
    pub performed_on: Option<Date>,
}

impl<'a> From<&'a TestSummary> for Tested<'a> {
    fn from(summary: &'a TestSummary) -> Self {
        Self {
            test_id: &summary.test_id,
            asset_id: summary.asset_id.as_deref(),
            kind: &summary.kind,
            performed_on: summary.performed_on,
        }
    }
}

/// Tests that were judged now, as far as earlier findings speak of them or of their machines.
#[derive(Debug, Clone, Default)]
pub struct Tests<'a> {
    /// Tests that findings rest on, and whether they are still there.
    there: HashMap<&'a str, bool, FixedState>,
    /// Newest test of each machine, with its kind.
    newest: HashMap<&'a str, Option<(Date, Text)>, FixedState>,
}

impl<'a> Tests<'a> {
    /// None yet, of those that `earlier` findings speak of.
    #[must_use]
    pub fn of(earlier: &'a [Earlier]) -> Self {
        Self {
            there: earlier.iter().filter_map(|finding| Some((finding.test_id.as_deref()?, false))).collect(),
            newest: earlier.iter().filter_map(|finding| Some((finding.asset_id.as_deref()?, None))).collect(),
        }
    }

    /// Whether no finding speaks of any.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.there.is_empty() && self.newest.is_empty()
    }

    /// Adds a test that was judged.
    pub fn add(&mut self, test: Tested<'_>) {
        if let Some(there) = self.there.get_mut(test.test_id) {
            *there = true;
        }
        let known = test.asset_id.and_then(|asset| self.newest.get_mut(asset));
        if let (Some(newest), Some(day)) = (known, test.performed_on)
            && newest.as_ref().is_none_or(|(newest, kind)| (*newest, kind.as_str()) < (day, test.kind))
        {
            *newest = Some((day, Text::new(test.kind)));
        }
    }
}

/// What was found now, with what is known of it from before.
#[must_use]
pub fn follow(found: Vec<Finding>, known: Known<'_>) -> Vec<Finding> {
    let earlier: BTreeMap<&str, &Earlier> =
        known.earlier.iter().map(|finding| (finding.finding_id.as_str(), finding)).collect();
    found.into_iter().map(|finding| seen(finding, &earlier, &known)).collect()
}

/// Ids of the findings of before that were not found now.
#[must_use]
pub fn gone<'a>(found: &[Finding], earlier: &'a [Earlier]) -> Vec<&'a str> {
    if earlier.is_empty() {
        return Vec::new();
    }
    let now: BTreeSet<&str> = found.iter().map(|finding| finding.finding_id.as_str()).collect();
    earlier.iter().map(|finding| finding.finding_id.as_str()).filter(|id| !now.contains(id)).collect()
}

/// The findings to store, sorted by id: those that were followed, and those that are gone, as the analysis before stored them.
#[must_use]
pub fn with_gone(mut followed: Vec<Finding>, gone: Vec<Finding>, known: Known<'_>) -> Vec<Finding> {
    followed.extend(gone.into_iter().map(|finding| cleared(finding, known.tests, known.judged_on)));
    followed.sort_by(|a, b| a.finding_id.cmp(&b.finding_id));
    followed
}

/// A finding that the data shows now.
fn seen(mut finding: Finding, earlier: &BTreeMap<&str, &Earlier>, known: &Known<'_>) -> Finding {
    let day = shown(finding.last_seen.or(known.judged_on));
    let before = earlier.get(finding.finding_id.as_str()).copied();
    finding.changes = before.map(|before| before.changes.clone()).unwrap_or_default();
    let mut tell = |detail: String| finding.changes.push(Step::new(&day, detail));
    match before {
        None => tell(format!("opened at {}", finding.level)),
        Some(before) if before.state == CLEARED => tell(format!("opened again at {}", finding.level)),
        Some(before) => {
            finding.first_seen = [before.first_seen, finding.first_seen].into_iter().flatten().min();
            if before.level != finding.level {
                tell(format!("{} became {}", before.level, finding.level));
            }
        }
    }
    let since_opened = finding.changes.iter().rev().take_while(|step| !step.detail.starts_with("opened"));
    finding.state =
        if since_opened.clone().any(|step| step.detail.contains(" became ")) { CHANGED } else { OPEN }.into();
    for word in known.words {
        if word.finding == finding.finding_id {
            heed(&mut finding, word);
        }
    }
    finding
}

/// Takes a person's word into account: it closes the finding at its level or below.
fn heed(finding: &mut Finding, word: &Acknowledgement) {
    let step = Step::new(word.on.as_deref().unwrap_or_default(), word.told());
    if !finding.changes.contains(&step) {
        finding.changes.push(step);
    }
    let covers = finding.rank() >= Finding::rank_of(&word.level);
    match word.word {
        Word::Acknowledged if covers => finding.state = ACKNOWLEDGED.into(),
        Word::TakenBack if finding.state == ACKNOWLEDGED => finding.state = OPEN.into(),
        Word::Acknowledged | Word::TakenBack => {}
    }
}

/// A finding that the data no longer shows.
fn cleared(mut finding: Finding, tests: &Tests<'_>, judged_on: Option<Date>) -> Finding {
    if finding.state == CLEARED {
        return finding;
    }
    let newest = finding.asset_id.as_deref().and_then(|asset| tests.newest.get(asset)?.as_ref());
    let newer = newest.filter(|(day, _)| finding.last_seen.is_some_and(|last| *day > last));
    let is_gone = finding.test_id.as_deref().is_some_and(|test| tests.there.get(test) != Some(&true));
    let (day, why) = match newer {
        _ if is_gone => (judged_on, "the test it rested on is no longer in the records, or is read otherwise".to_owned()),
        Some((day, kind)) => (Some(*day), format!("newer tests ({} of {day}) no longer show it", kind.replace('_', " "))),
        None => (
            judged_on,
            "the same tests no longer show it: records, rulings, settings, the rest of the fleet or the program changed"
                .to_owned(),
        ),
    };
    finding.changes.push(Step::new(&shown(day), format!("cleared: {why}")));
    finding.state = CLEARED.into();
    finding
}

fn shown(day: Option<Date>) -> String {
    day.map(|day| day.to_string()).unwrap_or_default()
}

#[cfg(test)]
mod tests;
