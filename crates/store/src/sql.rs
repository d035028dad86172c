//! SQL over a snapshot, and errors that help.

use crate::error::{Error, Result};
use crate::snapshot::Snapshot;
use polars::prelude::{DataFrame, PolarsError};
use polars::sql::SQLContext;
use sqlparser::ast::{Statement, TableFactor, Visit, Visitor};
use sqlparser::dialect::GenericDialect;
use sqlparser::parser::{Parser, ParserError, ParserOptions};
use sqlparser::tokenizer::{Token, Tokenizer};
use std::ops::ControlFlow;
use windrow_model::table::TABLES;

/// Likeness above which a name is suggested for a misspelt one (Jaro–Winkler, 1 is equal).
const ALIKE: f64 = 0.8;

/// Answers one reading statement, with no more than the first `most` rows.
pub(crate) fn run(snapshot: &Snapshot, statement: &str, most: Option<u32>) -> Result<DataFrame> {
    only_reads(statement)?;
    let executed = with_points(statement);
    only_reads(&executed)?;
    let mut context = SQLContext::new();
    for info in TABLES {
        context.register(info.name, snapshot.scan_table(info)?);
    }
    let plan = context.execute(&executed).map_err(|error| explained(statement, error))?;
    let plan = match most {
        Some(rows) => plan.limit(rows),
        None => plan,
    };
    plan.collect().map_err(|error| explained(statement, error))
}

/// Refuses what is not one statement that reads tables of the fleet: they are changed by imports only, and other files are nobody's to
/// ask for.
fn only_reads(statement: &str) -> Result<()> {
    let parsed = parsed(statement)
        .map_err(|error| Error::query(format!("the SQL could not be understood: {}", near(&error.to_string()))))?;
    let [one] = parsed.as_slice() else {
        return Err(match parsed.len() {
            0 => Error::query("the SQL is empty; try \"SHOW TABLES\""),
            more => Error::query(format!("one statement is answered at a time, and this is {more}")),
        });
    };
    match one.visit(&mut OnlyReads) {
        ControlFlow::Continue(()) => Ok(()),
        ControlFlow::Break(error) => Err(error),
    }
}

/// As the engine reads it, so that nothing is looked at here that is something else there.
fn parsed(statement: &str) -> std::result::Result<Vec<Statement>, ParserError> {
    let options = ParserOptions { trailing_commas: true, ..ParserOptions::default() };
    Parser::new(&GenericDialect {}).with_options(options).try_with_sql(statement)?.parse_statements()
}

/// Looks at every statement and every table of a statement, however deep they stand; breaks off at the first that is refused.
struct OnlyReads;

impl Visitor for OnlyReads {
    type Break = Error;

    fn pre_visit_statement(&mut self, statement: &Statement) -> ControlFlow<Error> {
        match statement {
            Statement::Query(_) | Statement::ShowTables { .. } | Statement::Explain { .. } => ControlFlow::Continue(()),
            _ => ControlFlow::Break(Error::query(
                "only SELECT, WITH, SHOW TABLES and EXPLAIN are answered: tables are changed by imports only",
            )),
        }
    }

    fn pre_visit_table_factor(&mut self, table: &TableFactor) -> ControlFlow<Error> {
        match table {
            TableFactor::Table { args: None, .. }
            | TableFactor::Derived { .. }
            | TableFactor::NestedJoin { .. }
            | TableFactor::UNNEST { .. } => ControlFlow::Continue(()),
            // The engine has functions that read any file of this computer.
            _ => ControlFlow::Break(Error::query(format!(
                "{table} is refused: only the tables of the fleet are read, by their names; {}",
                known_tables()
            ))),
        }
    }
}

/// The statement with `1e9` written as `1.0e9`: the engine takes a number without a point for a whole one, and gives up on
/// its exponent.
fn with_points(statement: &str) -> String {
    let tokens = Tokenizer::new(&GenericDialect {}, statement).with_unescape(false).tokenize();
    // What cannot be cut into words was refused before.
    let Ok(tokens) = tokens else { return statement.to_owned() };
    let written = tokens.into_iter().map(|token| match token {
        Token::Number(number, _) if !number.contains('.') => number.replacen(['e', 'E'], ".0e", 1),
        other => other.to_string(),
    });
    written.collect()
}

/// Drops the parser's own introduction.
fn near(message: &str) -> &str {
    message.trim_start_matches("sql parser error: ")
}

/// What was wrong in the words of the engine, and the known name that is meant most likely.
fn explained(statement: &str, error: PolarsError) -> Error {
    let mut root = &error;
    while let PolarsError::Context { error, .. } | PolarsError::ExprContext { error, .. } = root {
        root = error;
    }
    let message = root.to_string();
    match root {
        PolarsError::ColumnNotFound(_) | PolarsError::SchemaFieldNotFound(_) | PolarsError::StructFieldNotFound(_) => {
            Error::query(format!("{message}; {}", column_advice(statement, &message)))
        }
        PolarsError::SQLInterface(_) if message.contains("relation") => {
            Error::query(format!("{message}; {}", table_advice(&message)))
        }
        PolarsError::SQLInterface(_) if message.contains("column") => {
            Error::query(format!("{message}; {}", column_advice(statement, &message)))
        }
        PolarsError::IO { .. } => {
            Error::new("a table could not be read; if it was just replaced, ask again").caused_by(error)
        }
        _ => Error::query(format!("the SQL could not be answered: {message}")),
    }
}

/// Names of all tables, as a sentence.
pub(crate) fn known_tables() -> String {
    let names: Vec<&str> = TABLES.iter().map(|info| info.name).collect();
    format!("the tables are {}", names.join(", "))
}

fn table_advice(message: &str) -> String {
    let names = TABLES.iter().map(|info| info.name);
    quoted(message)
        .and_then(|asked| nearest(asked, names))
        .map_or_else(known_tables, |name| format!("did you mean {name}? {}", known_tables()))
}

fn column_advice(statement: &str, message: &str) -> String {
    let used: Vec<_> = TABLES.iter().filter(|info| words(statement).any(|word| word == info.name)).collect();
    let columns = used.iter().flat_map(|info| info.columns).map(|column| column.name);
    if let Some(name) = quoted(message).and_then(|asked| nearest(asked, columns)) {
        return format!("did you mean {name}?");
    }
    let list = |columns: &[windrow_model::table::Column]| {
        columns.iter().map(|column| column.name).collect::<Vec<_>>().join(", ")
    };
    let known: Vec<String> = used.iter().map(|info| format!("{} has {}", info.name, list(info.columns))).collect();
    if known.is_empty() { known_tables() } else { known.join("; ") }
}

fn words(statement: &str) -> impl Iterator<Item = &str> {
    statement.split(|letter: char| !letter.is_alphanumeric() && letter != '_')
}

/// The first name in quotes, without the table before a point; else the last word.
fn quoted(message: &str) -> Option<&str> {
    let marks = ['"', '\'', '`'];
    let name = match message.split(marks).nth(1) {
        Some(name) => name,
        None => words(message).filter(|word| !word.is_empty()).last()?,
    };
    name.rsplit('.').next()
}

fn nearest<'a>(asked: &str, names: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let scored = names.map(|name| (strsim::jaro_winkler(asked, name), name)).filter(|(likeness, _)| *likeness >= ALIKE);
    scored.max_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(a.1))).map(|(_, name)| name)
}
