//! Simulated fleets through the real tables and the real analyzer, beside the simple rules that must be beaten: `cargo xtask scoreboard`
//! and `cargo xtask bench analysis`.
//!
//! The fleets are our own, so they rank methods and set goals; they promise nothing about a real plant. Settings of the analyzer were
//! chosen on seeds below 100; what is printed by default uses seeds from 1000 on.
#![expect(clippy::print_stdout, reason = "a command-line program for developers")]

#[cfg(test)]
mod again;
mod bars;
mod baselines;
mod bench;
mod direct;
mod draw;
mod forecasts;
mod habits;
mod measure;
mod run;
mod tables;
#[cfg(test)]
mod tests;
mod told;
mod world;

use std::path::Path;
use std::process::ExitCode;

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let result = match arguments.as_slice() {
        ["board", options @ ..] => run::run(options),
        ["bench", options @ ..] => bench::run(options),
        ["fleet", machines, folder] => bench::write(machines, Path::new(folder)),
        ["bench-of", folder] => bench::of_store(Path::new(folder)),
        _ => Err(anyhow::anyhow!("expected board or bench; see cargo xtask")),
    };
    match result {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            println!("failed: {error:#}");
            ExitCode::FAILURE
        }
    }
}
