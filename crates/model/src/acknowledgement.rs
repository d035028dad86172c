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
}

impl Acknowledgement {
    /// Who did what and why, for the changes of a finding.
    #[must_use]
    pub fn told(&self) -> String {
        let by = self.by.as_deref().map(|by| format!(" by {by}")).unwrap_or_default();
        match self.word {
            Word::Acknowledged => format!("acknowledged at {}{by}: {}", self.level, self.reason),
            Word::TakenBack => format!("acknowledgement taken back{by}: {}", self.reason),
        }
    }
}
