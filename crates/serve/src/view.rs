//! One snapshot with what pages look up in it: the small tables whole, a line a machine, findings and questions by what they concern.
//!
//! Readings and cells stay on the disk; the pages of one machine and of one source read theirs.

use crate::own::Rows;
use crate::trouble::Trouble;
use jiff::civil::Date;
use std::collections::{BTreeMap, HashMap};
use windrow_model::{Asset, Finding, Hold, ImportRow, SourceRow, TestSummary};
use windrow_report::findings::order;
use windrow_store::{Fleet, Snapshot};
use windrow_tasks::cohorts::{Kin, kin};
use windrow_tasks::positions::Names;
use windrow_tasks::questions::{Group, groups};

/// A snapshot, arranged.
#[derive(Debug)]
pub(crate) struct View {
    pub(crate) snapshot: Snapshot,
    pub(crate) title: String,
    /// Machines, by site and tag.
    pub(crate) assets: Vec<Asset>,
    /// A line a machine, in the order of `assets`.
    pub(crate) lines: Vec<Line>,
    /// Findings, most pressing first.
    pub(crate) findings: Vec<Finding>,
    /// Open questions, the ones that concern most cells first.
    pub(crate) questions: Vec<Group>,
    pub(crate) sources: Vec<SourceRow>,
    pub(crate) import: Option<ImportRow>,
    /// What happened to findings since the import before the newest, by id; `None` where nothing earlier is kept to compare with.
    changes: Option<HashMap<String, String>>,
    /// Machines of one rating class, kind of winding and insulation.
    pub(crate) cohorts: Vec<Kin>,
    /// Where the rows of each machine stand.
    pub(crate) rows: Rows,
    /// Machines by their names.
    pub(crate) names: Names,
    /// Tests that name no machine.
    pub(crate) unassigned: usize,
    /// Open findings by level.
    pub(crate) levels: BTreeMap<String, usize>,
    asset_at: HashMap<String, usize>,
}

/// What the list of machines tells of one.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Line {
    /// Tests, without repeats from other sources.
    pub(crate) tests: usize,
    pub(crate) last_on: Option<Date>,
    pub(crate) last_precision: String,
    /// Newest one-minute insulation resistance at 40 °C, Ohm, with its bound.
    pub(crate) resistance: Option<(f64, String)>,
    /// Newest polarization index, with its bound.
    pub(crate) index: Option<(f64, String)>,
    /// Open findings.
    pub(crate) findings: usize,
    /// The most pressing level among them.
    pub(crate) level: Option<String>,
    /// Place of the finding of this level among all.
    pub(crate) pressing: Option<usize>,
    /// What is searched, in small letters.
    pub(crate) words: String,
    /// Its place among the cohorts.
    pub(crate) cohort: usize,
}

impl View {
    pub(crate) fn of(fleet: &Fleet, snapshot: Snapshot) -> Result<Self, Trouble> {
        let mut assets: Vec<Asset> = snapshot.rows()?;
        assets.sort_by(|a, b| (&a.site, &a.tag, &a.asset_id).cmp(&(&b.site, &b.tag, &b.asset_id)));
        let mut findings: Vec<Finding> = snapshot.rows()?;
        findings.sort_by(order);
        let asset_at: HashMap<String, usize> =
            assets.iter().enumerate().map(|(index, asset)| (asset.asset_id.clone(), index)).collect();
        let mut lines: Vec<Line> = assets.iter().map(|asset| Line { words: words(asset), ..Line::default() }).collect();
        let mut unassigned = 0;
        let summaries: Vec<TestSummary> = snapshot.rows()?;
        let (cohorts, places) = kin(&assets, &summaries);
        for summary in summaries {
            match summary.asset_id.as_deref().and_then(|id| asset_at.get(id)).and_then(|index| lines.get_mut(*index)) {
                Some(line) => line.add(summary),
                None => unassigned += 1,
            }
        }
        let mut levels: BTreeMap<String, usize> = BTreeMap::new();
        for (place, finding) in findings.iter().enumerate().filter(|(_, finding)| finding.is_open()) {
            *levels.entry(finding.level.clone()).or_default() += 1;
            let index = finding.asset_id.as_ref().and_then(|id| asset_at.get(id));
            if let Some(line) = index.and_then(|index| lines.get_mut(*index)) {
                line.findings += 1;
                // The most pressing comes first.
                line.level.get_or_insert_with(|| finding.level.clone());
                line.pressing.get_or_insert(place);
            }
        }
        for (line, place) in lines.iter_mut().zip(places) {
            line.cohort = place;
        }
        Ok(Self {
            cohorts,
            names: Names::of(&assets),
            rows: Rows::of(&snapshot, &asset_at)?,
            title: windrow_tasks::report::title(fleet),
            questions: groups(snapshot.rows::<Hold>()?),
            sources: snapshot.rows()?,
            changes: earlier(fleet).map(|earlier| changes(&earlier, &findings)),
            import: windrow_tasks::report::newest_import(&snapshot)?,
            snapshot,
            assets,
            lines,
            findings,
            unassigned,
            levels,
            asset_at,
        })
    }

    /// The machine of an id.
    pub(crate) fn asset(&self, id: &str) -> Option<&Asset> {
        self.place(id).and_then(|place| self.assets.get(place))
    }

    /// Place of a machine among all.
    pub(crate) fn place(&self, id: &str) -> Option<usize> {
        self.asset_at.get(id).copied()
    }

    /// The tag of a machine.
    pub(crate) fn tag(&self, id: &str) -> &str {
        self.asset(id).map_or("unnamed", |asset| asset.tag.as_str())
    }

    /// The question with an id: of its group as it is shown, or of any of its holds.
    pub(crate) fn question(&self, id: &str) -> Option<&Group> {
        self.questions.iter().find(|group| group.id == id || group.holds.iter().any(|hold| hold.hold_id == id))
    }

    /// The source of a name.
    pub(crate) fn source(&self, name: &str) -> Option<&SourceRow> {
        self.sources.iter().find(|source| source.source_file == name)
    }

    /// Day of the newest import.
    pub(crate) fn imported_on(&self) -> Option<&str> {
        self.import.as_ref().and_then(|import| import.started_at.get(..10))
    }

    /// Findings that changed since the import before the newest, what happened to each; `None` where nothing earlier is kept to
    /// compare with.
    pub(crate) fn changed(&self) -> Option<Vec<(&Finding, &str)>> {
        let changes = self.changes.as_ref()?;
        let findings = self.findings.iter();
        Some(findings.filter_map(|finding| Some((finding, changes.get(&finding.finding_id)?.as_str()))).collect())
    }
}

impl Line {
    fn add(&mut self, summary: TestSummary) {
        if summary.duplicate_of.is_some() {
            return;
        }
        self.tests += 1;
        let is_newest = summary.performed_on >= self.last_on;
        if is_newest {
            self.last_on = summary.performed_on;
            self.last_precision = summary.performed_precision.into();
        }
        // Summaries stand in the order of their days.
        if let Some(value) = summary.ir_1min_40c_ohm {
            self.resistance = Some((value, summary.ir_bound.unwrap_or_default().into()));
        }
        if let Some(value) = summary.polarization_index {
            self.index = Some((value, summary.polarization_index_bound.unwrap_or_default().into()));
        }
    }
}

/// Findings as the import before the newest left them; `None` where there was none, or its files are gone.
fn earlier(fleet: &Fleet) -> Option<Vec<Finding>> {
    fleet.snapshot_before().ok().flatten().and_then(|snapshot| snapshot.rows().ok())
}

/// What is different from `earlier`, by id of the finding.
fn changes(earlier: &[Finding], now: &[Finding]) -> HashMap<String, String> {
    let before: HashMap<&str, &Finding> =
        earlier.iter().map(|finding| (finding.finding_id.as_str(), finding)).collect();
    let change = |finding: &Finding| {
        let Some(old) = before.get(finding.finding_id.as_str()) else {
            return finding.is_open().then(|| format!("new at {}", finding.level));
        };
        match (old.is_open(), finding.is_open()) {
            (true, false) => Some(format!("{}, was open", finding.state)),
            (false, true) => Some(format!("open again at {}", finding.level)),
            (true, true) if old.level != finding.level => Some(format!("{} became {}", old.level, finding.level)),
            _ => None,
        }
    };
    now.iter().filter_map(|finding| Some((finding.finding_id.clone(), change(finding)?))).collect()
}

fn words(asset: &Asset) -> String {
    let texts = [Some(&asset.tag), asset.site.as_ref(), asset.area.as_ref(), asset.description.as_ref()];
    let more = [asset.serial_number.as_ref(), asset.manufacturer.as_ref(), asset.functional_location.as_ref()];
    let all: Vec<&str> = texts.into_iter().chain(more).flatten().chain(&asset.aliases).map(String::as_str).collect();
    all.join("\n").to_lowercase()
}
