//! Things by key, in the order of the keys: by hash first, so that the cost of many things of few keys stays near to their number.

use std::collections::{BTreeMap, HashMap};
use std::hash::Hash;

/// The things of each key, in the order in which they came; nothing depends on the order of hashes.
pub(crate) fn grouped<K: Eq + Hash + Ord, V>(pairs: impl Iterator<Item = (K, V)>) -> BTreeMap<K, Vec<V>> {
    let mut groups: HashMap<K, Vec<V>> = HashMap::new();
    for (key, value) in pairs {
        groups.entry(key).or_default().push(value);
    }
    groups.into_iter().collect()
}
