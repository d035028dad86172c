//! Writing that survives a power cut: the bytes reach the disk before the name, and the name before the next step.
//!
//! The Delta library writes a log entry and links it to its name without asking the disk to keep either; after a power cut
//! an entry could stand there empty, and the table could not be opened any more.

use object_store::local::LocalFileSystem;
use object_store::path::Path as ObjectPath;
use object_store::{
    CopyOptions, GetOptions, GetResult, ListResult, MultipartUpload, ObjectMeta, ObjectStore, PutMode,
    PutMultipartOptions, PutOptions, PutPayload, PutResult, RenameOptions,
};
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};

use futures::stream::BoxStream;
use futures::{StreamExt, TryFutureExt, TryStreamExt};

/// Ending of files that are being written; leftovers of a killed program, cleaned up later.
pub const UNFINISHED: &str = "unfinished";

/// How a file gets its name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// Replaces what stands there.
    Replace,
    /// Fails with [`io::ErrorKind::AlreadyExists`] if anything stands there.
    OnlyNew,
}

/// Writes `parts` to `path`, whole or not at all, and returns when the disk holds both bytes and name.
///
/// # Errors
/// What the file system says; nothing stands at `path` then that did not before.
pub fn write<'a>(path: &Path, parts: impl IntoIterator<Item = &'a [u8]>, place: Place) -> io::Result<()> {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    create_folder(folder)?;
    let unfinished = unfinished_name(path);
    let result = fill(&unfinished, parts).and_then(|()| match place {
        Place::Replace => fs::rename(&unfinished, path),
        Place::OnlyNew => fs::hard_link(&unfinished, path).and_then(|()| fs::remove_file(&unfinished)),
    });
    if result.is_err() {
        // The first error is the one to tell; what is left here is cleaned up later.
        let _ = fs::remove_file(&unfinished);
    }
    result.and_then(|()| sync_folder(folder))
}

fn fill<'a>(path: &Path, parts: impl IntoIterator<Item = &'a [u8]>) -> io::Result<()> {
    let mut file = File::create_new(path)?;
    for part in parts {
        file.write_all(part)?;
    }
    file.sync_all()
}

fn unfinished_name(path: &Path) -> PathBuf {
    static COUNT: AtomicU64 = AtomicU64::new(0);
    let count = COUNT.fetch_add(1, Ordering::Relaxed);
    let mut name = path.file_name().unwrap_or_default().to_os_string();
    name.push(format!(".{}-{count}.{UNFINISHED}", std::process::id()));
    path.with_file_name(name)
}

/// Creates `folder` and what is missing above it, permanently.
///
/// # Errors
/// What the file system says.
pub fn create_folder(folder: &Path) -> io::Result<()> {
    let missing: Vec<&Path> = folder.ancestors().take_while(|folder| !folder.is_dir()).collect();
    for folder in missing.into_iter().rev().filter(|folder| !folder.as_os_str().is_empty()) {
        match fs::create_dir(folder) {
            // Another program may have been faster.
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists && folder.is_dir() => {}
            result => result?,
        }
        if let Some(parent) = folder.parent().filter(|parent| !parent.as_os_str().is_empty()) {
            sync_folder(parent)?;
        }
    }
    Ok(())
}

/// Makes the names in `folder` permanent. Other systems than Unix do so by themselves.
///
/// # Errors
/// What the file system says.
pub fn sync_folder(folder: &Path) -> io::Result<()> {
    if cfg!(unix) { File::open(folder)?.sync_all() } else { Ok(()) }
}

/// One folder of the local file system for the Delta library, with durable writes.
#[derive(Debug)]
pub(crate) struct DurableFolder {
    inner: LocalFileSystem,
}

impl DurableFolder {
    /// What is below `folder`, which must exist.
    pub(crate) fn new(folder: &Path) -> object_store::Result<Self> {
        Ok(Self { inner: LocalFileSystem::new_with_prefix(folder)? })
    }
}

impl std::fmt::Display for DurableFolder {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("durable folder")
    }
}

fn put_error(path: &Path, error: io::Error) -> object_store::Error {
    let source = Box::new(error);
    match source.kind() {
        io::ErrorKind::AlreadyExists => object_store::Error::AlreadyExists { path: path.display().to_string(), source },
        _ => object_store::Error::Generic { store: "durable folder", source },
    }
}

#[async_trait::async_trait]
impl ObjectStore for DurableFolder {
    async fn put_opts(
        &self,
        location: &ObjectPath,
        payload: PutPayload,
        options: PutOptions,
    ) -> object_store::Result<PutResult> {
        let place = match options.mode {
            PutMode::Create => Place::OnlyNew,
            PutMode::Overwrite => Place::Replace,
            PutMode::Update(_) => return self.inner.put_opts(location, payload, options).await,
        };
        // The Delta library waits for the entry at once, so nothing is gained by another thread.
        let path = self.inner.path_to_filesystem(location)?;
        write(&path, payload.iter().map(AsRef::as_ref), place).map_err(|error| put_error(&path, error))?;
        Ok(PutResult { e_tag: None, version: None })
    }

    /// Used for objects above 10 MiB, which the log of a table of one file does not reach.
    async fn put_multipart_opts(
        &self,
        location: &ObjectPath,
        options: PutMultipartOptions,
    ) -> object_store::Result<Box<dyn MultipartUpload>> {
        self.inner.put_multipart_opts(location, options).await
    }

    async fn get_opts(&self, location: &ObjectPath, options: GetOptions) -> object_store::Result<GetResult> {
        self.inner.get_opts(location, options).await
    }

    fn delete_stream(
        &self,
        locations: BoxStream<'static, object_store::Result<ObjectPath>>,
    ) -> BoxStream<'static, object_store::Result<ObjectPath>> {
        self.inner.delete_stream(locations)
    }

    fn list(&self, prefix: Option<&ObjectPath>) -> BoxStream<'static, object_store::Result<ObjectMeta>> {
        self.inner.list(prefix)
    }

    /// In order of names, which the Delta library relies on for every store but one that it knows to be a local disk.
    fn list_with_offset(
        &self,
        prefix: Option<&ObjectPath>,
        offset: &ObjectPath,
    ) -> BoxStream<'static, object_store::Result<ObjectMeta>> {
        let found = self.inner.list_with_offset(prefix, offset).try_collect::<Vec<_>>().map_ok(|mut found| {
            found.sort_by(|a, b| a.location.cmp(&b.location));
            futures::stream::iter(found.into_iter().map(Ok))
        });
        found.try_flatten_stream().boxed()
    }

    async fn list_with_delimiter(&self, prefix: Option<&ObjectPath>) -> object_store::Result<ListResult> {
        self.inner.list_with_delimiter(prefix).await
    }

    async fn copy_opts(&self, from: &ObjectPath, to: &ObjectPath, options: CopyOptions) -> object_store::Result<()> {
        self.inner.copy_opts(from, to, options).await
    }

    async fn rename_opts(
        &self,
        from: &ObjectPath,
        to: &ObjectPath,
        options: RenameOptions,
    ) -> object_store::Result<()> {
        self.inner.rename_opts(from, to, options).await
    }
}

#[cfg(test)]
mod tests {
    use super::{Place, write};
    use std::fs;
    use std::io::ErrorKind;

    #[test]
    fn a_name_is_taken_once_and_the_loser_changes_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("log").join("0.json");
        write(&path, [b"first".as_slice()], Place::OnlyNew).unwrap();
        let error = write(&path, [b"second".as_slice()], Place::OnlyNew).unwrap_err();
        assert_eq!(error.kind(), ErrorKind::AlreadyExists);
        assert_eq!(fs::read(&path).unwrap(), b"first");
        write(&path, [b"thi".as_slice(), b"rd"], Place::Replace).unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"third");
        assert_eq!(fs::read_dir(path.parent().unwrap()).unwrap().count(), 1, "nothing is left lying about");
    }
}
