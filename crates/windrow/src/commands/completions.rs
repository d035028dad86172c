//! `windrow completions`.

use crate::args::Cli;
use crate::{Ending, output};
use clap::CommandFactory;

pub(crate) fn run(shell: clap_complete::Shell) -> anyhow::Result<Ending> {
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut Cli::command(), "windrow", &mut script);
    output::data(&script)?;
    Ok(Ending::Clean)
}
