//! Analysts' own tools and Spark, installed from the Python package index and tried on the demo: `tests/analysts`.

use crate::application::{self, ended_well, is_installed};
use anyhow::{Context, ensure};
use std::ffi::OsStr;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// File in an environment that says that all was installed.
const COMPLETE: &str = "complete";

/// Tools that are installed and tried together.
struct Tools {
    /// Who they are, for people.
    who: &'static str,
    /// Folder of their environment, where cargo builds.
    environment: &'static str,
    /// In `tests/analysts`: what is installed, and what tries it.
    requirements: &'static str,
    script: &'static str,
}

/// Spark is apart: it is the largest by far, and where it cannot be had the others are tried all the same.
const ALL: [Tools; 2] = [
    Tools { who: "analysts' tools", environment: "analysts", requirements: "requirements.txt", script: "try_tools.py" },
    Tools { who: "Spark", environment: "analysts-spark", requirements: "spark.txt", script: "try_spark.py" },
];

/// Tries the tools; with `--where-possible` says why and goes on where there is no Python, or nothing can be installed.
pub(crate) fn run(root: &Path, options: &[&str]) -> anyhow::Result<()> {
    let target = std::path::absolute(application::target(root))?;
    let mut installed = Vec::new();
    for tools in ALL {
        let environment = target.join(tools.environment);
        if is_installed(|| install(root, &tools, &environment), options)? {
            installed.push((tools, environment));
        }
    }
    if installed.is_empty() {
        return Ok(());
    }
    let program = application::program(root)?;
    let work = tempfile::tempdir()?;
    fleet(&program, root, work.path())?;
    for (tools, environment) in installed {
        let mut python = Command::new(python(&environment));
        python.arg(root.join("tests/analysts").join(tools.script)).args([&program, work.path(), root]);
        ended_well(python).with_context(|| format!("{} read something else than they should", tools.who))?;
    }
    Ok(())
}

/// The demo as the fleet `plant`, with a record of signals beside it, so that no table is empty.
fn fleet(program: &Path, root: &Path, work: &Path) -> anyhow::Result<()> {
    let (fleet, signals) = (work.join("plant"), work.join("signals"));
    let record = "bench-16-bit.cff";
    fs::create_dir(&signals)?;
    fs::copy(root.join("plugins/comtrade/samples").join(record), signals.join(record)).context(record)?;
    application::import(program, &root.join("samples"), &fleet)?;
    application::import(program, &signals, &fleet)
}

/// Makes `environment` with all that the tools need, when there is none yet for just these.
fn install(root: &Path, tools: &Tools, environment: &Path) -> anyhow::Result<()> {
    let requirements = root.join("tests/analysts").join(tools.requirements);
    let wanted = fs::read_to_string(&requirements).with_context(|| requirements.display().to_string())?;
    if fs::read_to_string(environment.join(COMPLETE)).ok().as_ref() == Some(&wanted) {
        return Ok(());
    }
    println!("installing {} into {}, once", tools.who, environment.display());
    let made = ["python3", "python"].iter().any(|name| {
        let venv = [OsStr::new("-m"), OsStr::new("venv"), OsStr::new("--clear"), environment.as_os_str()];
        Command::new(name).args(venv).stderr(Stdio::null()).status().is_ok_and(|status| status.success())
    });
    ensure!(made, "{}: no Python 3 with venv is found: install one to try them", tools.who);
    let install = ["-m", "pip", "install", "--quiet", "--disable-pip-version-check", "--requirement"].map(OsStr::new);
    let mut pip = Command::new(python(environment));
    pip.args(install).arg(&requirements);
    ended_well(pip).with_context(|| format!("{} could not be installed from the Python package index", tools.who))?;
    fs::write(environment.join(COMPLETE), wanted)?;
    Ok(())
}

fn python(environment: &Path) -> PathBuf {
    environment.join(if cfg!(windows) { "Scripts/python.exe" } else { "bin/python" })
}
