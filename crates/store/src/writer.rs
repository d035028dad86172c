//! Changing the tables: one writer at a time, and each change visible whole or not at all.

use crate::commits::{self, CommitRow, History};
use crate::delta::{DataFile, Delta, OpenTable, encoded};
use crate::error::{Error, Result};
use crate::fleet::Fleet;
use crate::frame;
use crate::gathered::Gathered;
use crate::order;
use crate::snapshot::Snapshot;
use crate::spread::Spread;
use crate::steps::Steps;
use crate::tidy;
use jiff::Timestamp;
use std::fs::File;
use windrow_model::table::{TABLES, Table, TableInfo};
use windrow_model::{
    Asset, CellRow, Coverage, Finding, Hold, ImportRow, Reading, ReportedFigure, SourceRow, Test, TestSummary, Waveform,
};

/// What an import read, complete: it replaces all that earlier imports stored.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ImportTables {
    /// Machines.
    pub assets: Vec<Asset>,
    /// Tests.
    pub tests: Vec<Test>,
    /// Readings.
    pub readings: Vec<Reading>,
    /// Figures that sources computed.
    pub reported_figures: Vec<ReportedFigure>,
    /// Waveforms.
    pub waveforms: Vec<Waveform>,
    /// Dispositions of all cells.
    pub cells: Vec<CellRow>,
    /// Questions to a person.
    pub holds: Vec<Hold>,
    /// Files met.
    pub sources: Vec<SourceRow>,
}

/// What an analysis found, complete: it replaces what earlier ones stored.
#[derive(Debug, Default)]
pub struct AnalysisTables {
    /// One row per test.
    pub summaries: Gathered<TestSummary>,
    /// Findings.
    pub findings: Vec<Finding>,
    /// What tests proved of the insulation of each machine.
    pub coverage: Gathered<Coverage>,
}

/// What an import is known by.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Import {
    /// Hash or id of everything that went in.
    pub import_id: String,
    /// When it began, RFC 3339 in UTC.
    pub started_at: String,
    /// Version of the program.
    pub tool_version: String,
    /// From [`Fleet::settings_hash`].
    pub settings_hash: String,
}

/// What a commit did.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// The tables already held just that; nothing was written.
    Unchanged,
    /// The tables hold it now.
    Committed,
}

/// The right to change a fleet's tables; no other program has it meanwhile. Dropping it gives it back.
pub struct Writer<'a> {
    fleet: &'a Fleet,
    /// Locked as long as it is open.
    _lock: Option<File>,
    history: History,
    /// The table of commits as the history was read from it; `None` before the first commit.
    pointer: Option<OpenTable>,
    snapshot: Snapshot,
    steps: Steps,
}

/// A table's new rows in a file that no commit names yet.
struct Staged {
    info: TableInfo,
    file: Option<DataFile>,
    rows: i64,
}

impl<'a> Writer<'a> {
    /// Takes over with `lock` held: reads what is committed, and undoes what a killed program left beyond it.
    pub(crate) fn new(fleet: &'a Fleet, lock: Option<File>, steps: Steps) -> Result<Self> {
        let (history, pointer) = History::load(fleet.delta())?;
        let snapshot = Snapshot::of(&history, fleet.delta());
        let writer = Self { fleet, _lock: lock, history, pointer, snapshot, steps };
        writer.roll_back()?;
        let cutoff = tidy::cutoff(Timestamp::now());
        match tidy::run(fleet.delta(), &writer.history.since(cutoff), cutoff) {
            Ok(0) => {}
            Ok(files) => tracing::info!(files, "removed files that were replaced more than a week ago"),
            Err(error) => tracing::warn!(%error, "files that were replaced long ago could not be removed"),
        }
        Ok(writer)
    }

    /// The tables as they are now.
    #[must_use]
    pub fn snapshot(&self) -> &Snapshot {
        &self.snapshot
    }

    /// Replaces the tables of imports by `tables`. The rows may come in any order: they are stored sorted.
    ///
    /// # Errors
    /// When the disk refuses or another program interfered; readers then see the tables as they were.
    pub fn commit_import(&mut self, import: &Import, tables: ImportTables) -> Result<Outcome> {
        let mut imports: Vec<ImportRow> = self.snapshot.rows()?;
        imports.push(import_row(import, &tables));
        let mut staged = vec![
            self.stage(tables.assets)?,
            self.stage(tables.tests)?,
            self.stage(tables.readings)?,
            self.stage(tables.reported_figures)?,
            self.stage(tables.waveforms)?,
            self.stage(tables.cells)?,
            self.stage(tables.holds)?,
            self.stage(tables.sources)?,
        ];
        // Not by the id alone: another build of the program may read the same files otherwise.
        if self.snapshot.import_id() == Some(&import.import_id) && staged.iter().all(|staged| self.holds(staged)) {
            return Ok(Outcome::Unchanged);
        }
        staged.push(self.stage(imports)?);
        self.publish("import", &import.import_id, staged)
    }

    /// Replaces the tables of the analysis, which judge the snapshot of this writer.
    ///
    /// # Errors
    /// As [`Writer::commit_import`], and when nothing was imported yet.
    pub fn commit_analysis(&mut self, tables: AnalysisTables) -> Result<Outcome> {
        let Some(import_id) = self.snapshot.import_id().map(str::to_owned) else {
            return Err(Error::new(format!(
                "{} holds no records yet: import some first (windrow import PATH --fleet {0})",
                self.fleet.dir().display()
            )));
        };
        let AnalysisTables { summaries, findings, coverage } = tables;
        // Findings have few columns, most of their time goes into one of them, and so they wait for nobody.
        let (findings, (summaries, coverage)) = rayon::join(
            || laid_out(Gathered::from(findings)),
            || rayon::join(|| laid_out(summaries), || laid_out(coverage)),
        );
        let staged = vec![
            self.stage_laid_out::<TestSummary>(summaries?)?,
            self.stage_laid_out::<Finding>(findings?)?,
            self.stage_laid_out::<Coverage>(coverage?)?,
        ];
        if self.snapshot.judged_import_id() == Some(&import_id) && staged.iter().all(|staged| self.holds(staged)) {
            return Ok(Outcome::Unchanged);
        }
        self.publish("analysis", &import_id, staged)
    }

    /// Whether the table holds just the staged rows: files are named by their bytes.
    fn holds(&self, staged: &Staged) -> bool {
        let row = self.snapshot.row(staged.info.name);
        row.is_some_and(|row| row.file.as_ref() == staged.file.as_ref().map(|file| &file.name))
    }

    fn stage<T: Table>(&mut self, rows: Vec<T>) -> Result<Staged> {
        self.stage_laid_out::<T>(laid_out(Gathered::from(rows))?)
    }

    /// Writes the file of a table, durably; no reader sees it before a commit names it.
    fn stage_laid_out<T: Table>(&mut self, laid_out: Option<Spread>) -> Result<Staged> {
        let rows = laid_out.as_ref().map_or(0, |file| i64::try_from(file.rows).unwrap_or(i64::MAX));
        let write = |Spread { bytes, stats, .. }| self.fleet.delta().write_bytes(T::NAME, &bytes, stats);
        let file = laid_out.map(write).transpose()?;
        self.steps.done()?;
        Ok(Staged { info: TableInfo::of::<T>(), file, rows })
    }

    /// Commits every staged table, and last the entry that makes them the current ones.
    fn publish(&mut self, kind: &str, import_id: &str, staged: Vec<Staged>) -> Result<Outcome> {
        let now = Timestamp::now();
        let number = self.history.last() + 1;
        let mut rows: Vec<CommitRow> = self.snapshot.rows_of_commit().cloned().collect();
        rows.retain(|row| staged.iter().all(|staged| staged.info.name != row.table_name));
        for staged in staged {
            let version = self.commit_table(&staged, number)?;
            self.steps.done()?;
            rows.push(CommitRow {
                commit: number,
                kind: kind.to_owned(),
                committed_at: String::new(),
                table_name: staged.info.name.to_owned(),
                version,
                file: staged.file.map(|file| file.name),
                rows: staged.rows,
                import_id: import_id.to_owned(),
            });
        }
        for row in &mut rows {
            row.commit = number;
            kind.clone_into(&mut row.kind);
            row.committed_at = commits::in_seconds(now);
        }
        rows.sort_by_key(|row| TABLES.iter().position(|info| info.name == row.table_name));
        let mut history = self.history.since(tidy::cutoff(now));
        history.rows.extend(rows);
        self.point_to(history, number)?;
        Ok(Outcome::Committed)
    }

    /// The version of the table that holds the staged rows; a table that already does stays as it is.
    fn commit_table(&self, staged: &Staged, number: i64) -> Result<i64> {
        let delta = self.fleet.delta();
        let open = open_or_create(delta, &staged.info)?;
        let version = if names(&open)?.iter().eq(staged.file.iter().map(|file| &file.name)) {
            open.version()
        } else {
            delta.replace(&open, staged.file.as_ref(), number)?
        };
        i64::try_from(version).map_err(|error| Error::new("a table has too many versions").caused_by(error))
    }

    fn point_to(&mut self, history: History, number: i64) -> Result<()> {
        let delta = self.fleet.delta();
        let mut frame = frame::from_rows(history.rows.clone())?;
        let file = encoded(commits::INFO.name, &mut frame)?;
        let file = file.map(|file| delta.write_bytes(commits::INFO.name, &file.bytes, file.stats)).transpose()?;
        self.steps.done()?;
        let pointer = match self.pointer.take() {
            Some(pointer) => pointer,
            None => delta.create(&commits::INFO)?,
        };
        delta.replace(&pointer, file.as_ref(), number)?;
        self.steps.done()?;
        self.pointer = delta.newest(commits::INFO.name)?;
        self.snapshot = Snapshot::of(&history, delta);
        self.history = history;
        Ok(())
    }

    /// Gives every table the rows back that the newest commit names, if a killed program left others.
    fn roll_back(&self) -> Result<()> {
        let delta = self.fleet.delta();
        for info in TABLES {
            let Some(open) = delta.newest(info.name)? else { continue };
            let committed = self.snapshot.row(info.name);
            let wanted = committed.and_then(|row| row.file.as_ref());
            if names(&open)?.iter().eq(wanted) {
                continue;
            }
            let file = match (committed, wanted) {
                (Some(row), Some(name)) => Some(described(delta, row, name)?),
                _ => None,
            };
            tracing::warn!(table = info.name, "undoing what an interrupted program left");
            delta.replace(&open, file.as_ref(), self.history.last())?;
        }
        Ok(())
    }
}

/// The rows of a table in their order, as the bytes of a data file; no rows need none.
fn laid_out<T: Table>(mut rows: Gathered<T>) -> Result<Option<Spread>> {
    match rows.spread()? {
        Some(spread) => Ok(Some(spread)),
        None => encoded(T::NAME, &mut order::sorted(T::NAME, rows.into_frame()?)?),
    }
}

fn open_or_create(delta: &Delta, info: &TableInfo) -> Result<OpenTable> {
    match delta.newest(info.name)? {
        Some(open) => Ok(open),
        None => delta.create(info),
    }
}

fn names(open: &OpenTable) -> Result<Vec<String>> {
    Ok(open.files()?.into_iter().map(|file| file.name).collect())
}

/// The data file `name`, as the log described it at the version that `row` names.
fn described(delta: &Delta, row: &CommitRow, name: &str) -> Result<DataFile> {
    let files = match u64::try_from(row.version).ok().map(|version| delta.at(&row.table_name, version)) {
        Some(open) => open?.map_or_else(|| Ok(Vec::new()), |open| open.files())?,
        None => Vec::new(),
    };
    files.into_iter().find(|file| file.name == name).ok_or_else(|| {
        Error::new(format!(
            "version {} of the table {} does not hold the file {name} that was committed with it: the log was changed by \
             another program; import into a new fleet folder",
            row.version, row.table_name
        ))
    })
}

fn import_row(import: &Import, tables: &ImportTables) -> ImportRow {
    let count = |rows: usize| i64::try_from(rows).unwrap_or(i64::MAX);
    ImportRow {
        import_id: import.import_id.clone(),
        started_at: import.started_at.clone(),
        tool_version: import.tool_version.clone(),
        settings_hash: import.settings_hash.clone(),
        sources: count(tables.sources.len()),
        assets: count(tables.assets.len()),
        tests: count(tables.tests.len()),
        readings: count(tables.readings.len()),
        cells: count(tables.cells.len()),
        holds: count(tables.holds.len()),
    }
}
