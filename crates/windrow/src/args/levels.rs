//! Arguments of `windrow levels` and `windrow limits`.

use super::ListFormat;
use clap::{Args, ValueEnum};
use std::path::PathBuf;
use windrow_criteria::{Part, State};

/// Of which winding to show the levels.
#[derive(Debug, Args)]
pub(crate) struct LevelsArgs {
    /// Machine of the fleet, by tag, serial number or id
    #[arg(value_name = "MACHINE", requires = "fleet", conflicts_with_all = ["voltage", "winding", "class", "power_kw", "made", "part", "line_to_line"])]
    pub(crate) machine: Option<String>,
    /// Use the machines and the settings of this fleet folder
    #[arg(long, value_name = "DIR")]
    pub(crate) fleet: Option<PathBuf>,
    /// Rated line-to-line voltage, such as 480 or 4.16kV; for a field winding its rated field voltage
    #[arg(long, value_name = "VOLTS", value_parser = volts)]
    pub(crate) voltage: Option<f64>,
    /// Construction of the winding
    #[arg(long, value_enum)]
    pub(crate) winding: Option<Winding>,
    /// IEC 60085 thermal class, such as 155
    #[arg(long, value_name = "CLASS")]
    pub(crate) class: Option<String>,
    /// Rated power in kW
    #[arg(long, value_name = "KW")]
    pub(crate) power_kw: Option<f64>,
    /// Year in which the winding was made
    #[arg(long, value_name = "YEAR")]
    pub(crate) made: Option<i32>,
    /// Which winding
    #[arg(long, value_enum, default_value_t = WindingPart::Stator)]
    pub(crate) part: WindingPart,
    /// The rated voltage is line to line although it looks like a phase voltage
    #[arg(long)]
    pub(crate) line_to_line: bool,
    /// State of the winding
    #[arg(long, value_enum, default_value_t = Service::InService)]
    pub(crate) service: Service,
    /// Whose rules come first [default: as windrow.toml says, else ieee]
    #[arg(long, value_enum)]
    pub(crate) prefer: Option<Standards>,
    /// Form of the list
    #[arg(long, value_enum, default_value_t = ListFormat::Table)]
    pub(crate) format: ListFormat,
}

/// Volts written as `480`, `480 V`, `4.16kV`.
fn volts(text: &str) -> Result<f64, String> {
    let lower = text.trim().to_lowercase();
    let (number, factor) = match (lower.strip_suffix("kv"), lower.strip_suffix('v')) {
        (Some(number), _) => (number, 1000.0),
        (None, Some(number)) => (number, 1.0),
        (None, None) => (lower.as_str(), 1.0),
    };
    let told = number.trim().parse::<f64>().map_err(|_| format!("{text:?} is no voltage such as 480 or 4.16kV"))?;
    Ok(told * factor)
}

/// Constructions of a winding.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Winding {
    /// Random-wound
    Random,
    /// Form-wound coils
    Form,
}

impl Winding {
    /// Code as in `assets`.
    pub(crate) const fn code(self) -> &'static str {
        match self {
            Self::Random => "random",
            Self::Form => "form",
        }
    }
}

/// Windings of a machine.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum WindingPart {
    /// Stator of an alternating-current machine
    Stator,
    /// Armature of a direct-current machine
    Armature,
    /// Wound rotor of an induction machine
    WoundRotor,
    /// Field of a direct-current machine
    DcField,
    /// Field of a synchronous machine
    SynchronousField,
    /// Field of a synchronous machine started with the field shorted
    SynchronousFieldShorted,
    /// Main field of a brushless machine
    BrushlessField,
}

impl WindingPart {
    pub(crate) const fn part(self) -> Part {
        match self {
            Self::Stator => Part::Stator,
            Self::Armature => Part::Armature,
            Self::WoundRotor => Part::WoundRotor,
            Self::DcField => Part::DcField,
            Self::SynchronousField => Part::SynchronousField,
            Self::SynchronousFieldShorted => Part::SynchronousFieldShorted,
            Self::BrushlessField => Part::BrushlessField,
        }
    }
}

/// States of a winding.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
#[expect(clippy::enum_variant_names, reason = "in service is what the trade calls it")]
pub(crate) enum Service {
    /// Coils inserted, before they are processed
    Unprocessed,
    /// New
    New,
    /// New, ordered with reinforced insulation
    NewReinforced,
    /// Wholly rewound
    Rewound,
    /// Partly rewound
    PartlyRewound,
    /// Cleaned and dried, not rewound
    Overhauled,
    /// The acceptance test once more
    Repeat,
    /// In service
    InService,
}

impl Service {
    pub(crate) const fn state(self) -> State {
        match self {
            Self::Unprocessed => State::Unprocessed,
            Self::New => State::New,
            Self::NewReinforced => State::NewReinforced,
            Self::Rewound => State::Rewound,
            Self::PartlyRewound => State::PartlyRewound,
            Self::Overhauled => State::Overhauled,
            Self::Repeat => State::Repeat,
            Self::InService => State::InService,
        }
    }
}

/// Whose rules.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Standards {
    /// IEEE and NEMA
    Ieee,
    /// IEC
    Iec,
    /// Standards of the repair trade
    Repair,
}

/// Which limit to explain.
#[derive(Debug, Args)]
pub(crate) struct LimitsArgs {
    /// Name of the rule, as levels, findings and reports show it; all rules are listed without it
    pub(crate) id: Option<String>,
    /// Form of the list
    #[arg(long, value_enum, default_value_t = ListFormat::Table)]
    pub(crate) format: ListFormat,
}
