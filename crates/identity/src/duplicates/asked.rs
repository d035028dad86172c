//! The question which of two records of one test is right, and the answers to it.

use super::Copy;
use windrow_model::id::row_id;
use windrow_model::{Decision, Hold, Question, Reading, Test, Text};

/// The answer that a test and its near copy are two.
pub(super) const TWO_TESTS: &str = "two tests";

/// The answer that a test tells the right numbers.
pub(super) fn right(test: &Test) -> String {
    format!("one test, {} is right", test.source_file)
}

/// Checks the answer to a question about a test and its near copy.
///
/// # Errors
/// What was expected.
pub fn answers(answer: &str) -> Result<(), String> {
    let names_a_file = answer.strip_prefix("one test, ").is_some_and(|rest| rest.ends_with(" is right"));
    let known = answer == TWO_TESTS || names_a_file;
    known.then_some(()).ok_or_else(|| format!("expected \"{TWO_TESTS}\" or \"one test, FILE is right\""))
}

/// What a person ruled of a copy that differs: the last ruling on the reading that the question is about.
pub(super) fn ruled<'d>(
    copy: &Copy,
    tests: &[Test],
    readings: &[Reading],
    decisions: &'d [Decision],
) -> Option<&'d str> {
    if !copy.is_doubtful() {
        return None;
    }
    let test = &tests[copy.test];
    let (_, cell) = asked_at(copy, test, readings);
    let is_meant = |decision: &&Decision| {
        decision.question == Question::SameTest
            && decision.concerns(&test.source_file, test.source_sheet.as_deref())
            && decision.cells.as_deref() == Some(cell.as_str())
    };
    decisions.iter().rfind(is_meant).map(|decision| decision.answer.as_str())
}

pub(super) fn question(copy: &Test, original: &Test, readings: &[Reading], found: &Copy) -> Hold {
    let told = |reading: &Reading| format!("{} at {} {}", reading.raw_text, reading.source_file, reading.source_cell);
    let pairs: Vec<String> =
        found.differing.iter().map(|(a, b)| format!("{} / {}", told(&readings[*b]), told(&readings[*a]))).collect();
    let readings_differ = match pairs.len() {
        0 => None,
        1 => Some(format!("one reading differs: {}", pairs.join("; "))),
        count => Some(format!("{count} readings differ: {}", pairs.join("; "))),
    };
    let differs: Vec<String> = readings_differ.into_iter().chain(found.changed.iter().cloned()).collect();
    let (raw_text, cell) = asked_at(found, copy, readings);
    Hold {
        hold_id: row_id("holds", &[&copy.source_file, &copy.test_id, Question::SameTest.code(), &original.test_id]),
        import_id: copy.import_id.clone(),
        source_file: copy.source_file.clone(),
        source_sheet: copy.source_sheet.clone(),
        source_cell: Some(cell),
        raw_text,
        question: Question::SameTest.code().into(),
        choices: vec![right(original), right(copy), TWO_TESTS.to_owned()],
        context: format!("the same test stands in two sources, and {}", differs.join("; ")).into(),
        cause: format!("same test: {} and {}", original.source_file, copy.source_file).into(),
        resolved_by: None,
    }
}

/// Text and cell that are asked about: the first reading that differs, else where the copy begins.
fn asked_at(copy: &Copy, test: &Test, readings: &[Reading]) -> (Text, Text) {
    match copy.differing.first() {
        Some((reading, _)) => (readings[*reading].raw_text.clone(), readings[*reading].source_cell.clone()),
        None => (Text::default(), test.source_cell.clone()),
    }
}
