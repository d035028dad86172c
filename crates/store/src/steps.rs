//! The steps of a commit, so that tests can stop it after each of them.

use crate::error::{Error, Result};

/// Counts steps; a test lets it stop after one, as a killed program would: nothing is cleaned up.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Steps {
    taken: usize,
    stop_after: Option<usize>,
}

impl Steps {
    /// Stops after `steps` steps.
    #[cfg(test)]
    pub(crate) fn stopping_after(steps: usize) -> Self {
        Self { taken: 0, stop_after: Some(steps) }
    }

    /// One step is done.
    pub(crate) fn done(&mut self) -> Result<()> {
        self.taken += 1;
        match self.stop_after {
            Some(last) if self.taken >= last => Err(Error::new(format!("stopped after step {last}"))),
            _ => Ok(()),
        }
    }
}
