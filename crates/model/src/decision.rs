//! Rulings of people on what the records leave open.

use crate::Question;
use serde::{Deserialize, Serialize};

/// One ruling: the answer to a question about the cells of a place. What is not said (file, sheet, cells) is not limited: a
/// ruling without a file holds for the whole fleet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Decision {
    /// What was asked.
    pub question: Question,
    /// The answer, in the form that the question wants.
    pub answer: String,
    /// Path below the imported folder, with `/`.
    #[serde(default)]
    pub file: Option<String>,
    /// Name of the sheet.
    #[serde(default)]
    pub sheet: Option<String>,
    /// A cell or a range of cells: `C14`, `B4:B20`, or another address as the `holds` table shows it.
    #[serde(default)]
    pub cells: Option<String>,
    /// Who ruled.
    #[serde(default)]
    pub by: Option<String>,
    /// When, as a date.
    #[serde(default)]
    pub on: Option<String>,
    /// Why.
    #[serde(default)]
    pub why: Option<String>,
}

impl Decision {
    /// Whether it may concern cells of this sheet of this file.
    #[must_use]
    pub fn concerns(&self, file: &str, sheet: Option<&str>) -> bool {
        self.file.as_deref().is_none_or(|told| told == file)
            && self.sheet.as_deref().is_none_or(|told| Some(told) == sheet)
    }

    /// Who ruled when and why, for a derivation.
    #[must_use]
    pub fn credit(&self) -> String {
        let mut credit = "ruled".to_owned();
        for (word, part) in [(" by ", &self.by), (" on ", &self.on), (": ", &self.why)] {
            if let Some(part) = part {
                credit.push_str(word);
                credit.push_str(part);
            }
        }
        credit
    }
}

/// The answer that fits every question: what stands there is no reading.
pub const NO_READING: &str = "no reading";
