//! `windrow export`: the tables in another form.

use crate::args::{ExportArgs, ExportForm};
use crate::{Ending, output};
use windrow_export::{Existing, Form, People, Tables, export};
use windrow_model::settings::TesterNames;
use windrow_store::Fleet;

pub(crate) fn run(args: &ExportArgs) -> anyhow::Result<Ending> {
    let fleet = Fleet::open(&args.fleet.fleet)?;
    let snapshot = fleet.snapshot()?;
    let tables = Tables::load(&fleet, &snapshot)?;
    let form = match args.to {
        ExportForm::Parquet => Form::Parquet,
        ExportForm::Csv => Form::Csv,
        ExportForm::Sqlite => Form::Sqlite,
        ExportForm::Xlsx => Form::Workbook,
    };
    let existing = if args.force { Existing::Replace } else { Existing::Keep };
    export(&tables, form, &args.out, existing)?;
    output::line(&format!("wrote {}", args.out.display()));
    output::note(&of_names(tables.people()));
    if snapshot.import_id().is_some() && snapshot.judged_import_id() != snapshot.import_id() {
        output::note(
            "these records were not analyzed yet, so findings and summaries are missing or old: windrow analyze --fleet DIR",
        );
    }
    Ok(Ending::Clean)
}

/// What became of names.
fn of_names(people: &People) -> String {
    let count = people.count();
    match people.mode() {
        TesterNames::Keep => {
            format!("{count} names of people stand in it ([export] testers in windrow.toml changes that)")
        }
        TesterNames::Pseudonym => format!("{count} names of people are replaced by pseudonyms"),
        TesterNames::Drop => format!("{count} names of people are left out"),
    }
}
