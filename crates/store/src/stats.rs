//! Statistics of a data file, as the Delta log keeps them so that readers can skip files.

use crate::frame::date_of;
use polars::prelude::*;
use rayon::prelude::*;
use serde_json::{Map, Value, json};

/// Longest text that is given as a minimum or maximum, in characters.
const LONGEST_TEXT: usize = 32;

/// `numRecords`, and of each plain column `nullCount`, and `minValues` and `maxValues` where they can be told exactly.
pub(crate) fn of(frame: &DataFrame) -> String {
    let told: Vec<Told> = frame.columns().par_iter().map(Told::of).collect();
    of_columns(told, frame.height())
}

/// The same, of columns that were looked at one by one.
pub(crate) fn of_columns(columns: impl IntoIterator<Item = Told>, rows: usize) -> String {
    let (mut nulls, mut least, mut greatest) = (Map::new(), Map::new(), Map::new());
    for Told { name, null_count, range } in columns {
        if let Some(count) = null_count {
            nulls.insert(name.clone(), json!(count));
        }
        if let Some((low, high)) = range {
            least.insert(name.clone(), low);
            greatest.insert(name, high);
        }
    }
    json!({"numRecords": rows, "minValues": least, "maxValues": greatest, "nullCount": nulls}).to_string()
}

/// What is told of one column: nothing of lists.
#[derive(Debug)]
pub(crate) struct Told {
    name: String,
    null_count: Option<usize>,
    range: Option<(Value, Value)>,
}

impl Told {
    pub(crate) fn of(column: &Column) -> Self {
        let is_plain = !matches!(column.dtype(), DataType::List(_));
        Self {
            name: column.name().to_string(),
            null_count: is_plain.then(|| column.null_count()),
            range: is_plain.then(|| range(column)).flatten(),
        }
    }
}

/// What is told of a column that comes in pieces.
#[derive(Debug)]
pub(crate) struct Ends {
    name: PlSmallStr,
    /// `None` before the first piece, and of lists, of which nothing is told.
    null_count: Option<usize>,
    /// The least and the greatest value of each piece, and one that is no number where there are some.
    values: Option<Column>,
}

impl Ends {
    /// Of a column of which no piece came yet.
    pub(crate) fn of(name: PlSmallStr) -> Self {
        Self { name, null_count: None, values: None }
    }

    /// Adds a piece.
    pub(crate) fn add(&mut self, piece: &Column) -> PolarsResult<()> {
        if matches!(piece.dtype(), DataType::List(_)) {
            return Ok(());
        }
        self.null_count = Some(self.null_count.unwrap_or_default() + piece.null_count());
        let ends = [piece.min_reduce(), piece.max_reduce()].into_iter().filter_map(Result::ok);
        let mut ends: Vec<Column> = ends.map(|end| end.into_column(self.name.clone())).collect();
        if piece.f64().is_ok_and(|values| values.iter().flatten().any(f64::is_nan)) {
            ends.push(Column::new(self.name.clone(), [f64::NAN]));
        }
        for end in ends {
            match &mut self.values {
                Some(values) => drop(values.append_owned(end)?),
                None => self.values = Some(end),
            }
        }
        Ok(())
    }

    pub(crate) fn told(self) -> Told {
        let range = self.values.as_ref().and_then(range);
        Told { name: self.name.to_string(), null_count: self.null_count, range }
    }
}

fn range(column: &Column) -> Option<(Value, Value)> {
    let low = value(column.min_reduce().ok()?.value())?;
    let high = value(column.max_reduce().ok()?.value())?;
    // Floats are ordered with NaN aside; a reader that skipped by such a range would lose rows.
    let has_nan = column.f64().is_ok_and(|values| values.iter().flatten().any(f64::is_nan));
    (!has_nan).then_some((low, high))
}

fn value(value: &AnyValue<'_>) -> Option<Value> {
    match value {
        AnyValue::Float64(number) => number.is_finite().then(|| json!(number)),
        AnyValue::Int32(number) => Some(json!(number)),
        AnyValue::Int64(number) => Some(json!(number)),
        AnyValue::Date(days) => date_of(*days).map(|date| json!(date.to_string())),
        AnyValue::String(text) => short(text),
        AnyValue::StringOwned(text) => short(text),
        // The Delta protocol gives no range of truth values.
        _ => None,
    }
}

fn short(text: &str) -> Option<Value> {
    (text.chars().count() <= LONGEST_TEXT).then(|| json!(text))
}

#[cfg(test)]
mod tests {
    use super::of;
    use polars::prelude::*;
    use serde_json::{Value, json};

    #[test]
    fn ranges_are_exact_or_absent() {
        let frame = df!(
            "n" => [Some(2.5), None, Some(-1.0)],
            "nan" => [f64::NAN, 1.0, 2.0],
            "inf" => [f64::INFINITY, 1.0, 2.0],
            "text" => ["b", "a", "\u{3a9}"],
            "long" => ["b".to_owned(), "a".repeat(33), "a".repeat(34)],
            "day" => [Some(0_i32), Some(-1), None],
            "empty" => [None::<i64>, None, None],
        );
        let mut frame = frame.unwrap();
        frame.apply("day", |day| day.cast(&DataType::Date).unwrap()).unwrap();
        let stats: Value = serde_json::from_str(&of(&frame)).unwrap();
        assert_eq!(stats["numRecords"], 3);
        assert_eq!(stats["minValues"], json!({"n": -1.0, "text": "a", "day": "1969-12-31"}));
        assert_eq!(stats["maxValues"], json!({"n": 2.5, "text": "\u{3a9}", "day": "1970-01-01"}));
        assert_eq!(stats["nullCount"], json!({"n": 1, "nan": 0, "inf": 0, "text": 0, "long": 0, "day": 1, "empty": 3}));
    }
}
