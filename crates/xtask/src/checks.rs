//! Everything that must hold, in the order in which a failure is cheapest to see.

use anyhow::{Context, bail};
use std::path::Path;
use std::process::Command;
use std::time::Instant;

const CHECKS: &[(&str, &[&str])] = &[
    ("format", &["fmt", "--all", "--check"]),
    ("house rules", &["run", "--quiet", "--package", "xtask", "--", "tidy"]),
    ("schema", &["run", "--quiet", "--package", "xtask", "--", "schema", "--check"]),
    ("lints", &["clippy", "--quiet", "--workspace", "--all-targets", "--", "--deny", "warnings"]),
    ("tests", &["test", "--workspace"]),
    ("interface", &["run", "--quiet", "--package", "xtask", "--", "interface", "--where-possible"]),
    ("browser", &["run", "--quiet", "--package", "xtask", "--", "browser", "--where-possible"]),
    ("corpus score", &["run", "--quiet", "--package", "xtask", "--", "score", "tests/corpus/open", "--least", "98"]),
    ("hand-written corpora", &["run", "--quiet", "--package", "xtask", "--", "hands"]),
    ("analysts' tools", &["run", "--quiet", "--package", "xtask", "--", "analysts", "--where-possible"]),
    ("documentation", &["doc", "--quiet", "--workspace", "--no-deps"]),
];

/// Runs all checks; stops at the first that fails.
pub(crate) fn run(root: &Path) -> anyhow::Result<()> {
    for (name, arguments) in CHECKS {
        println!("== {name}: cargo {}", arguments.join(" "));
        let begun = Instant::now();
        let mut cargo = Command::new("cargo");
        // What Cargo tells this program of its own package is no fact of the workspace: build scripts that watch it would build again.
        for (name, _) in std::env::vars_os() {
            let is_own = ["CARGO_PKG_", "CARGO_MANIFEST_"].iter().any(|own| name.to_string_lossy().starts_with(own));
            if is_own {
                cargo.env_remove(name);
            }
        }
        let status = cargo
            .args(*arguments)
            .envs((*name == "documentation").then_some(("RUSTDOCFLAGS", "--deny warnings")))
            .current_dir(root)
            .status()
            .with_context(|| format!("cargo could not be started for the check {name:?}"))?;
        if !status.success() {
            bail!("the check {name:?} did not pass ({status})");
        }
        println!("== {name}: passed in {} s", begun.elapsed().as_secs());
    }
    println!("all checks passed");
    Ok(())
}
