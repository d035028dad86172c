//! A file of parts that one analysis leaves for the next: read from the front while the new one is written beside it.
//!
//! Like the cache it lies in, it may be lost, cut off or damaged at any time; every part has its length and hash before it, and what cannot be read
//! is worked out again. What was left by another program, under other settings or beside other tables is left alone.

use crate::durable::UNFINISHED;
use crate::error::{Error, Result};
use std::fs::{self, File};
use std::io::{self, BufReader, BufWriter, Read, Seek, Write};
use std::path::{Path, PathBuf};

/// Length and hash before each part.
const LENGTH: usize = size_of::<u64>();
const FRAME: usize = LENGTH + blake3::OUT_LEN;

/// Parts of the analysis before, and those that are kept for the next.
#[derive(Debug)]
pub struct Kept {
    path: PathBuf,
    /// What tells program and settings.
    maker: String,
    earlier: Option<BufReader<File>>,
    /// Bytes of the earlier file that were not read yet: no part is longer.
    left: u64,
    damage: Option<String>,
    /// What is being written; after the first error nothing any more.
    next: io::Result<BufWriter<File>>,
}

impl Kept {
    /// Opens what is kept at `path` for `maker`, a text that tells program and settings, `beside` tables that are told by their names, and begins
    /// the next file. Nothing here fails: what cannot be opened is as good as nothing kept.
    pub(crate) fn open(path: PathBuf, maker: String, beside: &str) -> Self {
        let (earlier, left) = match File::open(&path).and_then(|file| Ok((file.metadata()?.len(), file))) {
            Ok((length, file)) => (Some(BufReader::new(file)), length),
            Err(_) => (None, 0),
        };
        let begin = || {
            fs::create_dir_all(path.parent().unwrap_or(Path::new(".")))?;
            Ok(BufWriter::new(File::create(unfinished(&path))?))
        };
        let next = begin();
        let header = header(&maker, beside);
        let mut kept = Self { path, maker, earlier, left, damage: None, next };
        if kept.recall().is_some_and(|part| part != header) {
            tracing::info!(
                "what the analysis before left is of another program, other settings or other tables; all is worked out anew"
            );
            kept.earlier = None;
        }
        kept.keep(&header);
        kept
    }

    /// Whether there is something that the analysis before left for this one.
    pub(crate) fn is_of_use(&self) -> bool {
        self.earlier.is_some()
    }

    /// The next part; `None` behind the last one, and from the first damaged one on.
    pub fn recall(&mut self) -> Option<Vec<u8>> {
        let reader = self.earlier.as_mut().filter(|_| self.left > 0)?;
        match read(reader, self.left) {
            Ok(part) => {
                self.left = self.left.saturating_sub((FRAME + part.len()) as u64);
                Some(part)
            }
            Err(what) => {
                self.give_up(what);
                None
            }
        }
    }

    /// Keeps a part for the next analysis.
    pub fn keep(&mut self, part: &[u8]) {
        if let Ok(writer) = &mut self.next
            && let Err(error) = write(writer, part)
        {
            self.next = Err(error);
        }
    }

    /// Reads no further: what is kept is not what it should be.
    pub fn give_up(&mut self, what: impl Into<String>) {
        self.earlier = None;
        self.damage = Some(what.into());
    }

    /// Puts what was kept in the place of what was read, `beside` the tables that now stand.
    ///
    /// # Errors
    /// When the disk refuses; the next analysis then works everything out again.
    pub(crate) fn finish(mut self, beside: &str) -> Result<()> {
        // Closed before it is replaced: not every system lets an open file go.
        self.earlier = None;
        let unfinished = unfinished(&self.path);
        // Not forced to the disk: the hashes tell after a power cut what got there.
        let done = self.next.and_then(|writer| writer.into_inner().map_err(io::IntoInnerError::into_error));
        let done = done.and_then(|mut file| {
            // Which tables would stand was not known when the file was begun; their names take as much room as others.
            file.rewind()?;
            write(&mut file, &header(&self.maker, beside))?;
            drop(file);
            fs::rename(&unfinished, &self.path)
        });
        done.map_err(|error| {
            // The first error is the one to tell.
            let _ = fs::remove_file(&unfinished);
            Error::io("write", &self.path, error)
        })
    }

    /// What was wrong with what was kept, if anything.
    #[must_use]
    pub fn damage(&self) -> Option<&str> {
        self.damage.as_deref()
    }
}

/// Only who holds the lock of the fleet writes it, so that one name is enough.
fn unfinished(path: &Path) -> PathBuf {
    path.with_extension(UNFINISHED)
}

fn read(reader: &mut BufReader<File>, left: u64) -> std::result::Result<Vec<u8>, &'static str> {
    let mut frame = [0; FRAME];
    reader.read_exact(&mut frame).map_err(|_| "it ends in the middle of a part")?;
    let (length, hash) = frame.split_at(LENGTH);
    let length = length.try_into().map_or(u64::MAX, u64::from_le_bytes);
    if length > left.saturating_sub(FRAME as u64) {
        return Err("it ends in the middle of a part");
    }
    let mut part = vec![0; usize::try_from(length).map_err(|_| "a part is longer than memory")?];
    reader.read_exact(&mut part).map_err(|_| "it ends in the middle of a part")?;
    if blake3::hash(&part).as_bytes() == hash {
        Ok(part)
    } else {
        Err("the bytes of a part are not those that were written")
    }
}

/// The first part: what the others are of use for. As long for all tables.
fn header(maker: &str, beside: &str) -> Vec<u8> {
    [maker.as_bytes(), blake3::hash(beside.as_bytes()).as_bytes()].concat()
}

fn write(writer: &mut impl Write, part: &[u8]) -> io::Result<()> {
    writer.write_all(&(part.len() as u64).to_le_bytes())?;
    writer.write_all(blake3::hash(part).as_bytes())?;
    writer.write_all(part)
}

#[cfg(test)]
mod tests {
    use super::Kept;
    use std::fs;

    fn kept(path: &std::path::Path, maker: &str, parts: &[&[u8]]) {
        let mut kept = Kept::open(path.to_owned(), maker.to_owned(), "tables of before");
        for part in parts {
            kept.keep(part);
        }
        kept.finish("tables").unwrap();
    }

    fn recalled(path: &std::path::Path, maker: &str) -> (Vec<Vec<u8>>, bool) {
        recalled_beside(path, maker, "tables")
    }

    fn recalled_beside(path: &std::path::Path, maker: &str, beside: &str) -> (Vec<Vec<u8>>, bool) {
        let mut kept = Kept::open(path.to_owned(), maker.to_owned(), beside);
        let parts = std::iter::from_fn(|| kept.recall()).collect();
        (parts, kept.damage().is_some())
    }

    #[test]
    fn parts_come_back_to_who_kept_them_beside_the_same_tables_and_to_nobody_else() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("cache/features.kept");
        assert_eq!(recalled(&path, "a"), (Vec::new(), false));
        kept(&path, "a", &[b"one", b"", b"three"]);
        assert_eq!(recalled(&path, "a"), (vec![b"one".to_vec(), Vec::new(), b"three".to_vec()], false));
        assert_eq!(recalled(&path, "another program"), (Vec::new(), false));
        for beside in ["tables of before", ""] {
            assert_eq!(recalled_beside(&path, "a", beside), (Vec::new(), false));
        }
    }

    #[test]
    fn what_stands_before_the_damage_is_read_and_the_damage_told() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("features.kept");
        kept(&path, "a", &[b"one", b"two"]);
        let whole = fs::read(&path).unwrap();
        let mut changed = whole.clone();
        *changed.last_mut().unwrap() ^= 1;
        let mut long = whole.clone();
        let second = whole.len() - 3 - super::FRAME;
        long[second + 6] = 0xff;
        for damaged in [&whole[..whole.len() - 1], &whole[..whole.len() - 10], &changed, &long] {
            fs::write(&path, damaged).unwrap();
            assert_eq!(recalled(&path, "a"), (vec![b"one".to_vec()], true));
        }
        fs::write(&path, b"no such file").unwrap();
        assert_eq!(recalled(&path, "a"), (Vec::new(), true));
    }
}
