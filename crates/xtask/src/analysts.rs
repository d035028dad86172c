//! Analysts' own tools, installed from the Python package index and tried on the demo: `tests/analysts`.

use anyhow::{Context, ensure};
use std::ffi::OsStr;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// File in an environment that says that all was installed.
const COMPLETE: &str = "complete";

/// Tries the tools; with `--where-possible` says why and goes on where there is no Python, or nothing can be installed.
pub(crate) fn run(root: &Path, options: &[&str]) -> anyhow::Result<()> {
    let target = std::env::var_os("CARGO_TARGET_DIR").map_or_else(|| root.join("target"), PathBuf::from);
    let environment = match environment(root, &target) {
        Ok(environment) => environment,
        Err(error) if options == ["--where-possible"] => {
            println!("NOT TRIED: {error:#}");
            return Ok(());
        }
        Err(error) => return Err(error),
    };
    // As the tests of the workspace build it: another choice of packages would build every dependency in another way again.
    run_in(root, env!("CARGO"), ["test", "--quiet", "--workspace", "--test", "cli", "--no-run"])?;
    let program = target.join("debug").join(if cfg!(windows) { "windrow.exe" } else { "windrow" });
    let work = tempfile::tempdir()?;
    let fleet = work.path().join("demo");
    let samples = root.join("samples");
    // Something waits for a person in the demo: status 1.
    let imported =
        Command::new(&program).arg("run").arg(&samples).arg("--fleet").arg(&fleet).stdout(Stdio::null()).status()?;
    ensure!(matches!(imported.code(), Some(0 | 1)), "the demo could not be imported ({imported})");
    let script = root.join("tests/analysts/try_tools.py");
    run_in(root, python(&environment), [script.as_path(), &program, &fleet, work.path(), root])
}

/// The folder of an environment with all that `requirements.txt` names; made when there is none yet for just these.
fn environment(root: &Path, target: &Path) -> anyhow::Result<PathBuf> {
    let requirements = root.join("tests/analysts/requirements.txt");
    let wanted = fs::read_to_string(&requirements).with_context(|| requirements.display().to_string())?;
    let environment = std::path::absolute(target)?.join("analysts");
    if fs::read_to_string(environment.join(COMPLETE)).ok().as_ref() == Some(&wanted) {
        return Ok(environment);
    }
    println!("installing analysts' tools into {}, once", environment.display());
    let made = ["python3", "python"].iter().any(|name| {
        let venv = [OsStr::new("-m"), OsStr::new("venv"), OsStr::new("--clear"), environment.as_os_str()];
        Command::new(name).args(venv).stderr(Stdio::null()).status().is_ok_and(|status| status.success())
    });
    ensure!(made, "no Python 3 with venv is found: install one to try analysts' tools");
    let install = ["-m", "pip", "install", "--quiet", "--disable-pip-version-check", "--requirement"].map(OsStr::new);
    let status = Command::new(python(&environment)).args(install).arg(&requirements).status()?;
    ensure!(status.success(), "analysts' tools could not be installed from the Python package index ({status})");
    fs::write(environment.join(COMPLETE), wanted)?;
    Ok(environment)
}

fn python(environment: &Path) -> PathBuf {
    environment.join(if cfg!(windows) { "Scripts/python.exe" } else { "bin/python" })
}

fn run_in<A: AsRef<OsStr>>(
    root: &Path,
    program: impl AsRef<OsStr>,
    arguments: impl IntoIterator<Item = A>,
) -> anyhow::Result<()> {
    let name = program.as_ref().to_string_lossy().into_owned();
    let status = Command::new(&program).args(arguments).current_dir(root).status().with_context(|| name.clone())?;
    ensure!(status.success(), "{name} did not end well ({status})");
    Ok(())
}
