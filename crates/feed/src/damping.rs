//! Findings that come and go.
//!
//! A finding's *standing* is whether the records show it, and its level. Each change of standing is told and counted. From the third
//! change on a finding flaps: a further change is told only when it holds over two imports, so that records which are read back and forth
//! cost one event and not many. A rise to `act` is told at once, always.

use crate::now::{Known, Shown};
use serde::{Deserialize, Serialize};
use windrow_model::Finding;

/// Changes of standing after which a finding flaps.
const FLAPPING: u32 = 3;
/// The level that never waits.
const GRAVEST: &str = Finding::LEVELS[0];

/// What was told of a finding.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct History {
    /// Standing that was told last.
    pub(crate) standing: String,
    /// Changes of standing that were told.
    pub(crate) flips: u32,
    /// A standing that waits, and the import that showed it first.
    pub(crate) waiting: Option<(String, String)>,
}

/// What to do with the standing of now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Verdict {
    /// It is the one that was told.
    Same(History),
    /// Tell it.
    Tell(History),
    /// Wait for another import.
    Wait(History),
}

/// Standing of a finding, as a word.
pub(crate) fn standing(known: &Known) -> String {
    match known.shown {
        Shown::Open => known.level.clone(),
        Shown::Cleared => "cleared".to_owned(),
    }
}

/// Weighs `standing` as import `import_id` shows it against what was told.
pub(crate) fn weigh(told: &History, standing: &str, import_id: &str) -> Verdict {
    if told.standing == standing {
        return Verdict::Same(History { waiting: None, ..told.clone() });
    }
    let held = told.waiting.as_ref().is_some_and(|(waits, since)| waits == standing && since != import_id);
    if told.flips < FLAPPING || held || standing == GRAVEST {
        return Verdict::Tell(History { standing: standing.to_owned(), flips: told.flips + 1, waiting: None });
    }
    let since = told.waiting.as_ref().filter(|(waits, _)| waits == standing).map_or(import_id, |(_, since)| since);
    Verdict::Wait(History { waiting: Some((standing.to_owned(), since.to_owned())), ..told.clone() })
}

#[cfg(test)]
mod tests {
    use super::{History, Verdict, weigh};

    /// Feeds `standings`, one an import, and gives which were told.
    fn told(standings: &[&str]) -> Vec<bool> {
        let mut history = History { standing: "watch".to_owned(), ..History::default() };
        let mut told = Vec::new();
        for (import, standing) in standings.iter().enumerate() {
            let verdict = weigh(&history, standing, &import.to_string());
            told.push(matches!(verdict, Verdict::Tell(_)));
            let (Verdict::Same(next) | Verdict::Tell(next) | Verdict::Wait(next)) = verdict;
            history = next;
        }
        told
    }

    #[test]
    fn the_fourth_change_waits_until_it_holds() {
        let told = told(&["cleared", "watch", "cleared", "watch", "cleared", "watch", "watch"]);
        assert_eq!(told, [true, true, true, false, false, false, true]);
    }

    #[test]
    fn a_rise_to_the_gravest_level_never_waits() {
        assert_eq!(told(&["cleared", "watch", "cleared", "act"]), [true, true, true, true]);
    }

    #[test]
    fn the_same_import_again_is_no_second_import() {
        let flapping = History { standing: "cleared".to_owned(), flips: 3, waiting: None };
        let Verdict::Wait(once) = weigh(&flapping, "watch", "one") else { panic!("told at once") };
        assert!(matches!(weigh(&once, "watch", "one"), Verdict::Wait(_)));
        assert!(matches!(weigh(&once, "watch", "two"), Verdict::Tell(_)));
    }
}
