//! The local web application: pages for an engineer at a desk and an interface for programs, over one fleet folder.
//!
//! Pages are rendered here and need no script; small scripts of our own only save a step. Each request reads one snapshot, so that
//! a fleet that changes underneath is seen before or after a change and never half way. What changes anything goes through
//! `windrow-tasks`, as the command line does.
//!
//! # Who may ask
//! It listens on loopback unless told otherwise, and then wants a token. Requests for another host than its own are refused (a
//! name that was pointed here later), and so are changes that another site asks for (module `guard`). It serves what is in the tables
//! and never a file by its path. Text from cells is text: every page is made with maud, and the content security policy lets no
//! script run but ours.
//!
//! This crate must **not** know terminals or plugins, and computes no figure of the trade by itself.

mod api;
mod app;
mod assets;
mod display;
mod guard;
mod own;
mod pages;
mod params;
mod pending;
mod routes;
mod sql;
mod trouble;
mod view;
mod work;

pub use api::openapi;
pub use guard::Token;
pub use sql::Limits;

use crate::app::App;
use crate::guard::Guard;
use anyhow::Context;
use std::net::{IpAddr, SocketAddr};
use std::path::PathBuf;
use windrow_store::Fleet;
use windrow_tasks::import::Readers;

/// What to serve, and to whom.
#[derive(Debug)]
pub struct Settings {
    /// The fleet folder.
    pub fleet: PathBuf,
    /// Address to listen on.
    pub address: IpAddr,
    /// Port to listen on; 0 takes a free one.
    pub port: u16,
    /// Further names by which people call this computer; loopback names and addresses are known.
    pub names: Vec<String>,
    /// The token that is wanted; without one it is made up where the address is not loopback.
    pub token: Option<Token>,
    /// What reads records when answers are applied.
    pub readers: Readers,
    /// This program, which answers SQL in processes of its own.
    pub program: PathBuf,
    /// What one statement may cost.
    pub limits: Limits,
}

/// Serves until the program is told to end. `ready` is told the address to open, with its token if it has one.
///
/// # Errors
/// When there is no fleet folder, or the address cannot be listened on.
pub fn serve(settings: Settings, ready: impl FnOnce(&str)) -> anyhow::Result<()> {
    let runtime =
        tokio::runtime::Builder::new_multi_thread().enable_all().build().context("no threads can be started")?;
    let fleet = Fleet::open(&settings.fleet)?;
    let address = SocketAddr::new(settings.address, settings.port);
    let listener = runtime.block_on(tokio::net::TcpListener::bind(address)).with_context(|| {
        format!("{address} cannot be listened on; another program may use it: choose another with --port")
    })?;
    let address = listener.local_addr()?;
    let token = match settings.token {
        None if !address.ip().is_loopback() => Some(guard::new_token()?),
        token => token,
    };
    let guard = Guard::new(address, settings.names, token);
    let url = guard.url(address);
    let app = App::new(fleet, guard, settings.readers, (settings.program, settings.limits));
    ready(&url);
    // The fleet has threads of its own, which must end outside of those that answer: `app` is kept until they have.
    let router = routes::router(app.clone());
    let served = runtime.block_on(async { axum::serve(listener, router).with_graceful_shutdown(told_to_end()).await });
    runtime.shutdown_timeout(std::time::Duration::from_secs(5));
    drop(app);
    Ok(served?)
}

/// Waits for Ctrl-C, or for the system to ask for the end.
async fn told_to_end() {
    let interrupt = async {
        // Where signals cannot be heard the program ends without grace.
        if tokio::signal::ctrl_c().await.is_err() {
            std::future::pending::<()>().await;
        }
    };
    #[cfg(unix)]
    let terminate = async {
        match tokio::signal::unix::signal(tokio::signal::unix::SignalKind::terminate()) {
            Ok(mut signal) => {
                signal.recv().await;
            }
            Err(_) => std::future::pending().await,
        }
    };
    #[cfg(not(unix))]
    let terminate = std::future::pending::<()>();
    tokio::select! { () = interrupt => {}, () = terminate => {} }
}
