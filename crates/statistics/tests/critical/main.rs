//! The critical values in `data/` are what draws without a step and without a knee exceed by chance.
//!
//! `examples/critical_values.rs` writes the tables again.
#![expect(clippy::unwrap_used, reason = "helpers of tests fail by panicking")]

mod draws;

use draws::{exceeded, knees, steps};
use windrow_statistics::{knee, step};

fn near(have: f64, want: f64, relative: f64) {
    assert!((have / want - 1.0).abs() < relative, "{have} drawn here, {want} in the table");
}

/// Fewer draws give rows of the tables again, within their own chance.
#[test]
fn tables_are_what_draws_give() {
    for count in [4, 6, 15] {
        let drawn = steps(count, 20_000);
        near(exceeded(&drawn, 0.05), step::critical(count).unwrap().five, 0.03);
        near(exceeded(&drawn, 0.01), step::critical(count).unwrap().one, 0.05);
    }
    near(exceeded(&knees(8, 6_000), 0.05), knee::critical(8).unwrap().five, 0.12);
}
