//! `windrow query`: SQL over the tables of the newest snapshot.

use crate::args::{QueryArgs, QueryFormat};
use crate::{Ending, WrongUsage, output};
use anyhow::Context;
use std::io::IsTerminal;
use std::path::Path;
use windrow_store::Fleet;
use windrow_store::answer::{Format, write};

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
    let frame = Fleet::open(&args.fleet.fleet)?.snapshot()?.query(&sql)?;
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
