//! All tables in one SQLite database: dates as ISO 8601 texts, lists as JSON texts, true and false as 1 and 0.

use crate::error::Result;
use crate::tables::Tables;
use crate::value::{Value, at};
use rusqlite::types::{ToSqlOutput, Value as Sql, ValueRef};
use rusqlite::{Connection, ToSql};
use std::path::Path;
use windrow_model::table::{ColumnData, ColumnType, TableInfo};
use windrow_store::SCHEMA_VERSION;

/// Writes the database `path`, which must not exist.
pub(crate) fn write(tables: &Tables, path: &Path) -> Result<()> {
    let mut database = Connection::open(path)?;
    // The file gets its name when it is whole, so a journal would guard nothing.
    database.pragma_update(None, "journal_mode", "off")?;
    database.pragma_update(None, "user_version", SCHEMA_VERSION)?;
    let transaction = database.transaction()?;
    for (info, columns) in tables.all() {
        transaction.execute_batch(&definition(info))?;
        fill(&transaction, info, columns)?;
    }
    transaction.commit()?;
    database.close().map_err(|(_, error)| error)?;
    Ok(())
}

fn definition(info: &TableInfo) -> String {
    let columns: Vec<String> = info
        .columns
        .iter()
        .map(|column| {
            let kind = match column.kind {
                ColumnType::Double => "REAL",
                ColumnType::Int | ColumnType::Long | ColumnType::Bool => "INTEGER",
                _ => "TEXT",
            };
            format!("\"{}\" {kind}{}", column.name, if column.nullable { "" } else { " NOT NULL" })
        })
        .collect();
    let keys = info.columns.iter().filter(|column| matches!(column.name, "asset_id" | "test_id" | "finding_id"));
    let indices = keys.map(|column| format!("CREATE INDEX {0}_{1} ON {0} ({1});", info.name, column.name));
    format!("CREATE TABLE {} ({});{}", info.name, columns.join(", "), indices.collect::<String>())
}

fn fill(database: &Connection, info: &TableInfo, columns: &[ColumnData]) -> Result<()> {
    let marks = vec!["?"; columns.len()].join(", ");
    let mut insert = database.prepare(&format!("INSERT INTO {} VALUES ({marks})", info.name))?;
    for row in 0..columns.first().map_or(0, ColumnData::len) {
        insert.execute(rusqlite::params_from_iter(columns.iter().map(|column| at(column, row))))?;
    }
    Ok(())
}

impl ToSql for Value<'_> {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        Ok(match self {
            Self::Null => ToSqlOutput::Owned(Sql::Null),
            Self::Text(text) => ToSqlOutput::Borrowed(ValueRef::Text(text.as_bytes())),
            Self::Double(value) => ToSqlOutput::Owned(Sql::Real(*value)),
            Self::Whole(value) => ToSqlOutput::Owned(Sql::Integer(*value)),
            Self::Bool(value) => ToSqlOutput::Owned(Sql::Integer(i64::from(*value))),
            Self::Date(date) => ToSqlOutput::Owned(Sql::Text(date.to_string())),
            Self::List(json) => ToSqlOutput::Borrowed(ValueRef::Text(json.as_bytes())),
        })
    }
}
