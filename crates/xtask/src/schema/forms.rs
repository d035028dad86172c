//! The forms of the schema: JSON Schema a table, a page a table, SQL definitions, a data-package descriptor, the codes.

use serde_json::{Value, json};
use std::fmt::Write;
use windrow_model::table::{Column, ColumnType, TABLES, TableInfo};
use windrow_model::{
    Bound, Circuit, Disposition, Flag, Precision, Quantity, Question, Reported, Stage, TestKind, Unit,
};

/// Descriptions are wrapped comments: one line reads better in a table cell.
fn one_line(doc: &str) -> String {
    doc.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn json_type(kind: ColumnType) -> Value {
    match kind {
        ColumnType::Text => json!({"type": "string"}),
        ColumnType::Double => json!({"type": "number"}),
        ColumnType::Int | ColumnType::Long => json!({"type": "integer"}),
        ColumnType::Bool => json!({"type": "boolean"}),
        ColumnType::Date => json!({"type": "string", "format": "date"}),
        ColumnType::TextList => json!({"type": "array", "items": {"type": "string"}}),
        ColumnType::IntList => json!({"type": "array", "items": {"type": "integer"}}),
        ColumnType::FloatList => json!({"type": "array", "items": {"type": "number"}}),
        ColumnType::StepList => json!({"type": "array", "items": {"type": "object",
            "properties": {"step": {"type": "string"}, "detail": {"type": "string"}}, "required": ["step", "detail"]}}),
    }
}

pub(super) fn column_schema(column: &Column) -> Value {
    let mut schema = json_type(column.kind);
    if let (true, Some(kind)) = (column.nullable, schema.get("type").cloned()) {
        schema["type"] = json!([kind, "null"]);
    }
    schema["description"] = json!(one_line(column.doc));
    schema
}

/// JSON Schema (2020-12) of one row of `table`.
pub(super) fn json_schema(table: &TableInfo) -> anyhow::Result<String> {
    let properties: serde_json::Map<String, Value> =
        table.columns.iter().map(|column| (column.name.to_owned(), column_schema(column))).collect();
    let required: Vec<&str> =
        table.columns.iter().filter(|column| !column.nullable).map(|column| column.name).collect();
    pretty(&json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": table.name,
        "description": one_line(table.doc),
        "type": "object",
        "properties": properties,
        "required": required,
        "additionalProperties": false,
    }))
}

pub(super) fn pretty(value: &Value) -> anyhow::Result<String> {
    Ok(serde_json::to_string_pretty(value)? + "\n")
}

/// Type names as people meet them in the stored tables: SQL, Parquet (Arrow).
fn stored_types(kind: ColumnType) -> (&'static str, &'static str, &'static str) {
    match kind {
        ColumnType::Text => ("VARCHAR", "string", "string"),
        ColumnType::Double => ("DOUBLE", "float64", "number"),
        ColumnType::Int => ("INTEGER", "int32", "integer"),
        ColumnType::Long => ("BIGINT", "int64", "integer"),
        ColumnType::Bool => ("BOOLEAN", "bool", "boolean"),
        ColumnType::Date => ("DATE", "date32", "date"),
        ColumnType::TextList => ("VARCHAR[]", "list<string>", "array"),
        ColumnType::IntList => ("INTEGER[]", "list<int32>", "array"),
        ColumnType::FloatList => ("FLOAT[]", "list<float32>", "array"),
        ColumnType::StepList => {
            ("STRUCT(step VARCHAR, detail VARCHAR)[]", "list<struct<step: string, detail: string>>", "array")
        }
    }
}

/// A page for people about `table`.
pub(super) fn page(table: &TableInfo) -> String {
    let mut page = format!(
        "# {}\n\n{}\n\n| column | type | may be empty | meaning |\n|---|---|---|---|\n",
        table.name,
        one_line(table.doc)
    );
    for column in table.columns {
        let empty = if column.nullable { "yes" } else { "no" };
        let _ = writeln!(
            page,
            "| `{}` | {} | {empty} | {} |",
            column.name,
            stored_types(column.kind).1,
            one_line(column.doc)
        );
    }
    page.push_str("\nGenerated from the Rust types by `cargo xtask schema`.\n");
    page
}

/// SQL definitions of all tables.
pub(super) fn ddl() -> String {
    let mut sql = String::from("-- Generated from the Rust types by `cargo xtask schema`.\n");
    for table in TABLES {
        let _ = write!(sql, "\n-- {}\nCREATE TABLE {} (\n", one_line(table.doc), table.name);
        let columns: Vec<String> = table
            .columns
            .iter()
            .map(|column| {
                format!(
                    "  {} {}{}",
                    column.name,
                    stored_types(column.kind).0,
                    if column.nullable { "" } else { " NOT NULL" }
                )
            })
            .collect();
        let _ = write!(sql, "{}\n);\n", columns.join(",\n"));
    }
    sql
}

/// Frictionless data-package descriptor of an export of all tables as CSV.
pub(super) fn data_package() -> anyhow::Result<String> {
    let resources: Vec<Value> = TABLES
        .iter()
        .map(|table| {
            // An empty text is a value, and looks like none in delimited text.
            let fields: Vec<Value> = table
                .columns
                .iter()
                .map(|column| {
                    json!({"name": column.name, "type": stored_types(column.kind).2, "description": one_line(column.doc),
                        "constraints": {"required": !column.nullable && column.kind != ColumnType::Text}})
                })
                .collect();
            json!({"name": table.name.replace('_', "-"), "path": format!("{}.csv", table.name), "profile": "tabular-data-resource",
                "description": one_line(table.doc), "schema": {"fields": fields}})
        })
        .collect();
    pretty(
        &json!({"name": "windrow-fleet", "title": "Insulation-test records of a fleet", "profile": "tabular-data-package", "resources": resources}),
    )
}

/// Every stored code with its meaning.
pub(super) fn codes() -> String {
    let mut page = String::from("# Codes\n");
    macro_rules! list {
        ($title:literal, $ty:ty) => {
            let _ = write!(page, "\n## {}\n\n| code | meaning |\n|---|---|\n", $title);
            for code in <$ty>::ALL {
                let _ = writeln!(page, "| `{}` | {} |", code.code(), one_line(code.doc()));
            }
        };
    }
    list!("Kinds of tests", TestKind);
    list!("Quantities", Quantity);
    list!("Circuits", Circuit);
    list!("Bounds", Bound);
    list!("As reported", Reported);
    list!("Stages", Stage);
    list!("Precision of dates", Precision);
    list!("Dispositions", Disposition);
    list!("Questions", Question);
    list!("Flags", Flag);
    page.push_str("\n## Units\n\nValues are stored in the unit of their dimension whose factor is 1.\n\n| UCUM code | written | factor |\n|---|---|---|\n");
    for unit in Unit::ALL {
        let _ = writeln!(page, "| `{}` | {} | {:e} |", unit.ucum, unit.symbol, unit.factor);
    }
    page.push_str("\nGenerated from the Rust types by `cargo xtask schema`.\n");
    page
}
