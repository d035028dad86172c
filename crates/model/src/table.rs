//! Tables described once: the `table!` macro turns a documented struct into rows, column descriptions and column-wise data.
//!
//! Every generated form of the schema (JSON Schema, Frictionless descriptor, SQL DDL, Arrow types, the pages for people)
//! is made from [`Column`]; the store builds its frames from [`ColumnData`]. Nothing else lists columns by hand.

use crate::Text;
use crate::place::Step;
use jiff::civil::Date;

/// Logical type of a column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ColumnType {
    /// UTF-8 text.
    Text,
    /// 64-bit float.
    Double,
    /// 32-bit signed integer.
    Int,
    /// 64-bit signed integer.
    Long,
    /// True or false.
    Bool,
    /// Calendar date without time or zone.
    Date,
    /// List of texts.
    TextList,
    /// List of 32-bit integers.
    IntList,
    /// List of 32-bit floats.
    FloatList,
    /// List of `struct<step: text, detail: text>`.
    StepList,
}

/// Description of one column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Column {
    /// Column name as stored.
    pub name: &'static str,
    /// Logical type.
    pub kind: ColumnType,
    /// Whether a row may leave it empty.
    pub nullable: bool,
    /// Meaning, for people.
    pub doc: &'static str,
}

/// Values of one column over many rows.
#[derive(Debug, Clone, PartialEq)]
pub enum ColumnData {
    /// Column of [`ColumnType::Text`].
    Text(Vec<Option<Text>>),
    /// Column of [`ColumnType::Double`].
    Double(Vec<Option<f64>>),
    /// Column of [`ColumnType::Int`].
    Int(Vec<Option<i32>>),
    /// Column of [`ColumnType::Long`].
    Long(Vec<Option<i64>>),
    /// Column of [`ColumnType::Bool`].
    Bool(Vec<Option<bool>>),
    /// Column of [`ColumnType::Date`].
    Date(Vec<Option<Date>>),
    /// Column of [`ColumnType::TextList`].
    TextList(Vec<Vec<String>>),
    /// Column of [`ColumnType::IntList`].
    IntList(Vec<Vec<i32>>),
    /// Column of [`ColumnType::FloatList`].
    FloatList(Vec<Vec<f32>>),
    /// Column of [`ColumnType::StepList`].
    StepList(Vec<Vec<Step>>),
}

impl ColumnData {
    /// An empty column of type `kind` with room for `rows` values.
    #[must_use]
    pub fn with_capacity(kind: ColumnType, rows: usize) -> Self {
        match kind {
            ColumnType::Text => Self::Text(Vec::with_capacity(rows)),
            ColumnType::Double => Self::Double(Vec::with_capacity(rows)),
            ColumnType::Int => Self::Int(Vec::with_capacity(rows)),
            ColumnType::Long => Self::Long(Vec::with_capacity(rows)),
            ColumnType::Bool => Self::Bool(Vec::with_capacity(rows)),
            ColumnType::Date => Self::Date(Vec::with_capacity(rows)),
            ColumnType::TextList => Self::TextList(Vec::with_capacity(rows)),
            ColumnType::IntList => Self::IntList(Vec::with_capacity(rows)),
            ColumnType::FloatList => Self::FloatList(Vec::with_capacity(rows)),
            ColumnType::StepList => Self::StepList(Vec::with_capacity(rows)),
        }
    }

    /// Number of values.
    #[must_use]
    pub fn len(&self) -> usize {
        match self {
            Self::Text(v) => v.len(),
            Self::Double(v) => v.len(),
            Self::Int(v) => v.len(),
            Self::Long(v) => v.len(),
            Self::Bool(v) => v.len(),
            Self::Date(v) => v.len(),
            Self::TextList(v) => v.len(),
            Self::IntList(v) => v.len(),
            Self::FloatList(v) => v.len(),
            Self::StepList(v) => v.len(),
        }
    }

    /// Whether there is no value.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }
}

/// A Rust type that can stand in a column.
pub trait CellValue {
    /// Logical type of the column.
    const KIND: ColumnType;
    /// Whether the type can be empty.
    const NULLABLE: bool;
    /// Appends `self` to `column`; a column of another type is left as it is (the macro never mixes them).
    fn push(self, column: &mut ColumnData);
    /// The value at `row` of `column`; `None` if the column has another type or no such row, or leaves a value empty that
    /// the type cannot.
    fn get(column: &ColumnData, row: usize) -> Option<Self>
    where
        Self: Sized;
}

macro_rules! scalar_cell {
    ($ty:ty, $variant:ident) => {
        impl CellValue for $ty {
            const KIND: ColumnType = ColumnType::$variant;
            const NULLABLE: bool = false;
            fn push(self, column: &mut ColumnData) {
                Some(self).push(column);
            }
            fn get(column: &ColumnData, row: usize) -> Option<Self> {
                <Option<$ty>>::get(column, row)?
            }
        }
        impl CellValue for Option<$ty> {
            const KIND: ColumnType = ColumnType::$variant;
            const NULLABLE: bool = true;
            fn push(self, column: &mut ColumnData) {
                if let ColumnData::$variant(values) = column {
                    values.push(self);
                }
            }
            fn get(column: &ColumnData, row: usize) -> Option<Self> {
                match column {
                    ColumnData::$variant(values) => values.get(row).cloned(),
                    _ => None,
                }
            }
        }
    };
}

impl CellValue for String {
    const KIND: ColumnType = ColumnType::Text;
    const NULLABLE: bool = false;
    fn push(self, column: &mut ColumnData) {
        Some(self).push(column);
    }
    fn get(column: &ColumnData, row: usize) -> Option<Self> {
        <Option<Self>>::get(column, row)?
    }
}

impl CellValue for Option<String> {
    const KIND: ColumnType = ColumnType::Text;
    const NULLABLE: bool = true;
    fn push(self, column: &mut ColumnData) {
        self.map(Text::from).push(column);
    }
    fn get(column: &ColumnData, row: usize) -> Option<Self> {
        Some(<Option<Text>>::get(column, row)?.map(String::from))
    }
}

macro_rules! list_cell {
    ($ty:ty, $variant:ident) => {
        impl CellValue for Vec<$ty> {
            const KIND: ColumnType = ColumnType::$variant;
            const NULLABLE: bool = false;
            fn push(self, column: &mut ColumnData) {
                if let ColumnData::$variant(values) = column {
                    values.push(self);
                }
            }
            fn get(column: &ColumnData, row: usize) -> Option<Self> {
                match column {
                    ColumnData::$variant(values) => values.get(row).cloned(),
                    _ => None,
                }
            }
        }
    };
}

scalar_cell!(Text, Text);
scalar_cell!(f64, Double);
scalar_cell!(i32, Int);
scalar_cell!(i64, Long);
scalar_cell!(bool, Bool);
scalar_cell!(Date, Date);
list_cell!(String, TextList);
list_cell!(i32, IntList);
list_cell!(f32, FloatList);
list_cell!(Step, StepList);

/// A row type with a stored table behind it.
pub trait Table: Sized {
    /// Table name.
    const NAME: &'static str;
    /// What a row is, for people.
    const DOC: &'static str;
    /// Columns in stored order.
    const COLUMNS: &'static [Column];
    /// Turns rows into columns, in the order of [`Table::COLUMNS`].
    fn into_columns(rows: Vec<Self>) -> Vec<ColumnData>;
    /// Inverse of [`Table::into_columns`]; `None` if `columns` are not those of the table or differ in length.
    fn from_columns(columns: &[ColumnData]) -> Option<Vec<Self>>;
}

/// Name, meaning and columns of one table, without its row type.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TableInfo {
    /// Table name.
    pub name: &'static str,
    /// What a row is.
    pub doc: &'static str,
    /// Columns in stored order.
    pub columns: &'static [Column],
}

impl TableInfo {
    /// Describes the table of row type `T`.
    #[must_use]
    pub const fn of<T: Table>() -> Self {
        Self { name: T::NAME, doc: T::DOC, columns: T::COLUMNS }
    }
}

/// Declares a row struct and implements [`Table`] for it; doc comments become column descriptions.
#[macro_export]
macro_rules! table {
    (
        $(#[doc = $table_doc:literal])+
        pub struct $row:ident in $name:literal {
            $( $(#[doc = $doc:literal])+ $field:ident : $ty:ty ),+ $(,)?
        }
    ) => {
        $(#[doc = $table_doc])+
        #[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
        pub struct $row {
            $( $(#[doc = $doc])+ pub $field: $ty ),+
        }

        impl $crate::table::Table for $row {
            const NAME: &'static str = $name;
            const DOC: &'static str = concat!($($table_doc, "\n"),+);
            const COLUMNS: &'static [$crate::table::Column] = &[
                $( $crate::table::Column {
                    name: stringify!($field),
                    kind: <$ty as $crate::table::CellValue>::KIND,
                    nullable: <$ty as $crate::table::CellValue>::NULLABLE,
                    doc: concat!($($doc, "\n"),+),
                } ),+
            ];
            fn into_columns(rows: Vec<Self>) -> Vec<$crate::table::ColumnData> {
                use $crate::table::{CellValue, ColumnData};
                let count = rows.len();
                $( let mut $field = ColumnData::with_capacity(<$ty as CellValue>::KIND, count); )+
                for row in rows {
                    $( CellValue::push(row.$field, &mut $field); )+
                }
                vec![$($field),+]
            }
            fn from_columns(columns: &[$crate::table::ColumnData]) -> Option<Vec<Self>> {
                use $crate::table::CellValue;
                let [$($field),+] = columns else { return None };
                let lengths = [$($field.len()),+];
                let count = lengths[0];
                if lengths.iter().any(|length| *length != count) {
                    return None;
                }
                (0..count).map(|row| Some(Self { $( $field: CellValue::get($field, row)? ),+ })).collect()
            }
        }
    };
}

/// Every stored table, in the order in which an import writes them.
pub const TABLES: &[TableInfo] = &[
    TableInfo::of::<crate::Asset>(),
    TableInfo::of::<crate::Test>(),
    TableInfo::of::<crate::Reading>(),
    TableInfo::of::<crate::ReportedFigure>(),
    TableInfo::of::<crate::Waveform>(),
    TableInfo::of::<crate::CellRow>(),
    TableInfo::of::<crate::Hold>(),
    TableInfo::of::<crate::SourceRow>(),
    TableInfo::of::<crate::ImportRow>(),
    TableInfo::of::<crate::TestSummary>(),
    TableInfo::of::<crate::Finding>(),
    TableInfo::of::<crate::Coverage>(),
];

#[cfg(test)]
mod tests {
    use super::{ColumnData, Table};
    use crate::Text;
    use crate::{Hold, id::row_id};

    fn hold(cell: Option<&str>) -> Hold {
        Hold {
            hold_id: row_id("holds", &["book.xlsx", "B4"]),
            import_id: "i".into(),
            source_file: "book.xlsx".into(),
            source_sheet: None,
            source_cell: cell.map(Text::from),
            raw_text: "\u{221e}".into(),
            question: "missing_ceiling".into(),
            choices: vec!["1000 M\u{3a9}".into(), String::new()],
            context: Text::default(),
            cause: "c".into(),
            resolved_by: None,
        }
    }

    #[test]
    fn rows_survive_the_way_through_columns() {
        let rows = vec![hold(Some("B4")), hold(None)];
        let columns = Hold::into_columns(rows.clone());
        assert_eq!(columns.len(), Hold::COLUMNS.len());
        assert_eq!(Hold::from_columns(&columns), Some(rows));
    }

    #[test]
    fn columns_of_another_shape_are_refused() {
        let mut columns = Hold::into_columns(vec![hold(None)]);
        columns[0] = ColumnData::Text(Vec::new());
        assert_eq!(Hold::from_columns(&columns), None);
        columns.pop();
        assert_eq!(Hold::from_columns(&columns), None);
    }

    #[test]
    fn every_column_of_every_table_is_described_and_named_once() {
        for table in super::TABLES {
            let mut names: Vec<_> = table.columns.iter().map(|column| column.name).collect();
            names.sort_unstable();
            names.dedup();
            assert_eq!(names.len(), table.columns.len(), "{}", table.name);
            assert!(table.columns.iter().all(|column| !column.doc.trim().is_empty()), "{}", table.name);
        }
    }
}
