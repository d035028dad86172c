//! Logging as the command line asks for it: spans per file, sheet and stage, to standard error or a file.

use crate::args::{LogArgs, LogFormat};
use anyhow::Context;
use std::fs::File;
use std::io::{IsTerminal, Write};
use std::sync::{Arc, Mutex, PoisonError};
use tracing_subscriber::EnvFilter;
use tracing_subscriber::filter::LevelFilter;
use tracing_subscriber::fmt::format::FmtSpan;
use tracing_subscriber::fmt::writer::BoxMakeWriter;

/// Where the log goes. Each write is a whole line, of this process or of a worker.
#[derive(Clone)]
pub(crate) struct Lines(Arc<Mutex<dyn Write + Send>>);

impl Lines {
    /// Writes a line that a worker logged: it had the same filter and has the same form.
    pub(crate) fn pass_on(&self, line: &str) {
        let mut out = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        // A log that can no longer be written must not end the work.
        let _ = out.write_all(format!("{line}\n").as_bytes());
    }
}

impl Write for Lines {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).write(bytes)
    }

    fn flush(&mut self) -> std::io::Result<()> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).flush()
    }
}

/// Installs the log. Fails on a filter that cannot be parsed and on a file that cannot be written.
pub(crate) fn install(args: &LogArgs) -> anyhow::Result<Lines> {
    let (lines, ansi) = match &args.file {
        Some(path) => {
            let file =
                File::create(path).with_context(|| format!("the log file {} cannot be written", path.display()))?;
            (Lines(Arc::new(Mutex::new(file))), false)
        }
        None => (Lines(Arc::new(Mutex::new(std::io::stderr()))), std::io::stderr().is_terminal()),
    };
    let to = lines.clone();
    write_to(args, BoxMakeWriter::new(move || to.clone()), ansi)?;
    Ok(lines)
}

/// Installs the log of a worker: with the filter and form of the program, to standard error, from where the program takes it.
pub(crate) fn install_in_worker(args: &LogArgs) -> anyhow::Result<()> {
    write_to(args, BoxMakeWriter::new(std::io::stderr), false)
}

/// A level alone is meant for this program: libraries have their say from warnings on, and below that when they are named.
fn filter(asked: &str) -> String {
    match asked.parse::<LevelFilter>() {
        Ok(level) if level > LevelFilter::WARN => format!("warn,windrow={asked}"),
        _ => asked.to_owned(),
    }
}

fn write_to(args: &LogArgs, writer: BoxMakeWriter, ansi: bool) -> anyhow::Result<()> {
    let filter = EnvFilter::try_new(filter(&args.filter)).with_context(|| {
        format!("--log {:?} is no level and no filter; try info or windrow_importer=debug", args.filter)
    })?;
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
