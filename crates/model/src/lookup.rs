//! One finding by the beginning of its id, for whoever names one: a person at a terminal or a page, a maintenance system that answers.

use crate::Finding;
use std::fmt;

/// Characters of an id that lists show; as many name a finding, and fewer do not: of a shorter beginning a slip of the keys would often
/// be that of another.
pub const SHORT: usize = 8;

/// Why an id names no finding, or no single one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unfound {
    /// There are no findings at all.
    NoFindings,
    /// Too little of an id.
    TooShort(String),
    /// None has an id that begins so.
    None(String),
    /// Several have: what was told, and two of them.
    Several(String, [String; 2]),
}

impl fmt::Display for Unfound {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        const LISTED: &str =
            "`windrow query \"SELECT finding_id, state, level, statement FROM findings\" --fleet DIR` lists them";
        match self {
            Self::NoFindings => f.write_str("this fleet has no findings; `windrow analyze --fleet DIR` looks for them"),
            Self::TooShort(id) => {
                write!(f, "{id:?} is too short for the id of a finding: give {SHORT} characters or more; {LISTED}")
            }
            Self::None(id) => write!(f, "no finding has an id that begins with {id:?}; {LISTED}"),
            Self::Several(id, [one, other]) => {
                write!(f, "several findings have ids that begin with {id:?} ({one}, {other}); give more of it")
            }
        }
    }
}

impl std::error::Error for Unfound {}

/// The one finding whose id begins with `id`, in letters of either case.
///
/// # Errors
/// When there is none, or more than one, with what to do.
pub fn find<'a>(findings: &'a [Finding], id: &str) -> Result<&'a Finding, Unfound> {
    let asked = id.trim().to_ascii_lowercase();
    if findings.is_empty() {
        return Err(Unfound::NoFindings);
    }
    if asked.chars().count() < SHORT {
        return Err(Unfound::TooShort(id.to_owned()));
    }
    let mut found = findings.iter().filter(|finding| finding.finding_id.starts_with(&asked));
    match (found.next(), found.next()) {
        (Some(one), None) => Ok(one),
        (None, _) => Err(Unfound::None(id.to_owned())),
        (Some(one), Some(other)) => {
            Err(Unfound::Several(id.to_owned(), [one.finding_id.clone(), other.finding_id.clone()]))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Unfound, find};
    use crate::Finding;

    fn finding(id: &str) -> Finding {
        Finding {
            finding_id: id.to_owned(),
            asset_id: None,
            test_id: None,
            rule: "ir_minimum".to_owned(),
            level: "act".to_owned(),
            statement: String::new(),
            evidence: Vec::new(),
            value: None,
            limit: None,
            unit: None,
            basis: String::new(),
            next_test: None,
            cautions: String::new(),
            q_value: None,
            forecast_date: None,
            forecast_from: None,
            forecast_to: None,
            first_seen: None,
            last_seen: None,
            state: "open".to_owned(),
            working: Vec::new(),
            proposal: None,
            changes: Vec::new(),
        }
    }

    #[test]
    fn the_beginning_of_an_id_names_one_finding_and_never_the_first_of_several() {
        let all = [finding("0c1d0c1d-aaaa"), finding("0c1d0c1d-bbbb")];
        assert_eq!(find(&all, "0C1D0C1D-b").map(|found| found.finding_id.as_str()), Ok("0c1d0c1d-bbbb"));
        assert!(matches!(find(&all, "0c1d0c1d"), Err(Unfound::Several(..))));
        assert!(matches!(find(&all, "0c1d0c1"), Err(Unfound::TooShort(_))));
        assert!(matches!(find(&all, "ffffffff"), Err(Unfound::None(_))));
        assert_eq!(find(&[], "0c1d").map(|found| found.finding_id.as_str()), Err(Unfound::NoFindings));
    }
}
