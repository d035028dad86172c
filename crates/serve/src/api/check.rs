//! Whether a request is as its operation describes: what is needed is there, and everything has its type.

use super::operations::{Kind, Takes};
use crate::params::Params;
use crate::trouble::Trouble;
use serde_json::Value;

/// What is wrong with a parameter or a field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Fault {
    /// Its name, as it was told.
    pub(super) field: String,
    /// What is wrong, and what is expected.
    pub(super) what: String,
}

impl From<Fault> for Trouble {
    fn from(fault: Fault) -> Self {
        Self::Wrong(fault.what)
    }
}

/// Checks a query string.
///
/// # Errors
/// What is missing, unknown, told twice or of another type.
pub(super) fn query(takes: &[Takes], params: &Params) -> Result<(), Trouble> {
    known(takes, params.names(), "parameter of the query string")?;
    for takes in takes {
        let told: Vec<&str> = params.all(takes.name).collect();
        if takes.is_needed && params.get(takes.name).is_none() {
            return Err(missing(takes).into());
        }
        if told.len() > 1 {
            return Err(Trouble::Wrong(format!("{} stands {} times; tell it once.", takes.name, told.len())));
        }
        for value in told {
            let fits = match takes.kind {
                Kind::Number => value.parse::<u32>().is_ok(),
                Kind::OneOf(values) => values.contains(&value),
                Kind::Text | Kind::Texts | Kind::Rows(_) => true,
            };
            if !fits {
                return Err(other(takes).into());
            }
        }
    }
    Ok(())
}

/// Checks the fields of a JSON object. Objects in a list of its are checked one by one by whoever takes them, so that one of them that is
/// wrong does not keep out the rest.
///
/// # Errors
/// What is missing, unknown or of another type.
pub(super) fn fields(takes: &[Takes], body: &Value) -> Result<(), Fault> {
    if !body.is_object() {
        let names: Vec<&str> = takes.iter().map(|takes| takes.name).collect();
        return Err(Fault { field: String::new(), what: format!("an object with {} is expected", names.join(", ")) });
    }
    let names = body.as_object().into_iter().flat_map(|fields| fields.keys().map(String::as_str));
    known(takes, names, "field of the body")?;
    for takes in takes {
        let Some(value) = body.get(takes.name) else {
            if takes.is_needed {
                return Err(missing(takes));
            }
            continue;
        };
        let fits = match takes.kind {
            Kind::Number => value.as_u64().is_some_and(|number| u32::try_from(number).is_ok()),
            Kind::Text => value.as_str().is_some_and(|text| !takes.is_needed || !text.trim().is_empty()),
            Kind::Texts => value.as_array().is_some_and(|texts| texts.iter().all(Value::is_string)),
            Kind::OneOf(values) => value.as_str().is_some_and(|text| values.contains(&text)),
            Kind::Rows(_) => value.as_array().is_some_and(|rows| !rows.is_empty()),
        };
        if !fits {
            return Err(other(takes));
        }
    }
    Ok(())
}

/// Refuses a name that the operation does not know: what is misspelt would be left out without a word.
fn known<'n>(takes: &[Takes], mut names: impl Iterator<Item = &'n str>, what: &str) -> Result<(), Fault> {
    let Some(strange) = names.find(|name| takes.iter().all(|takes| takes.name != *name)) else { return Ok(()) };
    let strange: String = strange.chars().take(80).collect();
    let known: Vec<&str> = takes.iter().map(|takes| takes.name).collect();
    let known = if known.is_empty() { "it takes none".to_owned() } else { format!("it takes {}", known.join(", ")) };
    let what = format!("{strange:?} is no {what} of this operation; {known}.");
    Err(Fault { field: strange, what })
}

fn missing(takes: &Takes) -> Fault {
    Fault { field: takes.name.to_owned(), what: format!("{} is missing. {}", takes.name, takes.doc) }
}

fn other(takes: &Takes) -> Fault {
    let kind = match takes.kind {
        Kind::Number => "one whole number from 0 to 4294967295".to_owned(),
        Kind::Text => "a text that is not blank".to_owned(),
        Kind::Texts => "a list of texts".to_owned(),
        Kind::OneOf(values) => format!("one of {}", values.join(", ")),
        Kind::Rows(_) => "a list of one object or more".to_owned(),
    };
    Fault { field: takes.name.to_owned(), what: format!("{} must be {kind}. {}", takes.name, takes.doc) }
}
