//! The rows of one machine, by where they stand: nothing is looked through for them.

use crate::trouble::Trouble;
use crate::view::View;
use std::collections::{BTreeSet, HashMap};
use windrow_model::{Asset, Coverage, Hold, Test, TestSummary};
use windrow_store::{Snapshot, Span};
use windrow_tasks::report::{Own, files};

/// Where the rows of each machine stand, by its place among all.
#[derive(Debug, Default)]
pub(crate) struct Rows {
    tests: HashMap<usize, Vec<Span>>,
    summaries: HashMap<usize, Vec<Span>>,
    coverage: HashMap<usize, Vec<Span>>,
}

impl Rows {
    pub(crate) fn of(snapshot: &Snapshot, asset_at: &HashMap<String, usize>) -> Result<Self, Trouble> {
        let place = |id: &str| asset_at.get(id).copied();
        Ok(Self {
            tests: snapshot.places::<Test, _>("asset_id", place)?,
            summaries: snapshot.places::<TestSummary, _>("asset_id", place)?,
            coverage: snapshot.places::<Coverage, _>("asset_id", place)?,
        })
    }
}

impl View {
    /// The rows of `asset`; `beside` are the machines that share a name with it.
    pub(crate) fn own(&self, asset: &Asset, beside: &[&Asset]) -> Result<Own, Trouble> {
        let spans = |of: &HashMap<usize, Vec<Span>>, asset: &Asset| {
            self.place(&asset.asset_id).and_then(|place| of.get(&place)).cloned().unwrap_or_default()
        };
        let tests: Vec<Test> = self.snapshot.rows_at(&spans(&self.rows.tests, asset))?;
        let mut others: Vec<Span> = beside.iter().flat_map(|other| spans(&self.rows.tests, other)).collect();
        others.sort_by_key(|span| *span.start());
        let files: BTreeSet<&str> = files(&tests).into_iter().collect();
        let is_of_file = |file: &str| files.contains(file);
        let questions = self.questions.iter().map(|group| &group.holds);
        let questions = questions.filter(|holds| holds.first().is_some_and(|hold| is_of_file(&hold.source_file)));
        Ok(Own {
            of_others: self.snapshot.rows_at(&others)?,
            summaries: self.snapshot.rows_at(&spans(&self.rows.summaries, asset))?,
            findings: self
                .findings
                .iter()
                .filter(|finding| finding.asset_id.as_ref() == Some(&asset.asset_id))
                .cloned()
                .collect(),
            coverage: self.snapshot.rows_at(&spans(&self.rows.coverage, asset))?,
            questions: questions.cloned().collect::<Vec<Vec<Hold>>>(),
            sources: self.sources.iter().filter(|source| is_of_file(&source.source_file)).cloned().collect(),
            import: self.import.clone(),
            tests,
        })
    }
}
