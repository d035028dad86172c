//! What programs change: the same as the forms of the pages.

use super::{Asked, read};
use crate::app::Shared;
use crate::pages::question::{self, Given};
use crate::pages::{decisions, finding};
use crate::params::Params;
use crate::trouble::Trouble;
use serde_json::{Value, json};

/// Fields of the body as the form of a page sends them.
fn form(asked: &Asked, names: &[&str]) -> Result<Vec<(String, String)>, Trouble> {
    let mut fields = Vec::new();
    for name in names {
        fields.extend(asked.text(name)?.map(|text| ((*name).to_owned(), text.to_owned())));
    }
    Ok(fields)
}

pub(super) fn say(app: &Shared, asked: &Asked) -> Result<Value, Trouble> {
    asked.needed("word")?;
    asked.needed("reason")?;
    finding::say(app, &asked.id, &Params::of(form(asked, &["word", "reason", "by", "level"])?))?;
    Ok(json!({ "written": 1 }))
}

pub(super) fn answer(app: &Shared, asked: &Asked) -> Result<Value, Trouble> {
    let holds = match asked.body.get("holds") {
        None => None,
        Some(told) => {
            let ids: Option<Vec<&str>> = told.as_array().and_then(|ids| ids.iter().map(Value::as_str).collect());
            Some(ids.ok_or_else(|| Trouble::Wrong("holds must be a list of hold_ids".to_owned()))?)
        }
    };
    let given = Given {
        answer: asked.needed("answer")?,
        seen: asked.needed("seen")?,
        by: asked.text("by")?,
        why: asked.text("why")?,
        holds,
    };
    Ok(json!({ "written": question::answer(app, &asked.id, &given)? }))
}

pub(super) fn take_back(app: &Shared, asked: &Asked) -> Result<Value, Trouble> {
    decisions::take_out(app, asked.needed("ruling")?)?;
    Ok(json!({ "written": 1 }))
}

pub(super) fn apply(app: &Shared, asked: &Asked) -> Result<Value, Trouble> {
    crate::work::apply(app);
    read::work(app, asked)
}
