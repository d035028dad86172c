//! What parts give: rows, and how many machines were looked at for them.

use crate::kept::LookedAt;
use windrow_model::{Coverage, TestSummary, Text};

/// The rows of one part, machine by machine.
#[derive(Debug, Default)]
pub struct Rows {
    /// One row a test, sorted by machine, date and id.
    pub summaries: Vec<TestSummary>,
    /// What tests proved of the insulation of each machine, one row a part of the insulation.
    pub coverage: Vec<Coverage>,
    /// Machines of which nothing changed since the analysis before: their rows are those that it gave, and are not given again. Always empty
    /// without a memory.
    pub as_before: Vec<Text>,
}

/// What a look at the tests of one machine gives.
pub(super) struct Looked {
    pub(super) summaries: Vec<TestSummary>,
    pub(super) coverage: Vec<Coverage>,
    /// `None` where no test has a machine, or all are repeats.
    pub(super) machine: Option<LookedAt>,
}

impl Rows {
    /// Takes the rows of a look, and gives the rest.
    pub(super) fn take(&mut self, looked: Looked) -> Option<LookedAt> {
        self.summaries.extend(looked.summaries);
        self.coverage.extend(looked.coverage);
        looked.machine
    }
}

/// How many machines an analysis looked at, and how many of them anew: of the others nothing had changed since the analysis before.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Looks {
    /// Machines with tests.
    pub machines: usize,
    /// Those that were worked out anew.
    pub anew: usize,
    /// Forecasts that were asked for.
    pub forecasts: usize,
    /// Those that were made anew: of the others readings, limit and scatter were those of before.
    pub forecasts_anew: usize,
}
