//! Test summaries, findings and coverage over what is committed.

use crate::program;
use jiff::civil::Date;
use std::collections::HashSet;
use std::path::Path;
use std::sync::Arc;
use windrow_analyze::lifecycle::{Earlier, Known, Tested, Tests, follow, gone, with_gone};
use windrow_analyze::{Analysis, Frames, Looks, Memory, analyze_into};
use windrow_criteria::Insulation;
use windrow_model::{Coverage, Finding, ImportRow, TestSummary, Text};
use windrow_store::{AnalysisTables, Fleet, Gathered, Kept, Snapshot, Taken};

/// What an analysis found, and how much of it had to be worked out.
#[derive(Debug)]
pub struct Judgement {
    /// How many findings there are.
    pub found: Found,
    /// Machines that were looked at.
    pub looks: Looks,
    /// Why what the analysis before had left could not be used as it should; `None` where it could, or where nothing had been left.
    pub damage: Option<String>,
}

/// Findings, and how many of them are open at each level: what they say is stored, and takes hundreds of megabytes for a large fleet.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Found {
    /// All of them.
    pub all: usize,
    /// Open ones at `act`.
    pub act: usize,
    /// Open ones at `plan`.
    pub plan: usize,
    /// Open ones at `watch`.
    pub watch: usize,
    /// Open ones at `note`.
    pub note: usize,
}

impl Found {
    fn of(findings: &[Finding]) -> Self {
        let open = |level: &str| findings.iter().filter(|finding| finding.level == level && finding.is_open()).count();
        Self { all: findings.len(), act: open("act"), plan: open("plan"), watch: open("watch"), note: open("note") }
    }
}

/// Analyzes the newest snapshot of the fleet folder and commits the result. Of machines of which nothing changed since the analysis before, what
/// was worked out then is used again, and their rows are taken over from the tables that it stored; the result is the same.
pub fn judge(fleet: &Path) -> anyhow::Result<Judgement> {
    let _entered = tracing::info_span!("analyzing").entered();
    let fleet = Fleet::open(fleet)?;
    let settings = fleet.settings()?;
    let words = fleet.acknowledgements()?;
    let mut writer = fleet.writer()?;
    let snapshot = writer.snapshot();
    let judged_on = imported_on(snapshot)?;
    let earlier = snapshot.rows_of_some_columns::<Earlier>()?;
    let mut gathered = Rows::expecting(snapshot, Tests::of(&earlier));
    let kept = program::told().map(|program| fleet.kept(&program, snapshot)).transpose()?;
    let mut kept = kept.map(Remembered);
    let memory = kept.as_mut().map(|kept| kept as &mut dyn Memory);
    // Of a large fleet not all rows at once: what is done is put into columns.
    let Analysis { findings, looks, .. } =
        analyze_into(&frames(snapshot)?, (&settings, judged_on), memory, &mut |rows| gathered.take(rows))?;
    gathered.take_over(snapshot)?;
    let Rows { tests, summaries, coverage, .. } = gathered;
    let known = Known { earlier: &earlier, words: &words, tests: &tests, judged_on };
    let findings = follow(findings, known);
    // Few findings go, and only of these it is asked what they said.
    let over = snapshot.rows_where("finding_id", &gone(&findings, &earlier))?;
    let findings = with_gone(findings, over, known);
    let found = Found::of(&findings);
    writer.commit_analysis(AnalysisTables { summaries, findings, coverage })?;
    let damage = kept.and_then(|kept| kept.close(writer.snapshot()));
    Ok(Judgement { found, looks, damage })
}

/// Rows of an analysis as they come.
struct Rows<'a> {
    tests: Tests<'a>,
    summaries: Gathered<TestSummary>,
    coverage: Gathered<Coverage>,
    /// Machines whose rows are those of the analysis before.
    as_before: HashSet<Text>,
}

impl<'a> Rows<'a> {
    /// None yet of the tests in `snapshot`.
    fn expecting(snapshot: &Snapshot, tests: Tests<'a>) -> Self {
        let (summaries, coverage) = (snapshot.count("tests"), snapshot.count("assets") * Insulation::INSULATING.len());
        Self {
            tests,
            summaries: Gathered::expecting(summaries),
            coverage: Gathered::expecting(coverage),
            as_before: HashSet::new(),
        }
    }

    fn take(&mut self, rows: windrow_analyze::Rows) {
        rows.summaries.iter().for_each(|summary| self.tests.add(Tested::from(summary)));
        self.summaries.push(rows.summaries);
        self.coverage.push(rows.coverage);
        self.as_before.extend(rows.as_before);
    }

    /// Adds the rows that are those of the analysis before, from the tables that it stored.
    fn take_over(&mut self, snapshot: &Snapshot) -> anyhow::Result<()> {
        if self.as_before.is_empty() {
            return Ok(());
        }
        let Self { tests, summaries, coverage, as_before } = self;
        let as_before = Arc::new(std::mem::take(as_before));
        // Without earlier findings nobody asks for tests.
        let told: &[&str] = if tests.is_empty() { &[] } else { &TESTED };
        let hear = |taken: Taken<'_>| {
            if !tests.is_empty() {
                tested(taken).for_each(|test| tests.add(test));
            }
        };
        let (summaries, coverage) = rayon::join(
            || summaries.take_over(snapshot, &as_before, (told, hear)),
            || coverage.take_over(snapshot, &as_before, (&[], |_: Taken<'_>| {})),
        );
        summaries.and(coverage)?;
        Ok(())
    }
}

/// What is asked of a summary to know its test.
const TESTED: [&str; 4] = ["test_id", "asset_id", "kind", "performed_on"];

/// The tests of some summaries.
fn tested(taken: Taken<'_>) -> impl Iterator<Item = Tested<'_>> {
    let names = taken.texts("test_id").zip(taken.texts("asset_id"));
    let told = taken.texts("kind").zip(taken.days("performed_on"));
    names.zip(told).map(|((test_id, asset_id), (kind, performed_on))| Tested {
        test_id: test_id.unwrap_or_default(),
        asset_id,
        kind: kind.unwrap_or_default(),
        performed_on,
    })
}

/// What the analysis before left.
struct Remembered(Kept);

impl Memory for Remembered {
    fn recall(&mut self) -> Option<Vec<u8>> {
        self.0.recall()
    }

    fn keep(&mut self, part: Vec<u8>) {
        self.0.keep(&part);
    }

    fn is_damaged(&mut self) {
        self.0.give_up("a part holds something else than machines");
    }
}

impl Remembered {
    /// Leaves what was kept for the next analysis; tells what was wrong with what was there.
    fn close(self, snapshot: &Snapshot) -> Option<String> {
        let damage = self.0.damage().map(str::to_owned);
        if let Some(damage) = &damage {
            tracing::warn!(
                damage,
                "what the analysis before left is damaged; machines behind the damage are worked out again"
            );
        }
        if let Err(error) = self.0.leave(snapshot) {
            tracing::warn!(%error, "what was worked out could not be kept; the next analysis works it out again");
        }
        damage
    }
}

/// The tables that are judged.
pub fn frames(snapshot: &Snapshot) -> anyhow::Result<Frames> {
    Ok(Frames {
        assets: snapshot.scan("assets")?,
        tests: snapshot.scan("tests")?,
        readings: snapshot.scan("readings")?,
        reported_figures: snapshot.scan("reported_figures")?,
        waveforms: snapshot.scan("waveforms")?,
    })
}

/// Day of the import whose rows the tables hold.
fn imported_on(snapshot: &Snapshot) -> anyhow::Result<Option<Date>> {
    let imports: Vec<ImportRow> = snapshot.rows()?;
    let newest = imports.iter().map(|import| import.started_at.as_str()).max();
    Ok(newest.and_then(|told| told.get(..10)).and_then(|day| day.parse().ok()))
}
