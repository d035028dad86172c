//! A folder of comma-separated tables, RFC 4180, UTF-8.

use crate::error::{Error, Result};
use crate::guard::guarded;
use crate::place;
use crate::tables::Tables;
use crate::value::{Value, at};
use std::borrow::Cow;
use std::path::Path;
use windrow_model::table::{ColumnData, TableInfo};

/// Writes one file a table into `folder`.
pub(crate) fn write(tables: &Tables, folder: &Path) -> Result<()> {
    for (info, columns) in tables.all() {
        let path = folder.join(info.name).with_extension("csv");
        let bytes = table(info, columns).map_err(|error| Error::disk("write", &path, std::io::Error::other(error)))?;
        place::fill(&path, &bytes)?;
    }
    Ok(())
}

/// A table: null and empty text print empty, lists as JSON, numbers with the digits that read back as the same number.
fn table(info: &TableInfo, columns: &[ColumnData]) -> csv::Result<Vec<u8>> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(info.columns.iter().map(|column| column.name))?;
    for row in 0..columns.first().map_or(0, ColumnData::len) {
        writer.write_record(columns.iter().map(|column| text(at(column, row)).into_owned()))?;
    }
    writer.into_inner().map_err(|error| error.into_error().into())
}

fn text(value: Value<'_>) -> Cow<'_, str> {
    match value {
        Value::Null => Cow::Borrowed(""),
        Value::Text(text) => guarded(text),
        Value::Double(value) => Cow::Owned(number(value)),
        Value::Whole(value) => Cow::Owned(value.to_string()),
        Value::Bool(value) => Cow::Borrowed(if value { "true" } else { "false" }),
        Value::Date(date) => Cow::Owned(date.to_string()),
        Value::List(json) => Cow::Owned(json),
    }
}

/// `INF`, `-INF` and `NaN` as the Frictionless table schema writes them.
fn number(value: f64) -> String {
    if value.is_nan() {
        "NaN".to_owned()
    } else if value.is_infinite() {
        if value > 0.0 { "INF" } else { "-INF" }.to_owned()
    } else if value != 0.0 && !(1e-5..1e16).contains(&value.abs()) {
        format!("{value:e}")
    } else {
        value.to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::{number, table};
    use crate::guard::taken_off;
    use windrow_model::table::{ColumnData, ColumnType, TableInfo};

    #[test]
    fn texts_that_would_run_are_guarded_and_come_back() {
        const INFO: TableInfo = TableInfo {
            name: "t",
            doc: "",
            columns: &[
                windrow_model::table::Column { name: "a", kind: ColumnType::Text, nullable: true, doc: "" },
                windrow_model::table::Column { name: "b", kind: ColumnType::Double, nullable: true, doc: "" },
            ],
        };
        let texts = ["=cmd|' /C calc'!A0", "+1", "-7 at 20 °C", "@x", "\tx", "'=1", "plain, with \"marks\"", "P-1"];
        let column = ColumnData::Text(texts.iter().map(|text| Some((*text).into())).collect());
        let numbers = ColumnData::Double(vec![Some(-7.5); texts.len()]);
        let bytes = table(&INFO, &[column, numbers]).unwrap();
        let mut reader = csv::Reader::from_reader(bytes.as_slice());
        let records: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        assert_eq!(records.len(), texts.len());
        for (record, text) in records.iter().zip(texts) {
            assert!(!record[0].starts_with(['=', '+', '-', '@', '\t']), "{record:?}");
            assert_eq!(taken_off(&record[0]), text);
            assert_eq!(&record[1], "-7.5", "a number is no formula");
        }
    }

    #[test]
    #[expect(clippy::float_cmp, reason = "exactness is what is tested")]
    fn numbers_read_back_as_the_same_number() {
        for value in [0.1, 2e9, 3.1e-7, 1e22, f64::MIN_POSITIVE, -12.5, 4.56e10] {
            assert_eq!(number(value).parse::<f64>().unwrap(), value);
        }
    }
}
