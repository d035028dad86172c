//! House rules that a compiler does not see: who may know whom, what stands at the top level, how long a file may be, and
//! that no product code names the test corpus.

use anyhow::{Context, bail};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// Crates from the one that knows nothing to the ones that know all; a crate may depend on earlier ones only.
const ORDER: &[&str] = &[
    "dice",
    "model",
    "text",
    "source",
    "sheet",
    "importer",
    "statistics",
    "criteria",
    "fleet",
    "normalize",
    "identity",
    "pipeline",
    "store",
    "export",
    "analyze",
    "feed",
    "report",
    "testsheet",
    "tasks",
    "serve",
    "windrow",
    "scoreboard",
    "xtask",
];

/// What may stand at the top level, besides dot-files.
const TOP_LEVEL: &[&str] = &[
    "Cargo.toml",
    "Cargo.lock",
    "README.md",
    "DEVELOPERS.md",
    "CHANGELOG.md",
    "LICENSE",
    "crates",
    "plugins",
    "schema",
    "tests",
    "samples",
    "target",
    "demo",
];

const LONGEST_FILE: usize = 600;

/// Fails with every rule that is broken.
pub(crate) fn run(root: &Path) -> anyhow::Result<()> {
    let mut broken = Vec::new();
    top_level(root, &mut broken)?;
    layers(root, &mut broken)?;
    sources(root, &mut broken)?;
    if broken.is_empty() {
        return Ok(());
    }
    bail!("house rules are broken:\n  {}", broken.join("\n  "))
}

fn top_level(root: &Path, broken: &mut Vec<String>) -> anyhow::Result<()> {
    for entry in fs::read_dir(root)? {
        let name = entry?.file_name().to_string_lossy().into_owned();
        if !name.starts_with('.') && !TOP_LEVEL.contains(&name.as_str()) {
            broken.push(format!("{name} stands at the top level, which is fixed"));
        }
    }
    Ok(())
}

/// Crates depend on earlier crates only, plugins on no other plugin, and nothing but the programs on `plugins/all`.
fn layers(root: &Path, broken: &mut Vec<String>) -> anyhow::Result<()> {
    for (name, dependencies) in dependencies_below(&root.join("crates"))? {
        let Some(rank) = ORDER.iter().position(|known| *known == name) else {
            broken.push(format!("crates/{name} has no place in the order of crates"));
            continue;
        };
        for dependency in dependencies {
            let allowed = match dependency.as_str() {
                "plugins" => matches!(name.as_str(), "windrow" | "xtask"),
                other => ORDER.iter().position(|known| *known == other).is_some_and(|other| other < rank),
            };
            if !allowed {
                broken.push(format!("crates/{name} may not know {dependency}"));
            }
        }
    }
    for (name, dependencies) in dependencies_below(&root.join("plugins"))? {
        if name != "all" {
            let others = dependencies.iter().filter(|dependency| dependency.starts_with("plugin"));
            broken.extend(others.map(|other| format!("plugins/{name} may not know {other}")));
        }
    }
    Ok(())
}

/// Names of the workspace crates, without prefix, that each manifest below `folder` depends on at run time.
fn dependencies_below(folder: &Path) -> anyhow::Result<BTreeMap<String, Vec<String>>> {
    let mut found = BTreeMap::new();
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        let manifest = path.join("Cargo.toml");
        if !manifest.exists() {
            continue;
        }
        let text = fs::read_to_string(&manifest).with_context(|| manifest.display().to_string())?;
        let manifest: toml::Table = text.parse().with_context(|| manifest.display().to_string())?;
        let names =
            manifest.get("dependencies").and_then(toml::Value::as_table).into_iter().flat_map(toml::Table::keys);
        let own = names.filter_map(|name| name.strip_prefix("windrow-")).map(str::to_owned).collect();
        let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        found.insert(name, own);
    }
    Ok(found)
}

fn sources(root: &Path, broken: &mut Vec<String>) -> anyhow::Result<()> {
    let plants = corpus_names(root)?;
    for folder in ["crates", "plugins"] {
        for path in rust_files(&root.join(folder))? {
            let text = fs::read_to_string(&path).with_context(|| path.display().to_string())?;
            let name = path.strip_prefix(root).unwrap_or(&path).display().to_string();
            if text.lines().count() > LONGEST_FILE {
                broken.push(format!("{name} is longer than {LONGEST_FILE} lines"));
            }
            let lower = text.to_lowercase();
            let named = plants.iter().filter(|plant| lower.contains(*plant));
            broken.extend(named.map(|plant| format!("{name} names {plant:?}, which is of the test corpus")));
        }
    }
    Ok(())
}

/// Sites of the open corpus, lower case: no rule may know them.
fn corpus_names(root: &Path) -> anyhow::Result<Vec<String>> {
    let path = root.join("tests/corpus/open/assets.jsonl");
    let text = fs::read_to_string(&path).with_context(|| path.display().to_string())?;
    let mut names = Vec::new();
    for line in text.lines() {
        let asset: serde_json::Value = serde_json::from_str(line).with_context(|| path.display().to_string())?;
        names.extend(asset["site"].as_str().filter(|site| !site.is_empty()).map(str::to_lowercase));
    }
    names.sort();
    names.dedup();
    Ok(names)
}

fn rust_files(folder: &Path) -> anyhow::Result<Vec<PathBuf>> {
    let mut files = Vec::new();
    let mut waiting = vec![folder.to_path_buf()];
    while let Some(folder) = waiting.pop() {
        for entry in fs::read_dir(&folder)? {
            let path = entry?.path();
            if path.is_dir() {
                waiting.push(path);
            } else if path.extension().is_some_and(|extension| extension == "rs") {
                files.push(path);
            }
        }
    }
    files.sort();
    Ok(files)
}
