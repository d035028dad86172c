//! From what was told and what is now to the events between them, written in one transaction.

mod findings;

pub(crate) use findings::{FINDING, is_cleared};

use crate::error::Result;
use crate::event::{Draft, Kind};
use crate::now::{Entity, Now};
use crate::outbox::{Ledger, Outbox, Told};
use serde_json::{Map, Value, json};
use std::collections::{BTreeMap, HashMap};

/// Puts the events between what was told and `now` into the outbox; returns how many.
pub(crate) fn derive(outbox: &mut Outbox, now: &Now, source: &str, mark: &str) -> Result<usize> {
    outbox.change(|ledger| {
        let mut teller = Teller { ledger, now, source, count: 0 };
        let moved = teller.moved()?;
        teller.assets()?;
        teller.tests()?;
        teller.findings()?;
        teller.due()?;
        teller.gone_assets(&moved)?;
        ledger.set_meta(MARK, mark)?;
        Ok(teller.count)
    })
}

/// Name under which stands what the outbox was derived from last.
pub(crate) const MARK: &str = "derived from";

/// Kinds of what is told.
pub(crate) const ASSET: &str = "asset";
pub(crate) const TEST: &str = "test";
pub(crate) const DUE: &str = "due";

struct Teller<'a, 'b> {
    ledger: &'a Ledger<'b>,
    now: &'a Now,
    source: &'a str,
    count: usize,
}

impl Teller<'_, '_> {
    fn add(&mut self, kind: Kind, entity: &Entity, data: Map<String, Value>) -> rusqlite::Result<()> {
        let draft = Draft {
            kind,
            asset: entity.asset.clone(),
            subject: subject(kind, &entity.id),
            digest: entity.digest.clone(),
            data: Value::Object(data),
        };
        self.count += 1;
        self.ledger.add(draft, self.source, &self.now.time)
    }

    fn tell(&self, kind: &str, entity: &Entity, note: String) -> rusqlite::Result<()> {
        let told = Told { asset: entity.asset.clone(), digest: entity.digest.clone(), note };
        self.ledger.tell(kind, &entity.id, &told)
    }

    /// For machines that were told and are gone: the machine that most of their tests belong to now.
    fn moved(&self) -> rusqlite::Result<HashMap<String, String>> {
        let told = self.ledger.all_told(TEST)?;
        let mut votes: HashMap<&str, BTreeMap<&str, usize>> = HashMap::new();
        for (test, asset) in self.now.tests.places() {
            if let Some(before) = told.get(test).filter(|before| before.asset != asset) {
                *votes.entry(&before.asset).or_default().entry(asset).or_default() += 1;
            }
        }
        let most = votes.into_iter().filter_map(|(old, votes)| {
            let (new, _) = votes.into_iter().max_by_key(|(_, count)| *count)?;
            Some((old.to_owned(), new.to_owned()))
        });
        Ok(most.collect())
    }

    fn assets(&mut self) -> rusqlite::Result<()> {
        let told = self.ledger.all_told(ASSET)?;
        for asset in &self.now.assets {
            let before = told.get(&asset.id);
            if before.is_some_and(|before| before.digest == asset.digest) {
                continue;
            }
            let mut data = asset.data.clone();
            let kind = match before {
                None => Kind::AssetAdded,
                Some(before) => {
                    data.insert("changed".to_owned(), json!(changed(&before.note, &asset.data)));
                    Kind::AssetChanged
                }
            };
            self.add(kind, asset, data)?;
            self.tell(ASSET, asset, Value::Object(asset.data.clone()).to_string())?;
        }
        Ok(())
    }

    /// Machines that were told and are there no more, after all that is told of those that are.
    fn gone_assets(&mut self, moved: &HashMap<String, String>) -> rusqlite::Result<()> {
        let now: HashMap<&str, &Entity> = self.now.assets.iter().map(|asset| (asset.id.as_str(), asset)).collect();
        for (id, before) in sorted(self.ledger.all_told(ASSET)?) {
            if now.contains_key(id.as_str()) {
                continue;
            }
            let into = moved.get(&id).and_then(|id| now.get(id.as_str()));
            let was = serde_json::from_str::<Map<String, Value>>(&before.note).unwrap_or_default();
            let tag = was.get("tag").cloned().unwrap_or_default();
            let mut data = Map::from_iter([("asset_id".to_owned(), json!(id)), ("tag".to_owned(), tag)]);
            let kind = match into {
                Some(into) => {
                    data.insert("into_asset_id".to_owned(), json!(into.id));
                    data.insert("into_tag".to_owned(), into.data.get("tag").cloned().unwrap_or_default());
                    Kind::AssetMerged
                }
                None => Kind::AssetWithdrawn,
            };
            let entity = Entity { id: id.clone(), asset: id.clone(), digest: before.digest, data: Map::new() };
            self.add(kind, &entity, data)?;
            self.ledger.forget(ASSET, &id)?;
        }
        Ok(())
    }

    fn tests(&mut self) -> rusqlite::Result<()> {
        let mut told = self.ledger.all_told(TEST)?;
        for mut test in self.now.tests.entities() {
            let before = told.remove(&test.id);
            if before.as_ref().is_some_and(|before| before.digest == test.digest) {
                continue;
            }
            let kind = if before.is_some() { Kind::TestCorrected } else { Kind::TestRecorded };
            let data = std::mem::take(&mut test.data);
            self.add(kind, &test, data)?;
            self.tell(TEST, &test, String::new())?;
        }
        for (id, before) in sorted(told) {
            let data =
                Map::from_iter([("test_id".to_owned(), json!(id)), ("asset_id".to_owned(), json!(before.asset))]);
            let entity = Entity { id: id.clone(), asset: before.asset, digest: before.digest, data: Map::new() };
            self.add(Kind::TestWithdrawn, &entity, data)?;
            self.ledger.forget(TEST, &id)?;
        }
        Ok(())
    }

    fn due(&mut self) -> rusqlite::Result<()> {
        let mut told = self.ledger.all_told(DUE)?;
        for test in &self.now.due {
            let before = told.remove(&test.id);
            if before.is_some_and(|before| before.digest == test.digest) {
                continue;
            }
            self.add(Kind::TestDue, test, test.data.clone())?;
            self.tell(DUE, test, String::new())?;
        }
        // The test that was made instead is told by itself.
        for id in told.into_keys() {
            self.ledger.forget(DUE, &id)?;
        }
        Ok(())
    }
}

/// What an event of `kind` about the thing `id` is about.
pub(crate) fn subject(kind: Kind, id: &str) -> String {
    format!("{}s/{id}", if kind == Kind::TestDue { "due-test" } else { kind.schema() })
}

fn sorted(told: HashMap<String, Told>) -> BTreeMap<String, Told> {
    told.into_iter().collect()
}

/// Names of the fields that differ from what was told.
fn changed(before: &str, now: &Map<String, Value>) -> Vec<String> {
    let before: Map<String, Value> = serde_json::from_str(before).unwrap_or_default();
    now.iter().filter(|(name, value)| before.get(*name) != Some(value)).map(|(name, _)| name.clone()).collect()
}

#[cfg(test)]
mod tests;
