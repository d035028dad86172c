//! Writes `schema/` from the Rust types, the one source of truth, and checks that what stands there is what they give.

mod events;
mod forms;

use anyhow::{Context, bail};
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

/// Writes every generated file.
pub(crate) fn write(root: &Path) -> anyhow::Result<()> {
    for (name, content) in files()? {
        let path = root.join("schema").join(&name);
        if let Some(folder) = path.parent() {
            fs::create_dir_all(folder).with_context(|| format!("{} cannot be created", folder.display()))?;
        }
        fs::write(&path, content).with_context(|| format!("{} cannot be written", path.display()))?;
    }
    Ok(())
}

/// Fails if a generated file is missing or differs.
pub(crate) fn check(root: &Path) -> anyhow::Result<()> {
    let mut stale = Vec::new();
    for (name, content) in files()? {
        let path = root.join("schema").join(&name);
        if fs::read_to_string(&path).ok().as_deref() != Some(content.as_str()) {
            stale.push(name);
        }
    }
    if stale.is_empty() {
        return Ok(());
    }
    bail!(
        "schema/ differs from the Rust types in {}; run `cargo xtask schema` and look at the difference",
        stale.join(", ")
    )
}

/// Generated files by name below `schema/`.
fn files() -> anyhow::Result<BTreeMap<String, String>> {
    let mut files = BTreeMap::new();
    for table in windrow_model::table::TABLES {
        files.insert(format!("json/{}.schema.json", table.name), forms::json_schema(table)?);
        files.insert(format!("tables/{}.md", table.name), forms::page(table));
    }
    files.insert("tables.sql".to_owned(), forms::ddl());
    files.insert("datapackage.json".to_owned(), forms::data_package()?);
    files.insert("codes.md".to_owned(), forms::codes());
    files.extend(events::files()?);
    Ok(files)
}
