//! Where the rows of each value of a column stand, so that the rows of one are read without looking through the table again.

use crate::error::{Error, Result};
use crate::frame;
use crate::snapshot::Snapshot;
use polars::prelude::{BooleanChunked, DataFrame, LazyFrame, NewChunkedArray, col};
use std::collections::HashMap;
use std::hash::Hash;
use std::ops::RangeInclusive;
use windrow_model::table::{Table, TableInfo};

/// Rows of a table that stand one after the other, by their places from 0.
pub type Span = RangeInclusive<u32>;

/// Rows between two spans up to which both are read at once: opening the file again costs more than reading these.
const CLOSE: u32 = 512;

impl Snapshot {
    /// Spans of the rows of `T` by what `key` makes of their text in `column`; rows of which it makes nothing are left out.
    ///
    /// # Errors
    /// When the table has no such text column, or cannot be read.
    pub fn places<T: Table, K: Eq + Hash>(
        &self,
        column: &str,
        key: impl Fn(&str) -> Option<K>,
    ) -> Result<HashMap<K, Vec<Span>>> {
        let found = collected::<T>(self.scan_table(&TableInfo::of::<T>())?.select([col(column)]))?;
        let texts = found.column(column).and_then(|texts| Ok(texts.str()?.clone()));
        let texts = texts
            .map_err(|error| Error::new(format!("{column} of {} could not be told apart", T::NAME)).caused_by(error))?;
        Ok(by_key(texts.iter().map(|text| text.and_then(&key))))
    }

    /// The rows of `T` in `spans`, which are apart and in the order of the table.
    ///
    /// # Errors
    /// When the table cannot be read.
    pub fn rows_at<T: Table>(&self, spans: &[Span]) -> Result<Vec<T>> {
        let table = self.scan_table(&TableInfo::of::<T>())?;
        let mut rows = Vec::new();
        for near in spans.chunk_by(|one, next| next.start() - one.end() <= CLOSE) {
            let (Some(first), Some(last)) = (near.first(), near.last()) else { continue };
            let part = collected::<T>(table.clone().slice((*first.start()).into(), last.end() - first.start() + 1))?;
            rows.extend(frame::to_rows(&within(part, *first.start(), near)?)?);
        }
        Ok(rows)
    }
}

fn collected<T: Table>(part: LazyFrame) -> Result<DataFrame> {
    part.collect().map_err(|error| {
        let text = format!("could not read rows of {}; if it was just replaced, ask again", T::NAME);
        Error::new(text).caused_by(error)
    })
}

/// The rows of `part`, the first of which stands at `first`, that are in `spans`.
fn within(part: DataFrame, first: u32, spans: &[Span]) -> Result<DataFrame> {
    let [_, _, ..] = spans else { return Ok(part) };
    let places = (first..).take(part.height());
    let mask: Vec<bool> = places.map(|place| spans.iter().any(|span| span.contains(&place))).collect();
    let kept = part.filter(&BooleanChunked::from_slice("wanted".into(), &mask));
    kept.map_err(|error| Error::new("rows of a table could not be told apart").caused_by(error))
}

/// Spans by key, each key's in order.
fn by_key<K: Eq + Hash>(keys: impl Iterator<Item = Option<K>>) -> HashMap<K, Vec<Span>> {
    let mut all: HashMap<K, Vec<Span>> = HashMap::new();
    for (place, key) in (0_u32..).zip(keys) {
        let Some(key) = key else { continue };
        let spans = all.entry(key).or_default();
        match spans.last_mut().filter(|span| span.end() + 1 == place) {
            Some(span) => *span = *span.start()..=place,
            None => spans.push(place..=place),
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::by_key;

    #[test]
    fn neighbours_of_one_key_are_one_span() {
        let keys = ["a", "a", "", "b", "a", "a"].map(|key| (!key.is_empty()).then_some(key));
        let spans = by_key(keys.into_iter());
        assert_eq!((spans["a"].as_slice(), spans["b"].as_slice()), ([0..=1, 4..=5].as_slice(), [3..=3].as_slice()));
    }
}
