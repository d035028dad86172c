//! Why a source was not opened, and what to do about it.

use serde::{Deserialize, Serialize};

/// Kind of a refusal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Refusal {
    /// Nothing in it.
    Empty,
    /// Password-protected.
    Encrypted,
    /// Cut short or corrupt.
    Damaged,
    /// Over a limit.
    TooLarge,
    /// A format that is known and not read; the advice names the conversion to try.
    Unsupported,
    /// No reader knows it.
    Alien,
    /// The operating system would not let it be read.
    Unreadable,
    /// The worker that read it crashed or ran out of time.
    Crashed,
}

/// A source that could not be opened: kind, what was wrong (lower case, no full stop) and one thing to do.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error, Serialize, Deserialize)]
#[error("{found}; {advice}")]
pub struct ReadError {
    /// Kind.
    pub refusal: Refusal,
    /// What was found, with the place inside the file where known.
    pub found: String,
    /// What to do.
    pub advice: String,
}

impl ReadError {
    /// A refusal of kind `refusal`.
    pub fn new(refusal: Refusal, found: impl Into<String>, advice: impl Into<String>) -> Self {
        Self { refusal, found: found.into(), advice: advice.into() }
    }
}
