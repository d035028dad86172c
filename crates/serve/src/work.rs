//! The one thing that goes on in the background: reading the records again with the answers, and judging them.

use crate::app::Shared;
use std::collections::BTreeSet;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::PathBuf;
use std::sync::{Mutex, PoisonError};
use windrow_importer::Stage;
use windrow_model::SourceRow;
use windrow_pipeline::Missing;
use windrow_tasks::Totals;
use windrow_tasks::import::{Task, import};
use windrow_tasks::judge::judge;

/// How it stands.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) enum State {
    /// Nothing was asked for since the program started.
    #[default]
    Idle,
    /// Files are looked at and read: how many of how many.
    Reading(usize, usize),
    /// The tables are made and judged.
    Judging,
    /// It was done, with what it left.
    Done(String),
    /// It could not be done, with how far it came.
    Failed(String),
}

impl State {
    /// Whether it goes on.
    pub(crate) const fn is_running(&self) -> bool {
        matches!(self, Self::Reading(..) | Self::Judging)
    }

    /// Code for programs.
    pub(crate) const fn code(&self) -> &'static str {
        match self {
            Self::Idle => "idle",
            Self::Reading(..) => "reading",
            Self::Judging => "judging",
            Self::Done(_) => "done",
            Self::Failed(_) => "failed",
        }
    }

    /// In words.
    pub(crate) fn words(&self) -> String {
        match self {
            Self::Idle => "Nothing is going on.".to_owned(),
            Self::Reading(done, of) => format!("Reading the records again: {done} of {of} files."),
            Self::Judging => "Judging what was read.".to_owned(),
            Self::Done(text) | Self::Failed(text) => text.clone(),
        }
    }
}

/// The work, with room for its state.
#[derive(Debug, Default)]
pub(crate) struct Work(Mutex<State>);

impl Work {
    /// How it stands now.
    pub(crate) fn state(&self) -> State {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    fn tell(&self, state: State) {
        *self.0.lock().unwrap_or_else(PoisonError::into_inner) = state;
    }

    /// Takes the right to begin; `false` where it goes on already.
    fn begin(&self) -> bool {
        let mut state = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if state.is_running() {
            return false;
        }
        *state = State::Reading(0, 0);
        true
    }
}

/// Begins to read all records of the fleet again with the answers that stand now, and to judge them. Returns whether it was begun:
/// not where it goes on already.
pub(crate) fn apply(app: &Shared) -> bool {
    if !app.work.begin() {
        return false;
    }
    let shared = app.clone();
    let started = std::thread::Builder::new().name("apply".to_owned()).spawn(move || {
        let end = ended(|| read_and_judge(&shared));
        shared.work.tell(end);
    });
    if let Err(error) = started {
        app.work.tell(State::Failed(format!("The system gives no thread for it: {error}")));
    }
    true
}

/// Where the work failed, and why.
enum Failure {
    Reading(anyhow::Error),
    Judging(anyhow::Error),
}

/// What became of the work, whatever it did: a panic must not leave it going on for ever.
fn ended(work: impl FnOnce() -> Result<String, Failure>) -> State {
    match catch_unwind(AssertUnwindSafe(work)) {
        Ok(Ok(text)) => State::Done(text),
        Ok(Err(Failure::Reading(error))) => {
            State::Failed(format!("The answers could not be applied; the tables are as they were. {error:#}"))
        }
        Ok(Err(Failure::Judging(error))) => State::Failed(format!(
            "The answers are applied and the records were read again, but not judged: findings and test summaries are still those of \
             before. Ask again, or use `windrow analyze`. {error:#}"
        )),
        Err(_) => State::Failed(
            "A bug of ours ended the work before it was done; please report it, with what the program wrote to its log. Findings may \
             be older than the records: read the records again, or use `windrow analyze`."
                .to_owned(),
        ),
    }
}

fn read_and_judge(app: &Shared) -> Result<String, Failure> {
    let totals = read(app).map_err(Failure::Reading)?;
    app.work.tell(State::Judging);
    judge(app.fleet.dir()).map_err(Failure::Judging)?;
    Ok(format!(
        "The answers are applied: {} machines, {} tests, {} readings; {} questions are open.",
        totals.machines, totals.tests, totals.readings, totals.questions
    ))
}

fn read(app: &Shared) -> anyhow::Result<Totals> {
    let sources: Vec<SourceRow> = app.fleet.snapshot()?.rows()?;
    let origins: BTreeSet<PathBuf> = sources.iter().map(|source| PathBuf::from(&source.origin)).collect();
    let there: Vec<PathBuf> = origins.iter().filter(|origin| origin.exists()).cloned().collect();
    if there.is_empty() {
        let names: Vec<String> = origins.iter().map(|origin| origin.display().to_string()).collect();
        anyhow::bail!("none of the folders that were imported is there any more ({}); put one back", names.join(", "));
    }
    let task = Task { fleet: app.fleet.dir(), paths: &there, missing: Missing::Keep };
    let mut done = 0;
    let imported = import(task, &app.readers, &mut |progress| {
        if progress.stage == Stage::Understanding {
            done += 1;
            app.work.tell(State::Reading(done, progress.of));
        }
    })?;
    Ok(imported.totals)
}

#[cfg(test)]
mod tests {
    use super::{Failure, State, ended};

    #[test]
    fn work_that_fails_has_an_end_that_tells_how_far_it_came() {
        let failed = |state: State| match state {
            State::Failed(text) => text,
            other => panic!("{other:?}"),
        };
        assert_eq!(ended(|| Ok("done".to_owned())), State::Done("done".to_owned()));
        let reading = failed(ended(|| Err(Failure::Reading(anyhow::anyhow!("no folder")))));
        assert!(reading.contains("as they were") && reading.contains("no folder"), "{reading}");
        let judging = failed(ended(|| Err(Failure::Judging(anyhow::anyhow!("no room")))));
        assert!(judging.contains("not judged") && !judging.contains("as they were"), "{judging}");
        let broken = failed(ended(|| panic!("a bug")));
        assert!(broken.contains("report"), "{broken}");
    }
}
