//! Events for maintenance systems, and the way back for what people found.
//!
//! This crate must **not** know the web application or importers: it reads a snapshot, keeps an outbox in `feed/` of the fleet folder,
//! and carries events to sinks.
//!
//! # Why nothing is lost, repeated under another id, or out of order
//! Events are derived from two states: what was *told* (kept in the outbox, thing by thing) and what the newest *committed* snapshot
//! holds. The derivation is a function of both, and its result – the events, their places in the sequences of their machines, and what
//! is told from then on – is written in one SQLite transaction that is on the disk before anything is sent. This is as strong as an outbox
//! written together with the tables: a change that was committed stays in the snapshot until it is told, however often a program is
//! killed in between, for "told" moves only together with the event; a derivation that was killed left nothing, and the next one
//! derives the same. It does not depend on older snapshots, which the store removes after a week. What it does not tell is what came and
//! went between two feeds; a finding carries its whole history in `changes`.
//!
//! An event's id is a UUIDv5 over source, machine, place in its sequence, kind, subject and content: the same content at the same place
//! is the same id. A batch that is under way is written down before it is sent and repeated as the same batch, so a receiver may know it by
//! `webhook-id` or by its file's name. Receivers see each event at least once; they drop what they know by `source` and `id`.
//!
//! # Order
//! `sequence` counts from 1 for each `partitionkey` (the machine). Events go to each sink by the order of the outbox, and nothing of a
//! machine passes an event of it that was refused.

mod back;
mod config;
mod damping;
mod deliver;
mod derive;
mod error;
mod event;
mod feed;
mod keep;
mod modes;
mod now;
mod outbox;
mod outcomes;
mod remembered;
mod setup;
mod signature;
mod sink;

pub use back::{Answer, Answers, Wrong, read as read_answers, take as take_answers};
pub use config::{Config, FOLDER, SinkConfig};
pub use deliver::Report;
pub use error::{Error, Result};
pub use event::{Event, Kind};
pub use feed::{Asked, Fed, Feed, Preview};
pub use outcomes::{RuleShare, shares};
pub use remembered::{Refused, Remembered, forget, remembered};
