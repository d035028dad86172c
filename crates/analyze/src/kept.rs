//! What was worked out of single machines, kept from one analysis to the next: a machine of which nothing changed is not worked out again.
//!
//! Kept is only what rests on the records of one machine and on the settings. What the whole fleet says of it is worked out anew each time, from
//! what is kept, so that the result is that of an analysis of everything. Rows of a machine are not kept here: they stand in the tables that the
//! analysis before stored, and whoever keeps the parts has them. Whoever does sees to it that other settings, other tables and another build of
//! the program never meet them.

use crate::asked::Asked;
use crate::fleet::columns::MachineFeatures;
use crate::foresight::Made;
use crate::loaded::InputsHash;
use crate::rules::dissipation_sisters::Shown;
use serde::{Deserialize, Serialize};
use std::collections::VecDeque;
use windrow_model::{Finding, Text};
use windrow_statistics::trend::Significance;

/// Where parts are kept, in the order in which they come.
pub trait Memory {
    /// The next part that was kept by the analysis before; `None` behind the last, or where nothing more can be read.
    fn recall(&mut self) -> Option<Vec<u8>>;

    /// Keeps a part for the next analysis.
    fn keep(&mut self, part: Vec<u8>);

    /// Called when a part does not hold what parts hold, although it was given back as it was kept.
    fn is_damaged(&mut self);
}

/// What a look at a machine with a history gives beside its rows.
#[derive(Debug, Serialize, Deserialize)]
pub(crate) struct LookedAt {
    pub(crate) features: MachineFeatures,
    pub(crate) findings: Vec<Finding>,
    /// S, its chance, and whether that is exact.
    trend: Option<(i64, f64, bool)>,
    pub(crate) may_step: bool,
    /// Questions that were asked of it.
    pub(crate) asked: Vec<Asked>,
    /// What its dissipation factors show its sisters.
    pub(crate) dissipation: Vec<Shown>,
}

impl LookedAt {
    pub(crate) fn new(
        features: MachineFeatures,
        findings: Vec<Finding>,
        (trend, may_step, asked): (Option<Significance>, bool, Vec<Asked>),
        dissipation: Vec<Shown>,
    ) -> Self {
        let trend = trend.map(|Significance { s, p, exact }| (s, p, exact));
        Self { features, findings, trend, may_step, asked, dissipation }
    }

    pub(crate) fn trend(&self) -> Option<Significance> {
        self.trend.map(|(s, p, exact)| Significance { s, p, exact })
    }
}

/// A machine as it is kept.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub(crate) struct Entry {
    asset_id: Text,
    inputs: InputsHash,
    /// Nothing where all its tests are repeats. Packed: that takes a fifth of the room, and less time than writing what it saves.
    #[serde(with = "serde_bytes")]
    looked: Vec<u8>,
}

/// How many bytes one packed byte stands for at most (LZ4 block format: a byte of a length counts 255).
const MOST_PACKED: usize = 255;

/// Room for a machine on its way to an entry, which the next one uses again.
#[derive(Debug, Default)]
pub(crate) struct Room {
    plain: Vec<u8>,
    packed: Vec<u8>,
}

impl Room {
    /// What a look gave, packed; `None` for what cannot be written.
    fn packed(&mut self, looked: Option<&LookedAt>) -> Option<Vec<u8>> {
        self.plain = postcard::to_extend(&looked, std::mem::take(&mut self.plain)).ok()?;
        let most = lz4::block::compress_bound(self.plain.len()).ok()? + size_of::<u32>();
        self.packed.resize(self.packed.len().max(most), 0);
        let length = lz4::block::compress_to_buffer(&self.plain, None, true, &mut self.packed).ok();
        self.plain.clear();
        self.packed.get(..length?).map(<[u8]>::to_vec)
    }
}

impl Entry {
    /// `None` for what cannot be written, which is worked out again then.
    pub(crate) fn of(asset_id: &str, inputs: InputsHash, looked: Option<&LookedAt>, room: &mut Room) -> Option<Self> {
        Some(Self { asset_id: Text::new(asset_id), inputs, looked: room.packed(looked)? })
    }

    /// What was worked out, if it was of the same inputs; within, `None` where all tests of the machine are repeats.
    pub(crate) fn recalled(&self, inputs: InputsHash) -> Option<Option<LookedAt>> {
        if self.inputs != inputs {
            return None;
        }
        // A damaged length must not ask for more room than these bytes can fill.
        let length = u32::from_le_bytes(*self.looked.first_chunk()?) as usize;
        if length > self.looked.len() * MOST_PACKED {
            return None;
        }
        postcard::from_bytes(&lz4::block::decompress(&self.looked, None).ok()?).ok()
    }
}

/// A part that is kept: machines, or behind them all the forecasts that were asked for.
#[derive(Serialize)]
enum Part<'a> {
    Machines(&'a [Entry]),
    Forecasts(&'a [Made]),
}

/// A [`Part`] as it comes back.
#[derive(Deserialize)]
enum Recalled {
    Machines(VecDeque<Entry>),
    Forecasts(Vec<Made>),
}

/// A part of machines to keep.
pub(crate) fn machines(entries: &[Entry]) -> Vec<u8> {
    postcard::to_stdvec(&Part::Machines(entries)).unwrap_or_default()
}

/// The forecasts to keep, behind all machines.
pub(crate) fn forecasts(made: &[Made]) -> Vec<u8> {
    postcard::to_stdvec(&Part::Forecasts(made)).unwrap_or_default()
}

/// Kept machines in the order of their ids, as machines are looked at.
pub(crate) struct Recall<'a> {
    pub(crate) memory: &'a mut dyn Memory,
    entries: VecDeque<Entry>,
    forecasts: Vec<Made>,
    is_over: bool,
}

impl<'a> Recall<'a> {
    pub(crate) fn of(memory: &'a mut dyn Memory) -> Self {
        Self { memory, entries: VecDeque::new(), forecasts: Vec::new(), is_over: false }
    }

    /// What is kept of a machine; to be asked in the order of ids. What is kept of machines before it is let go.
    pub(crate) fn entry(&mut self, asset_id: &str) -> Option<Entry> {
        loop {
            match self.entries.front() {
                Some(entry) if entry.asset_id.as_str() < asset_id => drop(self.entries.pop_front()),
                Some(entry) if entry.asset_id == asset_id => return self.entries.pop_front(),
                Some(_) => return None,
                None if self.is_over => return None,
                None => self.read_on(),
            }
        }
    }

    fn read_on(&mut self) {
        let Some(part) = self.memory.recall() else {
            self.is_over = true;
            return;
        };
        match postcard::from_bytes(&part) {
            Ok(Recalled::Machines(entries)) => self.entries = entries,
            Ok(Recalled::Forecasts(made)) => self.forecasts = made,
            Err(_) => {
                self.memory.is_damaged();
                self.is_over = true;
            }
        }
    }

    /// What is kept of forecasts; to be asked when no machine is looked for any more.
    pub(crate) fn forecasts(&mut self) -> Vec<Made> {
        while !self.is_over {
            self.read_on();
        }
        std::mem::take(&mut self.forecasts)
    }
}
