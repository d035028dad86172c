//! Developer commands: `cargo xtask test`, `schema`, …
#![expect(clippy::print_stdout, reason = "a command-line program for developers")]

mod bench;
mod checks;
mod schema;
mod tidy;

use std::path::{Path, PathBuf};
use std::process::ExitCode;

const USAGE: &str = "usage: cargo xtask COMMAND

  test               everything that must hold: format, lints, tests, corpus score, documentation
  tidy               check the house rules that a compiler does not see
  bench              compare a full import with merely reading every cell
  schema [--check]   write schema/ from the Rust types, or fail if it differs";

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let result = match arguments.as_slice() {
        ["bench"] => bench::run(&root()),
        ["bench-read", pass, folder] => bench::read_all(pass, Path::new(folder)),
        ["bench-measure", command @ ..] => bench::measured_child(command),
        ["tidy"] => tidy::run(&root()),
        ["test"] => checks::run(&root()),
        ["schema"] => schema::write(&root()),
        ["schema", "--check"] => schema::check(&root()),
        _ => {
            println!("{USAGE}");
            return ExitCode::from(2);
        }
    };
    match result {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            println!("failed: {error:#}");
            ExitCode::FAILURE
        }
    }
}

/// Root of the workspace.
fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}
