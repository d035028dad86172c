//! Stored findings by their ids.

use crate::WrongUsage;
use windrow_model::Finding;

/// Characters of an id that are shown; its beginning names a finding.
pub const SHORT: usize = 8;
/// Fewest characters that name one.
const FEWEST: usize = 4;

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

/// The beginning of an id, as it is shown.
#[must_use]
pub fn short(finding: &Finding) -> String {
    finding.finding_id.chars().take(SHORT).collect()
}

/// The one finding whose id begins with `id`.
///
/// # Errors
/// When there is none, or more than one, with what to do.
pub fn find<'a>(findings: &'a [Finding], id: &str) -> anyhow::Result<&'a Finding> {
    let asked = id.trim().to_ascii_lowercase();
    let listed = "`windrow query \"SELECT finding_id, state, level, statement FROM findings\" --fleet DIR` lists them";
    let wrong = |text: String| -> anyhow::Result<&'a Finding> { Err(WrongUsage(text).into()) };
    if findings.is_empty() {
        return wrong("this fleet has no findings; `windrow analyze --fleet DIR` looks for them".to_owned());
    }
    if asked.len() < FEWEST {
        return wrong(format!(
            "{id:?} is too short for the id of a finding: give {FEWEST} characters or more; {listed}"
        ));
    }
    let mut found = findings.iter().filter(|finding| finding.finding_id.starts_with(&asked));
    match (found.next(), found.next()) {
        (Some(one), None) => Ok(one),
        (None, _) => wrong(format!("no finding has an id that begins with {id:?}; {listed}")),
        (Some(a), Some(b)) => wrong(format!(
            "several findings have ids that begin with {id:?} ({}, {}); give more of it",
            a.finding_id, b.finding_id
        )),
    }
}
