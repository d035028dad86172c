//! The interface for programs under requests drawn from its own description, by a property-based tester from the Python registry.

use crate::application::{self, Application, ended_well, is_installed, must};
use anyhow::Context;
use std::path::Path;
use std::process::Command;

/// What must hold of every answer. That a request of the right form is accepted is not asked: an answer can still be none to its question.
const CHECKS: &str = "not_a_server_error,status_code_conformance,content_type_conformance,response_schema_conformance,negative_data_rejection";

/// Installs the tester into an environment of its own, and runs it over a fleet of the demo records; with `--where-possible` says why
/// and goes on where it cannot be installed.
pub(crate) fn run(root: &Path, options: &[&str]) -> anyhow::Result<()> {
    let environment = application::target(root).join("interface");
    if !is_installed(|| install(root, &environment), options)? {
        return Ok(());
    }
    let program = application::program(root)?;
    let folder = tempfile::tempdir()?;
    let fleet = folder.path().join("mill");
    application::import(&program, &root.join("samples"), &fleet)?;
    let application = Application::start(&program, &fleet)?;
    let mut tester = Command::new(environment.join("bin/schemathesis"));
    tester
        .args([
            "run",
            &format!("{}/api/v1/openapi.json", application.url),
            "--url",
            &format!("{}/api/v1", application.url),
        ])
        .args(["--checks", CHECKS, "--max-examples", "40", "--seed", "7", "--no-color"])
        // What is wrong with where a request comes from is another test's; applying answers is the browser's.
        .args(["--header", "Sec-Fetch-Site: same-origin", "--exclude-path", "/apply"])
        .current_dir(folder.path());
    ended_well(tester).context("the interface for programs does not keep to its description")
}

fn install(root: &Path, environment: &Path) -> anyhow::Result<()> {
    if !environment.join("bin/schemathesis").exists() {
        must("python3", &["-m", "venv", &environment.to_string_lossy()], root)
            .context("python3 with its module venv is needed")?;
    }
    let pip = environment.join("bin/pip");
    must(&pip.to_string_lossy(), &["install", "--quiet", "--requirement", "tests/interface/requirements.txt"], root)
        .context("the tester is not to be had; the Python registry must be reached")
}
