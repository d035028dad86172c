//! Bounds on what one source may cost.

use serde::{Deserialize, Serialize};
use windrow_model::settings::OpeningSettings;

/// Limits for one source; each has its own message when met.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Limits {
    /// Size of a file, bytes.
    pub file_bytes: u64,
    /// Sum of inflated sizes of an archive's members, bytes.
    pub inflated_bytes: u64,
    /// Inflated size of one member, bytes.
    pub member_bytes: u64,
    /// Inflated over packed size, applied above 50 MiB inflated.
    pub inflation_ratio: u64,
    /// Members of an archive.
    pub members: usize,
    /// Non-empty cells of a source.
    pub cells: usize,
    /// Columns of a sheet.
    pub columns: u32,
    /// Sheets of a source.
    pub sheets: usize,
    /// Text of one cell, bytes.
    pub cell_text_bytes: usize,
    /// Time for one source, seconds.
    pub seconds: u64,
    /// Address space of a worker process, bytes.
    pub memory_bytes: u64,
}

/// What to do with a source of more cells than the limit.
pub const FEWER_CELLS: &str = "split it, or raise cells under [opening] in windrow.toml";

impl Default for Limits {
    fn default() -> Self {
        Self::of(OpeningSettings::default())
    }
}

impl Limits {
    /// The limits of a fleet; those that no honest file meets are not for setting.
    #[must_use]
    pub const fn of(settings: OpeningSettings) -> Self {
        Self {
            file_bytes: settings.file_mib.saturating_mul(1 << 20),
            inflated_bytes: 512 << 20,
            member_bytes: 256 << 20,
            inflation_ratio: 100,
            members: 4_096,
            cells: settings.cells,
            columns: 16_384,
            sheets: 1_024,
            cell_text_bytes: 1 << 20,
            seconds: settings.seconds,
            memory_bytes: settings.memory_mib.saturating_mul(1 << 20),
        }
    }
}
