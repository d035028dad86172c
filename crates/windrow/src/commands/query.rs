//! `windrow query`: SQL over the tables of the newest snapshot.

use crate::args::{QueryArgs, QueryFormat};
use crate::{Ending, output};
use anyhow::Context;
use std::io::IsTerminal;
use std::path::Path;
use windrow_store::Fleet;
use windrow_store::answer::{Format, write};
use windrow_tasks::WrongUsage;

pub(crate) fn run(args: &QueryArgs) -> anyhow::Result<Ending> {
    let to_terminal = args.out.is_none() && std::io::stdout().is_terminal();
    if args.format == QueryFormat::Parquet && to_terminal {
        return Err(WrongUsage("Parquet is no text: name a file with --out".to_owned()).into());
    }
    let sql = match (&args.sql, &args.file) {
        (Some(sql), _) => sql.clone(),
        (None, Some(file)) => read(file)?,
        (None, None) => return Err(WrongUsage("give one SQL statement, or --file FILE".to_owned()).into()),
    };
    if let Some(most) = args.memory_mib {
        windrow_source::worker::limit_memory(u64::from(most) << 20);
    }
    let snapshot = Fleet::open(&args.fleet.fleet)?.snapshot()?;
    let frame = match args.first {
        Some(rows) => snapshot.query_first(&sql, rows)?,
        None => snapshot.query(&sql)?,
    };
    let format = match args.format {
        QueryFormat::Table => Format::Table,
        QueryFormat::Csv => Format::Csv,
        QueryFormat::Json => Format::Json,
        QueryFormat::Parquet => Format::Parquet,
    };
    let mut answer = Vec::new();
    write(&frame, format, &mut answer)?;
    match &args.out {
        Some(path) => std::fs::write(path, answer)
            .with_context(|| format!("{} cannot be written; check the disk and the permissions", path.display()))?,
        None => output::data(&answer)?,
    }
    Ok(Ending::Clean)
}

/// A statement in a file.
fn read(file: &Path) -> anyhow::Result<String> {
    std::fs::read_to_string(file).map_err(|error| {
        WrongUsage(format!("{} cannot be read ({error}); name a text file with one SQL statement", file.display()))
            .into()
    })
}
