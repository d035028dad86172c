//! `bless`: writes the goldens of plugins again, and says what is lost by it.

use anyhow::{Context, bail};
use std::path::{Path, PathBuf};
use windrow_importer::conformance::{self, Loss};

/// Blesses the plugins named by id, or all; `--allow-loss` when a person has looked at what is lost.
pub(crate) fn run(root: &Path, arguments: &[&str]) -> anyhow::Result<()> {
    let (options, ids): (Vec<&str>, Vec<&str>) = arguments.iter().partition(|argument| argument.starts_with('-'));
    let loss = match options.as_slice() {
        [] => Loss::Refused,
        ["--allow-loss"] => Loss::Allowed,
        _ => bail!("unknown option {}; bless knows --allow-loss", options.join(" ")),
    };
    let registry = windrow_plugins::registry()?;
    let mut refused = Vec::new();
    for folder in chosen(root, &ids)? {
        let name = folder.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        let blessing = conformance::bless(&folder, &registry, loss).map_err(anyhow::Error::msg)?;
        for lost in &blessing.lost {
            println!("{lost}");
        }
        if !blessing.is_written {
            refused.push(name);
        } else if !blessing.changed.is_empty() {
            println!("wrote the goldens of {}", blessing.changed.join(", "));
        }
    }
    if !refused.is_empty() {
        bail!(
            "goldens of {} would lose what is listed above; nothing of them was written. If that is right: --allow-loss",
            refused.join(", ")
        );
    }
    Ok(())
}

/// The folders of the plugins named, or of all.
fn chosen(root: &Path, ids: &[&str]) -> anyhow::Result<Vec<PathBuf>> {
    let folders = conformance::folders(&root.join("plugins")).context("reading plugins/")?;
    let is_named = |folder: &PathBuf, id: &str| folder.file_name().is_some_and(|name| name == id);
    if let Some(unknown) = ids.iter().find(|id| !folders.iter().any(|folder| is_named(folder, id))) {
        bail!("there is no plugin {unknown:?} below plugins/");
    }
    Ok(folders.into_iter().filter(|folder| ids.is_empty() || ids.iter().any(|id| is_named(folder, id))).collect())
}
