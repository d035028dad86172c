//! Events of findings, damped.

use super::{Teller, sorted, subject};
use crate::damping::{History, Verdict, standing, weigh};
use crate::event::{Kind, NO_ASSET, explain};
use crate::now::{Entity, Known, Shown};
use crate::outbox::Told;
use serde_json::{Map, Value, json};
use windrow_model::table::TableInfo;
use windrow_model::{Finding, Step};

/// The kind of findings among what is told.
pub(crate) const FINDING: &str = "finding";
/// The standing of a finding that is no longer shown.
const CLEARED: &str = "cleared";
/// What became of a finding that is no longer told at all.
const GONE: &str = "cleared: the records no longer tell it";

impl Teller<'_, '_> {
    /// Findings of an import before the newest say nothing of the records as they are: until these are judged, nothing is told of any.
    pub(super) fn findings(&mut self) -> rusqlite::Result<()> {
        if !self.now.is_judged {
            tracing::warn!("the newest import is not judged yet, so nothing is told of findings; run windrow analyze");
            return Ok(());
        }
        let mut told = self.ledger.all_told(FINDING)?;
        for known in &self.now.findings {
            self.finding(known, told.remove(&known.entity.id).as_ref())?;
        }
        for (id, before) in sorted(told) {
            let known = self.gone(&id, &before)?;
            self.finding(&known, Some(&before))?;
        }
        Ok(())
    }

    /// A finding that was told and of which the records no longer know anything, as when they were imported anew beside the outbox that
    /// stood: cleared, with what was told of it last.
    fn gone(&self, id: &str, before: &Told) -> rusqlite::Result<Known> {
        let last = self.ledger.last_about(&before.asset, &subject(Kind::FindingCleared, id))?;
        let last = last.and_then(|body| serde_json::from_str::<Value>(&body).ok());
        let mut data = match last.map(|mut event| event["data"].take()) {
            Some(Value::Object(data)) => data,
            _ => self.unknown(id, before),
        };
        let level = data.get("level").and_then(Value::as_str).unwrap_or_default().to_owned();
        data.insert("state".to_owned(), json!(CLEARED));
        if let Some(Value::Array(changes)) = data.get_mut("changes") {
            changes.push(json!(Step::new(day(&self.now.time), GONE)));
        }
        let entity = Entity { id: id.to_owned(), asset: before.asset.clone(), digest: before.digest.clone(), data };
        Ok(Known { entity, level, shown: Shown::Cleared })
    }

    /// The little that is known of a finding whose events are gone too, in the form of the others: closing it matters more than its words.
    fn unknown(&self, id: &str, before: &Told) -> Map<String, Value> {
        let names = TableInfo::of::<Finding>().columns.iter().map(|column| (column.name.to_owned(), Value::Null));
        let mut data: Map<String, Value> = names.filter(|(name, _)| name != "working").collect();
        let told = [
            ("finding_id", json!(id)),
            ("asset_id", json!(Some(&before.asset).filter(|asset| *asset != NO_ASSET))),
            ("rule", json!("unknown")),
            ("level", json!(history(before).standing)),
            (
                "statement",
                json!(
                    "What was found is no longer known: the records do not tell it, and the events that did are gone."
                ),
            ),
            ("basis", json!("")),
            ("cautions", json!("")),
            ("evidence", json!([])),
            ("changes", json!([])),
            ("places", json!([])),
            ("explain", explain(id, &self.now.fleet)),
        ];
        data.extend(told.map(|(name, value)| (name.to_owned(), value)));
        data
    }

    fn finding(&mut self, known: &Known, before: Option<&Told>) -> rusqlite::Result<()> {
        let (entity, standing) = (&known.entity, standing(known));
        let Some(before) = before else {
            // What was cleared before anybody heard of it is no news.
            if known.shown == Shown::Open {
                self.add(Kind::FindingOpened, entity, entity.data.clone())?;
                let history = History { standing, ..History::default() };
                self.tell(FINDING, entity, json!(history).to_string())?;
            }
            return Ok(());
        };
        let history = history(before);
        let was_cleared = history.standing == CLEARED;
        match weigh(&history, &standing, &self.now.import_id) {
            Verdict::Tell(history) => {
                let kind = match known.shown {
                    Shown::Cleared => Kind::FindingCleared,
                    Shown::Open if was_cleared => Kind::FindingOpened,
                    Shown::Open => Kind::FindingChanged,
                };
                self.add(kind, entity, entity.data.clone())?;
                self.tell(FINDING, entity, json!(history).to_string())
            }
            Verdict::Same(history) => {
                if known.shown == Shown::Open && before.digest != entity.digest {
                    self.add(Kind::FindingChanged, entity, entity.data.clone())?;
                }
                let note = json!(history).to_string();
                if before.digest == entity.digest && before.note == note {
                    return Ok(());
                }
                self.tell(FINDING, entity, note)
            }
            // What was told stays what was told.
            Verdict::Wait(history) => {
                self.ledger.tell(FINDING, &entity.id, &Told { note: json!(history).to_string(), ..before.clone() })
            }
        }
    }
}

fn history(told: &Told) -> History {
    serde_json::from_str(&told.note).unwrap_or_default()
}

/// Whether a finding was told as cleared last.
pub(crate) fn is_cleared(told: &Told) -> bool {
    history(told).standing == CLEARED
}

/// The day of a time such as `2026-11-28T10:00:00Z`.
fn day(time: &str) -> &str {
    time.split('T').next().unwrap_or(time)
}
