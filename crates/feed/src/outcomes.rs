//! How often people found what a rule had found.

use std::collections::BTreeMap;
use windrow_model::{Acknowledgement, Finding, Word, WorkOutcome};

/// The outcomes of one rule; the last outcome of each finding counts, unless it was taken back.
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
    let mut last: BTreeMap<&str, WorkOutcome> = BTreeMap::new();
    for said in words {
        match (said.word, said.outcome) {
            (Word::TakenBack, _) => drop(last.remove(said.finding.as_str())),
            (Word::Acknowledged, Some(outcome)) => drop(last.insert(&said.finding, outcome)),
            (Word::Acknowledged, None) => {}
        }
    }
    let mut shares: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
    for (finding, outcome) in last {
        let share = shares.entry(rules.get(finding).copied().unwrap_or("(no longer found)")).or_default();
        share.0 += 1;
        share.1 += usize::from(outcome.confirms());
    }
    let share = |(rule, (told, confirmed)): (&str, _)| RuleShare { rule: rule.to_owned(), told, confirmed };
    shares.into_iter().map(share).collect()
}

#[cfg(test)]
mod tests {
    use super::shares;
    use windrow_model::{Acknowledgement, Word, WorkOutcome};

    fn said(word: Word, outcome: Option<WorkOutcome>) -> Acknowledgement {
        Acknowledgement {
            finding: "f".to_owned(),
            word,
            level: "act".to_owned(),
            reason: "looked".to_owned(),
            by: None,
            on: None,
            work_order: None,
            outcome,
            failure_mode: None,
        }
    }

    #[test]
    fn an_outcome_that_was_taken_back_does_not_count() {
        let confirmed = said(Word::Acknowledged, Some(WorkOutcome::Confirmed));
        let back = said(Word::TakenBack, None);
        let told = |words: &[&Acknowledgement]| {
            let words: Vec<Acknowledgement> = words.iter().map(|word| (*word).clone()).collect();
            shares(&[], &words).iter().map(|share| (share.told, share.confirmed)).collect::<Vec<_>>()
        };
        assert_eq!(told(&[&confirmed]), [(1, 1)]);
        assert_eq!(told(&[&confirmed, &back]), []);
        assert_eq!(told(&[&confirmed, &back, &confirmed]), [(1, 1)]);
        assert_eq!(
            told(&[&confirmed, &said(Word::Acknowledged, None)]),
            [(1, 1)],
            "a word without an outcome takes none back"
        );
    }
}
