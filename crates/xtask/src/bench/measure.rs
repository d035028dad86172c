//! CPU, wall time and peak memory of one command, by the operating system's account of finished children.

use anyhow::{Context, bail};
use nix::sys::resource::{UsageWho, getrusage};
use nix::sys::time::TimeVal;
use std::ffi::OsStr;
use std::process::{Command, Stdio};
use std::time::Instant;

/// What one command cost.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Cost {
    /// User and system time of the command and all its children, seconds.
    pub(crate) cpu_s: f64,
    /// Wall time, seconds.
    pub(crate) wall_s: f64,
    /// Resident set of the largest single process, MiB.
    pub(crate) peak_mib: f64,
}

/// Median of three runs, each below a fresh `xtask bench-measure` process: usage of children accumulates in a process.
pub(crate) fn of(xtask: &str, command: &[String]) -> anyhow::Result<Cost> {
    let mut costs = (0..3).map(|_| once(xtask, command)).collect::<anyhow::Result<Vec<_>>>()?;
    costs.sort_by(|a, b| a.cpu_s.total_cmp(&b.cpu_s));
    Ok(costs[1])
}

fn once(xtask: &str, command: &[String]) -> anyhow::Result<Cost> {
    if let Some(fleet) = command.iter().position(|word| word == "--fleet").and_then(|at| command.get(at + 1)) {
        let _ = std::fs::remove_dir_all(fleet);
    }
    apart(xtask, command)
}

/// One run below a process of its own.
pub(crate) fn apart(xtask: impl AsRef<OsStr>, command: &[String]) -> anyhow::Result<Cost> {
    let output = Command::new(xtask).arg("bench-measure").args(command).output()?;
    let text = String::from_utf8_lossy(&output.stdout);
    let numbers: Vec<f64> = text.split_whitespace().filter_map(|word| word.parse().ok()).collect();
    let [cpu_s, wall_s, peak_mib] = numbers.as_slice() else {
        bail!("the measured command failed: {}", String::from_utf8_lossy(&output.stderr));
    };
    Ok(Cost { cpu_s: *cpu_s, wall_s: *wall_s, peak_mib: *peak_mib })
}

/// Runs `command` and prints its CPU seconds, wall seconds and peak MiB.
pub(crate) fn measured_child(command: &[&str]) -> anyhow::Result<()> {
    let [program, arguments @ ..] = command else { bail!("no command to measure") };
    let begun = Instant::now();
    let status = Command::new(program)
        .args(arguments)
        .stdout(Stdio::null())
        .status()
        .with_context(|| format!("{program} could not be started"))?;
    let wall_s = begun.elapsed().as_secs_f64();
    // Exit status 1 says that some cells are held or unread: the import itself is done.
    if !matches!(status.code(), Some(0 | 1)) {
        bail!("{program} ended with {status}");
    }
    let usage = getrusage(UsageWho::RUSAGE_CHILDREN)?;
    let cpu_s = seconds(usage.user_time()) + seconds(usage.system_time());
    #[expect(clippy::cast_precision_loss, reason = "kibibytes of a process")]
    let peak_mib = usage.max_rss() as f64 / 1024.0;
    println!("{cpu_s} {wall_s} {peak_mib}");
    Ok(())
}

fn seconds(time: TimeVal) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "seconds of a process")]
    let whole = time.tv_sec() as f64;
    #[expect(clippy::cast_precision_loss, reason = "below a million")]
    let micro = time.tv_usec() as f64;
    whole + micro / 1e6
}
