//! The program as the tests built it, and its web application over a fleet.

use anyhow::{Context, bail};
use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

/// A running application; dropping it ends it.
pub(crate) struct Application {
    child: Child,
    /// Its address, without a slash behind it.
    pub(crate) url: String,
}

impl Application {
    /// Starts it at a free port.
    pub(crate) fn start(program: &Path, fleet: &Path) -> anyhow::Result<Self> {
        let mut child = Command::new(program)
            .args(["serve", "--port", "0", "--fleet"])
            .arg(fleet)
            .stdout(Stdio::piped())
            .spawn()
            .with_context(|| format!("{} could not be started", program.display()))?;
        let mut line = String::new();
        if let Some(out) = child.stdout.take() {
            BufReader::new(out).read_line(&mut line)?;
        }
        let url = line.split_whitespace().find(|word| word.starts_with("http://"));
        let url = url.context("the application printed no address")?.trim_end_matches('/').to_owned();
        Ok(Self { child, url })
    }
}

impl Drop for Application {
    fn drop(&mut self) {
        // One that has ended already is what is wanted.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// Whether a check is to be left out where what it needs cannot be had: `--where-possible`, the only option of such a check.
pub(crate) fn where_possible(options: &[&str]) -> anyhow::Result<bool> {
    match options {
        [] => Ok(false),
        ["--where-possible"] => Ok(true),
        other => bail!("{:?} is no option; --where-possible is", other.join(" ")),
    }
}

/// Whether what a check needs is there: `install` puts it there. With `--where-possible` a check that cannot have it says so and is left out.
pub(crate) fn is_installed(install: impl FnOnce() -> anyhow::Result<()>, options: &[&str]) -> anyhow::Result<bool> {
    let where_possible = where_possible(options)?;
    match install() {
        Ok(()) => Ok(true),
        Err(error) if where_possible => {
            println!("NOT TRIED: {error:#}");
            Ok(false)
        }
        Err(error) => Err(error),
    }
}

/// Where cargo builds.
pub(crate) fn target(root: &Path) -> PathBuf {
    std::env::var_os("CARGO_TARGET_DIR").map_or_else(|| root.join("target"), PathBuf::from)
}

/// The program, built as the tests build it.
pub(crate) fn program(root: &Path) -> anyhow::Result<PathBuf> {
    // Another choice of packages would build every dependency in another way again.
    must(env!("CARGO"), &["test", "--quiet", "--workspace", "--test", "cli", "--no-run"], root)?;
    let program = target(root).join("debug").join(format!("windrow{}", std::env::consts::EXE_SUFFIX));
    program.canonicalize().with_context(|| format!("{} was not built", program.display()))
}

/// Imports and judges `records`.
pub(crate) fn import(program: &Path, records: &Path, fleet: &Path) -> anyhow::Result<()> {
    let output = Command::new(program).arg("run").arg(records).arg("--fleet").arg(fleet).output()?;
    // 1 says that something waits for a person.
    if output.status.code().is_some_and(|status| status < 2) {
        return Ok(());
    }
    bail!("the records could not be imported: {}", String::from_utf8_lossy(&output.stderr))
}

/// Runs a command that must end well.
pub(crate) fn must(command: &str, arguments: &[&str], folder: &Path) -> anyhow::Result<()> {
    let mut process = Command::new(command);
    process.args(arguments).current_dir(folder);
    ended_well(process)
}

/// Runs a process that must end well.
pub(crate) fn ended_well(mut process: Command) -> anyhow::Result<()> {
    let status =
        process.status().with_context(|| format!("{} could not be started", process.get_program().display()))?;
    if status.success() {
        return Ok(());
    }
    bail!("{} ended with {status}", process.get_program().display())
}

#[cfg(test)]
mod tests {
    use super::is_installed;
    use anyhow::bail;

    #[test]
    fn a_misspelt_option_is_refused_before_anything_is_installed() {
        assert!(is_installed(|| Ok(()), &["--where-posible"]).is_err());
        assert!(is_installed(|| Ok(()), &["--where-possible", "x"]).is_err());
        assert!(!is_installed(|| bail!("not to be had"), &["--where-possible"]).unwrap());
        assert!(is_installed(|| bail!("not to be had"), &[]).is_err());
    }
}
