//! The description of the interface, OpenAPI 3.1, made from the operations and the tables of the schema.

use super::operations::{Gives, Kind, Method, OPERATIONS, Operation, Takes};
use serde_json::{Map, Value, json};
use windrow_model::table::{Column, ColumnType, TABLES};

/// The description as JSON.
#[must_use]
pub fn openapi() -> Value {
    let mut paths: Map<String, Value> = Map::new();
    for operation in OPERATIONS {
        let methods = paths.entry(operation.path.to_owned()).or_insert_with(|| json!({}));
        let method = match operation.method {
            Method::Get => "get",
            Method::Post => "post",
        };
        if let Some(methods) = methods.as_object_mut() {
            methods.insert(method.to_owned(), described(operation));
        }
    }
    let mut schemas: Map<String, Value> =
        TABLES.iter().map(|table| (table.name.to_owned(), row(table.columns))).collect();
    schemas.extend(own_schemas());
    json!({
        "openapi": "3.1.0",
        "info": {
            "title": "Windrow",
            "version": env!("CARGO_PKG_VERSION"),
            "description": "One fleet of winding-insulation evidence. Values are in SI units. Windrow reads records and performs no test: levels and findings are evidence to be weighed by qualified people under local codes.",
            "license": { "name": "Apache-2.0", "identifier": "Apache-2.0" },
        },
        "servers": [{ "url": "/api/v1" }],
        "security": [{}, { "token": [] }],
        "paths": paths,
        "components": {
            "schemas": schemas,
            "securitySchemes": { "token": { "type": "http", "scheme": "bearer", "description": "Wanted where Windrow listens beyond loopback." } },
        },
    })
}

fn described(operation: &Operation) -> Value {
    let mut parameters: Vec<Value> = Vec::new();
    if operation.path.contains("{id}") {
        parameters.push(
            json!({ "name": "id", "in": "path", "required": true, "schema": { "type": "string", "minLength": 1 } }),
        );
    }
    let mut told = json!({
        "operationId": operation.name,
        "summary": operation.doc,
        "responses": {
            "200": { "description": "The answer.", "content": content(operation.gives) },
            "default": { "description": "Why there is no answer.", "content": { "application/json": { "schema": reference("error") } } },
        },
    });
    match operation.method {
        Method::Get => parameters.extend(operation.takes.iter().map(parameter)),
        Method::Post => told["requestBody"] = body(operation.takes),
    }
    told["parameters"] = Value::Array(parameters);
    told
}

fn parameter(takes: &Takes) -> Value {
    json!({ "name": takes.name, "in": "query", "required": takes.is_needed, "description": takes.doc, "schema": kind(takes.kind) })
}

fn body(takes: &[Takes]) -> Value {
    let is_needed = takes.iter().any(|takes| takes.is_needed);
    json!({ "required": is_needed, "content": { "application/json": { "schema": object(takes) } } })
}

/// An object with these fields.
fn object(takes: &[Takes]) -> Value {
    let fields: Map<String, Value> = takes
        .iter()
        .map(|takes| {
            let mut schema = kind(takes.kind);
            if takes.is_needed && takes.kind == Kind::Text {
                // Not blank.
                schema["pattern"] = "\\S".into();
            }
            schema["description"] = takes.doc.into();
            (takes.name.to_owned(), schema)
        })
        .collect();
    let needed: Vec<&str> = takes.iter().filter(|takes| takes.is_needed).map(|takes| takes.name).collect();
    json!({ "type": "object", "properties": fields, "required": needed, "additionalProperties": false })
}

fn kind(kind: Kind) -> Value {
    match kind {
        Kind::Text => json!({ "type": "string" }),
        Kind::Number => json!({ "type": "integer", "minimum": 0, "maximum": u32::MAX }),
        Kind::Texts => json!({ "type": "array", "items": { "type": "string" } }),
        Kind::OneOf(values) => json!({ "type": "string", "enum": values }),
        Kind::Rows(takes) => json!({ "type": "array", "minItems": 1, "items": object(takes) }),
    }
}

fn reference(name: &str) -> Value {
    json!({ "$ref": format!("#/components/schemas/{name}") })
}

fn list(name: &str, of: &str) -> Value {
    json!({
        "type": "object",
        "properties": { "total": { "type": "integer" }, name: { "type": "array", "items": reference(of) } },
        "required": ["total", name],
    })
}

fn content(gives: Gives) -> Value {
    let schema = match gives {
        Gives::List(name, table) => list(name, table),
        Gives::Row(table) => reference(table),
        Gives::Rows(tables) => {
            let fields: Map<String, Value> = tables
                .iter()
                .map(|table| ((*table).to_owned(), json!({ "type": "array", "items": reference(table) })))
                .collect();
            json!({ "type": "object", "properties": fields, "required": tables })
        }
        Gives::Questions => list("questions", "question"),
        Gives::Rulings => list("decisions", "ruling"),
        Gives::State => reference("work"),
        Gives::Written => reference("written"),
        Gives::Taken => reference("taken"),
        Gives::Description => json!({ "type": "object" }),
        Gives::Answer => {
            let rows = json!({ "type": "array", "items": { "type": "object" } });
            return json!({
                "application/json": { "schema": rows },
                "text/csv": { "schema": { "type": "string" } },
                "application/vnd.apache.parquet": { "schema": { "type": "string", "format": "binary" } },
            });
        }
    };
    json!({ "application/json": { "schema": schema } })
}

/// A row of a table.
fn row(columns: &[Column]) -> Value {
    let fields: Map<String, Value> = columns.iter().map(|column| (column.name.to_owned(), field(column))).collect();
    let names: Vec<&str> = columns.iter().map(|column| column.name).collect();
    json!({ "type": "object", "properties": fields, "required": names })
}

fn field(column: &Column) -> Value {
    let list = |items: Value| json!({ "type": "array", "items": items });
    let mut schema = match column.kind {
        ColumnType::Text => json!({ "type": "string" }),
        // What is not finite has no JSON and is null.
        ColumnType::Double => json!({ "type": ["number", "null"] }),
        ColumnType::Int | ColumnType::Long => json!({ "type": "integer" }),
        ColumnType::Bool => json!({ "type": "boolean" }),
        ColumnType::Date => json!({ "type": "string", "format": "date" }),
        ColumnType::TextList => list(json!({ "type": "string" })),
        ColumnType::IntList => list(json!({ "type": "integer" })),
        ColumnType::FloatList => list(json!({ "type": ["number", "null"] })),
        ColumnType::StepList => list(reference("step")),
    };
    if column.nullable && schema["type"].is_string() {
        schema["type"] = json!([schema["type"], "null"]);
    }
    schema["description"] = column.doc.trim().into();
    schema
}

/// Shapes that are no tables.
fn own_schemas() -> Map<String, Value> {
    let text = || json!({ "type": "string" });
    let perhaps = || json!({ "type": ["string", "null"] });
    let object = |fields: Value| {
        let names: Vec<String> = fields.as_object().map(|fields| fields.keys().cloned().collect()).unwrap_or_default();
        json!({ "type": "object", "properties": fields, "required": names })
    };
    let decision = object(json!({
        "question": text(), "answer": text(), "file": perhaps(), "sheet": perhaps(), "cells": perhaps(), "text": perhaps(), "by": perhaps(), "on": perhaps(), "why": perhaps(),
    }));
    let own = [
        ("step", object(json!({ "step": text(), "detail": text() }))),
        ("error", object(json!({ "error": object(json!({ "code": text(), "message": text() })) }))),
        ("decision", decision),
        ("ruling", object(json!({ "ruling": text(), "decision": reference("decision") }))),
        (
            "question",
            object(json!({
                "id": text(), "holds": { "type": "array", "items": reference("holds") },
                "standing": { "type": "array", "items": reference("decision") }, "seen": text(),
            })),
        ),
        (
            "work",
            object(json!({
                "state": { "type": "string", "enum": ["idle", "reading", "judging", "done", "failed"] }, "words": text(),
                "answers_wait": { "type": "boolean" }, "commit": { "type": "integer" }, "queries": { "type": "integer" },
            })),
        ),
        ("written", object(json!({ "written": { "type": "integer" } }))),
        ("wrong", object(json!({ "number": { "type": "integer" }, "field": text(), "message": text() }))),
        (
            "taken",
            object(json!({
                "written": { "type": "integer" }, "known": { "type": "integer" },
                "wrong": { "type": "array", "items": reference("wrong") },
            })),
        ),
    ];
    own.into_iter().map(|(name, schema)| (name.to_owned(), schema)).collect()
}
