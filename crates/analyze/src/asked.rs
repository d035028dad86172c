//! Questions that are asked of many machines, and how many of the answers are expected to be false.
//!
//! One series in a hundred seems to step by chance alone, and a fleet has thousands. So each rule that rests on a chance says of how many machines it
//! asked, and what it tells gets a rate of false discoveries over all of them (Benjamini & Hochberg 1995). What was asked and not told counts with a
//! chance of 1, which can only raise the rates.

use crate::finding::small;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, HashMap};
use windrow_model::{Finding, Step};
use windrow_statistics::multiplicity::benjamini_hochberg;

/// Largest rate at which a finding keeps its level; beyond it, it is a note.
const KEPT: f64 = 0.20;

/// What is asked of each machine that tells enough.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub(crate) enum Question {
    /// Whether its insulation resistance stepped.
    Step,
    /// Whether its resistance at 40 °C follows the temperature.
    Temperature,
    /// Whether it follows the humidity.
    Humidity,
    /// Whether the newest step-voltage curve of a circuit has a knee.
    Knee,
}

impl Question {
    const fn words(self) -> &'static str {
        match self {
            Self::Step => "series of four tests or more",
            Self::Temperature => "series that spread enough in temperature",
            Self::Humidity => "series that spread enough in humidity",
            Self::Knee => "step-voltage curves of five steps or more",
        }
    }
}

/// A question that was asked, and what there was to tell, with its chance.
#[derive(Debug)]
pub(crate) struct Answer {
    pub(crate) question: Question,
    pub(crate) told: Option<(Finding, f64)>,
}

/// A question that was asked, and the finding that it led to, with its chance.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub(crate) struct Asked {
    pub(crate) question: Question,
    told: Option<(String, f64)>,
}

impl Answer {
    /// Parts the finding from the question.
    pub(crate) fn part(self) -> (Asked, Option<Finding>) {
        let told = self.told.as_ref().map(|(finding, p)| (finding.finding_id.clone(), *p));
        (Asked { question: self.question, told }, self.told.map(|(finding, _)| finding))
    }
}

/// Rates of what was told, by finding.
#[derive(Debug, Default)]
pub(crate) struct Rates(HashMap<String, Rated>);

/// Chance of one finding, its rate of false discoveries, and what was asked.
#[derive(Debug, Clone, Copy)]
struct Rated {
    p: f64,
    q: f64,
    question: Question,
    asked: usize,
}

impl Rates {
    /// Over all that was `asked` of each kind. A question that was asked in two looks counts once: `again` holds answers to questions that
    /// `asked` counts already.
    pub(crate) fn of<'a>(asked: impl Iterator<Item = &'a Asked> + Clone, again: &'a [Asked]) -> Self {
        let mut counts: BTreeMap<Question, usize> = BTreeMap::new();
        for one in asked.clone() {
            *counts.entry(one.question).or_default() += 1;
        }
        let mut told: BTreeMap<Question, Vec<(&str, f64)>> = BTreeMap::new();
        for one in asked.chain(again) {
            told.entry(one.question).or_default().extend(one.told.as_ref().map(|(id, p)| (id.as_str(), *p)));
        }
        let mut rates = HashMap::new();
        for (question, told) in told {
            let asked = counts.get(&question).copied().unwrap_or_default().max(told.len());
            let mut p: Vec<f64> = told.iter().map(|(_, p)| *p).collect();
            p.resize(asked, 1.0);
            for ((id, p), q) in told.into_iter().zip(benjamini_hochberg(&p)) {
                rates.insert(id.to_owned(), Rated { p, q, question, asked });
            }
        }
        Self(rates)
    }

    /// Tells a finding its rate; what is likely one of the false ones is a note.
    pub(crate) fn tell(&self, finding: &mut Finding) {
        let Some(Rated { p, q, question, asked }) = self.0.get(&finding.finding_id).copied() else { return };
        finding.q_value = Some(q);
        if q > KEPT {
            "note".clone_into(&mut finding.level);
        }
        finding.working.extend([
            Step::new("group", format!("{asked} {} of this fleet", question.words())),
            Step::new(
                "chance",
                format!(
                    "p = {} for this one alone; q = {} over all of these (Benjamini and Hochberg 1995)",
                    small(p),
                    small(q)
                ),
            ),
        ]);
    }
}

#[cfg(test)]
mod tests {
    use super::{Asked, Question, Rates};

    fn asked(id: &str, p: f64) -> Asked {
        Asked { question: Question::Step, told: Some((id.to_owned(), p)) }
    }

    /// By the definition of the procedure: the smallest of 100 chances times 100, the next times 100/2.
    #[test]
    fn rates_count_everything_that_was_asked() {
        let silent: Vec<Asked> = (0..100).map(|_| Asked { question: Question::Step, told: None }).collect();
        let rates = Rates::of(silent.iter(), &[asked("a", 1e-4), asked("b", 0.008)]);
        assert!((rates.0["a"].q - 0.01).abs() < 1e-12 && (rates.0["b"].q - 0.4).abs() < 1e-12, "{rates:?}");
        let few = Rates::of(silent[..2].iter(), &[asked("a", 1e-4), asked("b", 0.008)]);
        assert!((few.0["b"].q - 0.008).abs() < 1e-12, "{few:?}");
    }
}
