//! Words of people on findings: seen, and closed with a reason.

use serde::{Deserialize, Serialize};

crate::coded_enum! {
    /// What a person did with a finding.
    pub enum Word {
        /// Closed it at its level: what follows from it is done or decided.
        Acknowledged = "acknowledged",
        /// Took that back: it is open again.
        TakenBack = "taken_back",
    }
}

crate::coded_enum! {
    /// What people found when they looked at the machine.
    pub enum WorkOutcome {
        /// The fault is there.
        Confirmed = "confirmed",
        /// Nothing was found.
        NothingFound = "nothing_found",
        /// The fault was there, and is repaired.
        Repaired = "repaired",
    }
}

impl WorkOutcome {
    /// Whether it says that the finding was right.
    #[must_use]
    pub const fn confirms(self) -> bool {
        matches!(self, Self::Confirmed | Self::Repaired)
    }
}

/// A person's word on one finding, as it stands in `decisions.toml`. The last one on a finding holds.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Acknowledgement {
    /// Id of the finding.
    pub finding: String,
    /// What the person did.
    pub word: Word,
    /// Level that the finding had then. At a graver level it is open again.
    pub level: String,
    /// Why.
    pub reason: String,
    /// Who.
    #[serde(default)]
    pub by: Option<String>,
    /// When, as a date.
    #[serde(default)]
    pub on: Option<String>,
    /// Number of the work order in the maintenance system.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub work_order: Option<String>,
    /// What people found.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub outcome: Option<WorkOutcome>,
    /// Code of the failure mode, ISO 14224.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub failure_mode: Option<String>,
}

impl Acknowledgement {
    /// Who did what and why, for the changes of a finding.
    #[must_use]
    pub fn told(&self) -> String {
        let by = self.by.as_deref().map(|by| format!(" by {by}")).unwrap_or_default();
        let found = self.outcome.map(|outcome| format!(", {}", outcome.code().replace('_', " "))).unwrap_or_default();
        let mode = self.failure_mode.as_deref().map(|code| format!(" ({code})")).unwrap_or_default();
        let order = self.work_order.as_deref().map(|order| format!(", work order {order}")).unwrap_or_default();
        match self.word {
            Word::Acknowledged => format!("acknowledged at {}{by}{found}{mode}{order}: {}", self.level, self.reason),
            Word::TakenBack => format!("acknowledgement taken back{by}: {}", self.reason),
        }
    }
}
