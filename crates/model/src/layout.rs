//! Layout files (`layouts/*.toml` of a fleet): what a person tells of sheets that look alike, anchored by the texts that stand there.

use serde::{Deserialize, Serialize};

/// How notes of sources on layouts that do not fit begin.
pub const MISFIT: &str = "the layout ";

/// A layout of one kind of sheet. It is used on sheets where all of its texts stand; where half of them stand, the missing ones
/// are told.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Layout {
    /// Name, for derivations; the name of the file where none is told.
    #[serde(default)]
    pub name: String,
    /// Texts of cells that must stand on the sheet besides those of headings and labels.
    #[serde(default)]
    pub anchors: Vec<String>,
    /// Single values beside their labels.
    #[serde(default, rename = "field")]
    pub fields: Vec<Field>,
    /// Tables.
    #[serde(default, rename = "table")]
    pub tables: Vec<Table>,
}

/// A value beside its label.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Field {
    /// Text of the label's cell.
    pub label: String,
    /// What the value is: `tag`, `date`, `winding_temperature`, … (see `schema/codes.md` for quantities).
    pub is: String,
    /// Where the value stands.
    #[serde(default)]
    pub stands: Stands,
}

/// Where a value stands, seen from its label.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Stands {
    /// In the next cell of the row that is not empty.
    #[default]
    Right,
    /// In the next cell of the column that is not empty.
    Below,
    /// In the cell of the label, behind it.
    Here,
}

/// A table.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Table {
    /// Whether headings stand at the left, and "columns" are rows.
    #[serde(default)]
    pub turned: bool,
    /// Its columns, as far as they are told; the others are understood as ever.
    #[serde(default, rename = "column")]
    pub columns: Vec<Column>,
}

/// A column, known by the texts over it.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Column {
    /// Texts of the heading, from the top.
    pub under: Vec<String>,
    /// What its cells are: a quantity, what a field may be, `reading` (quantity told elsewhere), `line_label`, `computed`, `limit`
    /// or `unknown`.
    pub is: String,
    /// UCUM code of the unit of numbers that tell none.
    #[serde(default)]
    pub unit: Option<String>,
    /// Code of the circuit.
    #[serde(default)]
    pub circuit: Option<String>,
    /// Time since voltage was applied, s.
    #[serde(default)]
    pub elapsed_s: Option<f64>,
    /// Applied voltage, V.
    #[serde(default)]
    pub voltage_v: Option<f64>,
}
