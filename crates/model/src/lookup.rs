//! One thing by the beginning of its id, for whoever names one: a person at a terminal or a page, a maintenance system that answers.

use crate::Finding;
use std::fmt;

/// Characters of an id of a finding that lists show; as many name one, and fewer do not: of a shorter beginning a slip of the keys would
/// often be that of another.
pub const SHORT: usize = 8;

/// Things that have ids, in words.
#[derive(Debug, PartialEq, Eq)]
pub struct Kind {
    /// One of them.
    pub one: &'static str,
    /// Several.
    pub several: &'static str,
    /// Fewest characters that name one.
    pub least: usize,
    /// What lists them.
    pub list: &'static str,
    /// What is said where there are none.
    pub none: &'static str,
}

/// Findings.
pub const FINDINGS: Kind = Kind {
    one: "finding",
    several: "findings",
    least: SHORT,
    list: "`windrow query \"SELECT finding_id, state, level, statement FROM findings\" --fleet DIR`",
    none: "this fleet has no findings; `windrow analyze --fleet DIR` looks for them",
};

/// Why an id names nothing, or no single thing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unfound {
    /// There are none at all.
    Nothing(&'static Kind),
    /// Too little of an id.
    TooShort(&'static Kind, String),
    /// None has an id that begins so.
    None(&'static Kind, String),
    /// Several have: what was told, and two of them.
    Several(&'static Kind, String, [String; 2]),
}

impl fmt::Display for Unfound {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Nothing(kind) => f.write_str(kind.none),
            Self::TooShort(Kind { one, least, list, .. }, id) => {
                write!(
                    f,
                    "{id:?} is too short for the id of a {one}: give {least} characters or more; {list} lists them"
                )
            }
            Self::None(Kind { one, list, .. }, id) => {
                write!(f, "no {one} has an id that begins with {id:?}; {list} lists them")
            }
            Self::Several(Kind { several, .. }, id, [one, other]) => {
                write!(f, "several {several} have ids that begin with {id:?} ({one}, {other}); give more of it")
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
    let own = |finding: &'a Finding| finding.finding_id.as_str();
    find_in(&FINDINGS, findings, id, |finding| std::iter::once(own(finding)))
}

/// The one thing of `all` that has an id which begins with `id`, in letters of either case; `ids` gives those of each, its own first.
///
/// # Errors
/// As [`find`].
pub fn find_in<'a, T, I: Iterator<Item = &'a str>>(
    kind: &'static Kind,
    all: &'a [T],
    id: &str,
    ids: impl Fn(&'a T) -> I,
) -> Result<&'a T, Unfound> {
    let asked = id.trim().to_ascii_lowercase();
    if all.is_empty() {
        return Err(Unfound::Nothing(kind));
    }
    if asked.chars().count() < kind.least {
        return Err(Unfound::TooShort(kind, id.to_owned()));
    }
    let meant = |one: &&'a T| ids(one).any(|known| known.starts_with(&asked));
    let mut found = all.iter().filter(meant);
    let name = |one: &'a T| ids(one).next().unwrap_or_default().to_owned();
    match (found.next(), found.next()) {
        (Some(one), None) => Ok(one),
        (None, _) => Err(Unfound::None(kind, id.to_owned())),
        (Some(one), Some(other)) => Err(Unfound::Several(kind, id.to_owned(), [name(one), name(other)])),
    }
}

#[cfg(test)]
mod tests {
    use super::{FINDINGS, Unfound, find};
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
        assert!(matches!(find(&all, "0c1d0c1"), Err(Unfound::TooShort(..))));
        assert!(matches!(find(&all, "ffffffff"), Err(Unfound::None(..))));
        assert_eq!(find(&[], "0c1d").map(|found| found.finding_id.as_str()), Err(Unfound::Nothing(&FINDINGS)));
    }
}
