//! Open questions, grouped so that one answer settles many cells.

use std::collections::BTreeMap;
use windrow_identity::nameplate::NOT_KNOWN;
use windrow_model::decision::extent;
use windrow_model::lookup::{Kind, Unfound, find_in};
use windrow_model::{Decision, Hold, Question, Text};
use windrow_text::naming::is_nobody;

/// Questions that one answer settles.
#[derive(Debug, Clone)]
pub struct Group {
    /// Shortest beginning of the first question's id that no other group has.
    pub id: String,
    /// The questions, in the order of the table; never empty.
    pub holds: Vec<Hold>,
}

impl Group {
    /// Where it is asked: the first place, and how many more.
    #[must_use]
    pub fn place(&self) -> String {
        let Some(first) = self.holds.first() else { return String::new() };
        let sheet = first.source_sheet.as_deref().map(|sheet| format!(" [{sheet}]")).unwrap_or_default();
        let cell = first.source_cell.as_deref().map(|cell| format!(" {cell}")).unwrap_or_default();
        let more = match self.holds.len() {
            1 => String::new(),
            count => format!(" and {} more", count - 1),
        };
        format!("{}{sheet}{cell}{more}", first.source_file)
    }

    /// How many cells it is about; a whole sheet counts once.
    #[must_use]
    pub fn cells(&self) -> u64 {
        self.holds.iter().map(|hold| hold.source_cell.as_deref().map_or(1, extent)).sum()
    }

    /// Whether each of its cells needs an answer of its own.
    #[must_use]
    pub fn is_about_one_cell(&self) -> bool {
        self.holds.iter().any(|hold| is_about_one_cell(&hold.question))
    }

    /// Whether its cells hold a word that names no machine ("SPARE"), or name machines that tell no rated voltage: nothing says that one
    /// answer is that of all.
    #[must_use]
    pub fn is_about_several_machines(&self) -> bool {
        let names_nobody = |hold: &Hold| {
            hold.question == Question::Machine.code() && !hold.raw_text.is_empty() && is_nobody(&hold.raw_text)
        };
        self.holds.len() > 1 && self.holds.iter().all(|hold| names_nobody(hold) || tells_no_voltage(hold))
    }

    /// Whether it asks for the rated voltages of machines that tell none.
    #[must_use]
    pub fn is_about_missing_voltages(&self) -> bool {
        self.holds.iter().all(tells_no_voltage)
    }

    /// The rulings that answer it.
    #[must_use]
    pub fn rulings(&self, answer: &str, by: Option<&str>, why: Option<&str>, on: &str) -> Vec<Decision> {
        let ruling = |hold: &Hold| {
            let question = Question::from_code(&hold.question)?;
            Some(Decision {
                question,
                answer: answer.to_owned(),
                file: Some(hold.source_file.to_string()),
                sheet: hold.source_sheet.as_deref().map(str::to_owned),
                cells: hold.source_cell.as_deref().map(str::to_owned),
                text: goes_by_text(question).then(|| hold.raw_text.to_string()).filter(|text| !text.is_empty()),
                by: by.map(str::to_owned),
                on: Some(on.to_owned()),
                why: why.map(str::to_owned),
            })
        };
        self.holds.iter().filter_map(ruling).collect()
    }
}

/// Whether a ruling holds only while its cell reads as it did: one that is about the machine which the cell names.
#[must_use]
pub const fn goes_by_text(question: Question) -> bool {
    matches!(question, Question::Nameplate | Question::SameMachine)
}

/// Whether a rated voltage is asked for, and the records propose none.
fn tells_no_voltage(hold: &Hold) -> bool {
    hold.question == Question::Nameplate.code() && hold.choices.iter().all(|choice| choice == NOT_KNOWN)
}

/// Whether each cell needs an answer of its own.
fn is_about_one_cell(question: &str) -> bool {
    let code = Question::from_code(question);
    matches!(
        code,
        Some(Question::IllegibleValue | Question::FormulaResult | Question::SameTest | Question::SameMachine)
    )
}

/// Groups open questions by cause, the ones that concern most first.
#[must_use]
pub fn groups(holds: Vec<Hold>) -> Vec<Group> {
    let mut by_cause: BTreeMap<[Text; 4], Vec<Hold>> = BTreeMap::new();
    for hold in holds.into_iter().filter(|hold| hold.resolved_by.is_none()) {
        let own = if is_about_one_cell(&hold.question) { hold.hold_id.clone() } else { Text::default() };
        let key = [hold.source_file.clone(), hold.question.clone(), hold.cause.clone(), own];
        by_cause.entry(key).or_default().push(hold);
    }
    let mut groups: Vec<Group> = by_cause.into_values().map(|holds| Group { id: String::new(), holds }).collect();
    groups.sort_by_key(|group| std::cmp::Reverse(group.holds.len()));
    let ids: Vec<Text> =
        groups.iter().map(|group| group.holds.first().map(|hold| hold.hold_id.clone()).unwrap_or_default()).collect();
    let length = short_length(&ids);
    for (group, id) in groups.iter_mut().zip(ids) {
        group.id = id.chars().take(length).collect();
    }
    groups
}

/// Fewest characters, at least six, at which the ids still differ.
fn short_length(ids: &[Text]) -> usize {
    let differ = |length: &usize| {
        let short: std::collections::BTreeSet<&str> = ids.iter().map(|id| id.get(..*length).unwrap_or(id)).collect();
        short.len() == ids.len()
    };
    (6..36).find(differ).unwrap_or(36)
}

/// Open questions, for whoever names one.
const QUESTIONS: Kind =
    Kind { one: "open question", several: "questions", least: 4, list: "`windrow holds`", none: "no question is open" };

/// The group with a question whose id begins with `id`.
///
/// # Errors
/// When there is none, or more than one.
pub fn find<'g>(groups: &'g [Group], id: &str) -> Result<&'g Group, Unfound> {
    find_in(&QUESTIONS, groups, id, |group: &'g Group| group.holds.iter().map(|hold| hold.hold_id.as_str()))
}

#[cfg(test)]
mod tests {
    use super::{find, groups};
    use windrow_model::{Hold, Text};

    fn hold(id: &str, question: &str, cause: &str) -> Hold {
        Hold {
            hold_id: id.into(),
            import_id: Text::default(),
            source_file: "a.xlsx".into(),
            source_sheet: None,
            source_cell: Some("B2".into()),
            raw_text: Text::default(),
            question: question.into(),
            choices: Vec::new(),
            context: Text::default(),
            cause: cause.into(),
            resolved_by: None,
        }
    }

    #[test]
    fn questions_of_one_cause_are_one_and_values_are_asked_one_by_one() {
        let all = groups(vec![
            hold("aaaaaa1", "unit", "unit"),
            hold("bbbbbb1", "unit", "unit"),
            hold("cccccc1", "illegible_value", "value"),
            hold("cccccc2", "illegible_value", "value"),
        ]);
        assert_eq!(all.iter().map(|group| group.holds.len()).collect::<Vec<_>>(), [2, 1, 1]);
        assert_eq!(find(&all, "bbbbbb").unwrap().holds.len(), 2);
        assert!(find(&all, "cccccc").is_err(), "two questions");
        assert!(find(&all, "dddddd").is_err() && find(&all, "a").is_err());
        assert_eq!(all[1].id, "cccccc1");
    }

    #[test]
    fn a_question_about_a_range_is_about_all_its_cells() {
        let of = |cells: &[&str]| {
            let hold = |cells: &&str| Hold { source_cell: Some((*cells).into()), ..hold("aaaaaa1", "unit", "unit") };
            groups(cells.iter().map(hold).collect()).first().map(super::Group::cells)
        };
        assert_eq!(of(&["B3:B6", "C9"]), Some(5));
        assert_eq!(of(&["B6:A3"]), Some(8), "from corner to corner, whichever comes first");
        assert_eq!(of(&["12:30"]), Some(1), "line and column of a text");
    }
}
