//! One value of an answer, as text and as JSON.

use crate::frame::date_of;
use polars::prelude::AnyValue;
use serde::ser::{Serialize, SerializeMap, Serializer};
use std::fmt;

/// A value of any column.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Cell {
    /// No value.
    Null,
    /// True or false.
    Bool(bool),
    /// A whole number that fits 64 bits.
    Int(i64),
    /// Any other number.
    Float(f64),
    /// A 32-bit float: printed with the digits that it has.
    Single(f32),
    /// Text, and whatever prints as text.
    Text(String),
    /// A list.
    List(Vec<Cell>),
    /// A structure.
    Struct(Vec<(String, Cell)>),
}

impl Cell {
    /// Whether it is a number, which stands to the right in a table.
    pub(super) fn is_number(&self) -> bool {
        matches!(self, Self::Int(_) | Self::Float(_) | Self::Single(_))
    }
}

impl From<AnyValue<'_>> for Cell {
    fn from(value: AnyValue<'_>) -> Self {
        match value {
            AnyValue::Null => Self::Null,
            AnyValue::Boolean(truth) => Self::Bool(truth),
            AnyValue::String(text) => Self::Text(text.to_owned()),
            AnyValue::StringOwned(text) => Self::Text(text.to_string()),
            AnyValue::Float64(number) => Self::Float(number),
            AnyValue::Float32(number) => Self::Single(number),
            AnyValue::Date(days) => date_of(days).map_or(Self::Null, |date| Self::Text(date.to_string())),
            AnyValue::List(members) => Self::List(members.iter().map(Self::from).collect()),
            AnyValue::StructOwned(parts) => {
                let (values, fields) = *parts;
                let names = fields.iter().map(|field| field.name().to_string());
                Self::Struct(names.zip(values.into_iter().map(Self::from)).collect())
            }
            AnyValue::Struct(..) => Self::from(value.into_static()),
            // Wider integers than 64 bits come from no function that is built in.
            other => match other.extract::<i64>().filter(|_| other.dtype().is_integer()) {
                Some(number) => Self::Int(number),
                None => Self::Text(other.to_string()),
            },
        }
    }
}

/// The shortest text that reads back as the same number: plain up to 16 digits, else with an exponent.
fn number(
    f: &mut fmt::Formatter<'_>,
    value: f64,
    plain: &dyn fmt::Display,
    exponent: &dyn fmt::LowerExp,
) -> fmt::Result {
    let size = value.abs();
    if size == 0.0 || !size.is_finite() || (1e-5..1e16).contains(&size) {
        write!(f, "{plain}")
    } else {
        write!(f, "{exponent:e}")
    }
}

impl fmt::Display for Cell {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Null => Ok(()),
            Self::Bool(truth) => write!(f, "{truth}"),
            Self::Int(value) => write!(f, "{value}"),
            Self::Float(value) => number(f, *value, value, value),
            Self::Single(value) => number(f, f64::from(*value), value, value),
            Self::Text(text) => f.write_str(text),
            Self::List(members) => {
                let steps = members.iter().any(|member| matches!(member, Self::Struct(_)));
                joined(f, members.iter(), if steps { "; " } else { " " })
            }
            Self::Struct(fields) => joined(f, fields.iter().map(|(_, value)| value), ": "),
        }
    }
}

fn joined<'a>(f: &mut fmt::Formatter<'_>, cells: impl Iterator<Item = &'a Cell>, between: &str) -> fmt::Result {
    for (index, cell) in cells.enumerate() {
        if index > 0 {
            f.write_str(between)?;
        }
        write!(f, "{cell}")?;
    }
    Ok(())
}

impl Serialize for Cell {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Null => serializer.serialize_none(),
            Self::Bool(truth) => serializer.serialize_bool(*truth),
            Self::Int(value) => serializer.serialize_i64(*value),
            Self::Float(value) => serializer.serialize_f64(*value),
            Self::Single(value) => serializer.serialize_f32(*value),
            Self::Text(text) => serializer.serialize_str(text),
            Self::List(members) => members.serialize(serializer),
            Self::Struct(fields) => {
                let fields = fields.iter().map(|(name, value)| (name.as_str(), value));
                serializer.collect_map(fields)
            }
        }
    }
}

/// A row as a JSON object, fields in the order of the columns.
pub(super) struct Fields<'a>(pub(super) Vec<(&'a str, Cell)>);

impl Serialize for Fields<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(Some(self.0.len()))?;
        for (name, value) in &self.0 {
            map.serialize_entry(name, value)?;
        }
        map.end()
    }
}
