//! Columns of rows to polars frames and back, by the schema's description of the columns.

use crate::error::{Error, Result};
use jiff::civil::Date;
use polars::prelude::*;
use polars_arrow::array::{Array, ListArray, PrimitiveArray, StructArray, Utf8ViewArray};
use polars_arrow::datatypes::{ArrowDataType, Field as ArrayField};
use polars_arrow::offset::Offsets;
use polars_arrow::types::NativeType;
use windrow_model::Text;
use windrow_model::place::Step;
use windrow_model::table::{Column as ColumnInfo, ColumnData, ColumnType, Table, TableInfo};

const STEP: &str = "step";
const DETAIL: &str = "detail";

/// Type of a column in a frame.
pub(crate) fn data_type(kind: ColumnType) -> DataType {
    let list = |inner| DataType::List(Box::new(inner));
    match kind {
        ColumnType::Text => DataType::String,
        ColumnType::Double => DataType::Float64,
        ColumnType::Int => DataType::Int32,
        ColumnType::Long => DataType::Int64,
        ColumnType::Bool => DataType::Boolean,
        ColumnType::Date => DataType::Date,
        ColumnType::TextList => list(DataType::String),
        ColumnType::IntList => list(DataType::Int32),
        ColumnType::FloatList => list(DataType::Float32),
        ColumnType::StepList => list(DataType::Struct(vec![
            Field::new(STEP.into(), DataType::String),
            Field::new(DETAIL.into(), DataType::String),
        ])),
    }
}

/// A frame without rows, with the columns of `table`.
pub(crate) fn empty(table: &TableInfo) -> DataFrame {
    let fields = table.columns.iter().map(|column| Field::new(column.name.into(), data_type(column.kind)));
    DataFrame::empty_with_schema(&fields.collect::<Schema>())
}

/// Rows as a frame with the columns of their table, as a snapshot gives it.
///
/// # Errors
/// When rows cannot be put into columns, which no rows should cause.
pub fn from_rows<T: Table>(rows: Vec<T>) -> Result<DataFrame> {
    from_columns(&TableInfo::of::<T>(), T::into_columns(rows))
}

/// Columns of `table`, in its order, as a frame.
///
/// # Errors
/// When the columns differ in length, which no table should cause.
pub fn from_columns(table: &TableInfo, columns: Vec<ColumnData>) -> Result<DataFrame> {
    let height = columns.first().map_or(0, ColumnData::len);
    let columns = table.columns.iter().zip(columns).map(|(column, data)| series(column.name, data));
    let columns = columns.map(|series| series.map(Series::into_column)).collect::<PolarsResult<Vec<Column>>>();
    columns.and_then(|columns| DataFrame::new(height, columns)).map_err(|error| {
        Error::new(format!("the rows of {} could not be put into columns; please report this", table.name))
            .caused_by(error)
    })
}

/// A frame as columns of `table`.
pub(crate) fn to_columns(frame: &DataFrame, table: &TableInfo) -> Result<Vec<ColumnData>> {
    let columns = table.columns.iter().map(|column| column_data(frame, column)).collect::<PolarsResult<Vec<_>>>();
    columns.map_err(|error| {
        Error::new(format!("the table {} does not have the columns of the schema", table.name)).caused_by(error)
    })
}

/// A frame as rows.
pub(crate) fn to_rows<T: Table>(frame: &DataFrame) -> Result<Vec<T>> {
    T::from_columns(&to_columns(frame, &TableInfo::of::<T>())?)
        .ok_or_else(|| Error::new(format!("the table {} has an empty value where the schema forbids it", T::NAME)))
}

fn series(name: &str, data: ColumnData) -> PolarsResult<Series> {
    let name = PlSmallStr::from(name);
    Ok(match data {
        ColumnData::Text(values) => {
            StringChunked::from_iter_options(name, values.iter().map(Option::as_deref)).into_series()
        }
        ColumnData::Double(values) => Series::new(name, values),
        ColumnData::Int(values) => Series::new(name, values),
        ColumnData::Long(values) => Series::new(name, values),
        ColumnData::Bool(values) => Series::new(name, values),
        ColumnData::Date(values) => {
            let days: Vec<Option<i32>> = values.into_iter().map(|date| date.map(days_of)).collect();
            Series::new(name, days).cast(&DataType::Date)?
        }
        ColumnData::TextList(lists) => list_series(name, &lists, |members| {
            Utf8ViewArray::from_slice_values(members.cloned().collect::<Vec<String>>()).boxed()
        })?,
        ColumnData::IntList(lists) => list_series(name, &lists, |members| primitive(members.copied().collect()))?,
        ColumnData::FloatList(lists) => list_series(name, &lists, |members| primitive(members.copied().collect()))?,
        ColumnData::StepList(lists) => {
            let texts = |field: fn(&Step) -> &str| {
                let texts: Vec<&str> = lists.iter().flatten().map(field).collect();
                Utf8ViewArray::from_slice_values(texts).boxed()
            };
            // Of large tables these are most of what there is.
            let (steps, details) = rayon::join(|| texts(|step| &step.step), || texts(|step| &step.detail));
            let field = |name: &str| ArrayField::new(name.into(), ArrowDataType::Utf8View, true);
            let kind = ArrowDataType::Struct(vec![field(STEP), field(DETAIL)]);
            let pairs = StructArray::try_new(kind, steps.len(), vec![steps, details], None)?;
            list_series(name, &lists, |_| pairs.boxed())?
        }
    })
}

fn primitive<T: NativeType>(values: Vec<T>) -> Box<dyn Array> {
    PrimitiveArray::from_vec(values).boxed()
}

/// A column of lists: where each begins and ends, and all members one after the other.
fn list_series<T>(
    name: PlSmallStr,
    lists: &[Vec<T>],
    members: impl FnOnce(std::iter::Flatten<std::slice::Iter<'_, Vec<T>>>) -> Box<dyn Array>,
) -> PolarsResult<Series> {
    let offsets = Offsets::<i64>::try_from_lengths(lists.iter().map(Vec::len))?;
    let members = members(lists.iter().flatten());
    let kind = ListArray::<i64>::default_datatype(members.dtype().clone());
    Series::from_arrow(name, ListArray::try_new(kind, offsets.into(), members, None)?.boxed())
}

fn column_data(frame: &DataFrame, column: &ColumnInfo) -> PolarsResult<ColumnData> {
    let series = frame.column(column.name)?.as_materialized_series();
    Ok(match column.kind {
        ColumnType::Text => ColumnData::Text(series.str()?.iter().map(|text| text.map(Text::from)).collect()),
        ColumnType::Double => ColumnData::Double(series.f64()?.iter().collect()),
        ColumnType::Int => ColumnData::Int(series.i32()?.iter().collect()),
        ColumnType::Long => ColumnData::Long(series.i64()?.iter().collect()),
        ColumnType::Bool => ColumnData::Bool(series.bool()?.iter().collect()),
        ColumnType::Date => {
            ColumnData::Date(series.date()?.physical().iter().map(|day| day.and_then(date_of)).collect())
        }
        ColumnType::TextList => {
            ColumnData::TextList(lists(series, |list| Ok(list.str()?.iter().flatten().map(str::to_owned).collect()))?)
        }
        ColumnType::IntList => ColumnData::IntList(lists(series, |list| Ok(list.i32()?.iter().flatten().collect()))?),
        ColumnType::FloatList => {
            ColumnData::FloatList(lists(series, |list| Ok(list.f32()?.iter().flatten().collect()))?)
        }
        ColumnType::StepList => ColumnData::StepList(lists(series, steps)?),
    })
}

/// The lists of a column, each read by `read`; a null is an empty list.
fn lists<T>(series: &Series, read: impl Fn(&Series) -> PolarsResult<Vec<T>>) -> PolarsResult<Vec<Vec<T>>> {
    let lists = series.list()?;
    (0..lists.len()).map(|row| lists.get_as_series(row).map_or_else(|| Ok(Vec::new()), |list| read(&list))).collect()
}

fn steps(list: &Series) -> PolarsResult<Vec<Step>> {
    let pairs = list.struct_()?;
    let (steps, details) = (pairs.field_by_name(STEP)?, pairs.field_by_name(DETAIL)?);
    let pairs = steps.str()?.iter().zip(details.str()?.iter());
    Ok(pairs.map(|(step, detail)| Step::new(step.unwrap_or_default(), detail.unwrap_or_default())).collect())
}

const EPOCH: Date = Date::constant(1970, 1, 1);

/// Days since 1970. Every date of the calendar in use, years −9999 to 9999, fits.
pub(crate) fn days_of(date: Date) -> i32 {
    let days = date.duration_since(EPOCH).as_hours() / 24;
    i32::try_from(days).unwrap_or_default()
}

/// The date of a number of days since 1970; `None` outside the years −9999 to 9999.
pub(crate) fn date_of(days: i32) -> Option<Date> {
    EPOCH.checked_add(jiff::SignedDuration::from_hours(i64::from(days) * 24)).ok()
}

#[cfg(test)]
mod tests {
    use super::{date_of, days_of, from_rows, to_rows};
    use jiff::civil::date;
    use proptest::prelude::*;
    use windrow_model::place::Step;

    windrow_model::table! {
        /// A row with every type of column.
        pub struct Everything in "everything" {
            /// Text.
            text: Option<String>,
            /// Double.
            double: Option<f64>,
            /// Int.
            int: Option<i32>,
            /// Long.
            long: i64,
            /// Bool.
            truth: Option<bool>,
            /// Date.
            day: Option<jiff::civil::Date>,
            /// Texts.
            texts: Vec<String>,
            /// Ints.
            ints: Vec<i32>,
            /// Floats.
            floats: Vec<f32>,
            /// Steps.
            steps: Vec<Step>,
        }
    }

    fn row() -> impl Strategy<Value = Everything> {
        let step = (".{0,12}", ".{0,40}").prop_map(|(step, detail)| Step { step: step.into(), detail: detail.into() });
        let first =
            (any::<Option<String>>(), any::<Option<f64>>(), any::<Option<i32>>(), any::<i64>(), any::<Option<bool>>());
        let second = (
            proptest::option::of((-719_000_i32..2_900_000).prop_map(|days| date_of(days).unwrap())),
            proptest::collection::vec(any::<String>(), 0..4),
            proptest::collection::vec(any::<i32>(), 0..4),
            proptest::collection::vec(any::<f32>(), 0..4),
            proptest::collection::vec(step, 0..4),
        );
        (first, second).prop_map(|((text, double, int, long, truth), (day, texts, ints, floats, steps))| Everything {
            text,
            double,
            int,
            long,
            truth,
            day,
            texts,
            ints,
            floats,
            steps,
        })
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]
        #[test]
        fn rows_come_back_from_a_frame_as_they_went_in(rows in proptest::collection::vec(row(), 0..20)) {
            let frame = from_rows(rows.clone()).unwrap();
            prop_assert_eq!(frame.height(), rows.len());
            let back: Vec<Everything> = to_rows(&frame).unwrap();
            // Debug text, because NaN is not equal to itself.
            prop_assert_eq!(format!("{back:?}"), format!("{rows:?}"));
        }
    }

    #[test]
    fn dates_count_from_1970_as_parquet_does() {
        assert_eq!(days_of(date(1970, 1, 1)), 0);
        assert_eq!(days_of(date(1969, 12, 31)), -1);
        // 2000-03-01 is day 11017: 30 years of 365 days, 7 leap days, January, and the 29 days of February 2000.
        assert_eq!(days_of(date(2000, 3, 1)), 30 * 365 + 7 + 31 + 29);
        assert_eq!(date_of(days_of(date(9999, 12, 31))), Some(date(9999, 12, 31)));
        assert_eq!(date_of(i32::MAX), None);
    }
}
