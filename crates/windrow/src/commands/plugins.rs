//! `windrow plugins`: what is linked in.

use crate::args::{ListFormat, PluginsArgs};
use crate::{Ending, output};
use serde_json::json;
use windrow_source::Maturity;

pub(crate) fn run(args: &PluginsArgs) -> anyhow::Result<Ending> {
    let registry = windrow_plugins::registry()?;
    let header = ["id", "kind", "version", "maturity", "summary", "reads"];
    let readers = registry.readers().iter().map(|plugin| {
        [plugin.id, "reader", plugin.version, maturity(plugin.maturity), plugin.summary, &plugin.reads.join(", ")]
            .map(str::to_owned)
            .to_vec()
    });
    let importers = registry.importers().iter().map(|plugin| {
        [plugin.id, "importer", plugin.version, maturity(plugin.maturity), plugin.summary, &plugin.reads.join(", ")]
            .map(str::to_owned)
            .to_vec()
    });
    let rows: Vec<Vec<String>> = readers.chain(importers).collect();
    output::list(&header, &rows, args.format)?;
    Ok(Ending::Clean)
}

fn maturity(maturity: Maturity) -> &'static str {
    match maturity {
        Maturity::Draft => "draft",
        Maturity::Candidate => "candidate",
        Maturity::Recommended => "recommended",
    }
}

impl output::Listing for ListFormat {
    fn print(self, header: &[&str], rows: &[Vec<String>]) -> anyhow::Result<Vec<u8>> {
        match self {
            Self::Table => Ok(output::table(header, rows).into_bytes()),
            Self::Csv => Ok(csv_lines(header, rows).into_bytes()),
            Self::Json => {
                let objects: Vec<_> = rows
                    .iter()
                    .map(|row| {
                        header
                            .iter()
                            .zip(row)
                            .map(|(name, cell)| ((*name).to_owned(), json!(cell)))
                            .collect::<serde_json::Map<_, _>>()
                    })
                    .collect();
                Ok((serde_json::to_string_pretty(&objects)? + "\n").into_bytes())
            }
        }
    }
}

/// RFC 4180: every field quoted, quotes doubled.
fn csv_lines(header: &[&str], rows: &[Vec<String>]) -> String {
    let quoted = |text: &str| format!("\"{}\"", text.replace('"', "\"\""));
    let line = |cells: Vec<String>| cells.join(",") + "\n";
    let mut out = line(header.iter().map(|name| quoted(name)).collect());
    for row in rows {
        out.push_str(&line(row.iter().map(|cell| quoted(cell)).collect()));
    }
    out
}
