//! Analysts' own tools, installed from the Python package index and tried on the demo: `tests/analysts`.

use crate::application::{self, ended_well, is_installed};
use anyhow::{Context, ensure};
use std::ffi::OsStr;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// File in an environment that says that all was installed.
const COMPLETE: &str = "complete";

/// Tries the tools; with `--where-possible` says why and goes on where there is no Python, or nothing can be installed.
pub(crate) fn run(root: &Path, options: &[&str]) -> anyhow::Result<()> {
    let environment = std::path::absolute(application::target(root))?.join("analysts");
    if !is_installed(|| install(root, &environment), options)? {
        return Ok(());
    }
    let program = application::program(root)?;
    let work = tempfile::tempdir()?;
    let fleet = work.path().join("demo");
    application::import(&program, &root.join("samples"), &fleet)?;
    let mut tools = Command::new(python(&environment));
    tools.arg(root.join("tests/analysts/try_tools.py")).args([&program, &fleet, work.path(), root]).current_dir(root);
    ended_well(tools).context("the analysts' tools do not read what they should")
}

/// Makes `environment` with all that `requirements.txt` names, when there is none yet for just these.
fn install(root: &Path, environment: &Path) -> anyhow::Result<()> {
    let requirements = root.join("tests/analysts/requirements.txt");
    let wanted = fs::read_to_string(&requirements).with_context(|| requirements.display().to_string())?;
    if fs::read_to_string(environment.join(COMPLETE)).ok().as_ref() == Some(&wanted) {
        return Ok(());
    }
    println!("installing analysts' tools into {}, once", environment.display());
    let made = ["python3", "python"].iter().any(|name| {
        let venv = [OsStr::new("-m"), OsStr::new("venv"), OsStr::new("--clear"), environment.as_os_str()];
        Command::new(name).args(venv).stderr(Stdio::null()).status().is_ok_and(|status| status.success())
    });
    ensure!(made, "no Python 3 with venv is found: install one to try analysts' tools");
    let install = ["-m", "pip", "install", "--quiet", "--disable-pip-version-check", "--requirement"].map(OsStr::new);
    let mut pip = Command::new(python(environment));
    pip.args(install).arg(&requirements);
    ended_well(pip).context("analysts' tools could not be installed from the Python package index")?;
    fs::write(environment.join(COMPLETE), wanted)?;
    Ok(())
}

fn python(environment: &Path) -> PathBuf {
    environment.join(if cfg!(windows) { "Scripts/python.exe" } else { "bin/python" })
}
