//! From files on a disk to rows, through the readers and importers that the program has.
#![expect(clippy::unwrap_used, reason = "helpers of tests fail by panicking")]

mod fleet;
mod lists;
mod namesakes;
mod permutations;
mod rulings;
mod two_plants;
mod union;
