//! What a site prefers where sources differ.

use crate::rule::Family;
use windrow_model::settings::{JudgingSettings, StandardFamily};

/// What a site prefers; by default IEEE, and windings made from 1970 on as thermosetting (IEEE 43-2013, from memory).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Preference {
    /// Whose rules come first; the others are shown beside them.
    pub family: Family,
    /// Windings made before this year count as thermoplastic where the records do not tell.
    pub thermosetting_since: i32,
}

impl Preference {
    /// What the settings of a fleet say.
    #[must_use]
    pub const fn of(judging: &JudgingSettings) -> Self {
        let family = match judging.standards {
            StandardFamily::Ieee => Family::Ieee,
            StandardFamily::Iec => Family::Iec,
            StandardFamily::Repair => Family::Repair,
        };
        Self { family, thermosetting_since: judging.thermosetting_since }
    }
}

impl Default for Preference {
    fn default() -> Self {
        Self::of(&JudgingSettings::default())
    }
}
