//! What the command line accepts, with help that teaches.

mod handout;
mod levels;

use clap::{Args, Parser, Subcommand, ValueEnum};
pub(crate) use handout::{ExportArgs, ExportForm, FeedArgs};
pub(crate) use levels::{LevelsArgs, LimitsArgs, Standards};
use std::path::PathBuf;

/// Turns decades of scattered motor-insulation test records into one fleet of evidence.
#[derive(Debug, Parser)]
#[command(
    name = "windrow",
    version,
    about,
    long_about = "Reads folders of old and new insulation-test records (workbooks, text exports, print-outs, databases) into one open \
                  schema of machines, tests and readings; keeps the way from every number back to its cell; puts units and \
                  temperature on one basis; finds the windings that are going and the records that cannot be true.\n\n\
                  Windrow reads records; it performs no test. Insulation tests can kill: local codes and licensed practice decide.",
    after_help = EXAMPLES,
    arg_required_else_help = true
)]
pub(crate) struct Cli {
    /// What to do.
    #[command(subcommand)]
    pub(crate) command: Command,
    /// How to log.
    #[command(flatten)]
    pub(crate) log: LogArgs,
}

const EXAMPLES: &str = "Examples:
  windrow run records/ --fleet plant            read everything, analyze, write plant/report.html
  windrow inspect records/book.xlsx             see how one file is read, storing nothing
  windrow query \"SELECT tag, count(*) FROM test_summary GROUP BY tag\" --fleet plant
  windrow report --fleet plant --out page.html  write the report again, elsewhere

Exit status: 0 done and nothing held; 1 done, some cells are held or unread; 2 wrong usage; 3 could not run.";

/// Commands.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Do the main job: import, analyze, report
    #[command(
        after_help = "Example:\n  windrow run samples --fleet demo\n\nReads everything below the given paths into the fleet folder, analyzes it and writes report.html there."
    )]
    Run(RunArgs),
    /// Read records into a fleet folder
    #[command(
        after_help = "Example:\n  windrow import records/ more/book.xls --fleet plant\n\nA fleet holds every source that was ever imported into it. Importing a folder again reads what is new or changed there and opens nothing else; files that are gone are reported and kept.\nAn import is visible whole or not at all. Files that cannot be opened never stop it: they are listed with the reason and what to do."
    )]
    Import(ImportArgs),
    /// Judge what is in a fleet folder: test summaries and findings
    #[command(
        after_help = "Examples:\n  windrow analyze --fleet plant\n  windrow analyze --as-of 2012-06-30 --fleet plant --format csv\n\nA finding stays open until a newer test, a corrected record, a ruling or a person (windrow acknowledge) closes it; then it is kept with when and why. Analyzing the same data again changes nothing."
    )]
    Analyze(AnalyzeArgs),
    /// Show what a finding rests on: readings down to their cells, model or rule, comparison, arithmetic, basis
    #[command(
        after_help = "Example:\n  windrow explain 3fa94c --fleet plant\n\nThe id is the finding's finding_id or its beginning, as `windrow query \"SELECT finding_id, level, statement FROM findings\"` shows it."
    )]
    Explain(ExplainArgs),
    /// Close a finding at its level, with a reason, or take that back
    #[command(
        after_help = "Examples:\n  windrow acknowledge 3fa94c --reason \"rewind ordered\" --by \"R. Doe\" --fleet plant\n  windrow acknowledge 3fa94c --undo --reason \"order cancelled\" --fleet plant\n\nThe word is added to decisions.toml in the fleet folder, and holds as long as the finding is no graver than it was; at a graver level it is open again."
    )]
    Acknowledge(AcknowledgeArgs),
    /// Show statistics of the fleet by rating, kind of winding and insulation
    #[command(
        after_help = "Examples:\n  windrow fleet --fleet plant\n  windrow fleet --fleet plant --format csv\n\nEach machine counts once, by its newest test that tells the figure. A reading at the end of the instrument's range counts as at least that (Kaplan and Meier), so a quantile can lie above the ceilings. The same numbers stand as SQL in schema/sql/fleet_*.sql, for windrow query --file."
    )]
    Fleet(ListArgs),
    /// Write the fleet as one self-contained HTML page
    #[command(
        after_help = "Examples:\n  windrow report --fleet plant --out plant.html\n  windrow report --machine P-101 --fleet plant --out p-101.html\n\nThe first sheet is for whoever decides: what to act on, why, by when, and what it rests on. Any browser prints the page to paper or PDF, each machine on pages of its own."
    )]
    Report(ReportArgs),
    /// Open the fleet in a browser: look, answer questions, say a word on findings, ask in SQL
    #[command(
        after_help = "Examples:\n  windrow serve --fleet plant\n  windrow serve --fleet plant --listen 192.0.2.7 --port 8080\n\nIt listens on this computer only and prints the address to open; Ctrl-C ends it. Beyond this computer (--listen) it wants the token in the address that it prints, and what is sent can be read on the way: use it in networks that you trust. /api/v1/openapi.json describes the interface for programs."
    )]
    Serve(ServeArgs),
    /// Ask the tables in SQL
    #[command(
        after_help = "Examples:\n  windrow query \"SELECT level, count(*) AS n FROM findings GROUP BY level\" --fleet plant\n  windrow query \"SELECT * FROM readings WHERE bound = 'at_least'\" --fleet plant --format parquet --out ceilings.parquet\n  windrow query --file schema/sql/fleet_resistance.sql --fleet plant\n\nTables: assets, tests, readings, reported_figures, waveforms, cells, holds, sources, imports, test_summary, findings, coverage. Values are in SI units (Ohm, A, V); see schema/ for every column."
    )]
    Query(QueryArgs),
    /// Write all tables as Parquet, CSV or SQLite, or one consolidated workbook
    #[command(
        after_help = "Examples:\n  windrow export --to xlsx --out plant.xlsx --fleet plant\n  windrow export --to csv --out tables --fleet plant\n\nAn export appears whole or not at all, and replaces nothing unless --force is given. In CSV a text that a spreadsheet program would run as a formula (= + - @ first) gets an apostrophe in front, and so does a text that begins with one: drop one leading apostrophe to get the text back. Names of people: [export] testers in windrow.toml. The workbook can be imported again and gives the same readings."
    )]
    Export(ExportArgs),
    /// Tell a maintenance system what changed, and take back what people found
    #[command(
        after_help = "Examples:\n  windrow feed --fleet plant --dry-run --into events\n  windrow feed --fleet plant\n  windrow feed --receive answers.csv --fleet plant\n  windrow feed --sinks --fleet plant\n\nThe first feed tells everything, later ones what changed since: machines, tests, findings, due tests, as CloudEvents 1.0 (schemas in schema/events). feed/sinks.toml in the fleet folder says where they go: files, HTTP, or CSV and XML by a template. Each event arrives at least once, in order for each machine; what could not be sent goes with the next feed. Secrets stand in the environment or in a file of yours alone, never here.\n\nExit status: 0 all went; 1 something was refused or is wrong in an answer; 3 a sink could not be reached."
    )]
    Feed(FeedArgs),
    /// List the questions that wait for a person
    #[command(
        after_help = "Examples:\n  windrow holds --fleet plant\n  windrow holds --explain 3fa94c --fleet plant\n\nQuestions with one cause are one: its answer settles all its cells."
    )]
    Holds(HoldsArgs),
    /// Answer a question; the next import applies the answer
    #[command(
        after_help = "Examples:\n  windrow decide 3fa94c MΩ --fleet plant --by \"R. Doe\" --why \"the card's heading says megohms\"\n  windrow decide 8b01de \"no reading\" --fleet plant\n\nThe answer is added to decisions.toml in the fleet folder, where it can be edited and taken back."
    )]
    Decide(DecideArgs),
    /// List the machines, show one, compare them with an equipment list, or weigh whether two names are one machine
    #[command(
        after_help = "Examples:\n  windrow assets --fleet plant\n  windrow assets \"P-101A, North Station\" --fleet plant\n  windrow assets --compare-list --format csv --fleet plant\n  windrow assets --why \"P-101A, North Station\" \"Pump 101A, North Station\" --fleet plant\n\nA machine is named by its tag (with its site where several have it), by its serial number, or by its id."
    )]
    Assets(AssetsArgs),
    /// Show what each standard asks of a winding: test, level, what it stresses and cannot see
    #[command(
        after_help = "Examples:\n  windrow levels --voltage 480 --winding random --service in-service\n  windrow levels P-101 --fleet plant --service overhauled --format csv\n\nWithout a rated voltage that can be true there is no level: 4.16 V (kilovolts typed as volts) and 277 V (a phase voltage; --line-to-line says that it is none) are refused and explained. Levels are no order to test: local codes and licensed practice decide."
    )]
    Levels(LevelsArgs),
    /// List the limits of the trade, or explain one: value, formula, source, worked example
    #[command(after_help = "Examples:\n  windrow limits\n  windrow limits AC-NEMA")]
    Limits(LimitsArgs),
    /// List the tests that are due by the site's intervals, or write sheets to take along
    #[command(
        after_help = "Examples:\n  windrow plan --fleet plant\n  windrow plan --fleet plant --within 180 --format calendar > tests.ics\n  windrow plan --fleet plant --sheets sheets\n\nIntervals stand in windrow.toml under [plan.months]; by default insulation resistance and winding resistance yearly. A plan is no order to test: local codes and licensed practice decide. A filled-in workbook of --sheets, put among the records, is read by the next import."
    )]
    Plan(PlanArgs),
    /// List what no plugin understood, biggest first
    #[command(after_help = "Example:\n  windrow unread --fleet plant")]
    Unread(ListArgs),
    /// List the plugins that are linked in
    Plugins(PluginsArgs),
    /// Show how a file is read, storing nothing
    #[command(
        after_help = "Example:\n  windrow inspect records/book.xlsx\n\nShows which plugin claims which region and why, where each attribute was found, what is held, and what is unread."
    )]
    Inspect(InspectArgs),
    /// Print a completion script for a shell
    #[command(after_help = "Example:\n  windrow completions bash > ~/.local/share/bash-completion/completions/windrow")]
    Completions {
        /// Shell to complete for.
        shell: clap_complete::Shell,
    },
}

/// The fleet folder.
#[derive(Debug, Args)]
pub(crate) struct FleetArgs {
    /// Fleet folder: settings, decisions and tables (created by an import when missing)
    #[arg(long, value_name = "DIR")]
    pub(crate) fleet: PathBuf,
}

/// What to judge.
#[derive(Debug, Args)]
pub(crate) struct AnalyzeArgs {
    /// The fleet folder.
    #[command(flatten)]
    pub(crate) fleet: FleetArgs,
    /// Judge with the tests that had been performed by the end of this day, print the findings and store nothing
    #[arg(long, value_name = "DATE")]
    pub(crate) as_of: Option<jiff::civil::Date>,
    /// Form of the findings that --as-of prints
    #[arg(long, value_enum, default_value_t = ListFormat::Table, requires = "as_of")]
    pub(crate) format: ListFormat,
}

/// Which finding to explain.
#[derive(Debug, Args)]
pub(crate) struct ExplainArgs {
    /// Id of the finding, or its first eight characters
    pub(crate) finding: String,
    /// The fleet folder.
    #[command(flatten)]
    pub(crate) fleet: FleetArgs,
}

/// Which finding to close.
#[derive(Debug, Args)]
pub(crate) struct AcknowledgeArgs {
    /// Id of the finding, or its first eight characters
    pub(crate) finding: String,
    /// The fleet folder.
    #[command(flatten)]
    pub(crate) fleet: FleetArgs,
    /// Why it is closed (or opened again)
    #[arg(long, value_name = "REASON")]
    pub(crate) reason: String,
    /// Who says so
    #[arg(long, value_name = "NAME")]
    pub(crate) by: Option<String>,
    /// Take an acknowledgement back: the finding is open again
    #[arg(long)]
    pub(crate) undo: bool,
}

/// What to import, and how.
#[derive(Debug, Args)]
pub(crate) struct ImportArgs {
    /// Files and folders to read; folders are read with all that is below them
    #[arg(required = true, value_name = "PATH")]
    pub(crate) paths: Vec<PathBuf>,
    /// The fleet folder.
    #[command(flatten)]
    pub(crate) fleet: FleetArgs,
    /// Worker processes that open files; a file that brings one down costs itself only [default: one a core]
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=256))]
    pub(crate) workers: Option<u16>,
    /// Drop what earlier imports read from files that are gone from these paths; without it they are reported and kept
    #[arg(long)]
    pub(crate) forget_missing: bool,
}

/// What to run.
#[derive(Debug, Args)]
pub(crate) struct RunArgs {
    /// What to import.
    #[command(flatten)]
    pub(crate) import: ImportArgs,
    /// Where to write the report [default: report.html in the fleet folder]
    #[arg(long, value_name = "FILE")]
    pub(crate) out: Option<PathBuf>,
}

/// What to report, and where.
#[derive(Debug, Args)]
pub(crate) struct ReportArgs {
    /// Report this machine only: its tag (with its site where several have it), serial number or id
    #[arg(long, value_name = "MACHINE", requires = "out")]
    pub(crate) machine: Option<String>,
    /// The fleet folder.
    #[command(flatten)]
    pub(crate) fleet: FleetArgs,
    /// Where to write the page [default: report.html in the fleet folder]
    #[arg(long, value_name = "FILE")]
    pub(crate) out: Option<PathBuf>,
}

/// What to serve, and where.
#[derive(Debug, Args)]
pub(crate) struct ServeArgs {
    /// The fleet folder.
    #[command(flatten)]
    pub(crate) fleet: FleetArgs,
    /// Port to listen on; 0 takes a free one
    #[arg(long, value_name = "PORT", default_value_t = 4650)]
    pub(crate) port: u16,
    /// Address to listen on; beyond loopback a token is wanted
    #[arg(long, value_name = "ADDRESS", default_value = "127.0.0.1")]
    pub(crate) listen: std::net::IpAddr,
    /// Further name by which people call this computer; others are refused
    #[arg(long, value_name = "NAME")]
    pub(crate) name: Vec<String>,
    /// The token that is wanted, 16 to 128 letters, digits, - and _ [default: made up where --listen is not loopback, else none]
    #[arg(long, value_name = "TOKEN", env = "WINDROW_TOKEN", hide_env_values = true)]
    pub(crate) token: Option<windrow_serve::Token>,
    /// Worker processes that open files when answers are applied [default: one a core]
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=256))]
    pub(crate) workers: Option<u16>,
    /// Seconds that one SQL statement may take
    #[arg(long, value_name = "S", default_value_t = windrow_serve::Limits::default().seconds)]
    pub(crate) query_seconds: u64,
    /// Memory that one SQL statement may take, MiB
    #[arg(long, value_name = "MIB", default_value_t = windrow_serve::Limits::default().memory_mib)]
    pub(crate) query_mib: u32,
}

/// What to ask.
#[derive(Debug, Args)]
pub(crate) struct QueryArgs {
    /// One SQL statement
    #[arg(required_unless_present = "file")]
    pub(crate) sql: Option<String>,
    /// Read the statement from this file
    #[arg(long, value_name = "FILE", conflicts_with = "sql")]
    pub(crate) file: Option<PathBuf>,
    /// The fleet folder.
    #[command(flatten)]
    pub(crate) fleet: FleetArgs,
    /// Form of the answer
    #[arg(long, value_enum, default_value_t = QueryFormat::Table)]
    pub(crate) format: QueryFormat,
    /// Write to this file instead of the terminal
    #[arg(long, value_name = "FILE")]
    pub(crate) out: Option<PathBuf>,
    /// No more than the first N rows
    #[arg(long, value_name = "N")]
    pub(crate) first: Option<u32>,
    /// Fail rather than take more memory than this, MiB
    #[arg(long, value_name = "MIB")]
    pub(crate) memory_mib: Option<u32>,
}

/// Forms of a query's answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum QueryFormat {
    /// Aligned columns for a terminal
    Table,
    /// Comma-separated values; lists are joined by a blank, null is empty
    Csv,
    /// An array of objects
    Json,
    /// Apache Parquet (needs --out or a redirected output)
    Parquet,
}

/// Forms of a listing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum ListFormat {
    /// Aligned columns for a terminal
    Table,
    /// An array of objects
    Json,
    /// Comma-separated values
    Csv,
}

/// A listing of a fleet.
#[derive(Debug, Args)]
pub(crate) struct ListArgs {
    /// The fleet folder.
    #[command(flatten)]
    pub(crate) fleet: FleetArgs,
    /// Form of the list
    #[arg(long, value_enum, default_value_t = ListFormat::Table)]
    pub(crate) format: ListFormat,
}

/// Which questions to show.
#[derive(Debug, Args)]
pub(crate) struct HoldsArgs {
    /// The fleet folder.
    #[command(flatten)]
    pub(crate) fleet: FleetArgs,
    /// Form of the list
    #[arg(long, value_enum, default_value_t = ListFormat::Table)]
    pub(crate) format: ListFormat,
    /// Show this question with the cell in its surroundings
    #[arg(long, value_name = "ID", conflicts_with = "format")]
    pub(crate) explain: Option<String>,
}

/// Which machines to show.
#[derive(Debug, Args)]
pub(crate) struct AssetsArgs {
    /// The fleet folder.
    #[command(flatten)]
    pub(crate) fleet: FleetArgs,
    /// Form of the list
    #[arg(long, value_enum, default_value_t = ListFormat::Table)]
    pub(crate) format: ListFormat,
    /// Show this machine only: its names, place and nameplate, with what sources tell differently
    #[arg(value_name = "MACHINE", conflicts_with_all = ["format", "why", "compare_list"])]
    pub(crate) machine: Option<String>,
    /// Weigh the evidence that two names are one machine
    #[arg(long, num_args = 2, value_names = ["A", "B"], conflicts_with = "format")]
    pub(crate) why: Option<Vec<String>>,
    /// Compare with the owners' equipment list that was imported: matched, in conflict, only in the list, only in the records
    #[arg(long, conflicts_with = "why")]
    pub(crate) compare_list: bool,
}

/// What to plan.
#[derive(Debug, Args)]
pub(crate) struct PlanArgs {
    /// The fleet folder.
    #[command(flatten)]
    pub(crate) fleet: FleetArgs,
    /// Day of the plan, such as 2027-03-01 [default: today, UTC]
    #[arg(long, value_name = "DATE")]
    pub(crate) on: Option<jiff::civil::Date>,
    /// List what comes due within so many days after it
    #[arg(long, value_name = "DAYS", default_value_t = 90)]
    pub(crate) within: u16,
    /// Form of the plan
    #[arg(long, value_enum, default_value_t = PlanFormat::Table)]
    pub(crate) format: PlanFormat,
    /// Write a workbook and a printable page for each machine into this folder instead
    #[arg(long, value_name = "DIR", conflicts_with = "format")]
    pub(crate) sheets: Option<PathBuf>,
}

/// Forms of a plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum PlanFormat {
    /// Aligned columns for a terminal
    Table,
    /// An array of objects
    Json,
    /// Comma-separated values
    Csv,
    /// iCalendar (RFC 5545)
    Calendar,
}

/// An answer.
#[derive(Debug, Args)]
pub(crate) struct DecideArgs {
    /// The question's id, or its beginning, as `windrow holds` shows it; with --file the question itself, such as machine
    pub(crate) id: String,
    /// The answer, in the form that the question wants, or "no reading"
    pub(crate) answer: String,
    /// The fleet folder.
    #[command(flatten)]
    pub(crate) fleet: FleetArgs,
    /// Rule on these cells only, out of those that the question is about
    #[arg(long, value_name = "CELLS")]
    pub(crate) cells: Option<String>,
    /// Rule on this file although nothing is asked about it; its name as windrow query shows it in sources.source_file
    #[arg(long, value_name = "FILE")]
    pub(crate) file: Option<String>,
    /// Rule on this sheet only
    #[arg(long, value_name = "SHEET")]
    pub(crate) sheet: Option<String>,
    /// Who ruled
    #[arg(long, value_name = "NAME")]
    pub(crate) by: Option<String>,
    /// Why
    #[arg(long, value_name = "REASON")]
    pub(crate) why: Option<String>,
}

/// How to list plugins.
#[derive(Debug, Args)]
pub(crate) struct PluginsArgs {
    /// Form of the list
    #[arg(long, value_enum, default_value_t = ListFormat::Table)]
    pub(crate) format: ListFormat,
}

/// What to inspect.
#[derive(Debug, Args)]
pub(crate) struct InspectArgs {
    /// The file to look at
    pub(crate) file: PathBuf,
    /// Use the settings of this fleet folder
    #[arg(long, value_name = "DIR")]
    pub(crate) fleet: Option<PathBuf>,
    /// Form of the output: table for people, json with everything, csv with one line a cell
    #[arg(long, value_enum, default_value_t = ListFormat::Table)]
    pub(crate) format: ListFormat,
    /// Print a layout file drafted from what was understood, to be corrected and put into the fleet's layouts/
    #[arg(long, conflicts_with = "format")]
    pub(crate) draft_layout: bool,
}

/// How to log.
#[derive(Debug, Args)]
pub(crate) struct LogArgs {
    /// What to log: a level (error, warn, info, debug, trace) or a filter such as windrow_importer=debug,warn
    #[arg(
        id = "log",
        long = "log",
        value_name = "FILTER",
        global = true,
        default_value = "warn",
        help_heading = "Logging"
    )]
    pub(crate) filter: String,
    /// Form of the log
    #[arg(id = "log-format", long = "log-format", value_enum, value_name = "FORM", global = true, default_value_t = LogFormat::Text, help_heading = "Logging")]
    pub(crate) format: LogFormat,
    /// Log to this file instead of standard error
    #[arg(id = "log-file", long = "log-file", value_name = "FILE", global = true, help_heading = "Logging")]
    pub(crate) file: Option<PathBuf>,
}

/// Forms of the log.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum LogFormat {
    /// One line of text an event
    Text,
    /// One JSON object a line
    Json,
}

#[cfg(test)]
mod tests {
    use super::{Cli, Command, LogFormat, QueryFormat};
    use clap::{CommandFactory, Parser};

    #[test]
    fn options_of_commands_and_of_the_log_do_not_meet() {
        Cli::command().debug_assert();
        let line = ["windrow", "query", "SELECT 1", "--fleet", "f", "--format", "csv", "--log-format", "json"];
        let cli = Cli::try_parse_from(line).unwrap();
        assert_eq!(cli.log.format, LogFormat::Json);
        assert!(matches!(cli.command, Command::Query(args) if args.format == QueryFormat::Csv));
    }
}
