//! Settings of a fleet (`windrow.toml`), as data.

use crate::layout::Layout;
use crate::{Decision, TestKind};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// What a site tells once for all its records. Every value used from here is recorded as told by the settings.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Settings {
    /// About the site.
    pub site: SiteSettings,
    /// How to read what the records leave open.
    pub reading: ReadingSettings,
    /// Which limits to judge by.
    pub judging: JudgingSettings,
    /// What one file may cost.
    pub opening: OpeningSettings,
    /// How often to test.
    pub plan: PlanSettings,
    /// What leaves the fleet.
    pub export: ExportSettings,
    /// Rulings of people; they stand in a file of their own (`decisions.toml`).
    pub decisions: Vec<Decision>,
    /// Layouts of sheets that look alike; each stands in a file of its own (`layouts/*.toml`).
    pub layouts: Vec<Layout>,
}

/// About the site.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct SiteSettings {
    /// Name used for records that tell none.
    pub name: Option<String>,
}

/// How to read what the records leave open. Nothing is assumed unless it is set here.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct ReadingSettings {
    /// `day-first` or `month-first`, where neither the cell, its column, sheet, file nor folder tells.
    pub date_order: Option<DateOrder>,
    /// UCUM code of the unit of insulation resistance where nothing tells it.
    pub insulation_unit: Option<String>,
    /// UCUM code (`Cel`, `[degF]`) of temperatures where nothing tells it.
    pub temperature_unit: Option<String>,
}

/// Order of day and month.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum DateOrder {
    /// Day, month, year.
    DayFirst,
    /// Month, day, year.
    MonthFirst,
}

/// What one file may cost before it is given up, so that none can stop an import.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct OpeningSettings {
    /// Size of a file, MiB.
    pub file_mib: u64,
    /// Cells that are not empty.
    pub cells: usize,
    /// Time for one file, seconds.
    pub seconds: u64,
    /// Memory of the process that reads it, MiB. A million cells with 400,000 readings need about 1.2 GiB.
    pub memory_mib: u64,
}

impl Default for OpeningSettings {
    fn default() -> Self {
        Self { file_mib: 256, cells: 20_000_000, seconds: 60, memory_mib: 2_048 }
    }
}

/// Which limits to judge by.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct JudgingSettings {
    /// Family of standards preferred where several speak: `ieee`, `iec` or `repair`. Others are shown beside it.
    pub standards: StandardFamily,
    /// Windings of machines made before this year are taken as thermoplastic, later ones as thermosetting, where the
    /// records do not tell (about 1970: IEEE 43-2013, from memory).
    pub thermosetting_since: i32,
    /// Rated voltages, V, that the site vouches for as line to line although they look like phase voltages.
    pub line_voltages: Vec<f64>,
    /// How the rate of false discoveries over the fleet is bounded.
    pub false_discoveries: DiscoveryRate,
}

impl Default for JudgingSettings {
    fn default() -> Self {
        Self {
            standards: StandardFamily::Ieee,
            thermosetting_since: 1970,
            line_voltages: Vec::new(),
            false_discoveries: DiscoveryRate::BenjaminiHochberg,
        }
    }
}

/// How often to test.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct PlanSettings {
    /// Months between two tests, by kind of test; kinds that are not listed are not planned. By default insulation resistance and
    /// winding resistance yearly (common practice once or twice a year, no source).
    pub months: BTreeMap<String, u16>,
}

impl Default for PlanSettings {
    fn default() -> Self {
        let yearly = |kind: TestKind| (kind.code().to_owned(), 12);
        Self { months: [TestKind::InsulationResistance, TestKind::WindingResistance].map(yearly).into() }
    }
}

/// What leaves the fleet in exports and events.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct ExportSettings {
    /// What becomes of the names of testers and of people who ruled: `keep`, `pseudonym` or `drop`.
    pub testers: TesterNames,
}

/// What becomes of people's names.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum TesterNames {
    /// They stay as written.
    #[default]
    Keep,
    /// The same name becomes the same pseudonym, which nobody can undo without the key of the fleet.
    Pseudonym,
    /// They are left out.
    Drop,
}

/// How the rate of false discoveries is bounded.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum DiscoveryRate {
    /// Benjamini and Hochberg 1995: for findings that are independent or go together.
    BenjaminiHochberg,
    /// Benjamini and Yekutieli 2001: however they hang together; finds about a fifth as much.
    BenjaminiYekutieli,
}

/// Family of standards.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum StandardFamily {
    /// IEEE and NEMA.
    Ieee,
    /// IEC.
    Iec,
    /// Standards of the repair trade.
    Repair,
}
