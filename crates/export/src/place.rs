//! Files and folders that appear whole or not at all, and take nobody's place unasked.

use crate::error::{Error, Result};
use std::fs;
use std::path::{Path, PathBuf};
use windrow_model::table::TABLES;
use windrow_store::durable::{self, Place, UNFINISHED};

/// What to do where something stands already.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Existing {
    /// Leave it, and fail.
    Keep,
    /// Replace it: a file by a file, an earlier export's folder by a folder. Folders with anything else stay.
    Replace,
}

/// Writes a file by `fill`, under another name first.
pub(crate) fn file(out: &Path, existing: Existing, fill: impl FnOnce(&Path) -> Result<()>) -> Result<()> {
    if out.is_dir() {
        return Err(Error::Usage(format!("{} is a folder: name a file", out.display())));
    }
    refuse_existing(out, existing)?;
    let unfinished = unfinished(out)?;
    let _ = fs::remove_file(&unfinished);
    let done = fill(&unfinished).and_then(|()| {
        fs::rename(&unfinished, out).and_then(|()| synced(out)).map_err(|error| Error::disk("write", out, error))
    });
    if done.is_err() {
        // The first error is the one to tell.
        let _ = fs::remove_file(&unfinished);
    }
    done
}

/// Writes a folder by `fill`, under another name first.
pub(crate) fn folder(out: &Path, existing: Existing, fill: impl FnOnce(&Path) -> Result<()>) -> Result<()> {
    if out.is_file() {
        return Err(Error::Usage(format!("{} is a file: name a folder", out.display())));
    }
    let is_empty = fs::read_dir(out).is_ok_and(|mut entries| entries.next().is_none());
    if !is_empty {
        refuse_existing(out, existing)?;
        refuse_strangers(out)?;
    }
    let unfinished = unfinished(out)?;
    let _ = fs::remove_dir_all(&unfinished);
    let done = durable::create_folder(&unfinished)
        .map_err(|error| Error::disk("create", &unfinished, error))
        .and_then(|()| fill(&unfinished))
        .and_then(|()| swap(&unfinished, out).map_err(|error| Error::disk("write", out, error)));
    if done.is_err() {
        let _ = fs::remove_dir_all(&unfinished);
    }
    done
}

/// Writes one file of an export that has not got its name yet.
pub(crate) fn fill(path: &Path, bytes: &[u8]) -> Result<()> {
    durable::write(path, [bytes], Place::Replace).map_err(|error| Error::disk("write", path, error))
}

fn refuse_existing(out: &Path, existing: Existing) -> Result<()> {
    if existing == Existing::Keep && out.exists() {
        return Err(Error::Usage(format!("{} exists: name another place, or replace it with --force", out.display())));
    }
    Ok(())
}

/// Nothing but an earlier export is ever replaced.
fn refuse_strangers(out: &Path) -> Result<()> {
    let ours = |name: &str| {
        let table = name.strip_suffix(".csv").or_else(|| name.strip_suffix(".parquet"));
        name == "datapackage.json" || table.is_some_and(|table| TABLES.iter().any(|info| info.name == table))
    };
    let Ok(entries) = fs::read_dir(out) else { return Ok(()) };
    for entry in entries {
        let name = entry.map_err(|error| Error::disk("list", out, error))?.file_name().to_string_lossy().into_owned();
        if !ours(&name) {
            return Err(Error::Usage(format!(
                "{} holds {name}, which no export wrote: name another folder (nothing of yours is removed)",
                out.display()
            )));
        }
    }
    Ok(())
}

/// Gives `new` the name of `out`; what stood there goes when the new one stands.
fn swap(new: &Path, out: &Path) -> std::io::Result<()> {
    let old = new.with_extension("replaced");
    let stood = out.exists();
    if stood {
        fs::rename(out, &old)?;
    }
    if let Err(error) = fs::rename(new, out) {
        if stood {
            fs::rename(&old, out)?;
        }
        return Err(error);
    }
    if stood {
        fs::remove_dir_all(&old)?;
    }
    synced(out)
}

fn synced(out: &Path) -> std::io::Result<()> {
    match out.parent().filter(|parent| !parent.as_os_str().is_empty()) {
        Some(parent) => durable::sync_folder(parent),
        None => Ok(()),
    }
}

fn unfinished(out: &Path) -> Result<PathBuf> {
    let Some(name) = out.file_name() else {
        return Err(Error::Usage(format!("{} is no name for an export: name a file or folder", out.display())));
    };
    if let Some(parent) = out.parent().filter(|parent| !parent.as_os_str().is_empty() && !parent.is_dir()) {
        return Err(Error::Usage(format!(
            "the folder {} does not exist: create it, or name another place",
            parent.display()
        )));
    }
    Ok(out.with_file_name(format!("{}.{}.{UNFINISHED}", name.to_string_lossy(), std::process::id())))
}
