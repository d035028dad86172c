//! The command line: parses, calls, prints.

mod args;
mod commands;
mod log;
mod output;
mod progress;
mod summary;

use args::{Cli, Command};
use clap::Parser;
use std::process::ExitCode;

/// How a command ended; the exit status of the program.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Ending {
    /// Done, and nothing is held or unread.
    Clean,
    /// Done, and some cells are held or unread.
    Open,
}

fn main() -> ExitCode {
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(error) => {
            let status = if error.use_stderr() { 2 } else { 0 };
            return match error.print() {
                Ok(()) => ExitCode::from(status),
                Err(_) => ExitCode::from(3),
            };
        }
    };
    match log::install(&cli.log).and_then(|()| run(cli.command)) {
        Ok(Ending::Clean) => ExitCode::SUCCESS,
        Ok(Ending::Open) => ExitCode::from(1),
        Err(error) => {
            output::note(&format!("windrow: {error:#}"));
            ExitCode::from(3)
        }
    }
}

fn run(command: Command) -> anyhow::Result<Ending> {
    match command {
        Command::Run(args) => commands::run::run(&args),
        Command::Import(args) => commands::import::run(&args),
        Command::Analyze(args) => commands::analyze::run(&args),
        Command::Report(args) => commands::report::run(&args),
        Command::Query(args) => commands::query::run(&args),
        Command::Plugins(args) => commands::plugins::run(&args),
        Command::Inspect(args) => commands::inspect::run(&args),
        Command::Completions { shell } => commands::completions::run(shell),
    }
}
