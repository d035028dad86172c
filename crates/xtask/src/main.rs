//! Developer commands: `cargo xtask test`, `schema`, …
#![expect(clippy::print_stdout, reason = "a command-line program for developers")]

mod analysts;
mod application;
mod bench;
mod bless;
mod browser;
mod checks;
mod explain;
mod hands;
mod interface;
mod layouts;
mod metamorphic;
mod new_plugin;
mod readings;
mod schema;
mod score;
mod tidy;

use anyhow::Context;
use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode};

const USAGE: &str = "usage: cargo xtask COMMAND

  test               everything that must hold: format, lints, tests, corpus score, documentation
  browser            the web application in a real browser (installs Chromium where it is missing and this is root)
  interface          the interface for programs under requests drawn from its description (needs python3)
  tidy               check the house rules that a compiler does not see
  explain FILE       how the engine sees a file: blocks, columns, pairs, captions, holds
  readings FOLDER    what an import makes of each number, one line each, with questions and what was not read
  score CORPUS [--show N] [--json FILE] [--least PERCENT]
                     import CORPUS/files in memory and compare with CORPUS/truth.jsonl; --least asks for that
                     share right, and for all machines, questions and copies
  hands              corpora written by hand: nothing silently wrong, and the share that must be right
  scoreboard [--fleets N] [--machines N] [--seed S]
                     simulated fleets through tables and analyzer, beside simple rules
  random-layouts [--files N] [--seed S] [--keep DIR] [--family F] [--show N]
                     draw files in layouts never seen, with truth, import them and compare
  metamorphic [--only MUTATION] [--files PART] [--in FOLDER] [--show N]
                     change samples and corpus in ways that do not change what they say, and compare
  bench              compare a full import with merely reading every cell
  analysts [--where-possible]
                     install analysts' own tools (Python), Spark too, and try them on the demo
  bench feed         10,000 events, a receiver that fails, and a sender killed 100 times; then what they cost
  bench feed --program PATH [MACHINES]…
                     what feeds by that program cost, by sink and by size
  bench serve [--program PATH --fleet DIR]
                     how fast the fleet page answers 20 clients over 10,000 simulated machines, and a machine's page one;
                     of a build and a fleet that are there already
  bench identity [RECORDS]…
                     how long telling machines apart takes, and how it grows
  bench analysis [store|again|model|rest|newest] [MACHINES]…
                     how long the analysis takes, and how it grows; from a fleet on the disk with `store`, with `again` also
                     after one more import; the fleet model alone with `model`; all but forecasts with `rest`; of each machine
                     its newest review only, up to 1,000,000, with `newest`
  bless [ID]… [--allow-loss]
                     write the goldens of plugins again, and print what is lost
  new-plugin NAME --kind reader|importer
                     write a plugin folder that builds, and link it in
  schema [--check]   write schema/ from the Rust types, or fail if it differs";

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let result = match arguments.as_slice() {
        ["bench"] => bench::run(&root()),
        ["analysts", options @ ..] => analysts::run(&root(), options),
        ["bench", "feed", options @ ..] => bench::feed::run(&root(), options),
        ["bench", "serve"] => served(),
        ["bench", "serve", "--program", program, "--fleet", fleet] => {
            bench::serve::run(Path::new(program), Path::new(fleet))
        }
        ["bench", "analysis", options @ ..] => simulated("bench", options),
        ["bench", "identity", sizes @ ..] => bench::identity::run(sizes),
        ["bench-read", pass, folder] => bench::read_all(pass, Path::new(folder)),
        ["bench-measure", command @ ..] => bench::measured_child(command),
        ["bless", arguments @ ..] => bless::run(&root(), arguments),
        ["new-plugin", arguments @ ..] => new_plugin::run(&root(), arguments),
        ["explain", file, options @ ..] => explain::run(Path::new(file), options),
        ["scoreboard", options @ ..] => simulated("board", options),
        ["readings", folder] => readings::run(Path::new(folder)),
        ["hands"] => hands::run(&root()),
        ["score", corpus, options @ ..] => score::run(Path::new(corpus), options),
        ["random-layouts", options @ ..] => layouts::run(options),
        ["metamorphic", options @ ..] => metamorphic::run(&root(), options),
        ["tidy"] => tidy::run(&root()),
        ["test"] => checks::run(&root()),
        ["browser", options @ ..] => browser::run(&root(), options),
        ["interface", options @ ..] => interface::run(&root(), options),
        ["schema"] => schema::write(&root()),
        ["schema", "--check"] => schema::check(&root()),
        _ => {
            println!("{USAGE}");
            return ExitCode::from(2);
        }
    };
    match result {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            println!("failed: {error:#}");
            ExitCode::FAILURE
        }
    }
}

/// Runs the simulated fleets, optimized: the program is apart, so that these commands need neither tables nor analyzer to be built.
fn simulated(command: &str, options: &[&str]) -> anyhow::Result<()> {
    let mut cargo = Command::new(env!("CARGO"));
    cargo.args(["run", "--quiet", "--release", "--package", "windrow-scoreboard", "--", command]).args(options);
    let status = cargo.current_dir(root()).status().context("cargo could not be run")?;
    anyhow::ensure!(status.success(), "the simulated fleets did not end well");
    Ok(())
}

/// Draws a fleet, and times the web application over it; both optimized.
fn served() -> anyhow::Result<()> {
    let folder = tempfile::tempdir()?;
    let fleet = folder.path().join("drawn");
    simulated("fleet", &["10000", &fleet.to_string_lossy()])?;
    application::must(env!("CARGO"), &["build", "--quiet", "--release", "--package", "windrow"], &root())?;
    let program = application::target(&root()).join("release/windrow");
    bench::serve::run(&program, &fleet)
}

/// Root of the workspace.
fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}
