//! Names of people: kept, replaced by keyed pseudonyms, or dropped.
//!
//! Names are those of testers in the records and of those who ruled and acknowledged. Where a text of a record, a question or a finding
//! holds one of them as it is written, it is replaced there too. Names that stand in remarks only are nobody's that is known here.

use crate::error::{Error, Result};
use crate::secret;
use aho_corasick::{AhoCorasick, MatchKind};
use std::cmp::Reverse;
use std::collections::BTreeSet;
use std::io;
use std::ops::Range;
use std::path::Path;
use windrow_model::Text;
use windrow_model::settings::TesterNames;
use windrow_model::stand_in;
use windrow_model::table::{ColumnData, TableInfo};

/// File of the key, in the fleet folder.
pub const KEY_FILE: &str = "names.key";

/// Table and column that holds nothing but a name.
pub(crate) const TESTER: (&str, &str) = ("tests", "tester");

/// Columns of texts that may hold a name.
const FREE_TEXT: &[(&str, &[&str])] = &[
    ("tests", &["remarks", "reported_outcome", "instrument"]),
    ("readings", &["derivation"]),
    ("cells", &["raw_text", "reason"]),
    ("holds", &["raw_text", "choices", "context", "cause", "resolved_by"]),
    ("findings", &["statement", "working", "proposal", "changes"]),
    ("assets", &["nameplate_conflicts"]),
];

/// How names leave the fleet.
pub struct People {
    mode: TesterNames,
    key: [u8; 32],
    names: Vec<String>,
    search: Option<AhoCorasick>,
}

impl People {
    /// Everybody's name stays.
    #[must_use]
    pub const fn kept() -> Self {
        Self { mode: TesterNames::Keep, key: [0; 32], names: Vec::new(), search: None }
    }

    /// Treats `names` by `mode`; the key of pseudonyms is that of the fleet in `folder`, made there when it is first needed.
    ///
    /// # Errors
    /// When the key cannot be read or made, or others may read it.
    pub fn of(mode: TesterNames, names: BTreeSet<String>, folder: &Path) -> Result<Self> {
        let key = if mode == TesterNames::Pseudonym { key(&folder.join(KEY_FILE))? } else { [0; 32] };
        // A single letter stands everywhere.
        let names: Vec<String> = names.into_iter().filter(|name| name.trim().chars().count() > 1).collect();
        let search = AhoCorasick::builder().match_kind(MatchKind::Standard).build(&names);
        let search =
            search.map_err(|error| Error::Usage(format!("the names of testers cannot be searched for: {error}")))?;
        Ok(Self { mode, key, names, search: (mode != TesterNames::Keep).then_some(search) })
    }

    /// What becomes of names.
    #[must_use]
    pub const fn mode(&self) -> TesterNames {
        self.mode
    }

    /// Number of names that are known.
    #[must_use]
    pub fn count(&self) -> usize {
        self.names.len()
    }

    /// What stands for `name`; `None` where it is dropped.
    #[must_use]
    pub fn named(&self, name: &str) -> Option<Text> {
        match self.mode {
            TesterNames::Keep => Some(Text::new(name)),
            TesterNames::Drop => None,
            TesterNames::Pseudonym => Some(self.pseudonym(name).into()),
        }
    }

    fn pseudonym(&self, name: &str) -> String {
        stand_in::pseudonym(blake3::keyed_hash(&self.key, name.trim().as_bytes()).as_bytes())
    }

    /// `text` without names, where one stands in it as a word of its own.
    #[must_use]
    pub fn told(&self, text: &str) -> Option<String> {
        let search = self.search.as_ref()?;
        let mut out = String::new();
        let mut end = 0;
        let mut words: Vec<Range<usize>> = search
            .find_overlapping_iter(text)
            .map(|found| found.range())
            .filter(|found| is_word(text, found))
            .collect();
        // Of names that begin at one place the longest.
        words.sort_by_key(|found| (found.start, Reverse(found.end)));
        for found in words {
            if found.start < end {
                continue;
            }
            out.push_str(text.get(end..found.start)?);
            let name = text.get(found.clone())?;
            match self.mode {
                TesterNames::Pseudonym => out.push_str(&self.pseudonym(name)),
                _ => out.push_str(stand_in::DROPPED),
            }
            end = found.end;
        }
        if end == 0 {
            return None;
        }
        out.push_str(text.get(end..)?);
        Some(out)
    }

    /// Treats the names in the columns of `table`.
    pub(crate) fn apply(&self, table: &TableInfo, columns: &mut [ColumnData]) {
        if self.mode == TesterNames::Keep {
            return;
        }
        let free = FREE_TEXT.iter().find(|(name, _)| *name == table.name).map_or(&[][..], |(_, columns)| columns);
        for (info, column) in table.columns.iter().zip(columns) {
            match column {
                ColumnData::Text(names) if (table.name, info.name) == TESTER => {
                    for name in names {
                        *name = name.as_deref().and_then(|name| self.named(name));
                    }
                }
                texts if free.contains(&info.name) => self.apply_to(texts),
                _ => {}
            }
        }
    }

    fn apply_to(&self, column: &mut ColumnData) {
        match column {
            ColumnData::Text(texts) => texts.iter_mut().flatten().for_each(|text| {
                if let Some(told) = self.told(text) {
                    *text = told.into();
                }
            }),
            ColumnData::TextList(lists) => lists.iter_mut().flatten().for_each(|text| {
                if let Some(told) = self.told(text) {
                    *text = told;
                }
            }),
            ColumnData::StepList(lists) => lists.iter_mut().flatten().for_each(|step| {
                if let Some(told) = self.told(&step.detail) {
                    step.detail = told.into();
                }
            }),
            _ => {}
        }
    }
}

/// Whether no letter or digit joins `found` to what stands beside it.
fn is_word(text: &str, found: &Range<usize>) -> bool {
    let joins = |letter: Option<char>| letter.is_some_and(char::is_alphanumeric);
    let before = text.get(..found.start).and_then(|before| before.chars().next_back());
    let after = text.get(found.end..).and_then(|after| after.chars().next());
    !joins(before) && !joins(after)
}

/// The key of the fleet; made when there is none.
fn key(path: &Path) -> Result<[u8; 32]> {
    let text = match secret::read(path) {
        Ok(text) => text,
        Err(error) if error.kind() == io::ErrorKind::NotFound => make_key(path)?,
        Err(error) => return Err(Error::disk("read", path, error)),
    };
    blake3::Hash::from_hex(text.as_bytes()).map(Into::into).map_err(|_| {
        Error::Usage(format!(
            "{} should hold 64 hexadecimal digits: restore it, or delete it to get new pseudonyms",
            path.display()
        ))
    })
}

fn make_key(path: &Path) -> Result<String> {
    let mut bytes = [0; 32];
    let failed = |_| Error::disk("write", path, io::Error::other("the system gives no random numbers"));
    getrandom::fill(&mut bytes).map_err(failed)?;
    let text = blake3::Hash::from(bytes).to_hex().to_string();
    secret::write_new(path, &format!("{text}\n")).map_err(|error| Error::disk("write", path, error))?;
    Ok(text)
}

#[cfg(test)]
mod tests {
    use super::{FREE_TEXT, KEY_FILE, People, TESTER};
    use std::collections::BTreeSet;
    use windrow_model::settings::TesterNames;
    use windrow_model::table::{ColumnType, TABLES};

    fn people(mode: TesterNames, folder: &std::path::Path) -> People {
        let names = ["A. Example", "Ex", "Ex A", "J"].map(str::to_owned);
        People::of(mode, BTreeSet::from(names), folder).unwrap()
    }

    #[test]
    fn columns_with_names_are_texts_of_the_schema() {
        let free = FREE_TEXT.iter().flat_map(|(table, columns)| columns.iter().map(|column| (*table, *column)));
        for (table, column) in free.chain([TESTER]) {
            let info = TABLES.iter().find(|info| info.name == table).unwrap();
            let known = info.columns.iter().find(|known| known.name == column).unwrap();
            let is_treated = matches!(known.kind, ColumnType::Text | ColumnType::TextList | ColumnType::StepList);
            assert!(is_treated, "{table}.{column}");
        }
    }

    #[test]
    fn a_pseudonym_is_the_same_for_one_key_and_another_for_another() {
        let (one, two) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
        let first = people(TesterNames::Pseudonym, one.path()).named("A. Example").unwrap();
        assert_eq!(people(TesterNames::Pseudonym, one.path()).named("A. Example").unwrap(), first);
        assert_ne!(people(TesterNames::Pseudonym, two.path()).named("A. Example").unwrap(), first);
        assert!(!first.contains("Example"));
    }

    #[test]
    fn names_inside_of_texts_go_where_they_are_words() {
        let folder = tempfile::tempdir().unwrap();
        let dropped = people(TesterNames::Drop, folder.path());
        assert_eq!(dropped.told("by A. Example, Ex and Exit J").as_deref(), Some("by [name], [name] and Exit J"));
        assert_eq!(
            dropped.told("Ex Also").as_deref(),
            Some("[name] Also"),
            "a longer name that is no word hides no shorter one"
        );
        assert_eq!(dropped.told("Ex A, Ex").as_deref(), Some("[name], [name]"));
        assert_eq!(dropped.told("Exit"), None);
        assert_eq!(dropped.named("A. Example"), None);
        assert!(people(TesterNames::Keep, folder.path()).told("A. Example").is_none());
        assert!(!folder.path().join(KEY_FILE).exists(), "a key is made only where it is needed");
    }

    #[cfg(unix)]
    #[test]
    fn a_key_that_others_may_read_is_refused() {
        use std::os::unix::fs::PermissionsExt;
        let folder = tempfile::tempdir().unwrap();
        people(TesterNames::Pseudonym, folder.path());
        let path = folder.path().join(KEY_FILE);
        assert_eq!(path.metadata().unwrap().permissions().mode() & 0o777, 0o600);
        std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o644)).unwrap();
        let refused = People::of(TesterNames::Pseudonym, BTreeSet::new(), folder.path()).err().unwrap();
        let cause = std::error::Error::source(&refused).unwrap().to_string();
        assert!(cause.contains("chmod 600"), "{cause}");
    }
}
