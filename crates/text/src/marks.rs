//! Words and signs that are not values: ditto marks, "not tested", events, statistics, verdicts.

/// Whether `text` is a ditto mark or word (`"`, `''`, `do.`, `same`, `idem`, `dto`).
#[must_use]
pub fn is_ditto(text: &str) -> bool {
    let _ = text;
    false
}

/// Whether `text` says that nothing was measured (`n/t`, `o/s`, `-`, `not tested`, `hors service`, `nicht gemessen`).
#[must_use]
pub fn is_void(text: &str) -> bool {
    let _ = text;
    false
}

/// What happened to a machine, as a word in a cell.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Event {
    /// Rewound.
    Rewound,
    /// Cleaned.
    Cleaned,
    /// Dried or baked.
    Dried,
    /// Replaced, swapped, sold, spare.
    Replaced,
}

/// The event that `text` tells, if it begins with one.
#[must_use]
pub fn event(text: &str) -> Option<Event> {
    let _ = text;
    None
}

/// A figure that the source computed or set, not measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Statistic {
    /// Average, mean.
    Mean,
    /// Total, sum.
    Total,
    /// Lowest.
    Lowest,
    /// Highest.
    Highest,
    /// Limit, minimum required, specification.
    Limit,
    /// Count of tests, number of pages.
    Count,
    /// Computed difference, percentage of last.
    Computed,
}

/// The statistic that a label names, if any (`"AVG"`, `"Mittelwert"`, `"lowest"`, `"min. allowed"`).
#[must_use]
pub fn statistic(text: &str) -> Option<Statistic> {
    let _ = text;
    None
}

/// A verdict word.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Verdict {
    /// Pass, OK, withstood.
    Pass,
    /// Fail, broke down, flashover.
    Fail,
    /// Marginal, watch.
    Marginal,
    /// Stopped, aborted.
    Stopped,
}

/// The verdict that `text` tells, if it is one.
#[must_use]
pub fn verdict(text: &str) -> Option<Verdict> {
    let _ = text;
    None
}
