//! How findings are told, whoever tells them.

use windrow_model::Finding;
use windrow_model::lookup::SHORT;

/// Names of steps of the working, with their headings, in the order in which they are told.
pub const HEADINGS: [(&str, &str); 7] = [
    ("data", "What went in"),
    ("model", "Model"),
    ("rule", "Rule"),
    ("group", "Compared with"),
    ("arithmetic", "Arithmetic"),
    ("chance", "Chance"),
    ("look_alike", "What else would look so"),
];

/// The beginning of an id, as it is shown; as much of it names the finding.
#[must_use]
pub fn short(finding: &Finding) -> String {
    finding.finding_id.chars().take(SHORT).collect()
}
