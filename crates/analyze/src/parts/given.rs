//! What parts give: rows, and how many machines were looked at for them.

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
