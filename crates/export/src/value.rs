//! One value of a table, whatever its column.

use jiff::civil::Date;
use serde_json::{Value as Json, json};
use windrow_model::table::ColumnData;

/// A value on its way out.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Value<'a> {
    Null,
    Text(&'a str),
    Double(f64),
    Whole(i64),
    Bool(bool),
    Date(Date),
    /// A list: JSON, since no plain form has lists. Samples that are missing are null.
    List(String),
}

/// The value at `row`; null behind the end.
pub(crate) fn at(column: &ColumnData, row: usize) -> Value<'_> {
    let list = |json: Option<Json>| json.map_or(Value::Null, |json| Value::List(json.to_string()));
    match column {
        ColumnData::Text(values) => values.get(row).and_then(Option::as_deref).map_or(Value::Null, Value::Text),
        ColumnData::Double(values) => values.get(row).copied().flatten().map_or(Value::Null, Value::Double),
        ColumnData::Int(values) => {
            values.get(row).copied().flatten().map_or(Value::Null, |value| Value::Whole(value.into()))
        }
        ColumnData::Long(values) => values.get(row).copied().flatten().map_or(Value::Null, Value::Whole),
        ColumnData::Bool(values) => values.get(row).copied().flatten().map_or(Value::Null, Value::Bool),
        ColumnData::Date(values) => values.get(row).copied().flatten().map_or(Value::Null, Value::Date),
        ColumnData::TextList(lists) => list(lists.get(row).map(|list| json!(list))),
        ColumnData::IntList(lists) => list(lists.get(row).map(|list| json!(list))),
        ColumnData::FloatList(lists) => list(lists.get(row).map(|list| json!(list))),
        ColumnData::StepList(lists) => list(lists.get(row).map(|list| json!(list))),
    }
}
