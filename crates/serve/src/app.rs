//! What all requests share.

use crate::guard::Guard;
use crate::pending::Pending;
use crate::sql::{Limits, Sql};
use crate::trouble::Trouble;
use crate::view::View;
use crate::work::Work;
use std::path::PathBuf;
use std::sync::{Arc, Mutex, PoisonError};
use windrow_store::{Fleet, Mark};
use windrow_tasks::import::Readers;

/// What all requests share.
pub(crate) struct App {
    pub(crate) fleet: Fleet,
    pub(crate) guard: Guard,
    pub(crate) readers: Readers,
    pub(crate) work: Work,
    pub(crate) sql: Sql,
    /// Held while a person's word is compared with what stands and written down.
    pub(crate) changing: Mutex<()>,
    pending: Pending,
    newest: Mutex<Option<(Mark, Arc<View>)>>,
}

pub(crate) type Shared = Arc<App>;

impl App {
    pub(crate) fn new(fleet: Fleet, guard: Guard, readers: Readers, (program, limits): (PathBuf, Limits)) -> Shared {
        let sql = Sql::new(program, limits);
        Arc::new(Self {
            fleet,
            guard,
            readers,
            work: Work::default(),
            changing: Mutex::default(),
            sql,
            pending: Pending::default(),
            newest: Mutex::default(),
        })
    }

    /// The newest snapshot with what pages look up in it; made once for each commit, whoever asks first.
    pub(crate) fn view(&self) -> Result<Arc<View>, Trouble> {
        let mut newest = self.newest.lock().unwrap_or_else(PoisonError::into_inner);
        let mark = self.fleet.mark()?;
        if let Some((seen, view)) = newest.as_ref()
            && *seen == mark
        {
            return Ok(Arc::clone(view));
        }
        let snapshot = self.fleet.snapshot()?;
        // A commit writes several times; only a new number is other rows.
        if let Some((seen, view)) = newest.as_mut()
            && view.snapshot.commit() == snapshot.commit()
            && snapshot.commit() > 0
        {
            *seen = mark;
            return Ok(Arc::clone(view));
        }
        let view = Arc::new(View::of(&self.fleet, snapshot)?);
        *newest = Some((mark, Arc::clone(&view)));
        Ok(view)
    }

    /// Whether answers wait to be applied to the records.
    pub(crate) fn is_pending(&self, view: &View) -> bool {
        view.import.as_ref().is_some_and(|import| self.pending.since(&self.fleet, &import.settings_hash))
    }
}
