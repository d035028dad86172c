//! Understood sources, kept by content so that a file that did not change is not opened again.

use crate::durable::UNFINISHED;
use crate::error::{Error, Result};
use crate::tidy;
use jiff::Timestamp;
use std::collections::BTreeSet;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

const ENDING: &str = "bin";
/// Length of the hash that stands before the bytes.
const HASH: usize = blake3::OUT_LEN;

/// What was understood of each source, by a key that changes with the source and with how it is read.
///
/// A cache may lose anything at any time: what is missing, cut off or damaged is simply understood again.
#[derive(Debug, Clone)]
pub struct Cache {
    folder: PathBuf,
}

impl Cache {
    pub(crate) fn new(folder: PathBuf) -> Self {
        Self { folder }
    }

    /// The bytes stored for `key`; `None` if there are none, or if they are not those that were stored.
    #[must_use]
    pub fn get(&self, key: &str) -> Option<Vec<u8>> {
        let mut bytes = fs::read(self.path(key).ok()?).ok()?;
        let (hash, content) = bytes.split_at_checked(HASH)?;
        if blake3::hash(content).as_bytes() != hash {
            tracing::warn!(key, "a damaged cache entry is ignored");
            return None;
        }
        bytes.drain(..HASH);
        Some(bytes)
    }

    /// Stores `bytes` for `key`, whole or not at all.
    ///
    /// # Errors
    /// When the key holds anything but letters, digits, `-` and `_`, or the disk refuses.
    pub fn put(&self, key: &str, bytes: &[u8]) -> Result<()> {
        let path = self.path(key)?;
        let unfinished =
            path.with_extension(format!("{}-{:?}.{UNFINISHED}", std::process::id(), std::thread::current().id()));
        let hash = blake3::hash(bytes);
        // Not forced to the disk: the hash tells after a power cut whether the bytes got there.
        let written = fs::create_dir_all(&self.folder)
            .and_then(|()| fs::write(&unfinished, [hash.as_bytes().as_slice(), bytes].concat()))
            .and_then(|()| fs::rename(&unfinished, &path));
        written.map_err(|error| {
            // The first error is the one to tell.
            let _ = fs::remove_file(&unfinished);
            Error::io("write", &path, error)
        })
    }

    /// Removes every entry whose key is not in `keep`, and what a killed program left long ago; returns how many.
    pub fn prune(&self, keep: &BTreeSet<String>) -> Result<usize> {
        let entries = match fs::read_dir(&self.folder) {
            Ok(entries) => entries,
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(0),
            Err(error) => return Err(Error::io("list", &self.folder, error)),
        };
        let mut removed = 0;
        let cutoff = tidy::cutoff(Timestamp::now());
        for entry in entries {
            let path = entry.map_err(|error| Error::io("list", &self.folder, error))?.path();
            if key_of(&path).map_or_else(|| !tidy::is_leftover(&path, cutoff), |key| keep.contains(key)) {
                continue;
            }
            match fs::remove_file(&path) {
                Ok(()) => removed += 1,
                // Another program may have pruned at the same time.
                Err(error) if error.kind() == io::ErrorKind::NotFound => {}
                Err(error) => return Err(Error::io("remove", &path, error)),
            }
        }
        Ok(removed)
    }

    fn path(&self, key: &str) -> Result<PathBuf> {
        let plain = |letter: u8| letter.is_ascii_alphanumeric() || letter == b'-' || letter == b'_';
        if key.is_empty() || !key.bytes().all(plain) {
            return Err(Error::new(format!("{key:?} is no key of the cache: letters, digits, - and _ are expected")));
        }
        Ok(self.folder.join(key).with_extension(ENDING))
    }
}

fn key_of(path: &Path) -> Option<&str> {
    path.file_name()?.to_str()?.strip_suffix(".bin")
}

#[cfg(test)]
mod tests {
    use super::Cache;
    use std::collections::BTreeSet;
    use std::fs;

    fn cache() -> (tempfile::TempDir, Cache) {
        let folder = tempfile::tempdir().unwrap();
        let cache = Cache::new(folder.path().join("cache"));
        (folder, cache)
    }

    #[test]
    fn what_was_put_is_got_and_an_empty_entry_is_not_a_missing_one() {
        let (_folder, cache) = cache();
        assert_eq!(cache.get("a1"), None);
        cache.put("a1", b"understood").unwrap();
        cache.put("a2", b"").unwrap();
        assert_eq!(cache.get("a1").as_deref(), Some(&b"understood"[..]));
        assert_eq!(cache.get("a2").as_deref(), Some(&b""[..]));
    }

    #[test]
    fn a_damaged_or_cut_entry_is_as_good_as_none() {
        let (folder, cache) = cache();
        cache.put("a", &[7; 100]).unwrap();
        let path = folder.path().join("cache/a.bin");
        let whole = fs::read(&path).unwrap();
        for damaged in [&whole[..whole.len() - 1], &whole[..10], &[], &vec![0; whole.len()]] {
            fs::write(&path, damaged).unwrap();
            assert_eq!(cache.get("a"), None);
        }
    }

    #[test]
    fn pruning_keeps_what_is_referred_to_and_nothing_else() {
        let (folder, cache) = cache();
        assert_eq!(cache.prune(&BTreeSet::new()).unwrap(), 0, "no cache yet");
        cache.put("keep", b"1").unwrap();
        cache.put("drop", b"2").unwrap();
        fs::write(folder.path().join("cache/other.77-1.unfinished"), b"being written").unwrap();
        assert_eq!(cache.prune(&BTreeSet::from(["keep".to_owned()])).unwrap(), 1);
        assert!(cache.get("keep").is_some() && cache.get("drop").is_none());
        assert!(folder.path().join("cache/other.77-1.unfinished").exists(), "another import may be writing it");
    }

    #[test]
    fn a_key_that_leads_out_of_the_folder_is_refused() {
        let (_folder, cache) = cache();
        assert!(cache.put("../settings", b"x").is_err());
        assert!(cache.put("", b"x").is_err());
        assert_eq!(cache.get("../settings"), None);
    }
}
