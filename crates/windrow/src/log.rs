//! Logging as the command line asks for it: spans per file, sheet and stage, to standard error or a file.

use crate::args::{LogArgs, LogFormat};
use anyhow::Context;
use std::fs::File;
use std::io::IsTerminal;
use std::sync::Mutex;
use tracing_subscriber::EnvFilter;
use tracing_subscriber::fmt::format::FmtSpan;
use tracing_subscriber::fmt::writer::BoxMakeWriter;

/// Installs the log. Fails on a filter that cannot be parsed and on a file that cannot be written.
pub(crate) fn install(args: &LogArgs) -> anyhow::Result<()> {
    let filter = EnvFilter::try_new(&args.filter).with_context(|| {
        format!("--log {:?} is no level and no filter; try info or windrow_importer=debug", args.filter)
    })?;
    let (writer, ansi) = match &args.file {
        Some(path) => {
            let file =
                File::create(path).with_context(|| format!("the log file {} cannot be written", path.display()))?;
            (BoxMakeWriter::new(Mutex::new(file)), false)
        }
        None => (BoxMakeWriter::new(std::io::stderr), std::io::stderr().is_terminal()),
    };
    let builder = tracing_subscriber::fmt()
        .with_env_filter(filter)
        .with_writer(writer)
        .with_ansi(ansi)
        .with_span_events(FmtSpan::CLOSE);
    match args.format {
        LogFormat::Text => builder.init(),
        LogFormat::Json => builder.json().init(),
    }
    Ok(())
}
