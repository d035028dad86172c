//! By which of its names a record calls a machine.

use super::present;
use std::collections::{BTreeMap, BTreeSet, HashMap};
use windrow_model::{Asset, CellRow, SourceRow, Test};
use windrow_store::Snapshot;
use windrow_text::tag::fold;

/// Most cells that are looked through for captions; beyond that a record's name stays untold.
const MOST_CELLS: i64 = 50_000;

/// A sheet of a file.
type Sheet = (String, Option<String>);

/// What the cells that name machines write.
#[derive(Debug, Default)]
pub(super) struct Written {
    /// Texts of the cells that lead to the machine of a test, by its id.
    own: HashMap<String, Vec<String>>,
    /// Texts of the cells of a sheet that lead nowhere: captions among them.
    captions: HashMap<Sheet, Vec<String>>,
}

impl Written {
    /// Reads the cells about the tests of `machines`.
    pub(super) fn of(snapshot: &Snapshot, machines: &[&(&Asset, Vec<&Test>)]) -> anyhow::Result<Self> {
        let mut written = Self::default();
        let tests = || machines.iter().flat_map(|(_, tests)| tests);
        let of_target: HashMap<String, &str> = tests().map(|test| (target(test), test.test_id.as_str())).collect();
        let targets: Vec<&str> = of_target.keys().map(String::as_str).collect();
        let files: BTreeSet<&str> = tests().map(|test| test.source_file.as_str()).collect();
        let files: Vec<&str> = files.into_iter().collect();
        for cell in snapshot.rows_where_in::<CellRow>("target", &targets, &files)? {
            if let Some(test) = cell.target.as_deref().and_then(|target| of_target.get(target)) {
                written.own.entry((*test).to_owned()).or_default().push(cell.raw_text.to_string());
            }
        }
        let mut unnamed: BTreeSet<&str> = BTreeSet::new();
        for (asset, tests) in machines {
            let names = written.names(asset, tests);
            let without = tests.iter().filter(|test| !names.contains_key(test.test_id.as_str()));
            unnamed.extend(without.map(|test| test.source_file.as_str()));
        }
        for cell in captions(snapshot, &unnamed.into_iter().collect::<Vec<_>>())? {
            let sheet = (cell.source_file.to_string(), cell.source_sheet.as_ref().map(ToString::to_string));
            written.captions.entry(sheet).or_default().push(cell.raw_text.to_string());
        }
        Ok(written)
    }

    /// The name of the machine in the record of each test, by the test's id: that of its own cells; that of the other tests of its sheet, for a
    /// cell often names the machine of a whole sheet and leads to its first test only; that in the name of the sheet or the file; that of the
    /// sheet's captions. Where two are written none is chosen.
    pub(super) fn names<'t>(&self, asset: &Asset, tests: &[&'t Test]) -> HashMap<&'t str, String> {
        let known: Vec<&str> =
            std::iter::once(asset.tag.as_str()).chain(asset.aliases.iter().map(String::as_str)).collect();
        let own = |test: &Test| {
            let texts = self.own.get(test.test_id.as_str())?;
            texts.iter().find_map(|text| named(text, &known)).map(str::to_owned)
        };
        let mut of_sheet: BTreeMap<(&str, Option<&str>), Vec<String>> = BTreeMap::new();
        for test in tests {
            of_sheet.entry((&test.source_file, test.source_sheet.as_deref())).or_default().extend(own(test));
        }
        let beside = |test: &Test| {
            one_name(
                of_sheet.get(&(test.source_file.as_str(), test.source_sheet.as_deref()))?.iter().map(String::as_str),
            )
        };
        let titled = |test: &Test| {
            let sheet = test.source_sheet.as_deref().and_then(|sheet| named(sheet, &known));
            sheet.or_else(|| named(&test.source_file, &known)).map(str::to_owned)
        };
        let captioned = |test: &Test| {
            let sheet = (test.source_file.to_string(), test.source_sheet.as_ref().map(ToString::to_string));
            one_name(self.captions.get(&sheet)?.iter().filter_map(|text| named(text, &known)))
        };
        let name =
            |test: &Test| own(test).or_else(|| beside(test)).or_else(|| titled(test)).or_else(|| captioned(test));
        tests.iter().filter_map(|test| Some((test.test_id.as_str(), name(test)?))).collect()
    }
}

/// Address of the cells that name the machine of a test.
fn target(test: &Test) -> String {
    format!("tests/{}/asset_id", test.test_id)
}

/// Cells of `files` that lead nowhere; none where the files hold more cells than are looked through.
fn captions(snapshot: &Snapshot, files: &[&str]) -> anyhow::Result<Vec<CellRow>> {
    if files.is_empty() {
        return Ok(Vec::new());
    }
    let sources: Vec<SourceRow> = snapshot.rows_where("source_file", files)?;
    if sources.iter().map(|source| source.cells_total).sum::<i64>() > MOST_CELLS {
        return Ok(Vec::new());
    }
    let mut cells: Vec<CellRow> = snapshot.rows_where("source_file", files)?;
    cells.retain(|cell| cell.target.is_none());
    Ok(cells)
}

/// The name that all of `told` are spellings of.
fn one_name<'n>(mut told: impl Iterator<Item = &'n str>) -> Option<String> {
    let first = told.next()?;
    told.all(|name| fold(name) == fold(first)).then(|| first.to_owned())
}

/// The known name that a text writes: the text itself, or the one name that it holds.
fn named<'k>(text: &str, known: &[&'k str]) -> Option<&'k str> {
    let text = text.trim();
    if let Some(name) = known.iter().find(|name| **name == text) {
        return Some(present(name));
    }
    let mut held: Vec<&str> = known.iter().copied().filter(|name| holds(text, name)).collect();
    held.sort_by_key(|name| std::cmp::Reverse(name.len()));
    let longest = *held.first()?;
    held.iter().all(|name| longest.contains(name)).then_some(present(longest))
}

/// Whether `name` stands in `text` as a word of its own.
fn holds(text: &str, name: &str) -> bool {
    let is_word = |c: Option<char>| c.is_some_and(char::is_alphanumeric);
    let apart = |at: usize| {
        let before = text.get(..at).and_then(|before| before.chars().next_back());
        let behind = text.get(at + name.len()..).and_then(|behind| behind.chars().next());
        !is_word(before) && !is_word(behind)
    };
    name.len() > 1 && text.match_indices(name).any(|(at, _)| apart(at))
}

#[cfg(test)]
mod tests {
    use super::named;

    #[test]
    fn a_caption_that_holds_two_names_says_nothing() {
        let known = ["P-101", "P-102", "P-10"];
        assert_eq!(named("Motor P-101, Oak Mill", &known), Some("P-101"));
        assert_eq!(named("P-101 and P-102", &known), None);
        assert_eq!(named("Oak Mill", &known), None);
        assert_eq!(named("LP-1011", &known), None, "a part of another word");
        assert_eq!(named("P-3 (formerly K-3)", &["P-3 (formerly K-3)"]), Some("P-3"));
    }
}
