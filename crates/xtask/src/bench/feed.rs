//! The test of a sender that is killed, at full size, with what it took.

use anyhow::{Context, ensure};
use std::path::Path;
use std::process::Command;
use std::time::Instant;

/// 1,112 machines, each with seven tests and one that comes due, make 10,008 events.
const SIZE: [(&str, &str); 2] = [("WINDROW_FEED_MACHINES", "1112"), ("WINDROW_FEED_KILLS", "100")];

/// Sends 10,000 events to a receiver that fails, with 100 kills of the sender.
pub(crate) fn run(root: &Path) -> anyhow::Result<()> {
    let begun = Instant::now();
    let test = "feed::killed::every_event_arrives_once_in_content_and_in_order_whatever_happens";
    let mut cargo = Command::new(env!("CARGO"));
    // Another choice of packages would build every dependency in another way again.
    cargo.args(["test", "--quiet", "--workspace", "--test", "cli", test, "--", "--exact", "--nocapture"]);
    let status = cargo.envs(SIZE).current_dir(root).status().context("cargo could not be run")?;
    ensure!(status.success(), "an event was lost, repeated otherwise, or out of order");
    println!("in {} s, with building and importing", begun.elapsed().as_secs());
    Ok(())
}
