//! Answers of people to questions: rulings, written down with who and why; the next import applies them.

use crate::clock;
use crate::questions::Group;
use anyhow::bail;
use windrow_identity::nameplate::NOT_KNOWN;
use windrow_model::decision::NO_READING;
use windrow_model::settings::Settings;
use windrow_model::{Decision, Question};
use windrow_sheet::ruling;

/// A person's answer.
#[derive(Debug, Clone, Copy)]
pub struct Answer<'a> {
    /// The answer, in the form that the question wants, or "no reading".
    pub answer: &'a str,
    /// Who rules.
    pub by: Option<&'a str>,
    /// Why.
    pub why: Option<&'a str>,
}

/// Which cells of a question are meant.
#[derive(Clone, Copy)]
pub enum Meant<'a> {
    /// All of them, without having been told one by one.
    All,
    /// Those whose ruling this says.
    Told(&'a dyn Fn(&Decision) -> bool),
}

/// The rulings that answer a question on the cells that are meant.
///
/// # Errors
/// When the answer has another form than the question wants, when nothing tells which of several machines are meant, and when no
/// cell is meant.
pub fn rulings(group: &Group, answer: Answer<'_>, meant: Meant<'_>) -> anyhow::Result<Vec<Decision>> {
    let question = group.holds.first().and_then(|hold| Question::from_code(&hold.question));
    if let Some(question) = question
        && let Err(expected) = answers(question, answer.answer)
    {
        let text =
            format!("{:?} does not answer the question {question} ({}): {expected}", answer.answer, group.place());
        return Err(WrongAnswer(text).into());
    }
    let settles_all =
        answer.answer == NO_READING || question == Some(Question::Nameplate) && answer.answer.trim() == NOT_KNOWN;
    if matches!(meant, Meant::All) && group.is_about_several_machines() && !settles_all {
        return Err(WhichMachines::of(group, answer.answer).into());
    }
    let mut rulings = group.rulings(answer.answer, answer.by, answer.why, &clock::today().to_string());
    if let Meant::Told(is_meant) = meant {
        rulings.retain(|ruling| is_meant(ruling));
    }
    if rulings.is_empty() {
        bail!(
            "the question {} is about none of these cells; `windrow holds --explain {}` lists its cells",
            group.id,
            group.id
        );
    }
    Ok(rulings)
}

/// An answer of which nothing says which of the machines of its question it is about.
#[derive(Debug)]
pub struct WhichMachines {
    /// Why it is open.
    pub told: String,
    answer: String,
    group: String,
    cell: String,
}

impl WhichMachines {
    fn of(group: &Group, answer: &str) -> Self {
        let (count, place) = (group.holds.len(), group.place());
        let first = group.holds.first();
        let told = if group.is_about_missing_voltages() {
            format!("{count} machines tell no rated voltage ({place}), and nothing says that they have the same")
        } else {
            let text = first.map(|hold| hold.raw_text.as_str()).unwrap_or_default();
            format!("{count} records say {text:?} ({place}), and nothing says that they are of one machine")
        };
        let cell = first.and_then(|hold| hold.source_cell.as_deref()).unwrap_or("A2:A9").to_owned();
        Self { told, answer: answer.to_owned(), group: group.id.clone(), cell }
    }
}

impl std::fmt::Display for WhichMachines {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Self { told, answer, group, cell } = self;
        write!(
            f,
            "{told}: tell with --cells which of them are {answer:?}, such as --cells {cell}; `windrow holds --explain {group}` lists them"
        )
    }
}

impl std::error::Error for WhichMachines {}

/// An answer of another form than its question wants.
#[derive(Debug)]
pub struct WrongAnswer(pub String);

impl std::fmt::Display for WrongAnswer {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for WrongAnswer {}

/// Answers that can be given as they stand: those of the choices that have the form of an answer, the words that some questions want,
/// and last that there is no reading.
#[must_use]
pub fn offered(question: Question, choices: &[String]) -> Vec<String> {
    /// Words of fixed answers; the questions themselves say which of them they take.
    const WORDS: [&str; 7] =
        ["day-first", "month-first", "as it stands", "swapped", "as read", "two tests", NO_READING];
    // Any text names a machine.
    let words = WORDS.iter().filter(|word| question != Question::Machine || **word == NO_READING);
    let mut all: Vec<String> = choices.to_vec();
    for word in words {
        if !all.iter().any(|choice| choice == word) {
            all.push((*word).to_owned());
        }
    }
    all.retain(|answer| answers(question, answer).is_ok());
    all
}

/// The form of an answer, in words.
#[must_use]
pub fn form(question: Question) -> String {
    answers(question, "").err().unwrap_or_default()
}

/// Checks that every ruling of a fleet answers its question, and that every layout says what is known.
///
/// # Errors
/// The first that does not, and what was expected.
pub fn check(settings: &Settings) -> anyhow::Result<()> {
    for layout in &settings.layouts {
        if let Err(wrong) = windrow_sheet::layout::check(layout) {
            bail!("layouts/, layout {:?}: {wrong}", layout.name);
        }
    }
    for (number, decision) in (1..).zip(&settings.decisions) {
        if let Err(expected) = answers(decision.question, &decision.answer) {
            bail!(
                "decisions.toml, ruling {number} ({} = {:?}): {expected}; correct or delete it",
                decision.question,
                decision.answer
            );
        }
    }
    Ok(())
}

/// Checks that an answer has the form that its question wants.
///
/// # Errors
/// What was expected.
pub fn answers(question: Question, answer: &str) -> Result<(), String> {
    match question {
        Question::SameTest => windrow_identity::duplicates::answers(answer),
        Question::Corrected => windrow_pipeline::corrected::answers(answer),
        Question::Nameplate => voltage(answer),
        Question::SameMachine => windrow_identity::ruling::read(question, answer).map(drop),
        _ => ruling::read(question, answer).map(drop),
    }
}

/// Checks a rated voltage that a person tells: a ruling must not bring in what no machine has.
fn voltage(answer: &str) -> Result<(), String> {
    let Some(volts) = windrow_identity::nameplate::read(answer)? else { return Ok(()) };
    match windrow_criteria::rated::doubt(volts) {
        Some(doubt) if !doubt.can_be_confirmed => Err(doubt.reason),
        _ => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::{answers, form, offered};
    use windrow_model::Question;

    #[test]
    fn what_is_offered_answers_the_question() {
        for question in
            Question::ALL.iter().copied().filter(|question| !matches!(question, Question::Importer | Question::Layout))
        {
            let offered = offered(question, &["2003-01-08".to_owned(), "MΩ".to_owned()]);
            assert!(offered.iter().all(|answer| answers(question, answer).is_ok()), "{question}: {offered:?}");
            assert!(!form(question).is_empty(), "{question}");
        }
        // The dates that a text could be are no answer to the question which order is meant.
        assert_eq!(
            offered(Question::DateOrder, &["2003-01-08".to_owned()]),
            ["day-first", "month-first", "no reading"]
        );
        assert_eq!(offered(Question::Machine, &["P-1".to_owned()]), ["P-1", "no reading"]);
    }
}
