//! What a fleet is given before its first feed: settings with every sink explained, and two templates.

use crate::config::{FILE, FOLDER};
use crate::error::{Error, Result};
use std::path::{Path, PathBuf};
use windrow_store::durable::{self, Place};

/// Folder of templates, in the folder of the feed.
pub(crate) const TEMPLATES: &str = "templates";

const FILES: &[(&str, &str)] = &[
    (FILE, include_str!("../setup/sinks.toml")),
    ("templates/work_requests.csv", include_str!("../setup/templates/work_requests.csv")),
    ("templates/notifications.xml", include_str!("../setup/templates/notifications.xml")),
];

/// Writes what is missing, if there are no settings yet; returns where they stand then.
pub(crate) fn prepare(fleet: &Path) -> Result<Option<PathBuf>> {
    let folder = fleet.join(FOLDER);
    if folder.join(FILE).exists() {
        return Ok(None);
    }
    for (name, text) in FILES.iter().rev().filter(|(name, _)| !folder.join(name).exists()) {
        let path = folder.join(name);
        durable::write(&path, [text.as_bytes()], Place::Replace).map_err(|error| Error::disk("write", &path, error))?;
    }
    Ok(Some(folder.join(FILE)))
}
