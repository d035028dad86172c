//! Tests in a real browser, with all that they need: Debian's Chromium and the packages of the lock file. They run the program that
//! the tests before them built.

use crate::application::{ended_well, is_installed, must, program};
use anyhow::Context;
use std::path::Path;
use std::process::Command;

/// Where Debian's package puts the browser.
const CHROMIUM: &str = "/usr/bin/chromium";

/// Installs what is missing, then runs the tests; with `--where-possible` says why and goes on where it cannot be installed.
pub(crate) fn run(root: &Path, options: &[&str]) -> anyhow::Result<()> {
    let folder = root.join("tests/browser");
    if !is_installed(|| install(&folder), options)? {
        return Ok(());
    }
    let program = program(root)?;
    let mut tests = Command::new("npm");
    tests.arg("test").current_dir(&folder).env("WINDROW", program);
    ended_well(tests).context("the browser tests did not pass")
}

fn install(folder: &Path) -> anyhow::Result<()> {
    chromium()?;
    must("npm", &["ci", "--ignore-scripts", "--no-audit", "--no-fund"], folder).context(
        "the packages of tests/browser/package-lock.json are not to be had; node and npm must be installed and the npm registry be reached",
    )
}

/// Installs the browser where it is missing and this is root.
fn chromium() -> anyhow::Result<()> {
    if Path::new(CHROMIUM).exists() {
        return Ok(());
    }
    println!("installing the browser: apt-get install chromium");
    let here = Path::new("/");
    let installed = must("apt-get", &["update", "-qq"], here)
        .and_then(|()| must("apt-get", &["install", "--yes", "-qq", "--no-install-recommends", "chromium"], here));
    installed.with_context(|| {
        format!("{CHROMIUM} is missing and could not be installed: install the package chromium as root")
    })
}
