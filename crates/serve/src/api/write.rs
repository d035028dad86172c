//! What programs change: the same as the forms of the pages.

use super::{Asked, read};
use crate::app::Shared;
use crate::pages::{decisions, finding, question};
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
    asked.needed("answer")?;
    asked.needed("seen")?;
    let mut fields = form(asked, &["answer", "seen", "why", "by"])?;
    match asked.body.get("holds") {
        None | Some(Value::Null) => {
            let view = app.view()?;
            let all = view.question(&asked.id).map(|group| group.holds.as_slice()).unwrap_or_default();
            fields.extend(all.iter().map(|hold| ("hold".to_owned(), hold.hold_id.to_string())));
        }
        Some(Value::Array(holds)) => {
            for hold in holds {
                let hold =
                    hold.as_str().ok_or_else(|| Trouble::Wrong("holds must be a list of hold_ids".to_owned()))?;
                fields.push(("hold".to_owned(), hold.to_owned()));
            }
        }
        Some(_) => return Err(Trouble::Wrong("holds must be a list of hold_ids".to_owned())),
    }
    let written = question::answer(app, &asked.id, &Params::of(fields))?;
    Ok(json!({ "written": written }))
}

pub(super) fn take_back(app: &Shared, asked: &Asked) -> Result<Value, Trouble> {
    decisions::take_out(app, asked.needed("ruling")?)?;
    Ok(json!({ "written": 1 }))
}

pub(super) fn apply(app: &Shared, asked: &Asked) -> Result<Value, Trouble> {
    crate::work::apply(app);
    read::work(app, asked)
}
