//! The cache of a fleet as the memory of an import.

use std::collections::BTreeSet;
use std::sync::{Mutex, PoisonError};
use windrow_importer::Memory;
use windrow_store::Cache;

/// What was understood earlier, and which of it is still of use.
#[derive(Debug)]
pub(crate) struct Remembered {
    cache: Cache,
    used: Mutex<BTreeSet<String>>,
}

impl Remembered {
    pub(crate) fn new(cache: Cache) -> Self {
        Self { cache, used: Mutex::new(BTreeSet::new()) }
    }

    fn use_key(&self, key: &str) {
        self.used.lock().unwrap_or_else(PoisonError::into_inner).insert(key.to_owned());
    }

    /// Removes what no source of the fleet needs any more. Called with the right to change the fleet.
    pub(crate) fn forget_the_rest(&self) {
        let used = self.used.lock().unwrap_or_else(PoisonError::into_inner);
        match self.cache.prune(&used) {
            Ok(entries) => tracing::debug!(entries, "removed from the cache what nothing needs any more"),
            Err(error) => tracing::warn!(%error, "the cache could not be tidied; it only costs room"),
        }
    }
}

impl Memory for Remembered {
    fn get(&self, key: &str) -> Option<Vec<u8>> {
        let bytes = self.cache.get(key)?;
        self.use_key(key);
        Some(bytes)
    }

    fn put(&self, key: &str, bytes: &[u8]) {
        self.use_key(key);
        if let Err(error) = self.cache.put(key, bytes) {
            tracing::warn!(%error, "what was understood could not be kept; the file is opened again next time");
        }
    }
}
