//! How often people found what a rule had found.

use std::collections::BTreeMap;
use windrow_model::{Acknowledgement, Finding, WorkOutcome};

/// The outcomes of one rule; the last word on each finding counts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RuleShare {
    /// Code of the rule.
    pub rule: String,
    /// Findings with an outcome.
    pub told: usize,
    /// Those where the fault was there.
    pub confirmed: usize,
}

/// Outcomes by rule.
#[must_use]
pub fn shares(findings: &[Finding], words: &[Acknowledgement]) -> Vec<RuleShare> {
    let rules: BTreeMap<&str, &str> =
        findings.iter().map(|finding| (finding.finding_id.as_str(), finding.rule.as_str())).collect();
    let last: BTreeMap<&str, WorkOutcome> =
        words.iter().filter_map(|word| Some((word.finding.as_str(), word.outcome?))).collect();
    let mut shares: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
    for (finding, outcome) in last {
        let share = shares.entry(rules.get(finding).copied().unwrap_or("(no longer found)")).or_default();
        share.0 += 1;
        share.1 += usize::from(outcome.confirms());
    }
    let share = |(rule, (told, confirmed)): (&str, _)| RuleShare { rule: rule.to_owned(), told, confirmed };
    shares.into_iter().map(share).collect()
}
