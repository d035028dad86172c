//! All tables of a snapshot, with names as the site wants them.

use crate::error::{Error, Result};
use crate::people::{People, TESTER};
use std::collections::BTreeSet;
use windrow_model::table::{ColumnData, TABLES, Table, TableInfo};
use windrow_model::{Acknowledgement, Decision};
use windrow_store::{Fleet, Snapshot};

/// Everything that leaves the fleet.
pub struct Tables {
    tables: Vec<(&'static TableInfo, Vec<ColumnData>)>,
    people: People,
    name: String,
}

impl Tables {
    /// The tables of `snapshot` as the settings of `fleet` let them out.
    ///
    /// # Errors
    /// When settings or tables cannot be read.
    pub fn load(fleet: &Fleet, snapshot: &Snapshot) -> Result<Self> {
        Self::of(fleet, snapshot, TABLES.iter())
    }

    /// Those of the tables of `snapshot` that `wanted` names, and `tests`, which holds the names of people.
    ///
    /// # Errors
    /// When settings or tables cannot be read.
    pub fn only(fleet: &Fleet, snapshot: &Snapshot, wanted: &[&str]) -> Result<Self> {
        let is_wanted = |info: &&TableInfo| wanted.contains(&info.name) || info.name == TESTER.0;
        Self::of(fleet, snapshot, TABLES.iter().filter(is_wanted))
    }

    fn of(fleet: &Fleet, snapshot: &Snapshot, wanted: impl Iterator<Item = &'static TableInfo>) -> Result<Self> {
        let mut tables = Vec::new();
        for info in wanted {
            tables.push((info, snapshot.columns(info)?));
        }
        let settings = fleet.settings()?;
        let names = names(&tables, &settings.decisions, &fleet.acknowledgements()?);
        let people = People::of(settings.export.testers, names, fleet.dir())?;
        for (info, columns) in &mut tables {
            people.apply(info, columns);
        }
        let name = fleet.dir().file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        Ok(Self { tables, people, name })
    }

    /// Every table with its columns, in the order of the schema.
    pub fn all(&self) -> impl Iterator<Item = (&'static TableInfo, &[ColumnData])> {
        self.tables.iter().map(|(info, columns)| (*info, columns.as_slice()))
    }

    /// The rows of a table.
    ///
    /// # Errors
    /// When its columns are not those of the schema.
    pub fn rows<T: Table>(&self) -> Result<Vec<T>> {
        let columns = self.tables.iter().find(|(info, _)| info.name == T::NAME).map(|(_, columns)| columns);
        columns.and_then(|columns| T::from_columns(columns)).ok_or(Error::Columns { table: T::NAME })
    }

    /// How names were treated.
    #[must_use]
    pub const fn people(&self) -> &People {
        &self.people
    }

    /// Name of the fleet's folder.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }
}

/// Names of testers and of those who ruled or acknowledged.
fn names(
    tables: &[(&'static TableInfo, Vec<ColumnData>)],
    decisions: &[Decision],
    words: &[Acknowledgement],
) -> BTreeSet<String> {
    let ruled = decisions.iter().filter_map(|decision| decision.by.clone());
    let mut names: BTreeSet<String> = ruled.chain(words.iter().filter_map(|word| word.by.clone())).collect();
    let (table, column) = TESTER;
    let tests = tables.iter().find(|(info, _)| info.name == table);
    let testers = tests.and_then(|(info, columns)| {
        let at = info.columns.iter().position(|known| known.name == column)?;
        columns.get(at)
    });
    if let Some(ColumnData::Text(testers)) = testers {
        names.extend(testers.iter().flatten().map(|name| name.trim().to_owned()));
    }
    names
}

#[cfg(test)]
mod tests {
    use super::Tables;
    use crate::people::People;
    use windrow_model::table::{ColumnData, TableInfo};
    use windrow_model::{Asset, Test};

    #[test]
    fn a_table_of_other_columns_is_never_an_empty_one() {
        let info: &'static TableInfo = Box::leak(Box::new(TableInfo::of::<Test>()));
        let tables = Tables {
            tables: vec![(info, vec![ColumnData::Double(vec![Some(1.0)])])],
            people: People::kept(),
            name: "mill".to_owned(),
        };
        let message = tables.rows::<Test>().unwrap_err().to_string();
        assert!(message.contains("tests") && message.contains("import into a new fleet folder"), "{message}");
        assert!(tables.rows::<Asset>().is_err(), "nor is one that is not there");
    }
}
