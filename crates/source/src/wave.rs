//! Records of sampled signals as readers hand them over: channels with their samples at even times, and the words beside them.

use serde::{Deserialize, Serialize};
use windrow_model::{PartialDate, Place, Step};

/// Words of the source.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Words {
    /// As they stand.
    pub text: String,
    /// Where they stand.
    pub place: Place,
    /// Name of the file, when it is the companion and not the source itself.
    pub file: Option<String>,
}

/// The day of the first sample.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Day {
    /// Read by the order of day and month that the container prescribes; `None` where that gives no day.
    pub date: Option<PartialDate>,
    /// Whether the year has two digits, so that its century is assumed.
    pub is_short: bool,
    /// The date as it stands.
    pub words: Words,
}

/// A stretch of samples at even times.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Stretch {
    /// Time of its first sample after the first sample of the record, s.
    pub start_s: f64,
    /// Time between samples, s.
    pub interval_s: f64,
    /// Number of samples.
    pub samples: usize,
}

/// A channel.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Channel {
    /// Its name.
    pub name: Words,
    /// The phase that it is told to be of.
    pub phase: Option<Words>,
    /// What it is told to be measured on.
    pub component: Option<Words>,
    /// Its unit; `None` for states, which are 0 or 1.
    pub unit: Option<Words>,
    /// Steps from what is stored to the samples.
    pub steps: Vec<Step>,
    /// Whether the samples are on the secondary side of a transformer with another ratio than 1.
    pub is_secondary: bool,
    /// Samples in the unit as written; `None` where one is missing. All channels have equally many.
    pub samples: Vec<Option<f32>>,
    /// The cells that stand for them.
    pub place: Place,
}

/// A record of signals sampled together.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Record {
    /// Where it was recorded, as written.
    pub station: Option<Words>,
    /// What recorded it, as written.
    pub recorder: Option<Words>,
    /// Day of the first sample.
    pub day: Option<Day>,
    /// Date and time of the first sample as written.
    pub started: Option<String>,
    /// What holds for all channels: edition, times, clock.
    pub steps: Vec<Step>,
    /// Even stretches, one behind the other; empty where samples stand at uneven times.
    pub stretches: Vec<Stretch>,
    /// Whether there are fewer samples than the source tells of.
    pub is_cut: bool,
    /// Channels.
    pub channels: Vec<Channel>,
}
