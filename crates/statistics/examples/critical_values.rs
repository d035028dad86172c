//! Writes the tables of critical values in `data/` again, in minutes: `cargo run --release -p windrow-statistics --example critical_values`.
#![expect(clippy::unwrap_used, reason = "a developer's program may stop by panicking")]

#[path = "../tests/critical/draws.rs"]
mod draws;

use draws::{exceeded, knees, steps};
use std::fmt::Write;
use windrow_statistics::{knee, step};

/// Draws for each row of the tables.
const DRAWS: usize = 200_000;

fn main() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/data");
    let write = |name: &str, what: &str, rows: &mut dyn Iterator<Item = (usize, Vec<f64>)>| {
        let mut text = format!("# {what}; {DRAWS} draws a row\ncount,five,one\n");
        for (count, drawn) in rows {
            writeln!(text, "{count},{:.3},{:.3}", exceeded(&drawn, 0.05), exceeded(&drawn, 0.01)).unwrap();
        }
        std::fs::write(format!("{folder}/{name}"), text).unwrap();
    };
    let what = "Largest standardised step of normal values whose scatter is told with 8 degrees of freedom";
    write("step_critical.csv", what, &mut (step::FEWEST..=30).map(|count| (count, steps(count, DRAWS))));
    let what = "Largest F of an upward knee in a straight curve at even voltages, errors of 3 % of the current";
    write("knee_critical.csv", what, &mut (knee::FEWEST..=20).map(|count| (count, knees(count, DRAWS))));
}
