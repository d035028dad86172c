//! The command line: parses, calls, prints.

mod args;
mod commands;
mod log;
mod output;
mod progress;
mod summary;

use args::{Cli, Command, LogArgs};
use clap::Parser;
use std::process::ExitCode;
use std::sync::Arc;
use windrow_source::worker::{Program, Role, Worker, role};
use windrow_tasks::import::Readers;

/// How a command ended; the exit status of the program.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Ending {
    /// Done, and nothing is held or unread.
    Clean,
    /// Done, and some cells are held or unread.
    Open,
}

/// What starts the processes that open files, and where the lines go that they log.
struct Workers {
    program: Program,
    log: log::Lines,
}

impl Workers {
    /// What reads with them: all plugins, in so many processes.
    fn readers(&self, count: Option<u16>) -> anyhow::Result<Readers> {
        let log = self.log.clone();
        Ok(Readers {
            registry: Arc::new(windrow_plugins::registry()?),
            program: self.program.clone(),
            log: Arc::new(move |line| log.pass_on(line)),
            count,
        })
    }
}

fn main() -> ExitCode {
    let (role, arguments) = role(std::env::args_os());
    let cli = match Cli::try_parse_from(arguments) {
        Ok(cli) => cli,
        Err(error) => {
            let status = if error.use_stderr() { 2 } else { 0 };
            return match error.print() {
                Ok(()) => ExitCode::from(status),
                Err(_) => ExitCode::from(3),
            };
        }
    };
    let program = match role {
        Role::Worker(worker) => return serve(worker, &cli.log),
        Role::Program(program) => program,
    };
    match log::install(&cli.log).and_then(|log| run(cli.command, &Workers { program, log })) {
        Ok(Ending::Clean) => ExitCode::SUCCESS,
        Ok(Ending::Open) => ExitCode::from(1),
        Err(error) => {
            output::note(&format!("windrow: {error:#}"));
            ExitCode::from(if is_usage(&error) { 2 } else { 3 })
        }
    }
}

/// Whether what was asked is at fault, not the files or the disk.
fn is_usage(error: &anyhow::Error) -> bool {
    let is_query = error.downcast_ref::<windrow_store::Error>().is_some_and(windrow_store::Error::is_query);
    let is_export = error.downcast_ref::<windrow_export::Error>().is_some_and(windrow_export::Error::is_usage);
    let is_feed = error.downcast_ref::<windrow_feed::Error>().is_some_and(windrow_feed::Error::is_usage);
    is_query
        || is_export
        || is_feed
        || error.is::<windrow_tasks::WrongUsage>()
        || error.is::<windrow_model::lookup::Unfound>()
}

/// Opens files for another process of this program, which put it under limits.
fn serve(worker: Worker, log: &LogArgs) -> ExitCode {
    match log::install_in_worker(log).and_then(|()| Ok(windrow_plugins::registry()?)) {
        Ok(registry) => worker.serve(&mut |request| windrow_importer::answer(request, &registry)),
        Err(error) => {
            output::note(&format!("windrow: {error:#}"));
            ExitCode::from(3)
        }
    }
}

fn run(command: Command, workers: &Workers) -> anyhow::Result<Ending> {
    match command {
        Command::Run(args) => commands::run::run(&args, workers),
        Command::Import(args) => commands::import::run(&args, workers),
        Command::Analyze(args) => commands::analyze::run(&args),
        Command::Explain(args) => commands::explain::run(&args),
        Command::Acknowledge(args) => commands::acknowledge::run(&args),
        Command::Fleet(args) => commands::fleet::run(&args),
        Command::Report(args) => commands::report::run(&args),
        Command::Serve(args) => commands::serve::run(&args, workers),
        Command::Export(args) => commands::export::run(&args),
        Command::Feed(args) => commands::feed::run(&args),
        Command::Query(args) => commands::query::run(&args),
        Command::Holds(args) => commands::holds::run(&args),
        Command::Decide(args) => commands::decide::run(&args),
        Command::Assets(args) => commands::assets::run(&args),
        Command::Levels(args) => commands::levels::run(&args),
        Command::Limits(args) => commands::limits::run(&args),
        Command::Plan(args) => commands::plan::run(&args),
        Command::Unread(args) => commands::unread::run(&args),
        Command::Plugins(args) => commands::plugins::run(&args),
        Command::Inspect(args) => commands::inspect::run(&args, workers),
        Command::Completions { shell } => commands::completions::run(shell),
    }
}
