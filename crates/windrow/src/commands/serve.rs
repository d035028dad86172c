//! `windrow serve`: the fleet in a browser.

use crate::args::ServeArgs;
use crate::{Ending, Workers, output};
use anyhow::Context;
use windrow_serve::{Limits, Settings, serve};

pub(crate) fn run(args: &ServeArgs, workers: &Workers) -> anyhow::Result<Ending> {
    let program = std::env::current_exe().context("the place of this program is not known to the system")?;
    let limits = Limits { seconds: args.query_seconds, memory_mib: args.query_mib, ..Limits::default() };
    let settings = Settings {
        fleet: args.fleet.fleet.clone(),
        address: args.listen,
        port: args.port,
        names: args.name.clone(),
        token: args.token.clone(),
        readers: workers.readers(args.workers)?,
        program,
        limits,
    };
    serve(settings, |url| output::line(&format!("open {url} in a browser; Ctrl-C ends it")))?;
    Ok(Ending::Clean)
}
