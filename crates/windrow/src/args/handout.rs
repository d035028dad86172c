//! What is handed out, and in which form; what is fed to other systems.

use super::FleetArgs;
use clap::{Args, ValueEnum};
use std::path::PathBuf;

/// What to export.
#[derive(Debug, Args)]
pub(crate) struct ExportArgs {
    /// The fleet folder.
    #[command(flatten)]
    pub(crate) fleet: FleetArgs,
    /// Form of the export
    #[arg(long, value_enum, value_name = "FORM")]
    pub(crate) to: ExportForm,
    /// Folder (parquet, csv) or file (sqlite, xlsx) to write
    #[arg(long, value_name = "PATH")]
    pub(crate) out: PathBuf,
    /// Replace what an earlier export wrote there
    #[arg(long)]
    pub(crate) force: bool,
}

/// Forms of an export.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum ExportForm {
    /// A folder with one Apache Parquet file a table
    Parquet,
    /// A folder with one CSV file a table and a Frictionless descriptor
    Csv,
    /// One SQLite database
    Sqlite,
    /// One workbook: machines, test summary, readings, findings, open questions
    Xlsx,
}

/// What to feed.
#[derive(Debug, Args)]
pub(crate) struct FeedArgs {
    /// The fleet folder.
    #[command(flatten)]
    pub(crate) fleet: FleetArgs,
    /// Send everything to files in this folder too, besides the sinks of feed/sinks.toml
    #[arg(long, value_name = "DIR")]
    pub(crate) into: Option<PathBuf>,
    /// Show exactly what would go; send and store nothing
    #[arg(long)]
    pub(crate) dry_run: bool,
    /// Send again what this sink refused, and open it again if it wanted nothing more
    #[arg(long, value_name = "SINK", conflicts_with = "dry_run")]
    pub(crate) replay: Option<String>,
    /// Read acknowledgements, work orders and outcomes from this CSV file (finding_id, outcome, work_order, failure_mode, by, on, reason)
    #[arg(long, value_name = "FILE", conflicts_with_all = ["dry_run", "replay", "into"])]
    pub(crate) receive: Option<PathBuf>,
    /// Show how often people found what each rule had found
    #[arg(long, conflicts_with_all = ["dry_run", "replay", "into"])]
    pub(crate) outcomes: bool,
    /// Show how each sink stands: what waits for it, what it refused and why; send nothing
    #[arg(long, conflicts_with_all = ["dry_run", "replay", "into", "receive", "outcomes"])]
    pub(crate) sinks: bool,
    /// Forget a sink that is not in feed/sinks.toml any more, such as a folder of --into: it holds nothing back, and fed again begins anew
    #[arg(long, value_name = "SINK", conflicts_with_all = ["dry_run", "replay", "into", "receive", "outcomes", "sinks"])]
    pub(crate) forget: Option<String>,
    /// Day by which tests come due, such as 2027-03-01 [default: today, UTC]
    #[arg(long, value_name = "DATE")]
    pub(crate) on: Option<jiff::civil::Date>,
}
