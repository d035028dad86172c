//! Ids of rows: a UUID as its sixteen bytes, anything else as a text by its number.

use super::words::Words;
use foldhash::fast::FixedState;
use std::cmp::Ordering;
use std::collections::HashMap;
use uuid::Uuid;
use windrow_fleet::UNTOLD;
use windrow_model::Text;

/// Id of a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) struct Id(u64, u64);

impl Id {
    /// Of a row that has none.
    pub(super) const NONE: Self = Self(u64::MAX, u64::MAX);

    /// Of a text: its own bytes where it is a UUID, else the number that `code` gives it.
    pub(super) fn of<'a>(text: &'a str, code: impl FnOnce(&'a str) -> u32) -> Self {
        as_uuid(text).unwrap_or_else(|| Self(0, u64::from(code(text))))
    }

    /// The number of its text, where it stands for one.
    pub(super) fn text_code(self) -> Option<u32> {
        u32::try_from(self.1).ok().filter(|_| self.0 == 0)
    }

    /// Its bytes, where it stands for itself and not for the number of a text.
    pub(super) fn as_uuid(self) -> Option<[u64; 2]> {
        (self.0 != 0).then_some([self.0, self.1])
    }
}

/// What is kept of each id: by its bytes, or by the number of its text.
#[derive(Debug, Default)]
pub(crate) struct ById {
    uuids: HashMap<Id, u32, FixedState>,
    texts: Vec<u32>,
}

impl ById {
    pub(crate) fn of(all: impl Iterator<Item = (Id, u32)>) -> Self {
        let mut known = Self::default();
        let (count, _) = all.size_hint();
        for (id, value) in all {
            if let Some(code) = id.text_code() {
                let code = code as usize;
                known.texts.resize(known.texts.len().max(code + 1), UNTOLD);
                if let Some(place) = known.texts.get_mut(code) {
                    *place = value;
                }
                continue;
            }
            // Once for all: mostly all ids are of one kind.
            if known.uuids.is_empty() {
                known.uuids.reserve(count);
            }
            known.uuids.insert(id, value);
        }
        known
    }

    pub(crate) fn get(&self, id: Id) -> Option<u32> {
        match id.text_code() {
            Some(code) => self.texts.get(code as usize).copied().filter(|value| *value != UNTOLD),
            None => self.uuids.get(&id).copied(),
        }
    }
}

/// What turns ids into texts and back.
#[derive(Debug, Default)]
pub(crate) struct Ids(Words);

impl Ids {
    /// Gives back what is held in reserve.
    pub(crate) fn shrink(&mut self) {
        self.0.shrink();
    }

    pub(crate) fn id(&mut self, text: &str) -> Id {
        Id::of(text, |text| self.0.code(text))
    }

    /// The id of a text that was met before; of others one that no row has.
    pub(crate) fn known(&self, text: &str) -> Id {
        Id::of(text, |text| self.0.known(text))
    }

    pub(crate) fn text(&self, id: Id) -> Text {
        match u32::try_from(id.1) {
            Ok(code) if id.0 == 0 => self.0.get(code).cloned().unwrap_or_default(),
            _ => Text::new(Uuid::from_u64_pair(id.0, id.1).hyphenated().encode_lower(&mut Uuid::encode_buffer())),
        }
    }

    /// The text of an id that stands for one by its number; `None` for a UUID.
    pub(crate) fn told(&self, id: Id) -> Option<&str> {
        id.text_code().map(|code| self.0.get(code).map(Text::as_str).unwrap_or_default())
    }

    /// Order of the texts, which for UUIDs is that of their bytes.
    pub(crate) fn compare(&self, a: Id, b: Id) -> Ordering {
        match (self.told(a), self.told(b)) {
            (None, None) => (a.0, a.1).cmp(&(b.0, b.1)),
            (Some(a), Some(b)) => a.cmp(b),
            _ => self.text(a).cmp(&self.text(b)),
        }
    }
}

/// A UUID as it is usually written; other spellings keep their own text, and those that would look like a number of a text too.
fn as_uuid(text: &str) -> Option<Id> {
    let is_usual = text.len() == 36 && !text.bytes().any(|byte| byte.is_ascii_uppercase());
    let (high, low) = Uuid::try_parse(text).ok().filter(|_| is_usual)?.as_u64_pair();
    (high != 0 && high != u64::MAX).then_some(Id(high, low))
}

#[cfg(test)]
mod tests {
    use super::Ids;

    #[test]
    fn every_id_comes_back_as_it_was_and_in_the_order_of_texts() {
        let mut ids = Ids::default();
        let texts = [
            "0b1f2c9e-5a86-5d0a-9c1e-3f2b7a1d9e44",
            "0B1F2C9E-5A86-5D0A-9C1E-3F2B7A1D9E44",
            "00000000-0000-0000-0000-000000000001",
            "00000000-0000-0000-8000-000000000001",
            "m1 2004 r3",
            "",
            "fb1f2c9e-5a86-5d0a-9c1e-3f2b7a1d9e44",
        ];
        let known: Vec<_> = texts.iter().map(|text| ids.id(text)).collect();
        for (id, text) in known.iter().zip(texts) {
            assert_eq!(ids.text(*id), text);
        }
        for (a, one) in known.iter().zip(texts) {
            for (b, other) in known.iter().zip(texts) {
                assert_eq!(ids.compare(*a, *b), one.cmp(other), "{one} and {other}");
            }
        }
    }
}
